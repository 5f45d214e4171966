package puddle

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scoring/metal"
	"puddlewise/scoring/weld"
)

// seams are the welds the model's speed is held to: 50 mm in 25 s along a coupon
// of 60 by 50 mm, with an absorbed power and a deviation usual for the wall.
var seams = []struct {
	name  string
	metal weld.Metal
	tee   bool
	wall  float64 // m
	power float64 // W, absorbed
	sigma float64 // m
}{
	{"steel-butt-1.4", weld.CarbonSteel, false, 1.4e-3, 330, 1.05e-3},
	{"steel-tee-1.4", weld.CarbonSteel, true, 1.4e-3, 400, 1.1e-3},
	{"steel-butt-3.2", weld.CarbonSteel, false, 3.2e-3, 930, 1.4e-3},
	{"aluminium-butt-1.4", weld.Al6061, false, 1.4e-3, 330, 1.35e-3},
	{"aluminium-tee-1.4", weld.Al6061, true, 1.4e-3, 420, 1.4e-3},
	{"stainless-butt-1.5", weld.SS304, false, 1.5e-3, 250, 1.0e-3},
}

// seam gives the weld of that name, without the cooling.
func seam(t testing.TB, name string) *Case {
	for _, s := range seams {
		if s.name != name {
			continue
		}
		p := metal.Of(s.metal)
		c := &Case{
			Kind: PlateTransient, Table: metal.TableOf(s.metal), Solidus: p.Solidus, Liquidus: p.Liquidus,
			Spec:   Spec{Convection: 10, Emissivity: p.Emissivity},
			Length: 60e-3, Width: 50e-3, Thickness: s.wall,
			Power: s.power, Sigma: s.sigma, Speed: 2e-3, StartX: 5e-3, EndX: 55e-3,
		}
		if s.tee {
			c.Kind, c.WebHeight, c.WebThickness, c.WorkAngle = TeeTransient, 25e-3, s.wall, math.Pi/4
		}
		return c
	}
	require.Fail(t, "no such seam", name)
	return nil
}

// short is the seam cut down to 16 mm on a part of 24 by 24 mm.
func short(t testing.TB, name string) *Case {
	c := seam(t, name)
	c.Length, c.Width, c.StartX, c.EndX = 24e-3, 24e-3, 4e-3, 20e-3
	if c.Kind == TeeTransient {
		c.WebHeight = 12e-3
	}
	return c
}

// bead asks for what a verdict reads at x: widths or legs, depth, and the pool's length.
func bead(c *Case, x float64) []Probe {
	mid := (c.Solidus + c.Liquidus) / 2
	if c.Kind == TeeTransient {
		return []Probe{
			{Quantity: Leg, Side: BaseTop, X: x, Isotherm: mid}, {Quantity: Leg, Side: WebFace, X: x, Isotherm: mid},
			{Quantity: BisectorDepth, X: x, Isotherm: mid}, {Quantity: Length, Side: Corner, X: x, Isotherm: mid},
		}
	}
	return []Probe{
		{Quantity: Width, Side: Top, X: x, Isotherm: mid}, {Quantity: Width, Side: Back, X: x, Isotherm: mid},
		{Quantity: Depth, X: x, Isotherm: mid}, {Quantity: Length, Side: Top, X: x, Isotherm: mid},
	}
}

// read welds the case and gives the bead at x, mm.
func read(t testing.TB, c *Case, x float64) []float64 {
	t.Helper()
	values, closure, err := c.Run(bead(c, x))
	require.NoError(t, err)
	assert.Less(t, closure, 1e-9, "share of the heat lost track of")
	for i := range values {
		values[i] *= 1e3
	}
	return values
}

// BenchmarkSeam welds 50 mm: ns/op is what a learner waits for.
func BenchmarkSeam(b *testing.B) {
	for _, s := range seams {
		b.Run(s.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				read(b, seam(b, s.name), 30e-3)
			}
		})
	}
}

// BenchmarkSeamExplicit welds the same seams the straightforward way.
func BenchmarkSeamExplicit(b *testing.B) {
	for _, s := range seams {
		b.Run(s.name, func(b *testing.B) {
			for b.Loop() {
				e := newExplicit(b, seam(b, s.name))
				e.weld()
			}
		})
	}
}

func TestSteppingAllocatesNothing(t *testing.T) {
	for _, name := range []string{"steel-butt-1.4", "steel-tee-1.4"} {
		c := short(t, name)
		s, rec, at, err := c.build()
		require.NoError(t, err)
		s.setStep(c.tau())
		n := 0
		allocs := testing.AllocsPerRun(20, func() {
			x := c.StartX + float64(n)*s.tau*c.Speed
			s.refine(x-at.behind, x+at.before)
			s.step(c.Power, x, c.Sigma)
			rec.update()
			n++
		})
		assert.Zero(t, allocs, name)
	}
}

// BenchmarkAround welds a tube and a branch beside the sheets they are unrolled to, each
// as a verdict does: 50 mm of seam.
func BenchmarkAround(b *testing.B) {
	const mm = weld.Millimetre
	wall := weld.Member{Metal: weld.CarbonSteel, Thickness: 1.5 * mm, Width: 50 * mm}
	a := weld.Defaults()
	for _, w := range []struct {
		name string
		task weld.Task
		amps weld.Current
	}{
		{"sheet-butt", weld.Task{Joint: weld.SquareButt, Position: weld.PA, Seam: 50 * mm, RunOut: 10 * mm}, 50},
		{"tube-butt", weld.Task{Joint: weld.TubeButt, Position: weld.PH, Diameter: 31.8 * mm}, 50},
		{"tube-butt-turned", weld.Task{Joint: weld.TubeButt, Position: weld.PA, Diameter: 15.9 * mm}, 50},
		{"tube-butt-second-half", weld.Task{Joint: weld.TubeButt, Position: weld.PH, Diameter: 31.8 * mm, Earlier: 60}, 50},
		{"sheet-tee", weld.Task{Joint: weld.TeeFillet, Position: weld.PB, Seam: 50 * mm, RunOut: 10 * mm}, 62},
		{"branch-90", weld.Task{Joint: weld.TubeSaddle, Position: weld.PB, Diameter: 29 * mm, Through: 38 * mm, Branch: weld.MaxBranch}, 62},
		{"branch-60", weld.Task{Joint: weld.TubeSaddle, Position: weld.PB, Diameter: 28 * mm, Through: 38 * mm, Branch: 60 * weld.Degree}, 68},
	} {
		t := w.task
		t.A, t.B, t.PartTemp, t.Chill = wall, wall, weld.Celsius(20), weld.FreeInAir
		if t.Joint.Tube() {
			t.Seam = t.Round().Run()
		}
		a.Amps = w.amps
		b.Run(w.name, func(b *testing.B) {
			for b.Loop() {
				_, err := Weld(t, a)
				require.NoError(b, err)
			}
			b.ReportMetric(t.Seam.MM(), "mm-of-seam")
		})
	}
}
