package scoring

import (
	"fmt"
	"math"

	"puddlewise/scoring/metal"
	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// noVent: while the last of a hollow closes and freezes, the walls go on heating the
// air inside. At constant volume its pressure follows its temperature; what holds
// it is the skin of a pool a few millimetres wide.
func noVent(e *evidence) reading {
	if !e.task.ClosedVolume || e.answer.Vent {
		return reading{}
	}
	closing, pressure, holds := e.lastBead()
	r := reading{
		margin: math.Min(3, pressure/holds), from: e.task.Seam, to: e.task.Seam,
		got: fmt.Sprintf("closed, no vent: %.1f kPa on the last pool", pressure/1000), want: "a 2 to 3 mm vent, or the last gap left open until cool",
		why: fmt.Sprintf("no vent: in the %s the last pool takes to close and freeze the air inside warms and pushes with %.1f kPa; the pool's skin holds %.1f kPa, so it blows out",
			seconds(closing), pressure/1000, holds/1000),
		fix:    "drill a vent where the drawing allows, or let the part cool and close it hot and quick",
		source: "gas law and heat balance; that the air keeps up with the walls is an estimate on the safe side",
	}
	if e.family == weld.Aluminium {
		r.why += ", as aluminium does sooner than steel"
	}
	return r
}

// lastBead works out what the air in a hollow does while the seam's last pool closes
// and freezes: s, Pa, and the Pa that the pool's skin holds.
func (e *evidence) lastBead() (closing, pressure, holds float64) {
	p := metal.Of(e.task.A.Metal)
	section := float64(float64(e.task.A.Thickness)*float64(e.task.A.Width)) + float64(float64(e.task.B.Thickness)*float64(e.task.B.Width))
	long := e.task.Seam + 2*e.task.RunOut
	if e.task.Joint.Tube() {
		long = e.task.Round().Whole()
	}
	capacity := float64(float64(p.Density*p.SpecificHeat(300)) * float64(section*float64(long))) // J/K
	closing = e.bead.PoolLength/float64(e.answer.Travel) + float64(float64(e.answer.SlopeDown)/2)
	heating := float64(puddle.Absorbed(e.answer, e.answer.CurrentAt(1))) / capacity // K/s, walls and air alike
	sofar := float64(heating * (float64(e.task.Seam) / float64(e.answer.Travel)))
	warms := float64(heating * closing)
	const atmosphere = 101325.0
	pressure = float64(atmosphere*warms) / (e.task.PartTemp.Celsius() + 273.15 + math.Min(sofar, 600))
	holds = 2 * p.SurfaceTension / math.Max(e.bead.PoolWidth, 1e-3)
	return closing, pressure, holds
}
