package puddle

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"puddlewise/scoring/metal"
	"puddlewise/scoring/weld"
)

// drawn is a small weld with everything drawn at random.
func drawn(t *rapid.T) *Case {
	draw := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	m := rapid.SampledFrom([]weld.Metal{weld.CarbonSteel, weld.SS304, weld.Al6061, weld.TitaniumCP}).Draw(t, "metal")
	p := metal.Of(m)
	c := &Case{
		Kind: PlateTransient, Table: metal.TableOf(m), Solidus: p.Solidus, Liquidus: p.Liquidus,
		Spec:   Spec{Convection: draw("convection", 0, 200), Emissivity: draw("emissivity", 0, 1), Start: draw("start", 20, 300)},
		Length: draw("length", 9e-3, 14e-3), Width: draw("width", 10e-3, 20e-3), Thickness: draw("wall", 0.9e-3, 3e-3),
		Power: draw("power", 50, 700), Sigma: draw("sigma", 0.8e-3, 2e-3), Speed: draw("speed", 1e-3, 6e-3), StartX: 0, EndX: 8e-3,
	}
	if rapid.Bool().Draw(t, "tee") {
		c.Kind, c.WebHeight, c.WebThickness, c.WorkAngle = TeeTransient, 10e-3, draw("web", 0.9e-3, 3e-3), draw("angle", 0.4, 1.2)
		c.FilletLeg = rapid.SampledFrom([]float64{0, 1.5e-3}).Draw(t, "leg")
	}
	return c
}

// slow skips what takes long: with -short, and under the race detector, which
// makes it ten times longer and has nothing to find in a solver of one goroutine.
func slow(t *testing.T) {
	if testing.Short() || raced {
		t.Skip("takes long")
	}
}

// Heat is neither lost nor made: what the arc gives is in the metal, or went into
// the air and with the vapour. The account is exact but for rounding.
func TestHeatIsConserved(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawn(t)
		_, closure, err := c.Run(nil)
		require.NoError(t, err)
		assert.Less(t, closure, 1e-9)
	})
}

// Nothing is hotter than its surroundings can make it: without an arc all stays as it is.
func TestNothingHappensWithoutAnArc(t *testing.T) {
	c := short(t, "steel-tee-1.4")
	s, _, at, err := c.build()
	require.NoError(t, err)
	s.setStep(c.tau())
	before := s.energy()
	for n := range 50 {
		x := 4e-3 + float64(n)*0.2e-3
		s.refine(x-at.behind, x+at.before)
		s.step(0, x, c.Sigma)
	}
	assert.InDelta(t, before, s.energy(), 1e-12)
	for i := range s.rows {
		for _, h := range s.h[i*s.stride:][:s.col.n] {
			assert.InDelta(t, 0, h, 1e-3, "J/m3")
		}
	}
}

// The arc's power arrives whole wherever the metal is wide enough to catch it.
func TestTheMetalGetsWhatTheArcGives(t *testing.T) {
	share := func(c *Case) float64 {
		s, _, _, err := c.build()
		require.NoError(t, err)
		s.setStep(0.02)
		s.step(c.Power, c.Length/2, c.Sigma)
		return s.absorbed / (c.Power * s.tau)
	}
	plate := short(t, "steel-butt-1.4")
	assert.InDelta(t, 0.5, share(plate), 1e-6, "half a plate gets half")
	narrow := short(t, "steel-butt-1.4")
	narrow.Width = 2 * narrow.Sigma
	assert.InDelta(t, 0.6827/2, share(narrow), 0.01, "a strip one deviation to each side catches 68 %")
	for _, angle := range []float64{30, 45, 60} {
		tee := short(t, "steel-tee-1.4")
		tee.Cell = 0.281e-3 // shadows of a corner end in the middle of cells behind it
		tee.WorkAngle = angle * math.Pi / 180
		assert.InDelta(t, 1, share(tee), 1e-6, "a corner, at %g degrees", angle)
		tee.FilletLeg = 1.5e-3
		assert.InDelta(t, 1, share(tee), 1e-6, "a fillet, at %g degrees", angle)
	}
}

// Half a plate with a plane of symmetry is the whole plate.
func TestHalfAPlateIsTheWholePlate(t *testing.T) {
	c := short(t, "steel-butt-1.4")
	half, _, at, err := c.build()
	require.NoError(t, err)
	sec := &section{}
	d := CellFor(c.Thickness, c.Sigma)
	bands := plateBands(c.Thickness, c.Width/2, d, fineBand(c.Thickness))
	sec.strip(0, 0, 0, right, -1, c.Thickness, bands)
	n := len(sec.cells)
	sec.strip(0, 0, 0, left, -1, c.Thickness, bands)
	sec.connect(nil)
	whole := newSolver(sec, c.Length, d, []*metal.Table{c.Table, c.Table}, c.Spec)
	whole.aim(newTorch(0, 0, math.Pi/2), c.Sigma, d)
	for _, s := range []*solver{half, whole} {
		s.setStep(c.tau())
		for k := range 40 {
			x := c.StartX + c.Speed*s.tau*(float64(k)+0.5)
			s.refine(x-at.behind, x+at.before)
			s.step(c.Power, x, c.Sigma)
		}
	}
	require.Equal(t, half.stages, whole.stages)
	worst := 0.0
	for i := range n {
		for j := range half.col.n {
			h := half.h[i*half.stride+j]
			for _, at := range []int{i, i + n} {
				worst = max(worst, math.Abs(whole.h[at*whole.stride+j]-h))
			}
		}
	}
	assert.Less(t, worst, 1e-6*c.Table.Enthalpy(c.Liquidus))
}

