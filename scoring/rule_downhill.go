package scoring

import "puddlewise/scoring/weld"

// downhill: vertical down is taken where position or access asks for it. Its price:
// the pool runs ahead under the arc, fuses less deep and builds a thin throat
// (common practice, no source).
func downhill(e *evidence) reading {
	if p := e.task.Position; p != weld.PG && p != weld.PJ {
		return reading{}
	}
	return reading{
		margin: 1, from: 0, to: e.task.Seam,
		got: "welded down", want: "welded up, where it can be reached",
		why: "downhill: the pool runs ahead under the arc, so the root fuses less deep and the throat comes out thin",
		fix: "keep the pool small and the arc at its front edge, feed the rod from the side (allowed here, at a price); test it before it counts", source: byPractice,
	}
}
