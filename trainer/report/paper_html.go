package report

import (
	"fmt"
	"html"
	"io"
	"strings"
)

const paperStyle = `
* { box-sizing: border-box }
body { width: 186mm; margin: 0 auto; font: 3.1mm/1.35 sans-serif; color: #000; background: #fff }
h1 { font-size: 8mm; text-align: center; border: 0.8mm solid #000; padding: 2mm; margin: 0 0 3mm }
h2 { font-size: 4mm; margin: 4mm 0 1mm; border-bottom: 0.3mm solid #000; break-after: avoid }
p { margin: 0 0 1mm }
p.bold { font-weight: bold; break-after: avoid }
svg { display: block; margin: 1mm 0; break-inside: avoid }
table { width: 100%%; border-collapse: collapse; table-layout: fixed; font-size: 2.7mm; margin: 0 0 2mm }
th, td { text-align: left; vertical-align: top; border-bottom: 0.1mm solid #000; padding: 0.3mm 1mm 0.3mm 0; overflow-wrap: anywhere }
tr { break-inside: avoid }
footer { margin-top: 4mm; border-top: 0.3mm solid #000; font-weight: bold; text-align: center }
@page { size: %s; margin: 12mm }
@media screen { body { margin: 8mm auto } }
`

// PaperHTML writes the paper as one page that needs nothing from elsewhere, to read or
// to print, in black and white as well.
func PaperHTML(out io.Writer, pa Paper) error {
	var b strings.Builder
	p := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	e := html.EscapeString
	size := "A4"
	if pa.Letter {
		size = "letter"
	}
	p(`<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>%s, practice record</title>
<style>%s</style>
</head>
<body>
<h1>%s</h1>`, e(pa.Taken.Learner), fmt.Sprintf(paperStyle, size), e(paperWords))
	for _, bl := range pa.blocks() {
		if bl.heading != "" {
			p("<h2>%s</h2>", e(bl.heading))
		}
		if bl.words != "" {
			class := ""
			if bl.bold {
				class = ` class="bold"`
			}
			p("<p%s>%s</p>", class, e(bl.words))
		}
		if bl.seam != nil {
			b.WriteString(bl.seam.svg())
		}
		if bl.table != nil {
			p("<table><colgroup>")
			for _, w := range bl.widths {
				p(`<col style="width:%.0f%%">`, w)
			}
			p("</colgroup>")
			for i, row := range bl.table {
				p("<tr>")
				for k, cell := range row {
					tag := "td"
					if bl.head && i == 0 || !bl.head && k == 0 {
						tag = "th"
					}
					p("<%s>%s</%s>", tag, e(cell), tag)
				}
				p("</tr>")
			}
			p("</table>")
		}
	}
	p("<footer>%s</footer>", e(paperWords))
	p("</body>\n</html>")
	_, err := io.WriteString(out, b.String())
	return err
}

// seamHigh is how high the drawing of a seam is, mm.
const seamHigh = 26.

// outline gives one side's edge and back again, closed, in a drawing of the width.
func (s seamPlot) outline(widths []float64, wide float64) (points [][2]float64) {
	scale := (seamHigh/2 - 4) / s.most()
	x := func(i int) float64 { return wide * s.at[i] / max(s.long, 1) }
	for i := range s.at {
		points = append(points, [2]float64{x(i), seamHigh/2 - 2 - scale*widths[i]/2})
	}
	for i := len(s.at) - 1; i >= 0; i-- {
		points = append(points, [2]float64{x(i), seamHigh/2 - 2 + scale*widths[i]/2})
	}
	return points
}

// legend says what is drawn.
func (s seamPlot) legend() string {
	return fmt.Sprintf("from above, start on the left, %.0f mm long: grey the face, up to %.1f mm wide; dashed the back; widths stretched", s.long, 2*s.most())
}

func (s seamPlot) svg() string {
	return svg(seamHigh, cardWidth, "the coupon from above, "+s.legend(), func(p func(string, ...any)) {
		for i, widths := range [][]float64{s.face, s.back} {
			var points []string
			for _, at := range s.outline(widths, cardWidth) {
				points = append(points, fmt.Sprintf("%.2f,%.2f", at[0], at[1]))
			}
			p(`<polygon points="%s" %s/>`, strings.Join(points, " "), []string{`fill="#ddd" stroke="#000" stroke-width="0.3"`, `fill="none" stroke="#000" stroke-width="0.3" stroke-dasharray="1.2 0.8"`}[i])
		}
		p(`<text x="0" y="%.1f">%s</text>`, seamHigh-0.8, html.EscapeString(s.legend()))
	})
}
