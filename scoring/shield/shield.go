// Package shield is the gas: how it leaves the cup, what it covers at the work
// and how far air gets in. Deterministic, no text.
//
// The jet leaves the cup with a clean core. Air eats into it from the edge on the
// way to the work: by diffusion, which is slow in a quiet jet, and by eddies, which
// a collet body makes some of and a turbulent jet many. What is left of the core
// spreads over the sheet as a thin layer, thinner the further out, and covers as
// far as air has not reached down through it.
//
// Diffusion, the spreading and the split of a leaning jet are textbook fluid
// mechanics. How much a torch stirs its own gas is not published in a form that
// can be used: the constants marked estimate are engineering estimates, set so that
// the trade's limits come out (shield_test.go; common practice, no source), and
// they stand together here.
package shield

import (
	"math"

	"puddlewise/scoring/detmath"
	"puddlewise/scoring/weld"
)

// Estimates, see the package comment.
const (
	// How fast eddies eat the jet's edge, m for each m of way.
	stirLens      = 0.07
	stirPlain     = 0.20
	stirTurbulent = 0.70

	// Reynolds number up to which the jet stays quiet, and by what factor more it is
	// turbulent all through: a collet body disturbs it below the pipe's 2300, a lens
	// keeps it quiet a little beyond.
	quietPlain    = 1900.0
	quietLens     = 2500.0
	turbulentOver = 1.5

	// Slowest useful exit speed of argon, m/s: below it the rising heat and the arc's
	// own pull draw air in. Goes with the root of the density for lighter gas.
	leastSpeed = 0.7

	// Air across the joint is slowed by the sheet and the cup: the share that pushes.
	draughtAtWork = 0.6

	// What the place does to the edge of the jet: the factor on all that eats it.
	insideCorner  = 0.8  // holds the gas
	outsideCorner = 1.35 // splits the jet
	throatBare    = 2.4  // a tight angle swirls air in along the tungsten
	throatDam     = 0.7  // foil traps the argon
)

// airAllowed is the share of air that still counts as clean, 0.5 %: about 1000 ppm
// of oxygen. The mixing layer of two gases is an error function; its foot lies
// edge root(diffusion x time) from its middle.
const edge = 3.64 // 2 erfcinv(2 x 0.005)

// Shape of the place the cup blows into.
type Shape uint8

// Shapes.
const (
	Flat Shape = iota
	Inside
	Outside
	Throat
)

// Jet is what the cup and the hand make of the gas.
type Jet struct {
	Bore     weld.Length
	StandOff weld.Length // from cup to work: stick-out and arc length
	Flow     weld.Flow
	Gas      weld.Gas
	Lens     bool
	Lean     weld.Angle // of the torch from upright, gas blowing ahead; negative when dragged
	Draught  weld.Speed
	Shape    Shape
	Dam      bool
	Rod      weld.Length // diameter of the rod
	Aside    bool        // the rod comes from the side, where a leaning jet sends less than ahead
	Trail    weld.Length // length of a trailing shield
}

// Regime of the jet.
type Regime uint8

// Regimes.
const (
	Laminar Regime = iota
	Transitional
	Turbulent
)

// Cause is what spoils the cover most.
type Cause uint8

// Causes.
const (
	NoCause Cause = iota
	FlowLow
	FlowHigh
	Blown   // by a draught
	TooFar  // cup too far from the work
	Swirled // a throat without a dam
	SmallCup
)

// Cover is what the gas protects.
type Cover struct {
	Speed    weld.Speed // at the cup's mouth
	Reynolds float64
	Quiet    float64 // Reynolds number up to which this set-up stays quiet
	Regime   Regime
	Core     weld.Length // radius of clean gas that reaches the work
	Radius   weld.Length // of clean gas on the sheet around the arc
	Rod      weld.Length // from the arc to where a rod's tip is still clean
	Wake     weld.Length // behind the arc to where the bead is still clean
}

// ExitSpeed gives the mean speed of the gas at the cup's mouth.
func (j Jet) ExitSpeed() weld.Speed {
	return weld.Speed(4 * float64(j.Flow) / float64(math.Pi*float64(float64(j.Bore)*float64(j.Bore))))
}

// Reynolds number at the mouth.
func (j Jet) Reynolds() float64 {
	p := Of(j.Gas)
	return float64(p.Density*float64(float64(j.ExitSpeed())*float64(j.Bore))) / p.Viscosity
}

