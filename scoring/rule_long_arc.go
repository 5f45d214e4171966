package scoring

import (
	"fmt"
	"math"
)

// longArc: about one tungsten diameter or less, never more than about 3 mm (common practice, no source).
func longArc(e *evidence) reading {
	l := float64(e.answer.ArcLength)
	most := math.Min(3.2e-3, math.Max(2e-3, float64(1.5*float64(e.answer.TungstenDia))))
	got, limit := mmBoth(l, most)
	return reading{
		margin: l / (most + 1e-6), from: 0, to: e.task.Seam,
		got: "arc " + got, want: "at most " + limit,
		why: fmt.Sprintf("long arc: %s spreads the heat over the face and lets the root go cold; %s is the most for this tungsten", got, limit),
		fix: "bring the tungsten down to about its own diameter from the pool", source: byPractice,
	}
}
