package scoring

import (
	"fmt"
	"math"

	"puddlewise/scoring/weld"
)

// A touch of the tungsten is a speck to grind out; where there are more than one for each
// so many m the seam is full of them. Common practice, no source.
const touchEvery = 10e-3

// shortArc: a live run's tungsten that touched; and under about half a millimetre a hand touches the pool or the rod with the
// tungsten sooner or later (common practice, no source).
func shortArc(e *evidence) reading {
	const least = 0.5e-3
	l := float64(e.answer.ArcLength)
	if n := len(e.bead.Touched); n > 0 {
		first, last := e.bead.Touched[0], e.bead.Touched[n-1]
		where := "at " + mm(first)
		switch {
		case n == 2:
			where += " and once more"
		case n > 2:
			where += fmt.Sprintf(" and %d times more", n-1)
		}
		r := reading{
			margin: 1.5, from: weld.Length(min(first, last)), to: weld.Length(max(first, last)),
			got: "touched " + where, want: "a tip that never meets the pool: 1 to 1.5 mm of arc on thin sheet",
			why:    fmt.Sprintf("the tungsten touched the pool %s: it is fouled, the arc spreads and wanders from there on, and tungsten lies in the bead (tungsten inclusion, ISO 6520-1 no. 3041)", where),
			fix:    "lift before the tip is in the pool; after a touch stop, regrind the tungsten, grind the speck out",
			source: "ISO 6520-1, number from memory; what a touch does: common practice, no source",
		}
		if many := float64(n) * touchEvery / float64(e.task.Seam); many > 1 && n > 2 {
			r.margin, r.as = math.Min(3, many), Defect
		}
		return r
	}
	return reading{
		margin: (least + 1e-6) / l, from: 0, to: e.task.Seam,
		got: "arc " + mm(l), want: "about a tungsten's diameter, 1 to 1.5 mm on thin sheet",
		why: fmt.Sprintf("short arc: at %s the tungsten dips into the pool: it is fouled, and so is the bead", mm(l)),
		fix: "lift a little; after a dip stop, regrind the tungsten, grind the speck out", source: byPractice,
	}
}
