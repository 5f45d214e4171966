package puddle

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scoring/detmath"
)

// explicit solves a transient case the straightforward way: columns of one width
// along the whole seam, explicit Euler steps just inside the stability limit, a
// look-up and a sum over neighbours for each cell. It shares the section, the
// tables and the arc with the solver, and nothing of how that steps.
type explicit struct {
	c        *Case
	s        *solver // for the section with its arc; it is never stepped
	dx, dt   float64
	columns  int
	h, theta [][]float64 // by cell of the section and column
	peak     [][]float64 // highest theta at each face's surface
	source   []float64
	along    float64
}

func newExplicit(t testing.TB, c *Case) *explicit {
	s, _, _, err := c.build()
	require.NoError(t, err)
	d := CellFor(c.Thickness, c.Sigma)
	e := &explicit{c: c, s: s, columns: int(math.Round(c.Length / d))}
	e.dx = c.Length / float64(e.columns)
	e.along = 1 / (e.dx * e.dx)
	rate := 0.0
	for i := range s.rows {
		r := &s.rows[i]
		h := make([]float64, e.columns)
		for j := range h {
			h[j] = r.table.Enthalpy(c.Spec.start())
		}
		e.h, e.theta = append(e.h, h), append(e.theta, make([]float64, e.columns))
		rate = max(rate, (r.gsum+2*e.along)*r.table.MaxSlope())
	}
	for range s.sec.faces {
		e.peak = append(e.peak, make([]float64, e.columns))
	}
	e.dt = 0.95 / rate
	e.source = make([]float64, e.columns)
	return e
}

// weld runs the arc from start to end, without the cooling.
func (e *explicit) weld() {
	arcOn := (e.c.EndX - e.c.StartX) / e.c.Speed
	steps := int(math.Ceil(arcOn / e.dt))
	e.dt = arcOn / float64(steps)
	for n := range steps {
		e.step(e.c.StartX + e.c.Speed*(float64(n)+0.5)*e.dt)
	}
}

func (e *explicit) step(x float64) {
	sec := e.s.sec
	sigma := widened(e.c.Sigma, e.dx)
	for j := range e.source {
		a := (float64(j))*e.dx - x
		e.source[j] = e.c.Power * detmath.NormalShare(a, a+e.dx, sigma) / e.dx
	}
	for i := range e.h {
		table := e.s.rows[i].table
		for j, h := range e.h[i] {
			e.theta[i][j] = table.Theta(h)
		}
	}
	for i := range e.h {
		th := e.theta[i]
		for j := range th {
			q := 0.0
			if j > 0 {
				q += e.along * (th[j-1] - th[j])
			}
			if j < len(th)-1 {
				q += e.along * (th[j+1] - th[j])
			}
			for _, nb := range sec.cells[i].nb {
				q += nb.factor / sec.cells[i].area() * (e.theta[nb.cell][j] - th[j])
			}
			e.h[i][j] += e.dt * q
		}
	}
	for k := range sec.faces {
		f := &sec.faces[k]
		if f.insulated {
			continue
		}
		r := &e.s.rows[f.cell]
		for j, th := range e.theta[f.cell] {
			in := e.s.faceShare[k] * e.source[j] // W/m of seam
			surface := th + in/f.length()*f.depth
			e.peak[k][j] = max(e.peak[k][j], surface)
			t := r.table.TemperatureAt(surface)
			out := e.c.Spec.lossAt(t)
			if in > 0 && th > r.table.EvaporationFrom() {
				out += r.table.Evaporation(th)
			}
			e.h[f.cell][j] += e.dt * (in - out*f.length()) / r.area
		}
	}
}

// width gives twice the reach of the melt on a plate's side, mm.
func (e *explicit) width(p path, x, isotherm float64) float64 {
	j := int(x / e.dx)
	prof := profile{s: p.s, mirror: p.mirror}
	for _, f := range p.faces {
		prof.t = append(prof.t, e.s.rows[e.s.sec.faces[f].cell].table.TemperatureAt(e.peak[f][j]))
	}
	return 2e3 * prof.reach(isotherm)
}

// The solver's moving grid and long steps against fine columns and short ones.
func TestTheSolverAgreesWithExplicitSteps(t *testing.T) {
	slow(t)
	for _, name := range []string{"steel-butt-1.4", "stainless-butt-1.5"} {
		c := short(t, name)
		e := newExplicit(t, c)
		e.weld()
		got := read(t, short(t, name), 12e-3)
		_, _, lay, err := c.build()
		require.NoError(t, err)
		mid := (c.Solidus + c.Liquidus) / 2
		top, back := e.width(lay.paths[Top], 12e-3, mid), e.width(lay.paths[Back], 12e-3, mid)
		assert.Greater(t, back, 1.0, "%s: a weld worth comparing", name)
		assert.InDelta(t, top, got[0], 0.1, "%s: width on the face, mm", name)
		assert.InDelta(t, back, got[1], 0.1, "%s: width on the back, mm", name)
	}
}
