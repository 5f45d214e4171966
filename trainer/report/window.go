// Package report writes what was judged elsewhere for paper, spreadsheets and
// pictures. It judges nothing.
package report

import (
	"encoding/csv"
	"fmt"
	"html"
	"io"
	"strings"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session/view"
)

// regionFill is the tint of a region in a picture, where its mark stands too.
var regionFill = map[scoring.Region]string{scoring.Cold: "#c9d6e2", scoring.Good: "#dfe8cf", scoring.Through: "#e8c3b4", scoring.OtherBad: "#dcd6e2", scoring.Unknown: "#f4f4f4"}

// bare prints an SI value of a field in the system's unit, without it.
func bare(f weld.Field, v float64, s weld.System) string {
	a := weld.Defaults()
	f.SetValue(&a, v)
	return f.Bare(a, s)
}

// WindowText draws the window with characters, and says which way is out.
func WindowText(out io.Writer, w *scoring.Window, s weld.System) error {
	c := view.ChartOf(w, s, len(w.Ys))
	_, err := fmt.Fprintln(out, strings.Join(append(c.Lines(), c.Words...), "\n"))
	return err
}

// WindowCSV writes a row a point: the two settings, and what the joint does there.
func WindowCSV(out io.Writer, w *scoring.Window, s weld.System) error {
	c := csv.NewWriter(out)
	rows := [][]string{{view.WithUnit(w.X, s), view.WithUnit(w.Y, s), "what happens"}}
	for r, y := range w.Ys {
		for k, x := range w.Xs {
			rows = append(rows, []string{bare(w.X, x, s), bare(w.Y, y, s), view.RegionWord(w.Regions[r][k])})
		}
	}
	return c.WriteAll(rows)
}

// WindowSVG draws the window: a square a point, with its mark as well as its tint.
func WindowSVG(out io.Writer, w *scoring.Window, title string, s weld.System) error {
	const cell, left, top, line = 14, 70, 64, 18
	c := view.ChartOf(w, s, len(w.Ys))
	legend := append(c.LegendLines(), c.Words...)
	width, base := left+cell*len(w.Xs)+24, top+cell*len(c.Rows)
	height := base + 72 + line*len(legend)
	p := func(format string, args ...any) { fmt.Fprintf(out, format+"\n", args...) }
	text := func(x, y int, anchor, s string) {
		p(`<text x="%d" y="%d" text-anchor="%s" xml:space="preserve">%s</text>`, x, y, anchor, html.EscapeString(s))
	}
	p(`<svg xmlns="http://www.w3.org/2000/svg" width="%d" height="%d" viewBox="0 0 %d %d" font-family="sans-serif" font-size="12">`, width, height, width, height)
	p(`<rect width="%d" height="%d" fill="#fff"/>`, width, height)
	p(`<text x="%d" y="24" font-size="15">%s</text>`, left, html.EscapeString(title))
	text(left, top-12, "start", c.Up)
	for r, row := range c.Rows {
		for k, m := range row.Points {
			x, y := left+k*cell, top+r*cell
			p(`<rect x="%d" y="%d" width="%d" height="%d" fill="%s"/>`, x, y, cell, cell, regionFill[m.Region])
			if m.You {
				p(`<circle cx="%d" cy="%d" r="5" fill="none" stroke="#000" stroke-width="2"/>`, x+cell/2, y+cell/2)
			} else {
				p(`<text x="%d" y="%d" text-anchor="middle" fill="#555" font-size="9">%c</text>`, x+cell/2, y+cell-4, m.Mark)
			}
		}
		text(left-8, top+r*cell+cell-3, "end", strings.TrimSpace(row.Label))
	}
	for _, t := range c.Ticks {
		text(left+t.At*cell+cell/2, base+16, "middle", t.Number)
	}
	text(left, base+36, "start", c.Across)
	for i, l := range legend {
		text(left, base+58+line*i, "start", l)
	}
	_, err := fmt.Fprintln(out, "</svg>")
	return err
}
