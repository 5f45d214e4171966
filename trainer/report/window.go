// Package report writes what was judged elsewhere for paper, spreadsheets and
// pictures. It judges nothing.
package report

import (
	"encoding/csv"
	"fmt"
	"html"
	"io"
	"slices"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
)

// regionMark is how a region is told apart without colour; regionWord says it.
var (
	regionMark = map[scoring.Region]string{scoring.Cold: ".", scoring.Good: "+", scoring.Through: "x", scoring.OtherBad: "-", scoring.Unknown: " "}
	regionWord = map[scoring.Region]string{scoring.Cold: "does not fuse", scoring.Good: "good", scoring.Through: "burns through", scoring.OtherBad: "rejected for another reason", scoring.Unknown: "outside the model"}
	regionFill = map[scoring.Region]string{scoring.Cold: "#c9d6e2", scoring.Good: "#dfe8cf", scoring.Through: "#e8c3b4", scoring.OtherBad: "#dcd6e2", scoring.Unknown: "#f4f4f4"}
	regions    = []scoring.Region{scoring.Cold, scoring.Good, scoring.Through, scoring.OtherBad, scoring.Unknown}
)

// value prints an SI value of a field in the system's unit.
func value(f weld.Field, v float64, s weld.System) string {
	a := weld.Defaults()
	f.SetValue(&a, v)
	return f.Show(a, s)
}

func bare(f weld.Field, v float64, s weld.System) string {
	a := weld.Defaults()
	f.SetValue(&a, v)
	return f.Bare(a, s)
}

// nearest gives the index of the value nearest v.
func nearest(vs []float64, v float64) int {
	best := 0
	for i, u := range vs {
		if (u-v)*(u-v) < (vs[best]-v)*(vs[best]-v) {
			best = i
		}
	}
	return best
}

// used lists the regions a window has, in a fixed order.
func used(w *scoring.Window) []scoring.Region {
	var out []scoring.Region
	for _, r := range regions {
		if slices.ContainsFunc(w.Regions, func(row []scoring.Region) bool { return slices.Contains(row, r) }) {
			out = append(out, r)
		}
	}
	return out
}

// legend says what each mark means.
func legend(w *scoring.Window) string {
	out := "o your point"
	for _, r := range used(w) {
		out += "   " + regionMark[r] + " " + regionWord[r]
	}
	return out
}

// WindowText draws the window with characters, the answer as o.
func WindowText(out io.Writer, w *scoring.Window, s weld.System) error {
	ci, ri := nearest(w.Xs, w.X0), nearest(w.Ys, w.Y0)
	for r := len(w.Ys) - 1; r >= 0; r-- {
		label := ""
		if r%4 == 0 || r == len(w.Ys)-1 {
			label = value(w.Y, w.Ys[r], s)
		}
		line := fmt.Sprintf("%12s |", label)
		for c, region := range w.Regions[r] {
			if c == ci && r == ri {
				line += "o"
			} else {
				line += regionMark[region]
			}
		}
		if _, err := fmt.Fprintln(out, line); err != nil {
			return err
		}
	}
	from, to := value(w.X, w.Xs[0], s), value(w.X, w.Xs[len(w.Xs)-1], s)
	fmt.Fprintf(out, "%13s%s%*s\n", "", from, len(w.Xs)+1-len(from), to)
	fmt.Fprintf(out, "%13s%s across, %s up\n", "", w.X.Label, w.Y.Label)
	_, err := fmt.Fprintf(out, "%13s%s\n", "", legend(w))
	return err
}

// WindowCSV writes a row a point: the two settings, and what the joint does there.
func WindowCSV(out io.Writer, w *scoring.Window, s weld.System) error {
	c := csv.NewWriter(out)
	rows := [][]string{{heading(w.X, s), heading(w.Y, s), "what happens"}}
	for r, y := range w.Ys {
		for k, x := range w.Xs {
			rows = append(rows, []string{bare(w.X, x, s), bare(w.Y, y, s), regionWord[w.Regions[r][k]]})
		}
	}
	return c.WriteAll(rows)
}

// WindowSVG draws the window: a square a point, with its mark as well as its tint.
func WindowSVG(out io.Writer, w *scoring.Window, title string, s weld.System) error {
	const cell, left, top = 14, 110, 44
	width, height := left+cell*len(w.Xs)+24, top+cell*len(w.Ys)+78
	p := func(format string, args ...any) { fmt.Fprintf(out, format+"\n", args...) }
	p(`<svg xmlns="http://www.w3.org/2000/svg" width="%d" height="%d" viewBox="0 0 %d %d" font-family="sans-serif" font-size="12">`, width, height, width, height)
	p(`<rect width="%d" height="%d" fill="#fff"/>`, width, height)
	p(`<text x="%d" y="24" font-size="15">%s</text>`, left, html.EscapeString(title))
	base := top + cell*len(w.Ys)
	for r, row := range w.Regions {
		for c, region := range row {
			x, y := left+c*cell, base-(r+1)*cell
			p(`<rect x="%d" y="%d" width="%d" height="%d" fill="%s"/><text x="%d" y="%d" text-anchor="middle" fill="#555" font-size="9">%s</text>`,
				x, y, cell, cell, regionFill[region], x+cell/2, y+cell-4, regionMark[region])
		}
	}
	for _, r := range []int{0, len(w.Ys) / 2, len(w.Ys) - 1} {
		p(`<text x="%d" y="%d" text-anchor="end">%s</text>`, left-8, base-r*cell-2, html.EscapeString(value(w.Y, w.Ys[r], s)))
	}
	for _, c := range []int{0, len(w.Xs) / 2, len(w.Xs) - 1} {
		p(`<text x="%d" y="%d" text-anchor="middle">%s</text>`, left+c*cell+cell/2, base+16, html.EscapeString(value(w.X, w.Xs[c], s)))
	}
	p(`<text x="%d" y="%d">%s across, %s up</text>`, left, base+36, html.EscapeString(w.X.Label), html.EscapeString(w.Y.Label))
	cx, cy := left+nearest(w.Xs, w.X0)*cell+cell/2, base-nearest(w.Ys, w.Y0)*cell-cell/2
	p(`<circle cx="%d" cy="%d" r="6" fill="none" stroke="#000" stroke-width="2"/>`, cx, cy)
	p(`<text x="%d" y="%d" xml:space="preserve">%s</text>`, left, base+58, html.EscapeString(legend(w)))
	_, err := fmt.Fprintln(out, "</svg>")
	return err
}
