package scoring

import (
	"fmt"

	"puddlewise/scoring/weld"
)

// purgeStrong: 5 to 10 L/min hold a small hollow full; much more pushes the root up
// into a groove or blows it out (common practice, no source).
func purgeStrong(e *evidence) reading {
	if e.answer.Back != weld.Purged {
		return reading{}
	}
	q := e.answer.PurgeFlow.LPerMin()
	return reading{
		margin: q / 20, from: 0, to: e.task.Seam,
		got: fmt.Sprintf("%.0f L/min of purge", q), want: "5 to 10 L/min once the air is out",
		why: fmt.Sprintf("%.0f L/min behind the seam push the molten root up and swirl air in at the vents", q),
		fix: "fill fast, then turn the purge down before the arc", source: byPractice,
	}
}