// stir gives how fast eddies eat the jet's edge, and the regime.
func (j Jet) stir(re float64) (rate, quiet float64, r Regime) {
	rate, quiet = stirPlain, quietPlain
	if j.Lens {
		rate, quiet = stirLens, quietLens
	}
	w := math.Min(1, math.Max(0, (re/quiet-1)/(turbulentOver-1)))
	switch {
	case w >= 1:
		r = Turbulent
	case w > 0:
		r = Transitional
	}
	w = float64(float64(w*w) * (3 - float64(2*w))) // no kink at either end
	return rate + float64(w*(stirTurbulent-rate)), quiet, r
}

// Cover works out what is protected.
func (j Jet) Cover() Cover {
	p := Of(j.Gas)
	c := Cover{Speed: j.ExitSpeed(), Reynolds: j.Reynolds()}
	rate, quiet, regime := j.stir(c.Reynolds)
	c.Quiet, c.Regime = quiet, regime
	place := map[Shape]float64{Flat: 1, Inside: insideCorner, Outside: outsideCorner, Throat: throatBare}[j.Shape]
	if j.Shape == Throat && j.Dam {
		place = throatDam
	}
	u := float64(c.Speed)
	if u <= 0 {
		return c
	}
	// eaten by air after a way x, m
	eaten := func(x float64) float64 {
		return float64(place * (float64(edge*math.Sqrt(float64(p.Diffusion*x)/u)) + float64(rate*x)))
	}
	x := float64(j.StandOff)
	core := float64(float64(j.Bore)/2) - eaten(x)
	// A cross wind carries the jet off by the ratio of momenta.
	push := float64(float64(float64(draughtAtWork*float64(j.Draught))/u) * math.Sqrt(densityAir/p.Density))
	core -= float64(x * push)
	core = float64(math.Max(core, 0) * math.Min(1, u/float64(leastSpeed*math.Sqrt(Of(weld.Argon).Density/p.Density))))
	c.Core = weld.Length(core)
	// reach gives how far out the layer over the sheet stays clean to the height h:
	// a core of radius r lies r r/(2 s) thick at s; a leaning jet sends
	// (1 + cos)/2 of itself the way it leans. The layer's edge is taken as old as half a
	// bore of way, whatever the cup's distance: then further off is never better.
	aged := float64(float64(j.Bore) / 2)
	reach := func(share, h float64) weld.Length {
		lo, hi := core, core+float64(4*float64(j.Bore))
		if lo == 0 {
			return 0
		}
		for range 30 {
			s := float64((lo + hi) / 2)
			thick := float64(share * float64(core*core) / s)
			if thick-(eaten(aged+s)-eaten(aged)) > h {
				lo = s
			} else {
				hi = s
			}
		}
		return weld.Length(lo)
	}
	lean := detmath.Sin(float64(j.Lean))
	c.Radius = reach(0.5, 0)
	ahead := (1 + lean) / 2
	if j.Aside {
		ahead = 0.5
	}
	c.Rod = reach(ahead, float64(j.Rod)/2)
	c.Wake = reach((1-lean)/2, 0) + j.Trail
	return c
}

// Mend finds what spoils the cover most: the one change that gives most covers
// again, and the cover it would give. measure says how good a cover is.
func (j Jet) Mend(measure func(Cover) float64) (Cause, Cover) {
	cause, mended := SmallCup, j.Cover()
	best := measure(mended) + float64(0.08*math.Abs(measure(mended))) // less than that mends nothing
	try := func(what Cause, change func(k *Jet)) {
		k := j
		change(&k)
		if c := k.Cover(); measure(c) > best {
			best, cause, mended = measure(c), what, c
		}
	}
	p := Of(j.Gas)
	speed, quiet := float64(j.ExitSpeed()), quietPlain
	if j.Lens {
		quiet = quietLens
	}
	if least := float64(leastSpeed * 1.5 * math.Sqrt(Of(weld.Argon).Density/p.Density)); speed < least {
		try(FlowLow, func(k *Jet) {
			k.Flow = weld.Flow(float64(least*float64(math.Pi/4)) * float64(float64(j.Bore)*float64(j.Bore)))
		})
	}
	if re := j.Reynolds(); re > quiet {
		try(FlowHigh, func(k *Jet) { k.Flow = weld.Flow(float64(j.Flow) * quiet / re) })
	}
	if j.Draught > 0 {
		try(Blown, func(k *Jet) { k.Draught = 0 })
	}
	if j.Shape == Throat && !j.Dam {
		try(Swirled, func(k *Jet) { k.Dam = true })
	}
	if usual := weld.Length(0.6 * j.Bore); j.StandOff > usual {
		try(TooFar, func(k *Jet) { k.StandOff = usual })
	}
	return cause, mended
}
