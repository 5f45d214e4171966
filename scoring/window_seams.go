package scoring

import (
	"math"
	"slices"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// mapper welds a window's seams and reads them.
type mapper struct {
	task         weld.Task
	answer       weld.Answer
	along, other *axis // seams are set along the one, at a few values of the other
	lines        []line
	exact        []float64 // margins of the answer at the full grade; nil outside the model
	off          []float64 // how much more than the map's they are
	welds        int
}

// line is the seams along the first axis at one value of the other, v. Where none was
// welded, or none can be, there is no bead.
type line struct {
	v       float64
	us      []float64
	beads   []*puddle.Bead
	margins [][]float64
}

// at is the answer with both settings moved.
func (m *mapper) at(u, v float64) weld.Answer {
	a := m.answer
	m.along.field.SetValue(&a, u)
	m.other.field.SetValue(&a, v)
	if x, y := m.along.field.Key, m.other.field.Key; (x == "amps" || y == "amps") && x != "amps_end" && y != "amps_end" {
		easeWith(&a, m.answer)
	}
	return a
}

// weld makes the lines, one for each value of the other axis that is read.
func (m *mapper) weld(par Parallel) {
	u0, v0 := m.along.at, m.other.at
	var bead *puddle.Bead // the answer's own
	own := job{u: u0, v: v0, grade: puddle.Fine, bead: &bead}
	vs := m.other.vs
	if m.along.hot {
		nets := []float64{v0}
		if m.other.hot {
			vs = m.other.three()
			nets = vs
		}
		m.lines = m.refine(nets, own, par)
		if !m.other.hot {
			seams := m.lines[0]
			m.lines = nil
			for _, v := range vs {
				m.lines = append(m.lines, line{v: v, us: seams.us, beads: seams.beads})
			}
		}
	} else {
		m.run([]job{own}, par)
		for _, v := range vs {
			m.lines = append(m.lines, line{v: v, us: m.along.vs, beads: slices.Repeat([]*puddle.Bead{bead}, len(m.along.vs))})
		}
	}
	for i := range m.lines {
		l := &m.lines[i]
		for k, u := range l.us {
			l.margins = append(l.margins, m.read(u, l.v, l.beads[k]))
		}
	}
	if m.exact = m.read(u0, v0, bead); m.exact == nil {
		return
	}
	for i, have := range m.blend(u0, v0) {
		m.off = append(m.off, m.exact[i]-have)
	}
}

// job is a seam to weld.
type job struct {
	u, v  float64
	grade puddle.Grade
	bead  **puddle.Bead
}

// run welds what the model knows; a seam whose heat does not balance is left out.
func (m *mapper) run(jobs []job, par Parallel) {
	jobs = slices.DeleteFunc(jobs, func(j job) bool { return outside(m.task, m.at(j.u, j.v)) != "" })
	m.welds += len(jobs)
	par(len(jobs), func(i int) {
		if b, err := puddle.WeldAt(m.task, m.at(jobs[i].u, jobs[i].v), jobs[i].grade); err == nil {
			*jobs[i].bead = b
		}
	})
}

// netOf is the most steps seams are set along a line in, a power of two.
const netOf = 16

// refine welds a line for each v: ends and middle, then halfway between neighbours that
// come out differently. The seam own goes with the first.
func (m *mapper) refine(vs []float64, own job, par Parallel) []line {
	lo, hi := m.along.vs[0], m.along.vs[len(m.along.vs)-1]
	var lines []line
	for _, v := range vs {
		l := line{v: v, us: make([]float64, netOf+1), beads: make([]*puddle.Bead, netOf+1)}
		l.us[0], l.us[netOf] = lo, hi
		for step := netOf / 2; step >= 1; step /= 2 {
			for k := step; k < netOf; k += 2 * step {
				l.us[k] = m.along.middle(l.us[k-step], l.us[k+step])
			}
		}
		lines = append(lines, l)
	}
	tried := make([][netOf + 1]bool, len(vs))
	jobs := []job{own}
	for step := netOf / 2; step >= 1; step /= 2 {
		for i, l := range lines {
			for k := 0; k <= netOf; k += step {
				first := step == netOf/2
				if first || k%(2*step) != 0 && tried[i][k-step] && tried[i][k+step] && m.differ(l, k-step, k+step) {
					tried[i][k] = true
					jobs = append(jobs, job{u: l.us[k], v: l.v, grade: puddle.Coarse, bead: &l.beads[k]})
				}
			}
		}
		m.run(jobs, par)
		jobs = nil
	}
	return lines
}

// jump is how far a margin may go between neighbouring seams and still be read off a
// straight line: less, and no seam is welded between them.
const jump = 0.3

// differ says whether two seams of a line come out so differently that one is wanted
// between; where the other axis does not touch the heat, anywhere along it.
func (m *mapper) differ(l line, a, b int) bool {
	vs := []float64{l.v}
	if !m.other.hot {
		vs = m.other.three()
	}
	return slices.ContainsFunc(vs, func(v float64) bool {
		x, y := m.read(l.us[a], v, l.beads[a]), m.read(l.us[b], v, l.beads[b])
		if region(x) == region(y) || x == nil || y == nil {
			return region(x) != region(y)
		}
		for i, r := range rules {
			if r.over == Defect && math.Max(x[i], y[i]) >= 1 && math.Abs(x[i]-y[i]) > jump {
				return true
			}
		}
		return false
	})
}

// read gives the margins of a seam; nil without one.
func (m *mapper) read(u, v float64, b *puddle.Bead) []float64 {
	if b == nil {
		return nil
	}
	return margins(m.task, m.at(u, v), b)
}

// region says what the joint does at a point.
func (m *mapper) region(u, v float64) Region {
	if outside(m.task, m.at(u, v)) != "" {
		return Unknown
	}
	du, dv := m.along.share(u)-m.along.share(m.along.at), m.other.share(v)-m.other.share(m.other.at)
	if du == 0 && dv == 0 && m.exact != nil {
		return region(m.exact)
	}
	ms := m.blend(u, v)
	const reach = 0.25
	near := math.Max(0, 1-math.Sqrt(float64(du*du)+float64(dv*dv))/reach)
	for i := range ms {
		if m.off != nil {
			ms[i] += float64(near * m.off[i])
		}
	}
	return region(ms)
}

// blend gives the margins at a point: straight between the seams of a line, a parabola
// through the lines; nil where there is no seam.
func (m *mapper) blend(u, v float64) []float64 {
	var vs []float64
	var read [][]float64
	for i := range m.lines {
		ms := m.lines[i].between(u)
		if ms != nil && m.lines[i].v == v {
			return ms
		}
		if ms != nil {
			vs, read = append(vs, m.lines[i].v), append(read, ms)
		}
	}
	if read == nil {
		return nil
	}
	out := make([]float64, len(rules))
	for a := range vs {
		w := 1.0
		for b := range vs {
			if a != b {
				w = float64(w * ((v - vs[b]) / (vs[a] - vs[b])))
			}
		}
		for i, x := range read[a] {
			out[i] += float64(w * x)
		}
	}
	return out
}

// between gives the margins at u from the seams on either side of it, in a slice of its own.
func (l *line) between(u float64) []float64 {
	lo, hi := -1, -1
	for k, ms := range l.margins {
		if ms == nil {
			continue
		}
		if l.us[k] <= u {
			lo = k
		}
		if l.us[k] >= u && hi < 0 {
			hi = k
		}
	}
	switch {
	case lo < 0 && hi < 0:
		return nil
	case lo < 0 || lo == hi:
		return slices.Clone(l.margins[hi])
	case hi < 0:
		return slices.Clone(l.margins[lo])
	}
	share := (u - l.us[lo]) / (l.us[hi] - l.us[lo])
	out := make([]float64, len(rules))
	for i := range out {
		out[i] = l.margins[lo][i] + float64(share*(l.margins[hi][i]-l.margins[lo][i]))
	}
	return out
}
