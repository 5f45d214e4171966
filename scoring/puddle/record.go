package puddle

import (
	"math"
	"sort"

	"puddlewise/scoring/detmath"
)

// path is a line of faces along a surface of the section, measured by s from the
// joint: the face of a sheet, the back, a web's side.
type path struct {
	faces  []int     // by rising s
	s      []float64 // of the faces' middles
	half   []float64 // of the faces' lengths
	mirror bool      // s = 0 is a plane of symmetry
	corner bool      // s = 0 is a re-entrant right angle, heated on both sides
}

// newPath collects the faces that the filter places; it gives s and true for those on the path.
func (sec *section) newPath(mirror bool, place func(f *face) (s float64, on bool)) path {
	p := path{mirror: mirror}
	for i := range sec.faces {
		if s, on := place(&sec.faces[i]); on && !sec.faces[i].insulated {
			p.faces = append(p.faces, i)
			p.s = append(p.s, s)
			p.half = append(p.half, sec.faces[i].length()/2)
		}
	}
	sort.Sort(byS(p))
	return p
}

// first is the path's start, n faces of it.
func (p path) first(n int) path {
	n = min(n, len(p.s))
	return path{p.faces[:n], p.s[:n], p.half[:n], p.mirror, p.corner}
}

type byS path

func (p byS) Len() int           { return len(p.s) }
func (p byS) Less(i, j int) bool { return p.s[i] < p.s[j] }
func (p byS) Swap(i, j int) {
	p.s[i], p.s[j] = p.s[j], p.s[i]
	p.faces[i], p.faces[j] = p.faces[j], p.faces[i]
	p.half[i], p.half[j] = p.half[j], p.half[i]
}

// recorder keeps the highest value each surface and cell has seen, by fine column.
type recorder struct {
	s        *solver
	all      bool        // every face at every column, not only the fine ones
	faces    []int       // watched
	at       []int       // face index -> row in peak, -1
	inner    []int       // face index -> the next cell inwards, -1
	peak     [][]float64 // theta at the surface
	cells    []int       // watched cells
	cellAt   []int
	cellPeak [][]float64
	updates  int
	near     []block // what take looks at

	edge       [2]path // the faces at a re-entrant corner, when it is watched
	edgeBack   [2]float64
	cornerPeak []float64
}

// newRecorder watches the faces and cells named.
func newRecorder(s *solver, faces, cells []int) *recorder {
	r := &recorder{s: s, at: make([]int, len(s.sec.faces)), inner: make([]int, len(s.sec.faces)), cellAt: make([]int, len(s.sec.cells))}
	for i := range r.at {
		r.at[i], r.inner[i] = -1, -1
	}
	for i := range r.cellAt {
		r.cellAt[i] = -1
	}
	r.near = make([]block, 0, s.col.blocks)
	n := s.col.fineColumns()
	for _, f := range faces {
		if r.at[f] >= 0 {
			continue
		}
		r.at[f] = len(r.faces)
		r.faces = append(r.faces, f)
		r.peak = append(r.peak, make([]float64, n))
		r.inner[f] = s.sec.inward(f)
	}
	for _, c := range cells {
		if r.cellAt[c] >= 0 {
			continue
		}
		r.cellAt[c] = len(r.cells)
		r.cells = append(r.cells, c)
		r.cellPeak = append(r.cellPeak, make([]float64, n))
	}
	return r
}

// watchCorner keeps the highest temperature of the corner where two lit faces begin.
func (r *recorder) watchCorner(a, b path) {
	r.edge = [2]path{a.first(2), b.first(2)}
	for i, p := range r.edge {
		u0, u1 := detmath.Pow(p.s[0], 4.0/3), detmath.Pow(p.s[1], 4.0/3)
		r.edgeBack[i] = u0 / (u1 - u0)
	}
	r.cornerPeak = make([]float64, r.s.col.fineColumns())
}

// corner gives theta at the watched corner in column j. Around a re-entrant right
// angle, along its faces, theta has a part linear in the distance, which the arc's
// flux makes, and parts with its powers 2/3, 4/3, 2 and so on. The first of these
// has the opposite sign on the two faces: their mean is left with the flux's part,
// which is known, and the power 4/3.
func (r *recorder) corner(j int) float64 {
	sum := 0.0
	for i, p := range r.edge {
		q := r.flux(p.faces[0], j)
		a, b := r.surface(p.faces[0], j)-float64(q*p.s[0]), r.surface(p.faces[1], j)-float64(q*p.s[1])
		sum += a - float64((b-a)*r.edgeBack[i])
	}
	return sum / 2
}

// flux gives what the arc puts into the face in column j, less what its vapour
// carries off, W/m2.
func (r *recorder) flux(i, j int) float64 {
	s := r.s
	if s.faceShare == nil || s.sx[j] == 0 {
		return 0
	}
	f := &s.sec.faces[i]
	q := float64(s.faceShare[i]*s.sx[j]) / f.length()
	if s.rows[f.cell].vapour {
		q -= s.rows[f.cell].table.EvaporationUnder(s.theta[f.cell*s.stride+pad+j], q, f.depth)
	}
	return q
}

