package scoring

import (
	"fmt"

	"puddlewise/scoring/puddle"
)

// throatShort is what a throat may miss on a short stretch, m: ISO 5817:2014 level C, 5213
// at 0.5-3 mm (secondary copy; check against the book).
const throatShort = 0.2e-3

// undersizeLeg: the fillet against the drawing, or the thinner wall when it names none:
// what the rod's metal builds flat decides. The coupon's throat is measured on the hollow
// face, and the model's bead, which reaches to the edge of all that melted, is hollower than
// a real one, by up to a quarter of a millimetre with rod enough: where only that throat is
// short it is told as a remark, so that the coupon and the finding agree.
func undersizeLeg(e *evidence) reading {
	if !e.task.Joint.Fillet() {
		return reading{}
	}
	asked := float64(e.task.LegAsked())
	from, to := e.inner()
	byRod, s, span := e.worst(from, to, func(s *puddle.Station) float64 {
		return throatOf(asked-e.legFromFiller(s), s.Between) / throatShort
	})
	leg := e.legFromFiller(s)
	got, want := mmBoth(leg, asked)
	throat, full := mmBoth(s.Shape.Throat, throatOf(asked, s.Between))
	r := reading{
		margin: byRod, from: span.From, to: span.To,
		got:    "leg " + got + ", throat " + throat,
		want:   "leg " + want + ", throat " + full,
		why:    fmt.Sprintf("undersize: the rod built a leg of %s, the drawing asks %s; the throat measures %s, %s is asked", got, want, throat, full),
		fix:    "more rod at each dab, or dab more often",
		source: "ISO 5817:2014 level C, 5213; throat: model",
	}
	if byRod >= 1 {
		return r
	}
	missing := func(s *puddle.Station) float64 { return throatOf(asked, s.Between) - s.Shape.Throat }
	short, s, span := e.worst(from, to, func(s *puddle.Station) float64 { return missing(s) / throatShort })
	if short < 1 {
		return r
	}
	throat, full = mmBoth(s.Shape.Throat, throatOf(asked, s.Between))
	r.margin, r.as, r.from, r.to = 1, Remark, span.From, span.To
	r.got, r.want = "throat "+throat, "throat "+full
	r.why = fmt.Sprintf("hollow: the rod is enough for a leg of %s, but %s the bead is washed %s and %s wide and its throat measures %s, %s is asked",
		mm(e.legFromFiller(s)), e.at(s), mm(s.Shape.LegA), mm(s.Shape.LegB), throat, full)
	r.fix = "more rod for so wide a pool, or less heat for so little rod"
	return r
}
