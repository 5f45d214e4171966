package scoring

import (
	"math"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// PoolSigns gives what a welder sees at one moment of a live run that was set up so, the
// most urgent first, in the words of the signs of a finished weld. Where a mark lies
// between two signs is common practice, no source.
func PoolSigns(t weld.Task, a weld.Answer, p puddle.Pool) []Sign {
	wall := float64(t.Thinner())
	var out []Sign
	see := func(id string, strength float64) {
		if strength < faintest {
			return
		}
		for _, m := range signMakers {
			if m.id == id {
				out = append(out, Sign{ID: id, Place: m.place, Words: m.words, Strength: math.Min(1, strength), From: weld.Length(p.At), To: weld.Length(p.At)})
			}
		}
	}
	if p.Stuck {
		see("rod_fast", 1)
	}
	if p.Fouled {
		see("tungsten_dip", 1)
	}
	if p.Lit {
		see("arc_short", 1-ramp(p.Clear, 0.3e-3, 0.8e-3))
	}
	if p.Lit && p.Draught > 0 {
		see("arc_flutters", flutters(p.Draught))
	}
	see("spot_ahead", p.Spot)
	if p.Width == 0 {
		return out
	}
	wide := p.Back / wall
	see("hole", ramp(math.Max(p.Keyhole, wide/ThroughWidth), 1, 1.3))
	see("keyhole", ramp(p.Keyhole, 0.5, 1))
	if !t.Joint.Fillet() {
		see("pool_sunken", ramp(p.Through, 0.98, 1.03))
		see("pool_domed", 1-ramp(p.Through, 0.9, 1))
	} else {
		see("root_dark", 1-ramp(p.Through, 0.95, 1.02))
		see("far_side_glow", ramp(wide, 0, 1.5))
	}
	if p.Lit && p.Fouled {
		see("arc_wanders", 1)
	}
	see("gap_wider", ramp((p.GapSeen-float64(t.Gap))/wall, 0.1, 0.5))
	see("pool_sluggish", sluggishNow(t, a, p))
	see("pool_wide", ramp(p.Width/wall, 3.4, 5))
	see("pool_pointed", pointedAt((p.Behind+p.Ahead)/longestPool(t)))
	see("pool_narrow", 1-ramp(p.Width/wall, 1.2, 2.2))
	return out
}

// sluggishNow says how much oxide there is in a live run's pool: what was left on the
// metal, and what air does while the gas does not reach as far as the pool.
func sluggishNow(t weld.Task, a weld.Answer, p puddle.Pool) float64 {
	e := &evidence{task: t, answer: a, family: family(t)}
	m := math.Max(dirtAllOver(e).margin, dirtyTack(e).margin)
	if p.Lit {
		m = math.Max(m, bareNow(t, a, p))
	}
	return math.Max(p.Dirt, ramp(m, 0.95, 1.3))
}

// bareNow gives how far the pool reaches against how far the gas covers.
func bareNow(t weld.Task, a weld.Answer, p puddle.Pool) float64 {
	e := &evidence{task: t, answer: a, family: family(t)}
	return e.bareIn(puddle.Gust{Draught: p.Draught, Arc: p.Arc, Reach: math.Max(math.Max(p.Width/2, p.Ahead), float64(0.8*float64(t.Thinner())))})
}
