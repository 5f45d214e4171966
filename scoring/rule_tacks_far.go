package scoring

import (
	"fmt"
	"math"
)

// tacksFar: on thin sheet a tack every 25 to 50 mm, 20 to 30 walls apart (common
// practice, no source). A seam shorter than the spacing is tacked at its ends.
func tacksFar(e *evidence) reading {
	apart := math.Min(float64(e.answer.TackSpacing), float64(e.task.Seam))
	most := math.Max(60e-3, float64(40*e.wall))
	return reading{
		margin: apart / (most + 1e-6), from: 0, to: e.task.Seam,
		got: "a tack every " + mm(apart), want: "25 to 50 mm on thin sheet",
		why: fmt.Sprintf("the tacks are %s apart: the edges pull in or open ahead of the pool and the sheet buckles", mm(apart)),
		fix: "more, smaller tacks, from the middle outwards", source: byPractice,
	}
}
