package scoring

import "puddlewise/scoring/weld"

// dragged: with a tungsten the torch leans back and the rod meets the pool from the
// front (common practice, no source).
func dragged(e *evidence) reading {
	if e.answer.Direction != weld.Drag {
		return reading{}
	}
	return reading{
		margin: 1.2, from: 0, to: e.task.Seam,
		got: string(weld.Drag), want: string(weld.Push),
		why: "the torch is dragged: the cup hides the pool, the arc lies on the bead, and the rod has no way in from the front",
		fix: "lean the torch back and push; the rod comes from ahead", source: byPractice,
	}
}
