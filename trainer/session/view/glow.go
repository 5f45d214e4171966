package view

import (
	"math"

	"puddlewise/scoring"
	"puddlewise/scoring/metal"
	"puddlewise/scoring/weld"
)

// GlowSteps are the temperatures, C, from which hot metal is seen to glow, hottest
// first: pale yellow, yellow, orange, bright red, cherry, dull red. As a smith tells
// them in a lit shop; from memory.
var GlowSteps = [...]float64{1300, 1150, 1000, 850, 750, 650}

// Glow gives the step of GlowSteps at which the run glows so far behind the arc, and false
// where it does not: aluminium never does. Behind the pool's tail, which stands at
// the solidus, the metal cools as in the wake of a line source in a thin plate, by the
// root of the distance (Rosenthal 1941): for the eye, without what air takes.
func Glow(t weld.Task, c scoring.Coupon, behind weld.Length) (step int, ok bool) {
	cold, tail := t.PartTemp.Celsius(), metal.Of(t.A.Metal).Solidus
	now := cold + (tail-cold)*math.Sqrt(float64(c.PoolLength)/math.Max(float64(behind), float64(c.PoolLength)))
	for i, from := range GlowSteps {
		if c.PoolLength > 0 && now >= from {
			return i, true
		}
	}
	return 0, false
}

// GlowLength gives how far behind the arc the run glows; 0 where it does not.
func GlowLength(t weld.Task, c scoring.Coupon) weld.Length {
	cold, tail := t.PartTemp.Celsius(), metal.Of(t.A.Metal).Solidus
	last := GlowSteps[len(GlowSteps)-1]
	if tail < last || cold >= last {
		return 0
	}
	r := (tail - cold) / (last - cold)
	return c.PoolLength * weld.Length(r*r)
}
