package scoring

import (
	"math"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// PoolSigns gives what a welder sees of the pool at one moment of a live run, the most
// urgent first, in the words of the signs of a finished weld. Where a mark lies between
// two signs is common practice, no source.
func PoolSigns(t weld.Task, p puddle.Pool) []Sign {
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
	if p.Width == 0 {
		if p.Stuck {
			see("rod_sticks", 1)
		}
		return out
	}
	wide := p.Back / wall
	if !t.Joint.Fillet() {
		see("hole", ramp(math.Max(p.Keyhole, wide/ThroughWidth), 1, 1.3))
		see("keyhole", ramp(p.Keyhole, 0.5, 1))
		see("pool_sunken", ramp(p.Through, 0.98, 1.03))
		see("pool_domed", 1-ramp(p.Through, 0.9, 1))
	} else {
		see("hole", ramp(wide/ThroughWidth, 1, 1.3))
		see("root_dark", 1-ramp(p.Through, 0.95, 1.02))
		see("far_side_glow", ramp(wide, 0, 1.5))
	}
	see("pool_wide", ramp(p.Width/wall, 3.4, 5))
	see("pool_pointed", ramp(p.Behind/math.Max(p.Ahead, wall/2), 2.5, 4))
	see("pool_narrow", 1-ramp(p.Width/wall, 1.2, 2.2))
	return out
}
