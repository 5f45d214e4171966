package scoring

import (
	"fmt"
	"math"

	"puddlewise/scoring/weld"
)

// rodTipOut: the hot end of the rod, drawn out of the gas between dabs, takes oxide
// and carries it into the pool at the next one.
func rodTipOut(e *evidence) reading {
	if e.answer.Filler == weld.NoFiller {
		return reading{}
	}
	out := e.bead.PoolFront + float64(e.answer.RodWithdrawn)
	ratio := out / math.Max(float64(e.cover.Rod), 1e-6)
	m := 0.7 * math.Min(ratio, 1)
	if ratio > 1 {
		m = 0.7 + float64(bareTip[e.family]*math.Min(ratio-1, 3))
	}
	return reading{
		margin: m, from: 0, to: e.task.Seam,
		got:    "rod tip " + mm(out) + " from the arc",
		want:   "inside " + mm(float64(e.cover.Rod)),
		why:    fmt.Sprintf("the rod's hot tip left the gas: covered to %s, the tip was %s out at every dab", mm(float64(e.cover.Rod)), mm(out)),
		fix:    "draw the rod back less and keep its tip under the cup",
		source: "reach of the jet: engineering estimate",
	}
}
