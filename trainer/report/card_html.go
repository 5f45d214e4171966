package report

import (
	"fmt"
	"html"
	"io"
	"slices"
	"strings"
	"time"

	"puddlewise/scoring"
	"puddlewise/trainer/session/view"
)

// A card fits one sheet of A4 or Letter with margins of 10 mm: 190 by 259 mm hold
// on both. All plots are drawn in millimetres.
const cardWidth = 186

// Most lines of each part that fit the sheet.
const (
	mostSteps    = 24
	mostFindings = 11
	mostSkills   = 11
	mostMetals   = 7
)

const cardStyle = `
@page { margin: 10mm }
* { box-sizing: border-box }
body { width: 186mm; margin: 0 auto; font: 3.1mm/1.35 sans-serif; color: #000; background: #fff }
h1 { font-size: 5.4mm; margin: 0 0 1mm }
h2 { font-size: 3.6mm; margin: 3.5mm 0 1mm; border-bottom: 0.3mm solid #000 }
h2 small { font-weight: normal; font-size: 2.9mm }
p { margin: 0 0 0.6mm }
svg { display: block }
.two { display: flex; gap: 6mm }
.two > section { width: 90mm }
dl { margin: 0; display: grid; grid-template-columns: auto 1fr; column-gap: 2mm; font-size: 2.5mm; line-height: 4.4mm; white-space: nowrap }
dt, dd { margin: 0; overflow: hidden; text-overflow: ellipsis }
footer { margin-top: 3mm; font-size: 2.6mm }
@media screen { body { margin: 8mm auto } }
`

// CardHTML writes a card as one page that needs nothing from elsewhere: to read, or
// to print on one sheet, in black and white as well.
func CardHTML(out io.Writer, c Card) error {
	var b strings.Builder
	p := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	e := html.EscapeString
	p(`<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>%s, learner's card</title>
<style>%s</style>
</head>
<body>`, e(c.name()), cardStyle)
	p("<h1>%s</h1>", e(c.name()))
	for _, line := range c.summary() {
		p("<p>%s</p>", e(line))
	}
	if steps := c.Steps(mostSteps); steps != nil {
		p("<h2>Three scores over time <small>%s, %.0f is the limit</small></h2>", steps[0].each(), scoring.Limit)
		b.WriteString(stepsSVG(steps))
	}
	if c.Findings != nil || c.Skills != nil {
		p(`<div class="two">`)
		p("<section><h2>Coupons by finding <small>black: the last %d</small></h2>", c.Lately)
		b.WriteString(findingsSVG(c))
		p("</section>")
		p("<section><h2>Skills, weakest first</h2><dl>")
		for _, s := range c.Skills[:min(mostSkills, len(c.Skills))] {
			p("<dt>%s</dt><dd>%s</dd>", e(s.Name), e(s.Words))
		}
		p("</dl>")
		if n := len(c.Skills) - mostSkills; n > 0 {
			p("<p>and %s more</p>", view.Counted(n, "skill"))
		}
		p("</section></div>")
	}
	if c.Kinds != nil {
		p("<h2>Three scores by metal and joint <small>means; the line is the limit, in brackets the coupons</small></h2>")
		b.WriteString(kindsSVG(c.Kinds))
	}
	p("<footer>puddlewise, %s. It is practice, not a procedure: the shop's WPS, the local code and a licensed instructor come first.</footer>", c.Made.Format(time.DateOnly))
	p("</body>\n</html>")
	_, err := io.WriteString(out, b.String())
	return err
}

// ink is how a score is drawn: told apart by line, mark and filling, not by colour.
type ink struct{ dash, mark, fill string }

var inks = [3]ink{
	{"", `<circle cx="%.2f" cy="%.2f" r="0.9" fill="#000"/>`, "#000"},
	{"2.4 1", `<rect x="%.2f" y="%.2f" width="1.7" height="1.7" transform="translate(-0.85 -0.85)" fill="#fff" stroke="#000" stroke-width="0.3"/>`, "url(#hatch)"},
	{"0.5 0.9", `<path transform="translate(%.2f %.2f)" d="M0 -1.1L1 0.8H-1Z" fill="#999" stroke="#000" stroke-width="0.2"/>`, "#ddd"},
}

const hatch = `<defs><pattern id="hatch" width="1" height="1" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect width="1" height="1" fill="#fff"/><rect width="0.4" height="1" fill="#000"/></pattern></defs>`

func svg(height float64, width int, what string, draw func(p func(format string, args ...any))) string {
	var b strings.Builder
	p := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	p(`<svg role="img" aria-label="%s" width="%dmm" height="%.1fmm" viewBox="0 0 %d %.1f" font-family="sans-serif" font-size="2.7">`, html.EscapeString(what), width, height, width, height)
	draw(p)
	p("</svg>")
	return b.String()
}

