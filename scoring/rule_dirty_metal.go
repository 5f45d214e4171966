package scoring

import (
	"fmt"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// dirtyMetal: what is on the metal goes into the pool, all along or at a spot.
func dirtyMetal(e *evidence) reading {
	r := dirtAllOver(e)
	if spot := dirtySpot(e); spot.margin > r.margin {
		return spot
	}
	return r
}

// dirtySpotLimit is the share of a spot's oxide that may stay in the bead: common practice, no source.
const dirtySpotLimit = 0.5

// dirtySpot: a live run went over a spot before its oxide had swum out.
func dirtySpot(e *evidence) reading {
	m, s, span := e.worst(0, 1, func(s *puddle.Station) float64 { return s.Dirt / dirtySpotLimit })
	got, limit := percentBoth(s.Dirt, dirtySpotLimit)
	return reading{
		margin: m, from: span.From, to: span.To,
		got: got + " of a spot's oxide stayed in", want: "under " + limit,
		why:    fmt.Sprintf("%s the joint was dirty, and the torch went on before the pool was clear again: %s of the oxide stayed in the bead", e.at(s), got),
		fix:    "stay on it, eased off, until the pool is bright again; or stop short of it and grind it clean",
		source: byPractice,
	}
}

// dirtAllOver: what was left on the metal. Weights: common practice, no source.
func dirtAllOver(e *evidence) reading {
	left := e.leftOnMetal()
	if left == weld.BrightMetal {
		return reading{}
	}
	m, why := 1.2, ""
	switch left {
	case weld.MillScale:
		m, why = 1.15, "mill scale melts into the pool as oxide: it runs sluggish and leaves slag islands"
	case weld.LightRust:
		m, why = 1.3, "rust brings oxygen and water: the pool boils and leaves pores"
		if e.answer.Filler == weld.ER70S2 {
			m = 1.05 // its titanium, zirconium and aluminium bind some of it
		}
	case weld.Oily:
		m, why = 1.5, "oil burns into hydrogen and soot: pores and a black film"
	case weld.OldOxide:
		m, why = 1.4, "the old skin melts at about 2050 C, the metal under it at 650 C: the pool will not run together"
	case weld.Painted:
		m, why = 1.7, "paint burns in the arc: fumes, pores and a dirty pool"
	case weld.Zinc:
		m, why = 1.8, "zinc boils at 907 C under the arc: fumes, spitting and pores"
	}
	r := reading{
		margin: m, from: 0, to: e.task.Seam,
		got: string(left), want: "bright, dry metal 12 to 25 mm back from the joint",
		why: why, fix: "degrease, then grind or brush to bright metal with a brush kept for this metal",
		source: byPractice,
	}
	if e.answer.Cleaned && left == weld.Oily {
		r.fix = "degrease first: a brush only spreads the oil"
	}
	return r
}

// leftOnMetal is what is still on the metal when the arc starts: a solvent takes oil and
// no scale, a brush takes scale and spreads oil.
func (e *evidence) leftOnMetal() weld.Surface {
	a, s := e.answer, e.task.Surface
	with := a.Brush != weld.NoBrush
	if s == weld.Oily {
		with = a.Solvent != weld.NoSolvent
	}
	if s == "" || a.Cleaned && with {
		return weld.BrightMetal
	}
	return s
}
