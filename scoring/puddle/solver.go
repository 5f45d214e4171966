package puddle

import (
	"math"

	"puddlewise/scoring/detmath"
	"puddlewise/scoring/metal"
)

// solver steps the enthalpy of a section extruded along the seam:
//
//	dH/dt = div grad theta(H) + q - loss
//
// with first-order Runge-Kutta-Legendre super-time-stepping (Meyer, Balsara and
// Aslam 2014): s stages reach about s^2/2 explicit steps. One row of memory is
// one cell of the section along the whole seam, so that the inner loop runs over
// columns with the row's factors in registers.
type solver struct {
	sec  *section
	col  *columns
	rows []row
	mats []*metal.Table // by member

	h, hPrev       []float64 // enthalpy, J/m3: rows of stride columns
	theta, thetaUp []float64
	stride         int

	tau        float64 // step, s
	stages     int
	mu, nu, mt [64]float64

	links []link // contacts with their state
	spec  Spec

	// energy account, J
	stored0   float64
	absorbed  float64
	lost      float64
	vapour    float64 // accumulated through the stages
	scratch   []float64
	zero      []float64
	faceShare []float64 // share of the arc each face catches across the seam
	gapClosed []float64 // by column: 1 where filler has bridged the gap; nil without a gap
	sx        []float64 // share of the arc by column and length, 1/m
	levels    []uint8
}

// pad columns of theta beyond each end, so that the inner loop may look one past
// its columns; their conduction factors are zero.
const pad = 1

// row is a cell of the section with what the loop needs.
type row struct {
	table   *metal.Table
	lines   *[metal.Bins][2]float64
	inv     float64
	nb      [4]int
	g       [4]float64 // factor / area, 1/m2
	gsum    float64
	more    []neighbourOf
	area    float64
	k       float64 // typical conductivity, W/mK, for contacts between unlike metals
	solidus float64 // enthalpy at solidus, J/m3
	boils   float64 // C: hot enough at the start of a step to boil within it
	full    bool    // has a source, a loss, a contact or filler

	// full rows only
	arc      float64   // share of the arc across the seam per area, 1/m2
	gapArc   float64   // the same through the gap, caught only once it is bridged
	airLen   float64   // faces to the air / area, 1/m
	bench    float64   // W/m2K of fixture conduction, times face length / area
	src      []float64 // W/m3 for this step: arc and losses
	flow     []float64 // W/m3 for this stage: contacts
	mass     []float64 // metal in the cell by column, 1 is the cell itself, more where filler went in
	linked   bool
	filled   bool    // filler has gone in
	vapour   bool    // may boil within this step
	evapLen  float64 // lit face / area, 1/m
	litDepth float64 // theta at the lit surface above the cell's middle, for a source of 1 W/m3, m2
}

type neighbourOf struct {
	row int
	g   float64
}

// link is a contact with its state along the seam: 0 apart, 1 one metal.
type link struct {
	contact
	fused []float64
}

// newSolver lays the rows out. axis is where the torch points across the seam.
func newSolver(sec *section, length, d float64, mats []*metal.Table, spec Spec) *solver {
	s := &solver{sec: sec, col: newColumns(length, d), mats: mats, spec: spec}
	s.stride = s.col.fineColumns() + 2*pad
	n := len(sec.cells)
	s.rows = make([]row, n)
	for i := range sec.cells {
		c := &sec.cells[i]
		r := &s.rows[i]
		r.table = mats[c.member]
		r.lines, r.inv = r.table.Lines()
		r.area = c.area()
		r.solidus, r.k = math.Inf(1), typicalK
		r.boils = r.table.TemperatureAt(r.table.EvaporationFrom()) - 300
		for k := range r.nb {
			r.nb[k] = i
		}
		for k, nb := range c.nb {
			g := nb.factor / r.area
			if k < 4 {
				r.nb[k], r.g[k] = nb.cell, g
			} else {
				r.more = append(r.more, neighbourOf{nb.cell, g})
				r.full = true
			}
			r.gsum += g
		}
	}
	for _, f := range sec.faces {
		if !f.insulated {
			s.rows[f.cell].airLen += f.length() / s.rows[f.cell].area
			s.rows[f.cell].full = true
		}
	}
	for _, c := range sec.contacts {
		s.links = append(s.links, link{c, make([]float64, s.stride)})
		for _, i := range []int{c.a, c.b} {
			s.rows[i].linked, s.rows[i].full = true, true
		}
	}
	for i := range s.rows {
		if s.rows[i].full {
			s.makeFull(i)
		}
	}
	size := n * s.stride
	s.h, s.hPrev = make([]float64, size), make([]float64, size)
	s.theta, s.thetaUp = make([]float64, size), make([]float64, size)
	s.scratch, s.sx = make([]float64, s.stride), make([]float64, s.stride)
	s.zero = make([]float64, s.stride)
	s.levels = make([]uint8, s.col.blocks)
	for i := range s.rows {
		h := s.rows[i].table.Enthalpy(spec.start())
		for j := range s.stride {
			s.h[i*s.stride+j] = h
		}
	}
	return s
}

