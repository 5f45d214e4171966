package scoring

import (
	"fmt"

	"puddlewise/scoring/weld"
)

// rodTooThick: a rod thicker than the sheet chills the pool at every dab. The tables
// give 1.0-1.6 mm rod for walls of 0.9-1.6 mm and 2.4 mm for 3.2 mm (handbooks).
func rodTooThick(e *evidence) reading {
	if e.answer.Filler == weld.NoFiller {
		return reading{}
	}
	most := float64(e.wall * 1.25)
	if most < 1.65e-3 && e.wall >= 0.85e-3 {
		most = 1.65e-3
	}
	d := float64(e.answer.Rod)
	got, limit := mmBoth(d, most)
	return reading{
		margin: d / (most + 0.05e-3), from: 0, to: e.task.Seam,
		got: "rod " + got, want: "at most about " + limit,
		why: fmt.Sprintf("a %s rod on a %s wall chills the pool at every dab", got, mm(e.wall)),
		fix: "take a rod no thicker than the sheet", source: "gas maker's and power-source handbooks; common practice",
	}
}
