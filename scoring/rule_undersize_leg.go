package scoring

import "fmt"

// undersizeLeg: the fillet's leg against the drawing, or the thinner wall when it names none.
// A fifth of a millimetre of throat may be missing on a short stretch: ISO 5817:2014
// level C, 5213 at 0.5-3 mm (secondary copy; check against the book).
func undersizeLeg(e *evidence) reading {
	if !e.task.Joint.Fillet() {
		return reading{}
	}
	leg, asked := e.legFromFiller(), float64(e.task.LegAsked())
	missing := (asked - leg) / 1.4142
	got, want := mmBoth(leg, asked)
	return reading{
		margin: missing / 0.2e-3, from: 0, to: e.task.Seam,
		got:    "leg " + got,
		want:   "leg " + want,
		why:    fmt.Sprintf("undersize: the rod built a leg of %s, the drawing asks %s", got, want),
		fix:    "more rod at each dab, or dab more often",
		source: "ISO 5817:2014 level C, 5213",
	}
}
