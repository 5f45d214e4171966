package scoring

import (
	"fmt"
	"math"

	"puddlewise/scoring/detmath"
	"puddlewise/scoring/metal"
	"puddlewise/scoring/weld"
)

// crater: cut off at full current, the last pool freezes with a hollow and often a star
// crack. Ease out over a second at least and add a last dab (common practice, no source).
func crater(e *evidence) reading {
	s := float64(e.answer.SlopeDown)
	r := reading{
		margin: math.Min(3, 1/(s+0.2)), from: e.task.Seam, to: e.task.Seam,
		got: seconds(s) + " of slope-down", want: "1 to 3 s",
		why: "crater: the current went out at once and the last pool froze hollow",
		fix: "ease the current out and put one last dab into the crater", source: byPractice,
	}
	if s > 0 {
		r.why = fmt.Sprintf("crater: the current went out in %s and the last pool froze hollow", seconds(s))
	}
	if d := e.craterDepth(); d > 0.05e-3 {
		r.why += fmt.Sprintf(", about %s deep", mm(d))
		r.source = byPractice + "; depth of the hollow: model"
	}
	return r
}

// craterDepth gives the hollow of the last pool, m. It freezes from its edge inwards
// and shrinks as it does, so that what is still liquid sinks: where the last tenth of a
// millimetre freezes the level is down by the power 2 x shrinkage of the radius. A
// second of slope-down is time for the last dab, which fills it (common practice, no
// source); without a rod nothing does.
func (e *evidence) craterDepth() float64 {
	const tip = 0.1e-3
	radius := e.bead.LastPool / 2
	if radius <= tip {
		return 0
	}
	deep := e.wall
	if !e.fillet() && e.task.Joint != weld.EdgeWeld {
		deep = float64(e.wall * e.bead.Stations[len(e.bead.Stations)-1].Depth)
	}
	hollow := float64(deep * (1 - detmath.Pow(tip/radius, float64(2*metal.Of(e.task.A.Metal).Shrinks))))
	if e.answer.Filler != weld.NoFiller {
		hollow = float64(hollow * (1 - math.Min(1, float64(e.answer.SlopeDown))))
	}
	return hollow
}