// An arc that stands in the middle heats both directions alike.
func TestAStandingArcIsSymmetric(t *testing.T) {
	c := short(t, "stainless-butt-1.5")
	s, _, _, err := c.build()
	require.NoError(t, err)
	s.setStep(0.05)
	s.refine(-1, 1) // fine everywhere: blocks are not symmetric
	for range 40 {
		s.step(c.Power, c.Length/2, c.Sigma)
	}
	n := s.col.n
	for i := range s.rows {
		row := s.h[i*s.stride:][:n]
		for j := range row {
			assert.InDelta(t, row[j], row[n-1-j], 1e-7*c.Table.Enthalpy(c.Liquidus))
		}
	}
}

// More power never gives a narrower, shallower or shorter pool.
func TestMorePowerNeverMeltsLess(t *testing.T) {
	names := []string{"steel-butt-1.4", "aluminium-butt-1.4", "steel-tee-1.4"}
	if raced {
		names = names[:1]
	}
	for _, name := range names {
		var last []float64
		for _, factor := range []float64{0.7, 0.8, 0.9, 1, 1.1, 1.3} {
			c := short(t, name)
			c.Power *= factor
			now := read(t, c, 12e-3)
			for i := range last {
				assert.GreaterOrEqual(t, now[i], last[i], "%s at %g of its power: %s", name, factor, bead(c, 0)[i].Quantity)
			}
			last = now
		}
	}
}

// assertNear holds a coarse grid to a fine one, mm: half of what a reference allows
// for widths, three quarters for lengths, whose ends lie between wide columns.
func assertNear(t *testing.T, fine, coarse float64, name string, q Quantity) {
	t.Helper()
	share := 0.5
	if q == Length {
		share = 0.75
	}
	assert.InDelta(t, fine, coarse, share*max(0.15, 0.05*fine), "%s: %s, mm", name, q)
}

// A finer grid may not tell another story.
func TestHalvingTheCellChangesLittle(t *testing.T) {
	slow(t)
	for _, name := range []string{"steel-butt-1.4", "stainless-butt-1.5", "steel-tee-1.4", "steel-butt-3.2", "aluminium-butt-1.4"} {
		weld := func(cell float64) []float64 {
			c := short(t, name)
			if c.Thickness > 3e-3 {
				c.Power *= 1.2 // well through: at the onset of melting a width is all or nothing
			}
			c.Cell = cell * CellFor(c.Thickness, c.Sigma)
			return read(t, c, 12e-3)
		}
		coarse, fine := weld(1), weld(0.5)
		for i := range fine {
			assertNear(t, fine[i], coarse[i], name, bead(seam(t, name), 0)[i].Quantity)
		}
	}
}

// Shapes that no reference case has: a fillet already there, unequal members.
func TestHalvingTheCellOfOtherTees(t *testing.T) {
	slow(t)
	for _, shape := range []struct {
		name           string
		base, web, leg float64
		power          float64
	}{
		{"with a fillet", 2e-3, 2e-3, 1.5e-3, 1000},
		{"thick base", 3e-3, 1.5e-3, 0, 900},
		{"thick web", 1.5e-3, 3e-3, 0, 800},
	} {
		weld := func(cell float64) []float64 {
			c := short(t, "steel-tee-1.4")
			c.Thickness, c.WebThickness, c.FilletLeg, c.Power, c.Sigma = shape.base, shape.web, shape.leg, shape.power, 1.8e-3
			c.Cell = cell * CellFor(min(shape.base, shape.web), c.Sigma)
			return read(t, c, 12e-3)
		}
		coarse, fine := weld(1), weld(0.5)
		require.Greater(t, fine[3], 1.0, "%s: a pool worth comparing", shape.name)
		for i := range fine {
			assertNear(t, fine[i], coarse[i], shape.name, bead(&Case{Kind: TeeTransient}, 0)[i].Quantity)
		}
	}
}

func TestACaseThatMakesNoSenseIsRefused(t *testing.T) {
	for name, spoil := range map[string]func(c *Case){
		"no power":          func(c *Case) { c.Power = 0 },
		"backwards":         func(c *Case) { c.EndX = c.StartX / 2 },
		"standing":          func(c *Case) { c.Speed = 0 },
		"a point":           func(c *Case) { c.Sigma = 0 },
		"too fine a grid":   func(c *Case) { c.Thickness, c.Sigma = 25e-3, 0.3e-3 },
		"too long a grid":   func(c *Case) { c.Length = 100 },
		"nothing to read":   func(c *Case) { c.Kind = "plate" },
		"a temperature NaN": func(c *Case) { c.Power = math.NaN() },
	} {
		c := short(t, "steel-butt-1.4")
		spoil(c)
		_, _, err := c.Run([]Probe{{Quantity: Leg, Side: WebFace, X: 12e-3, Isotherm: 1500}})
		assert.Error(t, err, name)
	}
}
