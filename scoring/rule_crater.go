package scoring

import (
	"fmt"
	"math"
)

// crater: cut off at full current, the last pool freezes with a hollow and often a star
// crack. Ease out over a second at least and add a last dab (common practice, no source).
func crater(e *evidence) reading {
	s := float64(e.answer.SlopeDown)
	return reading{
		margin: math.Min(3, 1/(s+0.2)), from: e.task.Seam, to: e.task.Seam,
		got: seconds(s) + " of slope-down", want: "1 to 3 s",
		why: fmt.Sprintf("crater: the current went out in %s and the last pool froze hollow", seconds(s)),
		fix: "ease the current out and put one last dab into the crater", source: byPractice,
	}
}
