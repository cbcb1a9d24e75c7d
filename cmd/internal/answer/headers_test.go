package answer

import (
	"strings"
	"testing"
)

// What check says of a cascade: superheat after a valve, spray, an exchanger into water, flash steam.
func TestHeadersInWords(t *testing.T) {
	t.Parallel()
	c := dyehouse(t, "", "headers:\n", "headers:\n  - {name: high, pressure: 18 bar(a), condensate: {return: 80 %, temperature: 85 degC, flash_to: main, blowdown: 0 %}}\n  - {name: wash, medium: {kind: hot water, supply: 120 degC, return: 90 degC}, valve: {most: 300 kW}}\n",
		"pressure: 6 bar(g)", "pressure: 7 bar(a)\n    valve: {most: 1000 kg/h, desuperheater: yes}",
		"loads:\n", "loads:\n  - {name: presses, header: high, heat: 500 kW}\n  - {name: washing, header: wash, heat: 100 kW}\n")
	u, err := Understand(c)
	if err != nil {
		t.Fatal(err)
	}
	var text strings.Builder
	for _, s := range u.Sections {
		for _, r := range s.Rows {
			text.WriteString(r.Name + ": " + r.Text + "\n")
		}
	}
	for _, want := range []string{
		"header wash: hot water, 120.0 °C to the loads and 90.0 °C back; a field heats it at 105.0 °C in the mean; asks 833 MWh/a",
		": an exchanger lets in heat from main, at most 300 kW", // in kg/h: of main's steam
		"13.8 kg of feedwater are sprayed into each 1000 kg and bring it from 178.6 °C down to saturation: 1013.8 kg arrive",
		": besides, flash steam of condensate gives it ",
	} {
		if !strings.Contains(text.String(), want) {
			t.Errorf("no %q in\n%s", want, text.String())
		}
	}
	c.Headers[1].Spray = false
	s := Section{}
	s.header(c, 1)
	if got := s.Rows[len(s.Rows)-1].Text; !strings.Contains(got, "it comes out superheated by 13.") {
		t.Error(got)
	}
}

// A header of water has no pressure, and one that is not heated by the one over it says from which.
func TestSchemeOfAMedium(t *testing.T) {
	t.Parallel()
	c := dyehouse(t, "", "headers:\n", "headers:\n  - {name: wash, medium: {kind: hot water, supply: 140 degC, return: 110 degC}}\n  - {name: low, pressure: 3 bar(g), from_above: no}\n",
		"loads:\n", "loads:\n  - {name: washing, header: wash, heat: 100 kW}\n")
	s, err := SchemeOf(c)
	if err != nil {
		t.Fatal(err)
	}
	h := s.Headers[len(s.Headers)-1]
	if h.Name != "wash" || h.Carrier != "hot water" || h.BarG != 0 || h.TempC != 140 || h.FeedwaterC != 110 || h.FromAbove || h.From != "main" || h.PeakKgH != 0 {
		t.Errorf("%+v", h)
	}
}
