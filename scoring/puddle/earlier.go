package puddle

import "math"

// An earlier run with the same settings ended some time before this one. Its heat is
// put in along its whole way at once, over about as long as an arc takes to pass, and
// then spreads: its half of a fixed tube, else the seam itself. What it melted and
// filled is left out: only the warm part counts. How far along its way an earlier run
// is warmer, because the arc was there last, is left out too; after half a minute a
// few degrees.
const (
	passing      = 4.0 // s
	passingStep  = 0.1
	spreadStep   = 0.5
	longestSpell = 600.0 // s
)

// warm puts the heat of an earlier run in.
func (r *run) warm() {
	r.b.Before = r.t.PartTemp.Celsius()
	ago := math.Min(float64(r.t.Earlier), longestSpell)
	if ago <= 0 {
		return
	}
	s := r.s
	seam := float64(r.t.Seam)
	took := seam / float64(r.a.Travel)
	i := (r.a.CurrentAt(0) + r.a.CurrentAt(1)) / 2
	heat := float64(float64(Absorbed(r.a, i))*r.crowd) / float64(r.a.Travel) // J/m
	s.aim(r.j.torch, float64(Spread(r.a, i)), r.j.d)
	from, to := r.x0, r.x1
	if r.t.Level() {
		from, to = r.x1, r.x1+seam
	}
	s.setStep(passingStep)
	for range int(math.Round(passing / passingStep)) {
		mid := (from + to) / 2
		for j := range s.sx[:s.col.n] {
			at := mid + s.col.from(mid, j)
			a, b := math.Max(at-s.col.w[j]/2, from), math.Min(at+s.col.w[j]/2, to)
			s.sx[j] = float64(heat*math.Max(0, b-a)) / float64(passing*s.col.w[j])
		}
		s.advance()
	}
	for k := range s.links {
		clear(s.links[k].fused)
	}
	// From the middle of its way to the end of it, and then until now.
	s.setStep(spreadStep)
	clear(s.sx)
	for range int(math.Round((ago + took/2) / spreadStep)) {
		s.advance()
	}
	at, _, _ := s.col.columnAt(r.x0)
	c := s.sec.faces[r.lead.faces[0]].cell
	r.b.Before = s.rows[c].table.TemperatureAt(s.theta[c*s.stride+pad+at])
}
