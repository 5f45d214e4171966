package scoring

import (
	"fmt"

	"puddlewise/scoring/weld"
)

// rodSide: the rod comes from ahead, where the pool takes it over its whole front and the
// leaning torch sends most of its gas. Where something stands there, or downhill, where
// the pool runs at a rod from below, it comes from the side. Its price: less gas on its
// tip and a longer way to the pool's edge, both computed, and a bead that stands
// higher on that side (common practice, no source).
func rodSide(e *evidence) reading {
	if e.answer.Filler == weld.NoFiller {
		return reading{}
	}
	down := e.task.Position == weld.PG || e.task.Position == weld.PJ
	r := reading{from: 0, to: e.task.Seam, got: "rod from the side", want: "rod from ahead", source: byPractice}
	switch {
	case e.answer.RodFrom == weld.Ahead && e.task.Blocked && !e.steepRod():
		r.margin = 1.3
		r.got, r.want = fmt.Sprintf("rod from ahead at %s", degrees(e.answer.RodAngle)), "rod from the side, or steep from ahead"
		r.why = fmt.Sprintf("something stands ahead of the seam: a rod at %s runs against it, and the last of the seam gets none", degrees(e.answer.RodAngle))
		r.fix = "feed the rod from the side, its tip close; or bend it and bring it in steep"
	case e.answer.RodFrom == weld.Ahead:
		return reading{}
	case e.task.Blocked || down:
		r.margin, r.as = 1, Remark
		r.want = "from the side is right here; ahead where there is room"
		r.why = "the rod from the side: allowed here; " + e.sidePrice()
		r.fix = "short dabs into the middle of the front edge, the tip held close: " + mm(float64(e.cover.Rod)) + " from the arc is all the gas covers there"
		r.source += "; the gas: fluid mechanics and engineering estimate"
	default:
		r.margin = 1.2
		r.why = "the rod comes from the side with room ahead of the pool: " + e.sidePrice()
		r.fix = "bring the rod in from ahead, in line with the seam"
		r.source += "; the gas: fluid mechanics and engineering estimate"
	}
	return r
}

// steepRod says whether the rod stands up over something that is in its way.
func (e *evidence) steepRod() bool { return rodAngle(e).margin >= 1 }

// sidePrice says what a rod from the side costs.
func (e *evidence) sidePrice() string {
	ahead := jet(e.task, e.answer)
	ahead.Aside = false
	side, front := mmBoth(float64(e.cover.Rod), float64(ahead.Cover().Rod))
	return fmt.Sprintf("the gas covers its tip to %s from the arc, ahead it would be %s, and the bead stands higher on the rod's side", side, front)
}