// stepsSVG draws the scores over time.
func stepsSVG(steps []Step) string {
	const left, right, top, high = 9., 3., 6., 40.
	return svg(top+high+8, cardWidth, "the three scores over time", func(p func(string, ...any)) {
		y := func(score float64) float64 { return top + high*(1-score/100) }
		x := func(i int) float64 {
			return left + 3 + (cardWidth-left-right-6)*float64(i)/float64(max(1, len(steps)-1))
		}
		for _, s := range []float64{0, 25, 50, 75, 100} {
			width := 0.1
			if s == scoring.Limit {
				width = 0.4
			}
			p(`<path d="M%.0f %.1fH%.0f" stroke="#000" stroke-width="%.1f"/><text x="%.0f" y="%.1f" text-anchor="end">%.0f</text>`, left, y(s), cardWidth-right, width, left-1.5, y(s)+1, s)
		}
		for i, in := range inks {
			at := left + 3 + 42*float64(i)
			p(`<path d="M%.0f 2.5h9" stroke="#000" stroke-width="0.4" stroke-dasharray="%s"/>`+in.mark+`<text x="%.0f" y="3.5">%s</text>`, at, in.dash, at+4.5, 2.5, at+11, ScoreNames[i])
			var points []string
			for j, s := range steps {
				points = append(points, fmt.Sprintf("%.2f,%.2f", x(j), y(s.Scores[i])))
			}
			p(`<polyline points="%s" fill="none" stroke="#000" stroke-width="0.4" stroke-dasharray="%s"/>`, strings.Join(points, " "), in.dash)
			for j, s := range steps {
				p(in.mark, x(j), y(s.Scores[i]))
			}
		}
		every := (len(steps) + 7) / 8 // dates that fit beside each other
		for j, s := range steps {
			if j%every == 0 {
				p(`<text x="%.2f" y="%.1f" text-anchor="middle">%s</text>`, x(j), top+high+5, s.From.Format("06-01-02"))
			}
		}
	})
}

// findingsSVG draws on how many coupons each finding was made; black are the last ones.
func findingsSVG(c Card) string {
	const width, name, line, high = 90, 35., 4.4, 3.
	shown := c.Findings[:min(mostFindings, len(c.Findings))]
	rows := len(shown) + 1
	return svg(line*float64(rows), width, "coupons by finding", func(p func(string, ...any)) {
		for i, f := range shown {
			y := line * float64(i)
			long := (width - name - 20) / float64(c.Findings[0].All)
			p(`<text x="%.0f" y="%.1f" text-anchor="end">%s</text>`, name-1.5, y+2.6, html.EscapeString(f.Name))
			p(`<rect x="%.0f" y="%.1f" width="%.2f" height="%.0f" fill="#fff" stroke="#000" stroke-width="0.2"/><rect x="%.0f" y="%.1f" width="%.2f" height="%.0f"/>`,
				name, y, long*float64(f.All), high, name, y, long*float64(f.Lately), high)
			p(`<text x="%.2f" y="%.1f">%d, lately %d</text>`, name+long*float64(f.All)+1, y+2.6, f.All, f.Lately)
		}
		switch n := len(c.Findings) - len(shown); {
		case len(c.Findings) == 0:
			p(`<text x="0" y="2.6">nothing was found on any coupon</text>`)
		case n > 0:
			p(`<text x="0" y="%.1f">and %s more</text>`, line*float64(rows)-1, view.Counted(n, "finding"))
		}
	})
}

// kindsSVG draws the scores in a table of joints and metals.
func kindsSVG(kinds []Kind) string {
	const name, row, bar = 25., 10., 2.6
	var joints, metals, out []string
	for _, k := range kinds { // most welded first
		switch {
		case slices.Contains(metals, k.Metal):
		case len(metals) < mostMetals:
			metals = append(metals, k.Metal)
		case !slices.Contains(out, k.Metal):
			out = append(out, k.Metal)
		}
	}
	for _, k := range kinds {
		if !slices.Contains(joints, string(k.Joint)) && slices.Contains(metals, k.Metal) {
			joints = append(joints, string(k.Joint))
		}
	}
	cell := (cardWidth - name) / float64(max(4, len(metals)))
	bottom := 10 + row*float64(len(joints))
	high := bottom
	if out != nil {
		high += 4
	}
	return svg(high, cardWidth, "the three scores by metal and joint", func(p func(string, ...any)) {
		p(hatch)
		for i, in := range inks {
			at := name + 30*float64(i)
			p(`<rect x="%.0f" y="0.6" width="5" height="%.1f" fill="%s" stroke="#000" stroke-width="0.2"/><text x="%.0f" y="2.9">%s</text>`, at, bar, in.fill, at+6.5, ScoreNames[i])
		}
		for i, m := range metals {
			p(`<text x="%.2f" y="8" font-weight="bold">%s</text>`, name+cell*float64(i), html.EscapeString(m))
		}
		for i, j := range joints {
			p(`<path d="M0 %.2fH%d" stroke="#000" stroke-width="0.1"/><text x="0" y="%.2f">%s</text>`, 9.2+row*float64(i), cardWidth, 13.8+row*float64(i), html.EscapeString(j))
		}
		for _, k := range kinds {
			col := slices.Index(metals, k.Metal)
			if col < 0 {
				continue
			}
			x, y := name+cell*float64(col), 10.4+row*float64(slices.Index(joints, string(k.Joint)))
			long := cell - 14 // of 100
			for i, in := range inks {
				at := y + bar*float64(i)*1.1
				p(`<rect x="%.2f" y="%.2f" width="%.2f" height="%.1f" fill="%s" stroke="#000" stroke-width="0.2"/><text x="%.2f" y="%.2f" font-size="2.4">%d</text>`,
					x, at, long*float64(whole(k.Scores[i]))/100, bar-0.3, in.fill, x+long+1, at+2.1, whole(k.Scores[i]))
			}
			for _, line := range []string{`stroke="#fff" stroke-width="0.5"`, `stroke="#000" stroke-width="0.3" stroke-dasharray="0.6 0.4"`} { // white under it, to be seen on black
				p(`<path d="M%.2f %.2fv%.1f" %s/>`, x+long*scoring.Limit/100, y-0.4, bar*3.3+0.3, line)
			}
			p(`<text x="%.2f" y="%.2f" font-size="2.4">(%d)</text>`, x+long+5.4, y+2.1, k.Coupons)
		}
		if out != nil {
			p(`<text x="0" y="%.1f">left out, welded least: %s</text>`, bottom+2.6, html.EscapeString(strings.Join(out, ", ")))
		}
	})
}
