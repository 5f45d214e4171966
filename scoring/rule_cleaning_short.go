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
	got, limit := percentBoth(b, 0.88)
	return reading{
		margin: 1 + float64((b-0.88)*5), from: 0, to: e.task.Seam,
		got: got + " electrode negative", want: "65 to 80 % electrode negative",
		why:  fmt.Sprintf("%s electrode negative leaves too little cleaning: the skin is not lifted and floats on the pool", got),
		near: fmt.Sprintf("%s electrode negative still lifts the skin; from about %s on it floats on the pool", got, limit),
		fix:  "less electrode negative, until a frosted band a few millimetres wide runs along the bead", source: byPractice,
	}
}
