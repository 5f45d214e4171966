package scoring

import "puddlewise/scoring/weld"

// wrongCurrentType: aluminium needs the cleaning half of AC; everything else DCEN.
func wrongCurrentType(e *evidence) reading {
	r := reading{from: 0, to: e.task.Seam, got: string(e.answer.Polarity), source: byPractice}
	switch {
	case e.family == weld.Aluminium && e.answer.Polarity == weld.DCEN:
		r.margin, r.want = 1.9, "AC"
		r.why = "DCEN does not break aluminium's skin: it floats on the pool and the edges will not run together"
		r.fix = "AC; the half wave with the tungsten positive lifts the oxide"
	case e.family != weld.Aluminium && e.answer.Polarity == weld.AC:
		r.margin, r.want = 1.05, "DCEN"
		r.why = "AC on this metal wanders and wastes heat: there is no skin to break"
		r.fix = "turn the machine to DCEN"
	case e.answer.Polarity == weld.DCEP:
		r.margin, r.want = 1.6, "DCEN"
		if e.family == weld.Aluminium {
			r.want = "AC"
		}
		r.why = "with the tungsten positive most of the heat stays in it: it balls, splits and drops into the pool"
		r.fix = "turn the machine to " + r.want
	}
	return r
}
