package scoring

import (
	"fmt"

	"puddlewise/scoring/weld"
)

// acBalanceLow: the half wave with the tungsten positive cleans and heats the
// tungsten; below half electrode negative it balls (common practice, no source).
func acBalanceLow(e *evidence) reading {
	if e.answer.Polarity != weld.AC {
		return reading{}
	}
	b := float64(e.answer.ACBalance)
	return reading{
		margin: 1 + float64((0.5-b)*4), from: 0, to: e.task.Seam,
		got: percent(b) + " electrode negative", want: "65 to 80 % electrode negative",
		why: fmt.Sprintf("with only %s electrode negative the tungsten takes the heat: it balls, and the bead is etched wide and shallow", percent(b)),
		fix: "more electrode negative: 65 to 80 %", source: byPractice,
	}
}
