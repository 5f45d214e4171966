package scoring

import (
	"fmt"
	"math"

	"puddlewise/scoring/shield"
	"puddlewise/scoring/weld"
)

// coverLost: the pool itself stands bare. One fault of cover is told under the name
// of what to mend first; the others keep silent.
func coverLost(id string) func(e *evidence) reading {
	return func(e *evidence) reading {
		need := e.poolRadius()
		m := need / math.Max(float64(e.cover.Radius), 1e-6)
		if e.coverRule() != id {
			return reading{}
		}
		r := reading{
			margin: m, from: 0, to: e.task.Seam,
			got:    "covered radius " + mm(float64(e.cover.Radius)),
			want:   "the pool reaches " + mm(need) + " from the arc",
			source: "gas flow from the cup: fluid mechanics; reach of the jet: engineering estimate",
		}
		bare := fmt.Sprintf("clean gas reaches %s, the pool %s", mm(float64(e.cover.Radius)), mm(need))
		switch id {
		case "flow_low":
			r.why = fmt.Sprintf("too little gas: it leaves the cup at %.1f m/s and does not push the air off; %s", float64(e.cover.Speed), bare)
			r.fix = "more flow, or a smaller cup"
		case "turbulent_flow":
			r.why = fmt.Sprintf("too much gas: Reynolds number %.0f, this cup stays quiet up to %.0f, and the jet swallows air; %s", e.cover.Reynolds, e.cover.Quiet, bare)
			r.fix = "less flow, a larger cup or a gas lens"
		case "draught":
			r.why = fmt.Sprintf("draught: %.1f m/s of air carries the gas off the pool; %s", float64(e.task.Draught), bare)
			r.fix = "screen the joint, bring the cup closer"
		case "stick_out_long":
			r.why = fmt.Sprintf("the cup stands %s off the work: the gas is mixed with air on the way; %s", mm(float64(e.answer.StickOut+e.answer.ArcLength)), bare)
			r.fix = "less stick-out, a larger cup or a gas lens"
			if e.task.Throat && !e.answer.Dam {
				r.why = "the tight corner swirls air in along the tungsten; " + bare
				r.fix = "a foil dam to trap the gas, a larger cup with a lens"
			}
		default:
			r.why = "the pool is wider than the gas covers; " + bare
			r.fix = "a larger cup, a gas lens, or a smaller pool"
		}
		return r
	}
}

// poolRadius is how far the pool reaches from the arc, sideways or ahead, m. The
// part behind lies in the gas that trails the cup.
func (e *evidence) poolRadius() float64 {
	return math.Max(math.Max(e.bead.PoolWidth/2, e.bead.PoolFront), float64(0.8*e.wall))
}

// coverRule names the rule that speaks for the cover.
func (e *evidence) coverRule() string {
	switch e.cover.Cause {
	case shield.FlowLow:
		return "flow_low"
	case shield.Turbulent:
		return "turbulent_flow"
	case shield.Blown:
		return "draught"
	case shield.TooFar, shield.Swirled:
		return "stick_out_long"
	}
	return "pool_uncovered"
}

// bareTip is how much a bare rod tip weighs: aluminium cools so fast that its tip
// matters less, titanium forgives nothing (common practice, no source).
var bareTip = map[weld.Family]float64{weld.Ferritic: 0.8, weld.Stainless: 1.2, weld.Aluminium: 0.35, weld.TitaniumMF: 3}