// makeFull gives row i room for what plain rows do without: sources, losses, filler.
func (s *solver) makeFull(i int) {
	r := &s.rows[i]
	r.full = true
	if r.src != nil {
		return
	}
	r.src, r.flow, r.mass = make([]float64, s.stride), make([]float64, s.stride), make([]float64, s.stride)
	for j := range r.mass {
		r.mass[j] = 1
	}
}

// setStep chooses the stages for a step of tau seconds: stable for the finest
// cell at the largest diffusivity, with the contacts closed.
func (s *solver) setStep(tau float64) {
	s.tau = tau
	rate := 0.0 // largest diagonal, 1/s
	along := 2 / float64(s.col.dx*s.col.dx)
	for i := range s.rows {
		r := &s.rows[i]
		g := r.gsum
		for k := range s.links {
			if l := &s.links[k]; l.a == i || l.b == i {
				g += float64(l.length/(l.da+l.db)) / r.area
			}
		}
		rate = max(rate, float64((g+along)*r.table.MaxSlope()))
	}
	explicit := 0.98 / rate
	s.stages = max(2, int(math.Ceil((math.Sqrt(1+float64(8*tau)/explicit)-1)/2)))
	s.stages = min(s.stages, len(s.mu)-1)
	w := 2 / float64(s.stages*s.stages+s.stages)
	for j := 1; j <= s.stages; j++ {
		f := float64(j)
		s.mu[j] = (2*f - 1) / f
		s.nu[j] = (1 - f) / f
		s.mt[j] = float64(float64(s.mu[j]*w) * tau)
	}
	s.mt[1] = float64(w * tau)
}

// refine makes the grid fine from..to and lets it coarsen elsewhere.
func (s *solver) refine(from, to float64) {
	s.col.wanted(from, to, s.levels)
	same := true
	for b, l := range s.levels {
		same = same && l == s.col.level[b]
	}
	if same {
		return
	}
	n := s.col.n
	carry := func(v []float64) {
		remap(v[:n], s.scratch, s.col.level, s.levels, s.col.first)
		copy(v, s.scratch)
	}
	for i := range s.rows {
		r := &s.rows[i]
		v := s.h[i*s.stride : (i+1)*s.stride]
		if r.full {
			// Where there is filler the average of H is by mass.
			for j := range n {
				v[j] = float64(v[j] * r.mass[j])
			}
			carry(v)
			carry(r.mass)
			m := s.count(s.levels)
			for j := range m {
				v[j] /= r.mass[j]
			}
			continue
		}
		carry(v)
	}
	for k := range s.links {
		carry(s.links[k].fused)
	}
	if s.gapClosed != nil {
		carry(s.gapClosed)
	}
	copy(s.col.level, s.levels)
	s.col.layout()
}

func (s *solver) count(levels []uint8) int {
	n := 0
	for _, l := range levels {
		n += blockFine >> l
	}
	return n
}

// energy gives the heat stored above 20 C, J.
func (s *solver) energy() float64 {
	sum := 0.0
	n := s.col.n
	for i := range s.rows {
		r := &s.rows[i]
		h := s.h[i*s.stride:][:n]
		part := 0.0
		if r.full {
			for j, v := range h {
				part += float64(float64(v*r.mass[j]) * s.col.w[j])
			}
		} else {
			for j, v := range h {
				part += float64(v * s.col.w[j])
			}
		}
		sum += float64(part * r.area)
	}
	return sum
}

