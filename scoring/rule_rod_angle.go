package scoring

import (
	"fmt"

	"puddlewise/scoring/weld"
)

// rodAngle: the rod lies 10 to 20 degrees over the sheet. Held steep it reaches into
// the arc: it balls before it gets to the pool, and touches the tungsten. Where there
// is no room for that angle a steep rod is allowed, with its price.
func rodAngle(e *evidence) reading {
	if e.answer.Filler == weld.NoFiller {
		return reading{}
	}
	r := reading{
		margin: float64(e.answer.RodAngle) / float64(40*float64(weld.Degree)), from: 0, to: e.task.Seam,
		got: degrees(e.answer.RodAngle), want: "10 to 20 deg to the work",
		why:    fmt.Sprintf("the rod comes in at %s: it reaches into the arc, balls, and may touch the tungsten", degrees(e.answer.RodAngle)),
		fix:    "drop the hand with the rod",
		source: byPractice,
	}
	if (e.task.Throat || e.task.Blocked) && r.margin < 1.75 {
		r.as = Remark
		r.why = fmt.Sprintf("no room for a flat rod: at %s it costs a steadier hand, smaller dabs and a tungsten to regrind now and then", degrees(e.answer.RodAngle))
		r.fix = "bend the rod, feed it from the side, keep the arc short"
	}
	return r
}
