package report

import (
	"bytes"
	"html"
	"html/template"
	"regexp"

	"noonkeep/cmd/internal/chart"
)

var (
	svgTag   = regexp.MustCompile(`<svg role="img" width="[^"]*" height="[^"]*" `)
	svgTitle = regexp.MustCompile(`<title>[^<]*</title>\n`)
)

// inlineSVG is a drawing that stands inside a page: it takes the page's width, and is told in words to those who do not see
// it. All text in it was escaped when it was drawn.
func inlineSVG(f chart.Figure, alt string) (template.HTML, error) {
	var raw bytes.Buffer
	if err := chart.WriteSVG(&raw, f); err != nil {
		return "", err
	}
	svg := svgTag.ReplaceAllLiteral(raw.Bytes(), []byte(`<svg role="img" aria-label="`+html.EscapeString(alt)+`" `))
	svg = svgTitle.ReplaceAllLiteral(svg, nil) // the page has a caption, and a title would hang over the picture
	return template.HTML(svg), nil
}
