package scoring

import (
	"fmt"

	"puddlewise/scoring/weld"
)

// partCold: thin 4130 wants the whole part at 21 C (70 F) or more, thicker 150 to
// 200 C; another published teaching is 121 C (250 F) always (secondary sources, they
// disagree). How fast it cools is EN 1011-2's t8/5; that standard's preheat formula
// starts at 10 mm and says nothing of tube.
func partCold(e *evidence) reading {
	if !e.either(weld.Steel4130) {
		return reading{}
	}
	at := e.bead.Before
	r := reading{from: 0, to: e.task.Seam, got: "part at " + celsius(at),
		source: "4130 tube practice, secondary sources that disagree; t8/5: EN 1011-2 Annex D, secondary copy"}
	cools := fmt.Sprintf("800 to 500 C in %.0f s, carbon equivalent (IIW) %.2f", e.t85(), equivalent4130)
	if float64(e.task.Thicker()) < 3e-3 {
		r.margin = (26 - at) / 10
		r.want = "21 C or more; one teaching says 121 C"
		r.why = fmt.Sprintf("cold 4130 at %s: damp, and it hardens beside the bead (%s)", celsius(at), cools)
		r.fix = "warm the part to the hand's warmth at least, keep it out of the draught, let it cool slowly"
		return r
	}
	r.margin = (121 - at) / 50
	if r.margin < 1 {
		r.margin = max(0, min(1, (151-at)/30))
		r.as = Remark
	}
	r.want = "150 to 200 C for walls from 3 mm; one teaching says 121 C always"
	r.why = fmt.Sprintf("4130 from 3 mm up is preheated: this part cools from %s and hardens beside the bead; EN 1011-2's preheat formula starts at 10 mm and does not cover it", cools)
	r.fix = "preheat evenly, check with a crayon, let it cool slowly"
	return r
}

// equivalent4130 is the IIW carbon equivalent of 4130 in the middle of its
// composition: C 0.305, Mn 0.50, Cr 0.95, Mo 0.20 (composition from memory, high).
const equivalent4130 = 0.305 + 0.50/6 + (0.95+0.20)/5

// t85 is the time, s, that the weld takes from 800 to 500 C: EN 1011-2 Annex D
// (secondary copy; check against the book). Ferritic steel only. Joint
// factors: butt 0.9, fillet 0.67 (from memory, high).
func (e *evidence) t85() float64 {
	q := e.heatInput()
	t0 := e.bead.Before
	f := 0.9
	if e.fillet() {
		f = 0.67
	}
	return coolingTime(q, float64(e.wall*1e3), t0, f, f)
}

// coolingTime gives t8/5 for q kJ/mm in a sheet of d mm at t0 C: the larger of flow in
// the sheet and flow into the depth.
func coolingTime(q, d, t0, f2, f3 float64) float64 {
	a, b := 1/(500-t0), 1/(800-t0)
	thick := float64((6700 - float64(5*t0)) * float64(q*float64((a-b)*f3)))
	qd := q / d
	thin := float64((4300 - float64(4.3*t0)) * float64(1e5*float64(float64(qd*qd)*float64((float64(a*a)-float64(b*b))*f2))))
	return max(thick, thin)
}

// heatInput gives kJ/mm with EN 1011-1's k = 0.6 for TIG.
func (e *evidence) heatInput() float64 { return float64(e.bead.HeatInput*0.6) / 1e6 }
