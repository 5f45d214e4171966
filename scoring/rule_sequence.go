package scoring

import (
	"fmt"
	"math"

	"puddlewise/scoring/weld"
)

// sequence: a long seam on thin sheet, run end to end, pulls the edges over each other or
// open ahead of the arc and buckles the sheet; short lengths, back-stepped or skipped,
// share the pull out. From about a hundred walls and 150 mm; bars and chills hold as
// much again (common practice, no source: no published shrinkage figure is used).
func sequence(e *evidence) reading {
	if e.answer.Sequence != weld.EndToEnd || e.task.Joint.Tube() {
		return reading{}
	}
	seam := float64(e.task.Seam)
	most := math.Max(150e-3, float64(100*e.wall))
	switch e.task.Chill {
	case weld.ClampBars, weld.CopperChill, weld.BackingBar:
		most = float64(2 * most)
	}
	return reading{
		margin: seam / most, from: 0, to: e.task.Seam,
		got: fmt.Sprintf("%s in one go", mm(seam)), want: "lengths of 25 to 50 mm, back-stepped or skipped",
		why: fmt.Sprintf("welded end to end: %s at %.2f kJ/mm on a %s wall pulls the edges together ahead of the arc and buckles the sheet",
			mm(seam), e.heatInput(), mm(e.wall)),
		fix: "tack from the middle outwards, then weld short lengths back towards the last one", source: byPractice,
	}
}
