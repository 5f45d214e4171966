package scoring

import "fmt"

// rodTipOut: the hot end of the rod, drawn out of the gas between dabs, takes oxide
// and carries it into the pool at the next one.
func rodTipOut(e *evidence) reading {
	r := e.tipOut()
	if e.spoiled.rod {
		r.margin = 0 // the gas is what failed: told there
	}
	return r
}

func (e *evidence) tipOut() reading {
	out := e.tipReach()
	if out == 0 {
		return reading{}
	}
	at, covered := mmBoth(out, float64(e.cover.Rod))
	return reading{
		margin: e.bareTip(out), from: 0, to: e.task.Seam,
		got:    "rod tip " + at + " from the arc",
		want:   "inside " + covered,
		why:    fmt.Sprintf("the rod's hot tip left the gas: covered to %s, the tip was %s out at every dab", covered, at),
		near:   fmt.Sprintf("the gas covers %s, the rod's hot tip went %s out at every dab", covered, at),
		fix:    "draw the rod back less and keep its tip under the cup",
		source: "gas flow from the cup: fluid mechanics; how far air eats into it: engineering estimate",
	}
}
