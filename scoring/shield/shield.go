// Package shield is the gas: how it leaves the cup, what it covers at the work
// and how far air gets in. Deterministic, no text.
//
// The exit flow is textbook fluid mechanics. The reach of the jet is not
// published in a form that can be used for a hand torch: the constants marked
// "estimate" are engineering estimates, calibrated on the trade's stick-out limits
// (common practice, no source) and kept together here.
package shield

import (
	"math"

	"puddlewise/scoring/weld"
)

// Argon and helium at 20 C and 1 atm (handbooks, from memory, high).
const (
	densityArgon    = 1.662   // kg/m3
	densityHelium   = 0.1664  // kg/m3
	densityAir      = 1.204   // kg/m3
	viscosityArgon  = 22.3e-6 // Pa s
	viscosityHelium = 19.6e-6 // Pa s
)

// Estimates, see the package comment.
const (
	reachPlain = 2.0 // cup bores until the mixing layer has eaten the jet, collet body
	reachLens  = 5.0 // the same with a gas lens

	// Reynolds number above which the jet swallows air: a collet body disturbs it
	// below the pipe's 2300, a lens keeps it quiet a little beyond.
	quietPlain = 1900.0
	quietLens  = 2500.0

	// Slowest useful exit speed of argon, m/s: below it the gas does not push the air
	// off. Scales with the square root of density for lighter gas.
	leastSpeed = 0.5

	insideCorner  = 1.3  // holds the gas
	outsideCorner = 0.75 // splits the jet
	throatBare    = 0.55 // a tight angle swirls air in along the tungsten
	throatDam     = 1.4  // foil traps the argon

	rodSpread  = 1.2 // the wall jet covers a rod's tip a little beyond the core
	wakeSpread = 2.0 // and lies over the bead behind
)

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
	Bore, StandOff weld.Length // StandOff: from cup to work, stick-out plus arc length
	Flow           weld.Flow
	Helium         float64 // share by volume
	Lens           bool
	Draught        weld.Speed
	Shape          Shape
	Dam            bool
}

// Cause is what spoils the cover most.
type Cause uint8

// Causes.
const (
	NoCause Cause = iota
	FlowLow
	Turbulent
	Blown   // by a draught
	TooFar  // cup too far from the work
	Swirled // a throat without a dam
	SmallCup
)

// Cover is what the gas protects.
type Cover struct {
	Speed    weld.Speed
	Reynolds float64
	Quiet    float64     // Reynolds number up to which this set-up stays quiet
	Radius   weld.Length // of clean gas on the work around the arc
	Rod      weld.Length // from the arc to where a rod's tip is still clean
	Wake     weld.Length // behind the arc to where the bead is still clean
	Cause    Cause       // what to mend first when it is not enough
}

// Density of the gas, kg/m3.
func Density(helium float64) float64 {
	return densityArgon + float64(helium*(densityHelium-densityArgon))
}

// viscosity of the mix, Pa s: linear between the two, within 10 % for argon-helium.
func viscosity(helium float64) float64 {
	return viscosityArgon + float64(helium*(viscosityHelium-viscosityArgon))
}

// ExitSpeed gives the mean speed of the gas at the cup's mouth.
func (j Jet) ExitSpeed() weld.Speed {
	return weld.Speed(4 * float64(j.Flow) / float64(math.Pi*float64(float64(j.Bore)*float64(j.Bore))))
}

// Reynolds number at the mouth.
func (j Jet) Reynolds() float64 {
	return float64(Density(j.Helium)*float64(float64(j.ExitSpeed())*float64(j.Bore))) / viscosity(j.Helium)
}

// Cover works out what is protected, and what to mend first.
func (j Jet) Cover() Cover {
	c := j.cover()
	// The cause is the one whose mending gives most.
	mended := func(k Jet) float64 { return float64(k.cover().Radius) }
	best := float64(c.Radius) * 1.08
	try := func(cause Cause, k Jet) {
		if r := mended(k); r > best {
			best, c.Cause = r, cause
		}
	}
	if c.Speed < j.leastSpeed() {
		k := j
		k.Flow = weld.Flow(float64(j.Flow) * float64(j.leastSpeed()) / math.Max(float64(c.Speed), 1e-6))
		try(FlowLow, k)
	}
	if c.Reynolds > c.Quiet {
		k := j
		k.Flow = weld.Flow(float64(j.Flow) * c.Quiet / c.Reynolds)
		try(Turbulent, k)
	}
	if j.Draught > 0 {
		k := j
		k.Draught = 0
		try(Blown, k)
	}
	if j.Shape == Throat && !j.Dam {
		k := j
		k.Dam = true
		try(Swirled, k)
	}
	if usual := float64(j.Bore) * 0.6; float64(j.StandOff) > usual {
		k := j
		k.StandOff = weld.Length(usual)
		try(TooFar, k)
	}
	if c.Cause == NoCause {
		c.Cause = SmallCup
	}
	return c
}

func (j Jet) leastSpeed() weld.Speed {
	return weld.Speed(leastSpeed * math.Sqrt(densityArgon/Density(j.Helium)))
}

func (j Jet) cover() Cover {
	c := Cover{Speed: j.ExitSpeed(), Reynolds: j.Reynolds(), Quiet: quietPlain}
	reach := reachPlain
	if j.Lens {
		reach, c.Quiet = reachLens, quietLens
	}
	switch j.Shape {
	case Inside:
		reach *= insideCorner
	case Outside:
		reach *= outsideCorner
	case Throat:
		if j.Dam {
			reach *= throatDam
		} else {
			reach *= throatBare
		}
	}
	if over := c.Reynolds / c.Quiet; over > 1 {
		reach /= float64(over * over)
	}
	bore := float64(j.Bore)
	r := float64(bore / 2 * math.Max(0, 1-float64(j.StandOff)/float64(reach*bore)))
	r *= math.Min(1, float64(c.Speed)/float64(j.leastSpeed()))
	if c.Speed > 0 {
		// A cross wind carries the jet off by the ratio of momenta.
		push := float64(float64(j.Draught)/float64(c.Speed)) * math.Sqrt(densityAir/Density(j.Helium))
		r = math.Max(0, r-float64(float64(j.StandOff)*push))
	}
	c.Radius = weld.Length(r)
	c.Rod, c.Wake = weld.Length(r*rodSpread), weld.Length(r*wakeSpread)
	return c
}
