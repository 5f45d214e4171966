package scoring

import (
	"fmt"

	"puddlewise/scoring/weld"
)

// cleaningShort: the half wave with the tungsten positive lifts aluminium's skin.
// Practice: 65 to 80 % electrode negative; beyond about 88 % the skin stays (common
// practice, no source).
func cleaningShort(e *evidence) reading {
	if e.answer.Polarity != weld.AC || e.family != weld.Aluminium {
		return reading{}
	}
	b := float64(e.answer.ACBalance)
	return reading{
		margin: 1 + float64((b-0.88)*5), from: 0, to: e.task.Seam,
		got: percent(b) + " electrode negative", want: "65 to 80 %",
		why: fmt.Sprintf("%s electrode negative leaves too little cleaning: the skin is not lifted and floats on the pool", percent(b)),
		fix: "less electrode negative, until a frosted band a few millimetres wide runs along the bead", source: byPractice,
	}
}
