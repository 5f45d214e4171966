package scoring

import "fmt"

// shortArc: under about half a millimetre a hand touches the pool or the rod with the
// tungsten sooner or later (common practice, no source).
func shortArc(e *evidence) reading {
	const least = 0.5e-3
	l := float64(e.answer.ArcLength)
	return reading{
		margin: (least + 1e-6) / l, from: 0, to: e.task.Seam,
		got: "arc " + mm(l), want: "about a tungsten's diameter, 1 to 1.5 mm on thin sheet",
		why: fmt.Sprintf("short arc: at %s the tungsten dips into the pool: it is fouled, and so is the bead", mm(l)),
		fix: "lift a little; after a dip stop, regrind the tungsten, grind the speck out", source: byPractice,
	}
}
