package verify

import (
	"fmt"
	"io"
	"math"
	"strings"

	"puddlewise/scoring"
)

// ampsHead stands over the table that the README shows too.
const ampsHead = "Amps for each 0.001 in of wall, middle of the window; none: no current both\nfuses and holds"

// WriteText prints the tables. Every number is rounded well above what two processors
// could differ by.
func (r Rules) WriteText(out io.Writer) error {
	var b strings.Builder
	p := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	p("What the trade's rules come out at when the heat model is asked: nothing here is")
	p("set by hand but the constants at the end.")
	p("")
	p("One coupon for all: sheets 50 mm wide, a seam of 40 mm and 30 mm of metal")
	p("beyond its ends, no gap, flat on the bench (an outside corner free in air). One")
	p("pace: a butt of 1 mm at 180 mm/min, others with the root of the wall (common")
	p("practice, no source); a fillet at four fifths of that, as published stainless")
	p("conditions have it. On aluminium the foot comes back to 80 %%; the amps are those")
	p("it starts with. Edges are found on a coarse grid, within 2 %% of a verdict's, but")
	p("a fillet's low edge up to 8 %%; published fillets from 1 mm on as a verdict.")
	p("")
	p(ampsHead)
	r.amps(p, func(w Window) string {
		if !w.Open() {
			return "none"
		}
		return fmt.Sprintf("%.2f", w.PerThou())
	})
	p("")
	p("The window, A: from fused all along to dropping out, or to melting a fillet's")
	p("far side; 60>55: fused from 60 A on, but not holding from 55 A on")
	r.amps(p, Window.amps)
	p("")
	p("Widest dab spacing, mm, by gap, mm; a wider one opens a hole (h) or leaves the")
	p("dab cold (l). Carbon steel, at the middle of the tight joint's window")
	head := fmt.Sprintf("%-20s", "")
	for _, gap := range ruleGaps {
		head += fmt.Sprintf(" %8.2f", gap.MM())
	}
	p("%s", head)
	for _, row := range r.Dabs {
		line := fmt.Sprintf("%-20s", fmt.Sprintf("  %s %.1f mm", row.Joint, row.Wall.MM()))
		for _, d := range row.Dabs {
			line += fmt.Sprintf(" %8s", d.text())
		}
		p("%s", line)
	}
	p("")
	r.published(p)
	p("")
	p("Constants, calibrated or assumed: one number each for all joints and walls")
	for _, c := range r.Constants {
		p("  %-42s %s", c.Name, strings.TrimSpace(fmt.Sprintf("%.4g %s", c.Used, c.Unit)))
		p("      %s", c.Range)
		p("      %s", c.Source)
	}
	_, err := io.WriteString(out, b.String())
	return err
}

// amps prints a table of windows, a line for each joint and metal.
func (r Rules) amps(p func(string, ...any), cell func(Window) string) {
	for i, row := range r.Amps {
		if i == 0 || row.Joint != r.Amps[i-1].Joint {
			walls, pace := "", ""
			for _, w := range row.Windows {
				walls += fmt.Sprintf(" %6.1f mm", w.Wall.MM())
				pace += fmt.Sprintf(" %9.0f", w.Travel.MMPerMin())
			}
			p("%-20s%s", row.Joint, walls)
			p("%-20s%s", "  at mm/min", pace)
		}
		line := fmt.Sprintf("%-20s", "  "+row.Metal)
		for _, w := range row.Windows {
			line += fmt.Sprintf(" %9s", cell(w))
		}
		p("%s", line)
	}
}

// amps says the window in A.
func (w Window) amps() string {
	low, high := float64(w.Range.Low), float64(w.Range.High)
	switch {
	case w.Err != nil:
		return "-"
	case math.IsInf(high, 1):
		return fmt.Sprintf("%.0f up", low)
	case !w.Open():
		return fmt.Sprintf("%.0f>%.0f", low, high)
	}
	return fmt.Sprintf("%.0f-%.0f", low, high)
}

func (d Dab) text() string {
	switch {
	case d.Err != nil:
		return "-"
	case d.Stop == "":
		return fmt.Sprintf("%.0f up", scoring.MostDab)
	case d.Spacing == 0:
		return "none"
	case d.Stop == "keyhole":
		return fmt.Sprintf("%.1f h", d.Spacing.MM())
	}
	return fmt.Sprintf("%.1f l", d.Spacing.MM())
}

// published prints the rows with what the model makes of them.
func (r Rules) published(p func(string, ...any)) {
	p("Published conditions that give amps and travel, welded at the middle of their")
	p("travel: inside when the middle of their amps lies in the model's window, in part")
	p("when some of them do; what the model wants more or less than the middle stands")
	p("last. T and fillet are both welded as a tee, stainless as 304, aluminium as 6061")
	p("row  joint  metal      wall amps    mm/min  window, A")
	in, part, off, not := 0, 0, 0, 0
	var sources, ids []string
	for _, row := range r.Published {
		if n := len(sources); n == 0 || sources[n-1] != row.Source {
			sources, ids = append(sources, row.Source), append(ids, row.ID)
		} else {
			ids[n-1], _, _ = strings.Cut(ids[n-1], " ")
			ids[n-1] += " to " + row.ID
		}
		wall := "-"
		if row.Wall > 0 {
			wall = fmt.Sprintf("%.1f", row.Wall.MM())
		}
		travel := fmt.Sprintf("%.0f", row.Travel[0].MMPerMin())
		if row.Travel[1] > row.Travel[0] {
			travel += fmt.Sprintf("-%.0f", row.Travel[1].MMPerMin())
		}
		switch {
		case row.Window.Err != nil && row.Window.Err != scoring.ErrNoEdge:
			not++
		case row.Inside():
			in++
		case row.Meets():
			part++
		default:
			off++
		}
		p("%-4s %-6s %-10s %4s %-7s %-7s %-9s %s", row.ID, row.Joint, row.Material, wall,
			fmt.Sprintf("%.0f-%.0f", float64(row.Amps[0]), float64(row.Amps[1])), travel, row.Window.amps(), row.says())
	}
	p("%d of %d inside, %d in part, %d outside; %d not welded", in, in+part+off, part, off, not)
	for i := range sources {
		p("  %-9s %s", ids[i], sources[i])
	}
}

// says how the row stands to the model's window.
func (r PublishedRow) says() string {
	low, high, middle := float64(r.Window.Range.Low), float64(r.Window.Range.High), float64(r.Middle())
	by := ""
	switch {
	case r.Wall == 0:
		return "not welded: no wall given"
	case r.Window.Err == scoring.ErrNoEdge:
		return "outside: does not fuse"
	case r.Window.Err != nil:
		return "not welded: out of range"
	case r.Inside():
		return "inside"
	case !r.Window.Open():
		return "outside: no window"
	case middle < low:
		by = fmt.Sprintf("wants %.0f A more", math.Max(1, low-middle))
	default:
		by = fmt.Sprintf("wants %.0f A less", math.Max(1, middle-high))
	}
	if r.Meets() {
		return "in part: " + by
	}
	return "outside: " + by
}
