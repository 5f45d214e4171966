package scoring

import (
	"fmt"
	"math"

	"puddlewise/scoring/puddle"
)

// farSideMelted: a fillet fuses the root and leaves the far sides standing. A hot
// mark is no harm; a strip melted through as wide as two walls is a hole waiting for
// an excuse, but on the thinnest sheet its skin holds 2.5 mm (common practice, no source).
func farSideMelted(e *evidence) reading {
	if !e.task.Joint.Fillet() {
		return reading{}
	}
	m, s, span := e.worst(0, 1, e.farSide)
	a, b := e.task.Joint.Members()
	which, fix, strip, limit := a, "less current or faster travel; point the arc a little less onto the "+a, s.BackA, farStrip(float64(e.task.A.Thickness))
	if other := farStrip(float64(e.task.B.Thickness)); s.BackB/other > s.BackA/limit {
		which, strip, limit = b, s.BackB, other
		fix = "less current or faster travel; point the arc more onto the " + a + ": it has two ways for the heat to go"
	}
	got, most := mmBoth(strip, limit)
	wide := fmt.Sprintf("the far side of the %s melted through %s wide %s", which, got, e.at(s))
	return reading{
		margin: m, from: span.From, to: span.To,
		got:    got + " melted through",
		want:   "under " + most + ", better nothing",
		why:    "too hot: " + wide,
		near:   wide,
		fix:    fix,
		source: "model; how wide a strip still stands: common practice, no source",
	}
}

// FarStrip is the melted strip on a fillet's far side that rejects it, in walls;
// LeastFarStrip what the thinnest sheet holds, m.
const FarStrip, LeastFarStrip = 2.0, 2.5e-3

// farStrip is the melted strip on the far side of a member of the wall that rejects it, m.
func farStrip(wall float64) float64 { return math.Max(FarStrip*wall, LeastFarStrip) }

func (e *evidence) farSide(s *puddle.Station) float64 {
	a, b := s.BackA/farStrip(float64(e.task.A.Thickness)), s.BackB/farStrip(float64(e.task.B.Thickness))
	if strip := math.Max(a, b); strip > 0 {
		return 0.5 + float64(0.5*strip)
	}
	return float64(0.5 * math.Min(1, rise(s.FarTemp, s.Melt)))
}