// inward gives the cell behind the face's cell, of the same depth, or -1.
func (sec *section) inward(i int) int {
	f := &sec.faces[i]
	c := &sec.cells[f.cell]
	ny, nz := f.side.normal()
	for _, nb := range c.nb {
		o := &sec.cells[nb.cell]
		dy, dz := o.y()-c.y(), o.z()-c.z()
		if math.Abs(dy+float64(2*f.depth*ny)) < 0.1*f.depth && math.Abs(dz+float64(2*f.depth*nz)) < 0.1*f.depth {
			return nb.cell
		}
	}
	return -1
}

// surface gives theta at the face's surface in column j: the quadratic through
// two cells that has the arc's flux as its slope at the surface.
func (r *recorder) surface(i, j int) float64 {
	s := r.s
	f := &s.sec.faces[i]
	th := s.theta[f.cell*s.stride+pad+j]
	qd := float64(float64(2*r.flux(i, j)) * f.depth)
	if in := r.inner[i]; in >= 0 {
		return th + qd/2 - (s.theta[in*s.stride+pad+j]-th+qd)/8
	}
	return th + qd/4
}

// update takes the present state into the record. Away from the arc, where
// columns are not fine and a peak lasts for seconds, it looks at every fourth step only.
func (r *recorder) update() {
	r.updates++
	r.take(r.updates%4 == 0)
}

// take is update, with the columns away from the arc or without.
func (r *recorder) take(away bool) {
	s, c := r.s, r.s.col
	r.near = r.near[:0]
	for b, level := range c.level {
		if level == 0 || away && (level == 1 || r.all) {
			r.near = append(r.near, block{c.first[b], c.first[b+1], b * blockFine, int(level)})
		}
	}
	for k, f := range r.faces {
		face := &s.sec.faces[f]
		th := s.theta[face.cell*s.stride+pad:][:c.n]
		in := r.inner[f]
		next := th
		if in >= 0 {
			next = s.theta[in*s.stride+pad:][:c.n]
		}
		unlit := s.faceShare == nil || s.faceShare[f] == 0
		for _, b := range r.near {
			for j := b.from; j < b.to; j++ {
				v := th[j] + (th[j]-next[j])/8
				if !unlit && s.sx[j] != 0 {
					v = r.surface(f, j)
				}
				raise(r.peak[k], b, j, v)
			}
		}
	}
	for k, i := range r.cells {
		th := s.theta[i*s.stride+pad:][:c.n]
		for _, b := range r.near {
			for j := b.from; j < b.to; j++ {
				raise(r.cellPeak[k], b, j, th[j])
			}
		}
	}
	if r.cornerPeak != nil {
		for _, b := range r.near {
			for j := b.from; j < b.to; j++ {
				raise(r.cornerPeak, b, j, r.corner(j))
			}
		}
	}
}

// block is a block's columns from..to, the first fine column it covers, and its level.
type block struct{ from, to, fine, level int }

// raise lifts the peaks of the fine columns that column j of the block covers.
func raise(peak []float64, b block, j int, v float64) {
	x := b.fine + (j-b.from)<<b.level
	for to := x + 1<<b.level; x < to; x++ {
		if v > peak[x] {
			peak[x] = v
		}
	}
}

// fineAt gives the two fine columns around x and the weight of the second.
func (c *columns) fineAt(x float64) (i, k int, w float64) {
	u := c.wrap(x)/c.dx - 0.5
	n := c.fineColumns()
	if c.ring {
		f := math.Floor(u)
		i = (int(f) + n) % n
		return i, (i + 1) % n, u - f
	}
	i = min(max(int(math.Floor(u)), 0), n-1)
	return i, min(i+1, n-1), min(1, max(0, u-float64(i)))
}

// columnAt gives the two present columns around x and the weight of the second.
func (c *columns) columnAt(x float64) (i, k int, w float64) {
	x = c.wrap(x)
	k = sort.SearchFloat64s(c.x[:c.n], x)
	if c.ring && (k == 0 || k == c.n) { // between the last column and the first
		i, k = c.n-1, 0
		return i, k, min(1, max(0, 1-c.from(x, 0)/((c.w[0]+c.w[i])/2)))
	}
	i = max(k-1, 0)
	k = min(k, c.n-1)
	if k > i {
		w = min(1, max(0, (x-c.x[i])/(c.x[k]-c.x[i])))
	}
	return i, k, w
}

// profile is temperatures along a path at one place of the seam.
type profile struct {
	s, t   []float64
	mirror bool
	corner bool
}

// reading is the section at one place of the seam, as it was at its hottest or as it is now.
type reading struct {
	rec     *recorder
	surface func(face int) float64 // theta
	theta   func(cell int) float64
	edge    func() float64 // theta at the watched corner
}

// peaksAt reads the highest temperatures at x.
func (r *recorder) peaksAt(x float64) reading {
	i, k, w := r.s.col.fineAt(x)
	between := func(v []float64) float64 { return v[i] + float64(w*(v[k]-v[i])) }
	return reading{r,
		func(f int) float64 { return between(r.peak[r.at[f]]) },
		func(c int) float64 { return between(r.cellPeak[r.cellAt[c]]) },
		func() float64 { return between(r.cornerPeak) },
	}
}

