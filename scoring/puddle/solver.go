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
	stale          bool // theta is not that of h: the grid or the metal in it has changed

	tau        float64 // step, s
	stages     int
	mu, nu, mt [64]float64

	links []link // contacts with their state
	spec  Spec

	// energy account, J
	stored0          float64
	absorbed         float64
	lost             float64
	vapour           float64 // accumulated through the stages
	scratch          []float64
	extra            []float64 // W/m3 of one row at one stage: source, contacts, less vapour
	west, east, both []float64 // conduction along the seam by column, of one stage
	zero             []float64
	faceShare        []float64 // share of the arc each face catches across the seam
	gapClosed        []float64 // by column: 1 where filler has bridged the gap; nil without a gap
	sx               []float64 // share of the arc by column and length, 1/m
	levels           []uint8
}

// pad columns of theta beyond each end, so that the inner loop may look one past
// its columns; their conduction factors are zero. So many that it may also read four
// columns where the last is reached.
const pad = 4

// row is a cell of the section with what the loop needs.
type row struct {
	table             *metal.Table
	lines             *[metal.Bins][2]float64
	shift             uint
	perBin            float64 // 1/2^shift
	losses            *lossTable
	shape             stencil
	nb                [4]int     // the row itself where there are fewer
	g                 [4]float64 // factor / area, 1/m2
	gsum              float64
	more              []neighbourOf
	area              float64
	k                 float64 // typical conductivity, W/mK, for contacts between unlike metals
	solidus, liquidus float64 // theta; only known to a weld
	boils             float64 // theta: hot enough at the start of a step to boil within it
	full              bool    // has a source, a loss, a contact or filler

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
	next  int // the link beside it, away from the seam; -1
}

// alongCells is how much longer than their width in the section the cells are
// along the seam, where the field changes less. The reference cases allow 1.4;
// dabs, laid into whole cells, do not.
const alongCells = 1.25

// newSolver lays the rows out. axis is where the torch points across the seam.
func newSolver(sec *section, length, d float64, mats []*metal.Table, spec Spec) *solver {
	s := &solver{sec: sec, col: newColumns(length, float64(alongCells*d)), mats: mats, spec: spec}
	s.stride = s.col.fineColumns() + 2*pad
	n := len(sec.cells)
	s.rows = make([]row, n)
	losses := map[*metal.Table]*lossTable{}
	for i := range sec.cells {
		c := &sec.cells[i]
		r := &s.rows[i]
		r.table = mats[c.member]
		r.lines, r.shift = r.table.Lines()
		r.perBin = math.Ldexp(1, -int(r.shift))
		r.area = c.area()
		r.solidus, r.k = math.Inf(1), typicalK
		r.boils = r.table.ThetaAt(r.table.TemperatureAt(r.table.EvaporationFrom()) - 300)
		if r.losses = losses[r.table]; r.losses == nil {
			r.losses = newLossTable(r.table, spec)
			losses[r.table] = r.losses
		}
		r.meet(i, c)
	}
	for _, f := range sec.faces {
		if !f.insulated {
			s.rows[f.cell].airLen += f.length() / s.rows[f.cell].area
			s.rows[f.cell].full = true
		}
	}
	for _, c := range sec.contacts {
		s.links = append(s.links, link{c, make([]float64, s.stride), -1})
		for _, i := range []int{c.a, c.b} {
			s.rows[i].linked, s.rows[i].full = true, true
		}
	}
	for k := range s.links {
		l := &s.links[k]
		p := &sec.cells[l.a]
		for o := range s.links {
			q := &sec.cells[s.links[o].a]
			if s.links[o].kind == faying && l.kind == faying && max(math.Abs(p.y()-q.y())-(p.y1-p.y0+q.y1-q.y0)/2, math.Abs(p.z()-q.z())-(p.z1-p.z0+q.z1-q.z0)/2) < eps && math.Abs(q.y())+math.Abs(q.z()) > math.Abs(p.y())+math.Abs(p.z()) {
				l.next = o
			}
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
	s.extra = make([]float64, s.stride)
	s.west, s.east, s.both = make([]float64, s.stride), make([]float64, s.stride), make([]float64, s.stride)
	s.zero = make([]float64, s.stride)
	s.levels = make([]uint8, s.col.blocks)
	s.stale = true
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
	s.stale = true
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
	lines := s.sx[:s.col.n]
	sigma = widened(sigma, s.col.dx)
	clear(lines)
	if power > 0 {
		for j := range lines {
			d := s.col.from(x, j)
			a, b := d-s.col.w[j]/2, d+s.col.w[j]/2
			if a < 6*sigma && b > -6*sigma {
				lines[j] = float64(power*detmath.NormalShare(a, b, sigma)) / s.col.w[j]
			}
		}
	}
	s.advance()
}

// advance steps by tau with the arc along the seam as sx has it.
func (s *solver) advance() {
	lines, total := s.sx[:s.col.n], 0.0
	if s.stale {
		s.lookup(s.h, s.theta)
		s.stale = false
	}
	for i := range s.rows {
		if s.rows[i].full {
			total += s.exchange(i, lines)
		}
	}
	s.absorbed += float64(total * s.tau)

	// Each stage reads h and writes into hPrev's place; then the two swap roles.
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

// exchange fills row i's source for a step, arc and losses, and gives what the arc puts into it, W.
func (s *solver) exchange(i int, lines []float64) float64 {
	n := len(lines)
	r := &s.rows[i]
	src, w := r.src[:n], s.col.w[:n]
	theta := s.theta[i*s.stride+pad:][:n]
	arc, lit, air, loss := r.arc, r.litDepth, r.airLen, r.losses
	in, out := 0.0, 0.0
	hottest := 0.0
	for j, line := range lines {
		q := float64(arc * line)
		if r.gapArc != 0 {
			q += float64(float64(r.gapArc*s.gapClosed[j]) * line)
		}
		// Losses go from the surface, which the arc keeps hotter than the cell's middle.
		th := theta[j] + float64(q*lit)
		lost := float64(air * loss.at(th))
		if r.bench != 0 {
			lost += float64(r.bench * (r.table.TemperatureAt(th) - metal.Ambient))
		}
		if th > hottest { // max would look at signs of zero as well
			hottest = th
		}
		src[j] = q - lost
		in += float64(q * w[j])
		out += float64(lost * w[j])
	}
	r.vapour = r.evapLen > 0 && hottest > r.boils
	s.lost += float64(float64(out*r.area) * s.tau)
	return float64(in * r.area)
}

// lossTable is what a surface loses to the air, W/m2, over theta: linear between its points.
type lossTable struct {
	inv  float64 // points per W/m
	loss [lossBins + 1]float64
}

const lossBins = 1024

func newLossTable(t *metal.Table, spec Spec) *lossTable {
	top := t.Theta(t.Enthalpy(lossTop))
	l := &lossTable{inv: lossBins / top}
	for k := range l.loss {
		l.loss[k] = spec.lossAt(t.TemperatureAt(float64(k) / l.inv))
	}
	return l
}

// lossTop is the hottest surface the loss table reaches, C; hotter ones follow its last line.
const lossTop = 3400.0

func (l *lossTable) at(theta float64) float64 {
	x := float64(theta * l.inv)
	k := min(max(int(x), 0), lossBins-1)
	return l.loss[k] + float64((x-float64(k))*(l.loss[k+1]-l.loss[k]))
}
