package chart

import (
	"image/color"
	"math"

	"gonum.org/v1/plot/vg"
)

const fullTurn = 2 * math.Pi

// The inks. Lightness L* (CIE 1976) tells kinds apart in grey: sun 87, store 62,
// boiler 26, with white ground at 100 and lines at 12.
var (
	white  = color.RGBA{255, 255, 255, 255}
	black  = color.RGBA{26, 26, 30, 255}
	grey20 = color.RGBA{51, 51, 56, 255}
	grey30 = color.RGBA{84, 84, 90, 255}
	grey60 = color.RGBA{150, 150, 156, 255}
	grid   = color.RGBA{222, 222, 226, 255}

	curveInk  = color.RGBA{19, 68, 110, 255}
	boundInk  = color.RGBA{186, 84, 20, 255}
	barInk    = color.RGBA{197, 214, 229, 255}
	sunInk    = color.RGBA{247, 216, 104, 255}
	storeInk  = color.RGBA{58, 166, 157, 255}
	boilerInk = color.RGBA{68, 58, 74, 255}
	intoInk   = color.RGBA{139, 205, 198, 255}
	spillInk  = color.RGBA{140, 104, 0, 255}
	levelInk  = color.RGBA{12, 94, 88, 255}
	levelFill = color.RGBA{214, 236, 233, 255}
)

// layerFills are the inks of a LayerKind, but for the hatched one.
var layerFills = [...]color.RGBA{PlainLayer: barInk, DarkLayer: curveInk, SunLayer: sunInk, StoreLayer: storeInk, BoilerLayer: boilerInk}

var (
	gridLine = stroke{ink: grid, width: 0.7}
	axisLine = stroke{ink: grey30, width: 1}
	zeroLine = stroke{ink: black, width: 1.1}
	dashed   = []vg.Length{6, 3.5}
	dotted   = []vg.Length{1.6, 2.6}
)

// Tone is the hue of a map; lightness carries the value in all of them.
type Tone int

// The tones, after the inks of [Week].
const (
	BoilerTone Tone = iota // violet grey
	StoreTone              // green blue
	SunTone                // brown yellow
)

// hueDeg and chroma are those of the darkest third; the ramp fades to white from there.
func (t Tone) hueDeg() (hue, chroma float64) {
	switch t {
	case StoreTone:
		return 195, 32
	case SunTone:
		return 75, 50
	default:
		return 310, 28
	}
}

// ramp gives 256 colours from nearly white to dark in even steps of CIE lightness,
// all of one hue. The lightness alone orders them, so they can be read in grey.
func (t Tone) ramp() color.Palette {
	const lightL, darkL = 97, 22
	hue, chroma := t.hueDeg()
	colours := make(color.Palette, 256)
	for i := range colours {
		x := float64(i) / 255
		// Chroma swells and falls so that both ends stay inside sRGB.
		c := chroma * math.Sin(math.Pi*(0.04+0.82*x))
		colours[i] = fromLab(lightL+x*(darkL-lightL), c, hue*math.Pi/180)
	}
	return colours
}

// fromLab turns CIE L*, chroma and hue (radians) under D65 into sRGB.
func fromLab(l, c, h float64) color.RGBA {
	// CIE 15:2004 8.2.1: L*a*b* to XYZ, white point D65.
	fy := (l + 16) / 116
	x := 0.95047 * labInverse(fy+c*math.Cos(h)/500)
	y := labInverse(fy)
	z := 1.08883 * labInverse(fy-c*math.Sin(h)/200)
	// IEC 61966-2-1: XYZ to linear sRGB, then its curve.
	return color.RGBA{
		srgb(3.2406*x - 1.5372*y - 0.4986*z),
		srgb(-0.9689*x + 1.8758*y + 0.0415*z),
		srgb(0.0557*x - 0.2040*y + 1.0570*z),
		255,
	}
}

func labInverse(f float64) float64 {
	const delta = 6.0 / 29
	if f > delta {
		return f * f * f
	}
	return 3 * delta * delta * (f - 4.0/29)
}

func srgb(v float64) uint8 {
	if v <= 0.0031308 {
		v *= 12.92
	} else {
		v = 1.055*math.Pow(v, 1/2.4) - 0.055
	}
	return uint8(math.Round(255 * min(max(v, 0), 1)))
}
