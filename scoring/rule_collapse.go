package scoring

import (
	"fmt"
	"math"

	"puddlewise/scoring/detmath"
	"puddlewise/scoring/metal"
	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// collapse: a pool melted through is held up by surface tension only as long as
// it is narrow. The computed limit (2 gamma / width against the head of metal and
// the arc's pressure) binds late in thin sheet; practice loses the pool at three to
// four walls, sooner with a gap or oxide in it.
func collapse(e *evidence) reading {
	switch {
	case e.task.Joint.Fillet():
		return reading{}
	case e.task.Joint == weld.EdgeWeld:
		return e.noseRuns()
	}
	m, s, span := e.worst(0, 1, e.collapses)
	w := backWidth(s)
	got, holds := mmBoth(w, w/math.Max(m, 0.01))
	wide := fmt.Sprintf("the back melted %s wide %s; this wall holds up %s", got, e.at(s), holds)
	return reading{
		margin: m, from: span.From, to: span.To,
		got:    got + " melted through",
		want:   "under " + holds,
		why:    "burn-through: " + wide,
		near:   wide,
		fix:    "less current, or move on sooner; back off as the part heats up",
		source: "model: surface tension against head and arc pressure; width limit common practice, no source",
	}
}

// collapses gives the margin of a melted-through pool at a station.
func (e *evidence) collapses(s *puddle.Station) float64 {
	switch {
	case e.task.Joint.Fillet():
		return 0
	case e.task.Joint == weld.EdgeWeld:
		return s.Down / e.noseHolds(s)
	}
	w := backWidth(s)
	if w == 0 {
		return 0
	}
	p := metal.Of(e.task.A.Metal)
	limit := float64(ThroughWidth * e.wall)
	taken := float64(takenByGap * math.Min(1, s.Gap/e.wall))
	if e.family != weld.Aluminium { // whose skin rather holds the pool
		taken += float64(takenByOxide * e.sluggish)
	}
	limit = float64(limit * (1 - taken))
	if e.answer.Back == weld.BackTape || e.task.Chill == weld.BackingBar {
		limit = float64(1.6 * limit) // the backing carries the pool: common practice, no source
	}
	// The metal that presses: the wall when the back faces down, the pool's length or
	// half width down the slope when the seam stands; overhead it sags to the torch.
	const g = 9.81
	long := e.bead.PoolLength
	if e.task.Position == weld.PC {
		long = (s.FaceA + s.FaceB) / 2
	}
	head := math.Max(float64(e.wall*math.Max(1, 1-float64(0.5*detmath.Cos(s.Tilt)))), float64(long*detmath.Sin(s.Tilt)))
	load := float64(p.LiquidDensity*float64(g*head)) + puddle.Pressure(weld.Current(s.Current))
	hold := 2 * p.SurfaceTension / w
	return math.Max(w/limit, load/hold)
}

// noseRuns: two edges melt into a nose that sits on them. Surface tension holds it as
// long as it does not bulge out over the sheets too far.
func (e *evidence) noseRuns() reading {
	m, s, span := e.worst(0, 1, e.collapses)
	got, holds := mmBoth(s.Down, e.noseHolds(s))
	deep := fmt.Sprintf("the edges melted %s down %s; together they hold a nose of %s", got, e.at(s), holds)
	return reading{
		margin: m, from: span.From, to: span.To,
		got:    got + " melted down",
		want:   "under " + holds,
		why:    "burn-through: " + deep + ", then it runs down a side",
		near:   deep,
		fix:    "less current, or move on sooner; back off as the part heats up",
		source: "model: a round nose on the edges; how far it may bulge is an engineering estimate",
	}
}

// noseArea is the section of a round nose over the width it sits on, squared, when its
// sides lean out to 135 degrees: (a - sin a cos a) / (4 sin2 a). Beyond it wets down
// over the sheets' faces: engineering estimate.
const noseArea = 1.43

// noseHolds gives how deep the edges may melt before their nose runs off, m: the bead
// sits on it too.
func (e *evidence) noseHolds(s *puddle.Station) float64 {
	width := float64(e.task.A.Thickness+e.task.B.Thickness) + s.Gap
	return math.Max(float64(noseArea*width)-e.bead.BeadArea/width, e.wall)
}