// step advances by tau with the arc of power watts centred at x, deviation sigma along the seam.
func (s *solver) step(power, x, sigma float64) {
	n := s.col.n
	lines := s.sx[:n]
	sigma = widened(sigma, s.col.dx)
	total := 0.0
	for j := range lines {
		lines[j] = 0
	}
	if power > 0 {
		for j := range lines {
			d := s.col.from(x, j)
			a, b := d-s.col.w[j]/2, d+s.col.w[j]/2
			if a < 6*sigma && b > -6*sigma {
				lines[j] = float64(power*detmath.NormalShare(a, b, sigma)) / s.col.w[j]
			}
		}
	}
	s.lookup(s.h, s.theta)
	for i := range s.rows {
		r := &s.rows[i]
		if !r.full {
			continue
		}
		src := r.src[:n]
		vapour := false
		theta := s.theta[i*s.stride+pad:][:n]
		for j := range src {
			in := 0.0
			if lines[j] != 0 {
				share := r.arc
				if r.gapArc != 0 {
					share += float64(r.gapArc * s.gapClosed[j])
				}
				in = float64(share * lines[j])
				total += float64(float64(in*r.area) * s.col.w[j])
			}
			// Losses go from the surface, which the arc keeps hotter than the cell's middle.
			t := r.table.TemperatureAt(theta[j] + float64(in*r.litDepth))
			out := float64(s.spec.lossAt(t) * r.airLen)
			if r.bench != 0 {
				out += float64(r.bench * (t - metal.Ambient))
			}
			src[j] = in - out
			s.lost += float64(float64(float64(out*r.area)*s.col.w[j]) * s.tau)
			vapour = vapour || r.evapLen > 0 && t > r.boils
		}
		r.vapour = vapour
	}
	s.absorbed += float64(total * s.tau)

	copy(s.hPrev, s.h)
	// Stage 1 reads h and writes into hPrev's place; then the two swap roles.
	vapour, vapourPrev := 0.0, 0.0
	for j := 1; j <= s.stages; j++ {
		s.contactFlow()
		rate := s.stage(j)
		next := 0.0
		if j == 1 {
			next = float64(s.mt[1] * rate)
		} else {
			next = float64(s.mu[j]*vapour) + float64(s.nu[j]*vapourPrev) + float64(s.mt[j]*rate)
		}
		vapour, vapourPrev = next, vapour
		s.h, s.hPrev = s.hPrev, s.h
		s.theta, s.thetaUp = s.thetaUp, s.theta
	}
	s.vapour += vapour
	s.fuse()
}

// lookup fills theta from h.
func (s *solver) lookup(h, theta []float64) {
	n := s.col.n
	for i := range s.rows {
		t := s.rows[i].table
		hs, ts := h[i*s.stride:][:n], theta[i*s.stride+pad:][:n]
		for j, v := range hs {
			ts[j] = t.Theta(v)
		}
	}
}

// stage computes stage j from h (stage j-1) into hPrev (stage j-2, overwritten),
// and theta of the result into thetaUp. Returns the evaporation rate, W.
func (s *solver) stage(j int) (vapour float64) {
	n := s.col.n
	w := weights{s.mu[j], s.nu[j], s.mt[j]}
	if j == 1 {
		w.mu, w.nu = 1, 0
	}
	if s.col.ring {
		// The columns past each end are those of the other end.
		for i := range s.rows {
			th := s.theta[i*s.stride+pad-1:]
			th[0], th[n+1] = th[n], th[1]
		}
	}
	for i := range s.rows {
		r := &s.rows[i]
		at := i * s.stride
		k := kernel{
			ahead: s.theta[at+pad+1:][:n], before: s.theta[at+pad-1], now: s.theta[at+pad], h: s.h[at:][:n], out: s.hPrev[at:][:n], up: s.thetaUp[at+pad:][:n],
			a: s.theta[r.nb[0]*s.stride+pad:][:n], b: s.theta[r.nb[1]*s.stride+pad:][:n],
			c: s.theta[r.nb[2]*s.stride+pad:][:n], d: s.theta[r.nb[3]*s.stride+pad:][:n],
			x: s.col.factors[:n],
		}
		switch {
		case !r.full:
			plainRow(r, &k, w)
		case r.linked || r.more != nil || r.filled || r.vapour:
			vapour += s.fullRow(r, &k, w)
		default:
			k.src = r.src[:n]
			sourceRow(r, &k, w)
		}
	}
	return vapour
}

// weights of a stage.
type weights struct{ mu, nu, mt float64 }

// kernel is the slices of one row, all of one length.
type kernel struct {
	ahead, h, out, up []float64 // ahead is theta one column on
	a, b, c, d        []float64
	x                 []xFactor
	src               []float64
	before, now       float64 // theta left of the first column and in it
}

// The three loops below are one and the same step, with as little in each as its
// rows need: this is where a weld spends its time. Every product is rounded on its
// own, so that no machine fuses it with a sum.

