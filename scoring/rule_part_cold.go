package scoring

import (
	"fmt"

	"puddlewise/scoring/detmath"
	"puddlewise/scoring/weld"
)

// partCold: thin 4130 wants the whole part at 21 C (70 F) or more, thicker 150 to
// 200 C; another published teaching is 121 C (250 F) always (secondary sources, they
// disagree). How fast it cools is EN 1011-2's t8/5; that standard's preheat, by the
// equivalent CET, is told where it applies, from 10 mm on.
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
	by := "outside the range of EN 1011-2's preheat formula, which starts at walls of 10 mm and 0.5 kJ/mm"
	if t, ok := preheat(cet4130, float64(float64(e.task.Thicker())*1e3), dryHydrogen, e.heatInput()); ok {
		by = "EN 1011-2 asks for " + celsius(t)
	}
	r.why = fmt.Sprintf("4130 from 3 mm up is preheated: this part cools from %s and hardens beside the bead; %s", cools, by)
	r.fix = "preheat evenly, check with a crayon, let it cool slowly"
	return r
}

// equivalent4130 is the IIW carbon equivalent of 4130 in the middle of its
// composition: C 0.305, Mn 0.50, Cr 0.95, Mo 0.20 (composition from memory, high).
const equivalent4130 = 0.305 + 0.50/6 + (0.95+0.20)/5

// cet4130 is its equivalent CET, by which EN 1011-2 preheats.
const cet4130 = 0.305 + (0.50+0.20)/10 + 0.95/20

// dryHydrogen is what a clean rod and dry argon bring, ml in 100 g (from memory, medium).
const dryHydrogen = 2.0

// preheat gives the preheat of EN 1011-2 Annex C, method B, C, for a wall of d mm, hd ml of
// hydrogen in 100 g and q kJ/mm (secondary copy; check against the book). ok is false
// outside its range: CET 0.2 to 0.5, 10 to 90 mm, 1 to 20 ml, 0.5 to 4 kJ/mm.
func preheat(cet, d, hd, q float64) (t float64, ok bool) {
	if !(cet >= 0.2 && cet <= 0.5 && d >= 10 && d <= 90 && hd >= 1 && hd <= 20 && q >= 0.5 && q <= 4) {
		return 0, false
	}
	e := detmath.Exp(float64(-2 * d / 35))
	tanh := (1 - e) / (1 + e)
	return float64(697*cet) + float64(160*tanh) + float64(62*detmath.Pow(hd, 0.35)) + float64((float64(53*cet)-32)*q) - 328, true
}

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
