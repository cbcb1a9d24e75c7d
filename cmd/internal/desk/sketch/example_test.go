package sketch_test

import (
	"fmt"
	"strings"

	"noonkeep/cmd/internal/desk/sketch"
)

func ExampleCurve() {
	picture, err := sketch.Curve{Currency: "EUR", VolumesM3: []float64{0, 10, 40}, Savings: []float64{0, 4000, 10000}, AtM3: 25, Narrow: true}.SVG()
	if err != nil {
		fmt.Println(err)
		return
	}
	_, title, _ := strings.Cut(picture, `<title id="curve-narrow-title">`)
	title, _, _ = strings.Cut(title, "</title>")
	fmt.Println(strings.ReplaceAll(title, "\u202f", " "))
	// Output: A store of 25 m³ saves 7 000 EUR a year
}