// nowIn reads the present temperatures in column j.
func (r *recorder) nowIn(j int) reading {
	return reading{r,
		func(f int) float64 { return r.surface(f, j) },
		func(c int) float64 { return r.s.theta[c*r.s.stride+pad+j] },
		func() float64 { return r.corner(j) },
	}
}

// nowAt reads the present temperatures at x.
func (r *recorder) nowAt(x float64) reading {
	i, k, w := r.s.col.columnAt(x)
	a, b := r.nowIn(i), r.nowIn(k)
	return reading{r,
		func(f int) float64 { v := a.surface(f); return v + float64(w*(b.surface(f)-v)) },
		func(c int) float64 { v := a.theta(c); return v + float64(w*(b.theta(c)-v)) },
		func() float64 { v := a.edge(); return v + float64(w*(b.edge()-v)) },
	}
}

// temperature gives C at a theta of the cell's metal.
func (r reading) temperature(cell int, theta float64) float64 {
	return r.rec.s.rows[cell].table.TemperatureAt(theta)
}

// corner gives the temperature of the watched corner.
func (r reading) corner() float64 {
	return r.temperature(r.rec.s.sec.faces[r.rec.edge[0].faces[0]].cell, r.edge())
}

// profile gives the temperatures along a path.
func (r reading) profile(p path) profile {
	out := profile{s: p.s, t: make([]float64, len(p.faces)), mirror: p.mirror, corner: p.corner}
	for n, f := range p.faces {
		out.t[n] = r.temperature(r.rec.s.sec.faces[f].cell, r.surface(f))
	}
	return out
}

// along gives the temperatures at points inside the metal.
func (r reading) along(points []point) profile {
	var out profile
	for _, p := range points {
		a := r.theta(p.a)
		out.s = append(out.s, p.s)
		out.t = append(out.t, r.temperature(p.a, a+float64(p.w*(r.theta(p.b)-a))))
	}
	return out
}

// peakProfile reads the highest temperatures along the path at x.
func (r *recorder) peakProfile(p path, x float64) profile { return r.peaksAt(x).profile(p) }

// at gives the temperature at s.
func (p profile) at(s float64) float64 {
	n := len(p.s)
	if n == 0 {
		return math.NaN()
	}
	if n == 1 {
		return p.t[0]
	}
	if s <= p.s[0] {
		if p.mirror { // even about s = 0
			s0, s1 := float64(p.s[0]*p.s[0]), float64(p.s[1]*p.s[1])
			b := (p.t[1] - p.t[0]) / (s1 - s0)
			return p.t[0] + float64(b*(float64(s*s)-s0))
		}
		if p.corner { // harmonic around a re-entrant right angle: a two-thirds power
			u0, u1, u := twoThirds(p.s[0]), twoThirds(p.s[1]), twoThirds(max(s, 0))
			return p.t[0] + float64((p.t[1]-p.t[0])/(u1-u0)*(u-u0))
		}
		return p.t[0] + float64((p.t[1]-p.t[0])/(p.s[1]-p.s[0])*(s-p.s[0]))
	}
	i := max(min(sort.SearchFloat64s(p.s, s), n-1), 1)
	w := min(1, (s-p.s[i-1])/(p.s[i]-p.s[i-1]))
	v := p.t[i-1] + float64(w*(p.t[i]-p.t[i-1]))
	if k := i + 1; k < n && w < 1 {
		// The parabola through the next point too: far cells are wide and the profile bends.
		second := ((p.t[k]-p.t[i])/(p.s[k]-p.s[i]) - (p.t[i]-p.t[i-1])/(p.s[i]-p.s[i-1])) / (p.s[k] - p.s[i-1])
		v += float64(second * float64((s-p.s[i-1])*(s-p.s[i])))
	}
	return v
}

// reach gives the farthest s up to which the profile is above t; 0 when nowhere.
// An edge cell that is above counts to the end of the path.
func (p profile) reach(t float64) float64 {
	n := len(p.s)
	for i := n - 1; i >= 0; i-- {
		if p.t[i] < t {
			continue
		}
		if i == n-1 {
			return p.s[i]
		}
		return p.s[i] + float64((p.s[i+1]-p.s[i])*((p.t[i]-t)/(p.t[i]-p.t[i+1])))
	}
	if n > 1 && p.mirror {
		// Only the middle, inside the first cell, may be above.
		if top := p.at(0); top > t && top > p.t[0] {
			return float64(p.s[0] * math.Sqrt((top-t)/(top-p.t[0])))
		}
	}
	return 0
}

// max gives the highest temperature of the profile and where.
func (p profile) max() (t, s float64) {
	t = math.Inf(-1)
	for i, v := range p.t {
		if v > t {
			t, s = v, p.s[i]
		}
	}
	return t, s
}

func twoThirds(x float64) float64 { return detmath.Pow(x, 2.0/3) }
