package scoring

import (
	"fmt"
	"math"
)

// longArc: about one tungsten diameter or less, never more than about 3 mm (common practice, no source).
func longArc(e *evidence) reading {
	l := float64(e.answer.ArcLength)
	most := math.Min(3.2e-3, math.Max(2e-3, float64(1.5*float64(e.answer.TungstenDia))))
	return reading{
		margin: l / (most + 1e-6), from: 0, to: e.task.Seam,
		got: "arc " + mm(l), want: "at most " + mm(most),
		why: fmt.Sprintf("long arc: %s spreads the heat over the face and lets the root go cold", mm(l)),
		fix: "bring the tungsten down to about its own diameter from the pool", source: byPractice,
	}
}