func plainRow(r *row, k *kernel, w weights) {
	n := len(k.h)
	ahead, h, out, up := k.ahead[:n], k.h[:n], k.out[:n], k.up[:n]
	a, b, c, d := k.a[:n], k.b[:n], k.c[:n], k.d[:n]
	x := k.x[:n]
	ga, gb, gc, gd, gs := r.g[0], r.g[1], r.g[2], r.g[3], r.gsum
	lines, inv := r.lines, r.inv
	before, t := k.before, k.now
	for j, after := range ahead {
		rate := float64(ga*a[j]) + float64(gb*b[j]) + float64(gc*c[j]) + float64(gd*d[j]) - float64(gs*t) +
			float64(x[j].west*(before-t)) + float64(x[j].east*(after-t))
		v := float64(w.mu*h[j]) + float64(w.nu*out[j]) + float64(w.mt*rate)
		out[j] = v
		bin := uint(int(float64(v * inv)))
		if bin >= metal.Bins {
			bin = outside(v)
		}
		l := &lines[bin%metal.Bins]
		up[j] = l[0] + float64(l[1]*v)
		before, t = t, after
	}
}

func sourceRow(r *row, k *kernel, w weights) {
	n := len(k.h)
	ahead, h, out, up, src := k.ahead[:n], k.h[:n], k.out[:n], k.up[:n], k.src[:n]
	a, b, c, d := k.a[:n], k.b[:n], k.c[:n], k.d[:n]
	x := k.x[:n]
	ga, gb, gc, gd, gs := r.g[0], r.g[1], r.g[2], r.g[3], r.gsum
	lines, inv := r.lines, r.inv
	before, t := k.before, k.now
	for j, after := range ahead {
		rate := float64(ga*a[j]) + float64(gb*b[j]) + float64(gc*c[j]) + float64(gd*d[j]) - float64(gs*t) +
			float64(x[j].west*(before-t)) + float64(x[j].east*(after-t)) + src[j]
		v := float64(w.mu*h[j]) + float64(w.nu*out[j]) + float64(w.mt*rate)
		out[j] = v
		bin := uint(int(float64(v * inv)))
		if bin >= metal.Bins {
			bin = outside(v)
		}
		l := &lines[bin%metal.Bins]
		up[j] = l[0] + float64(l[1]*v)
		before, t = t, after
	}
}

// outside gives the bin beyond the table's ends.
func outside(v float64) uint {
	if v < 0 {
		return 0
	}
	return metal.Bins - 1
}

// fullRow is sourceRow with what passes between members, more than four
// neighbours, filler in the cell, and vapour.
func (s *solver) fullRow(r *row, k *kernel, w weights) (vapour float64) {
	n := len(k.h)
	ahead, h, out, up := k.ahead[:n], k.h[:n], k.out[:n], k.up[:n]
	a, b, c, d := k.a[:n], k.b[:n], k.c[:n], k.d[:n]
	x := k.x[:n]
	src, mass := r.src[:n], r.mass[:n]
	flow := s.zero[:n]
	if r.linked || r.more != nil {
		flow = r.flow[:n]
		for _, m := range r.more {
			o := s.theta[m.row*s.stride+pad:][:n]
			for j := range flow {
				flow[j] += float64(m.g * o[j])
			}
		}
	}
	ga, gb, gc, gd, gs := r.g[0], r.g[1], r.g[2], r.g[3], r.gsum
	lines, inv := r.lines, r.inv
	evapFrom, depth := math.Inf(1), 0.0
	if r.evapLen > 0 {
		evapFrom, depth = r.table.EvaporationFrom(), float64(r.litDepth*r.evapLen)
	}
	lit := s.sx[:n]
	before, t := k.before, k.now
	for j, after := range ahead {
		rate := float64(ga*a[j]) + float64(gb*b[j]) + float64(gc*c[j]) + float64(gd*d[j]) - float64(gs*t) +
			float64(x[j].west*(before-t)) + float64(x[j].east*(after-t)) + src[j] + flow[j]
		if in := float64(r.arc * lit[j]); t+float64(in*r.litDepth) > evapFrom {
			e := float64(r.table.EvaporationUnder(t, in/r.evapLen, depth) * r.evapLen)
			rate -= e
			vapour += float64(float64(e*r.area) * s.col.w[j])
		}
		if mass[j] != 1 {
			rate /= mass[j]
		}
		v := float64(w.mu*h[j]) + float64(w.nu*out[j]) + float64(w.mt*rate)
		out[j] = v
		bin := uint(int(float64(v * inv)))
		if bin >= metal.Bins {
			bin = outside(v)
		}
		l := &lines[bin%metal.Bins]
		up[j] = l[0] + float64(l[1]*v)
		before, t = t, after
	}
	return vapour
}
