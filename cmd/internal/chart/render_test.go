package chart

import (
	"bytes"
	"flag"
	"image"
	"image/draw"
	"image/png"
	"os"
	"path/filepath"
	"testing"
)

var renderTo = flag.String("render", "", "write every sample picture, in colour and in grey, to this folder")

func samples() map[string]Figure {
	sag := sampleCurve()
	sag.Title, sag.MarkM3, sag.CostM3, sag.Marginal = "Past 25 m³ a tank costs more fuel than it saves", 0, 0, nil
	for i, v := range sag.VolumesM3 {
		sag.Savings[i] = 900 - 900/(1+v/4) - 31*v
		sag.Upper[i] = sag.Savings[i] + 60
	}
	noStore := sampleWinter()
	for i := range noStore.BoilerKW {
		noStore.BoilerKW[i] += noStore.StoreKW[i]
	}
	noStore.Title = "Without a tank"
	noStore.StoredKWh, noStore.StoreKW, noStore.SunToStoreKW = nil, nil, nil
	fortnight := sampleDays(sampleSummer().Start, 31, 1500, 0.7)
	fortnight.Title = "July"
	hold := sampleSummer()
	hold.HoldKWh = make([]float64, len(hold.DemandKW))
	for i := range hold.HoldKWh {
		hold.HoldKWh[i] = 150 * float64(i%24)
	}
	one := sampleYear()
	one.Maps = one.Maps[2:]
	return map[string]Figure{
		"curve": sampleCurve(), "curve-negative": sag, "week-summer": sampleSummer(), "week-winter": sampleWinter(),
		"week-nostore": noStore, "month": fortnight, "year": sampleYear(), "year-one": one,
		"week-hold": hold, "guide": sampleGuide(), "demand": sampleProfile(),
	}
}

// TestRender writes the pictures for a person to look at.
func TestRender(t *testing.T) {
	if *renderTo == "" {
		t.Skip("no -render folder; the other tests draw to memory")
	}
	for name, f := range hardSamples() {
		var pixels, vector bytes.Buffer
		if err := WritePNG(&pixels, f, 1); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if err := WriteSVG(&vector, f); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		img, err := png.Decode(bytes.NewReader(pixels.Bytes()))
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		grey := image.NewGray(img.Bounds())
		draw.Draw(grey, grey.Bounds(), img, image.Point{}, draw.Src)
		var greyPixels bytes.Buffer
		if err := png.Encode(&greyPixels, grey); err != nil {
			t.Fatal(err)
		}
		for ext, b := range map[string][]byte{".png": pixels.Bytes(), ".svg": vector.Bytes(), "-grey.png": greyPixels.Bytes()} {
			if err := os.WriteFile(filepath.Join(*renderTo, name+ext), b, 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
}
