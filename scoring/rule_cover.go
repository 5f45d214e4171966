package scoring

import (
	"fmt"
	"math"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/shield"
	"puddlewise/scoring/weld"
)

// coverLoss is what a poor cover does to the pool and to a rod held as it should be.
type coverLoss struct {
	margin float64
	cause  shield.Cause
	rod    bool // the rod's tip suffers most, not the pool
}

// loss judges the cover. A bare rod tip counts here when mending the gas would
// cover it: then it is not the hand that is wrong.
func (e *evidence) loss(j shield.Jet) coverLoss {
	pool, tip := e.poolRadius(), e.tipReach()
	measure := func(c shield.Cover) float64 {
		m := float64(c.Radius) / pool
		if tip > 0 {
			m = math.Min(m, float64(c.Rod)/tip)
		}
		return m
	}
	cause, mended := j.Mend(measure)
	if e.family == weld.TitaniumMF {
		pool = float64(1.15 * pool) // forgives nothing: the hot metal beside the pool counts too (common practice, no source)
	}
	l := coverLoss{margin: pool / math.Max(float64(e.cover.Radius), 1e-6), cause: cause}
	if tip > 0 && cause != shield.SmallCup && float64(mended.Rod) >= 0.9*tip {
		if m := e.bareTip(tip); m > l.margin {
			l.margin, l.rod = m, true
		}
	}
	return l
}

// coverLost: the pool, or a rod tip held well, stands bare. The loss is told under
// the name of what to mend first.
func coverLost(id string) func(e *evidence) reading {
	return func(e *evidence) reading {
		if id == "draught" {
			if r := gusts(e); r.margin > e.spoiled.margin {
				return r
			}
		}
		if e.coverRule() != id && id != coverRules[shield.SmallCup] {
			return reading{}
		}
		need, have, what, where := e.poolRadius(), float64(e.cover.Radius), "the pool reaches ", "as far as the pool goes"
		if e.spoiled.rod {
			need, have, what, where = e.tipReach(), float64(e.cover.Rod), "the rod's hot tip is ", "where the rod's hot tip is"
		}
		reaches, far := mmBoth(have, need)
		got := "clean gas reaches " + reaches
		if have < 0.05e-3 {
			got = "no clean gas reaches the work"
		}
		r := reading{
			margin: e.spoiled.margin, from: 0, to: e.task.Seam,
			got:    got,
			want:   "clean gas " + far + " from the arc, " + where,
			source: "gas flow from the cup: fluid mechanics; how far air eats into it: engineering estimate",
		}
		bare := fmt.Sprintf("%s, %s%s from the arc", got, what, far)
		switch id {
		case "flow_low":
			r.why = fmt.Sprintf("too little gas: it leaves the cup at %s m/s and does not push the air off; %s", trimmed(float64(e.cover.Speed), 1), bare)
			r.fix = "more flow, or a smaller cup"
			if e.answer.Flow == 0 {
				r.why = "no gas: pool, rod and tungsten burn in the open air"
				r.fix = "open the gas and hear it before the arc"
			}
		case "turbulent_flow":
			r.why = fmt.Sprintf("too much gas: Reynolds number %.0f, this cup stays quiet up to %.0f, and the jet swallows air; %s", e.cover.Reynolds, e.cover.Quiet, bare)
			r.fix = "less flow, a larger cup or a gas lens"
		case "draught":
			r.why = fmt.Sprintf("draught: %s m/s of air carries the gas off; %s", trimmed(float64(e.task.Draught), 1), bare)
			r.fix = "screen the joint, bring the cup closer"
		case "stick_out_long":
			r.why = fmt.Sprintf("the cup stands %s off the work: air mixes in on the way; %s", mm(float64(e.answer.StickOut+e.answer.ArcLength)), bare)
			r.fix = "less stick-out, a larger cup or a gas lens"
			if e.spoiled.cause == shield.Swirled {
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

// bareIn gives how far a pool reaches against how far the gas covers, in one step of a
// draught that came.
func (e *evidence) bareIn(g puddle.Gust) float64 {
	j := jet(e.task, e.answer)
	j.Draught, j.StandOff = weld.Speed(g.Draught), e.answer.StickOut+weld.Length(g.Arc)
	reach := g.Reach
	if e.family == weld.TitaniumMF {
		reach = float64(1.15 * reach) // as in loss
	}
	return reach / math.Max(float64(j.Cover().Radius), 1e-6)
}

// gusts: a draught that came in a live run, and where it stood the pool bare.
func gusts(e *evidence) reading {
	var r reading
	var worst puddle.Gust
	for _, g := range e.bead.Gusts {
		m := quantised(e.bareIn(g))
		if m > r.margin {
			r.margin, worst = m, g
		}
		if at := weld.Length(g.At); m >= 1 {
			if r.want == "" {
				r.from, r.want = at, "the pool no wider than the gas that is left, or no pool, until it is over"
			}
			r.to = at
		}
	}
	if r.margin == 0 {
		return reading{}
	}
	r.got = trimmed(worst.Draught, 1) + " m/s over a pool that reaches " + mm(worst.Reach)
	r.why = fmt.Sprintf("a draught came up at %s: %s m/s carried the gas off, and the pool stood bare", mm(float64(r.from)), trimmed(worst.Draught, 1))
	r.near = fmt.Sprintf("a draught came up at %s, and the gas hardly covered the pool", mm(worst.At))
	r.fix = "when the arc flutters, shorten it and ease off until the pool is small and the air is still again; screen the joint"
	r.source = "gas flow from the cup: fluid mechanics; how far air eats into it: engineering estimate"
	return r
}

// poolRadius is how far the pool reaches from the arc, sideways or ahead, m. What is
// behind it is the bead's affair.
func (e *evidence) poolRadius() float64 {
	return math.Max(math.Max(e.bead.PoolWidth/2, e.bead.PoolFront), float64(0.8*e.wall))
}

// coverRules names the rule that speaks for each cause.
var coverRules = map[shield.Cause]string{
	shield.FlowLow: "flow_low", shield.FlowHigh: "turbulent_flow", shield.Blown: "draught",
	shield.TooFar: "stick_out_long", shield.Swirled: "stick_out_long", shield.SmallCup: "pool_uncovered",
}

func (e *evidence) coverRule() string { return coverRules[e.spoiled.cause] }

// bareTipWeight is how much a bare rod tip weighs: aluminium cools so fast that its
// tip matters less, titanium forgives nothing (common practice, no source).
var bareTipWeight = map[weld.Family]float64{weld.Ferritic: 0.5, weld.Stainless: 1, weld.Aluminium: 0.3, weld.TitaniumMF: 3}

// tipReach is how far from the arc the rod's hot tip goes between dabs, m; 0 without a rod.
func (e *evidence) tipReach() float64 {
	if e.answer.Filler == weld.NoFiller {
		return 0
	}
	edge := e.bead.PoolFront
	if e.answer.RodFrom == weld.Aside {
		edge = e.bead.PoolWidth / 2
	}
	return edge + float64(e.answer.RodWithdrawn)
}

// bareTip gives the margin of a tip that goes out so far.
func (e *evidence) bareTip(out float64) float64 {
	ratio := out / math.Max(float64(e.cover.Rod), 1e-6)
	if ratio <= 1 {
		return float64(0.7 * ratio)
	}
	return 0.7 + float64(bareTipWeight[e.family]*math.Min(ratio-1, 3))
}
