package scoring

import (
	"fmt"
	"math"

	"puddlewise/scoring/weld"
)

// torchAngle: 70 to 80 degrees to the work along the travel. Laid over further, the
// arc is drawn out long, the heat goes ahead of the pool and the gas with it
// (common practice, no source; what the gas then misses is computed).
func torchAngle(e *evidence) reading {
	lean := math.Pi/2 - float64(e.answer.TorchAngle)
	return reading{
		margin: lean / float64(35*float64(weld.Degree)), from: 0, to: e.task.Seam,
		got: degrees(e.answer.TorchAngle), want: "70 to 80 deg to the work",
		why: fmt.Sprintf("the torch lies over at %s: arc and gas are blown ahead, and air is drawn in behind", degrees(e.answer.TorchAngle)),
		fix: "stand the torch up until you can just see the pool past the cup", source: byPractice,
	}
}
