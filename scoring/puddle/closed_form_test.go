package puddle

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scoring/metal"
)

// constantSteel has the constant properties of the closed forms below.
const (
	steelK  = 30.0 // W/mK
	steelRC = 7850.0 * 690
	steelA  = steelK / steelRC // m2/s
)

// ofPeak is 0.3 % of these sources' peaks, C; the rest of what is allowed is a
// share of the rise at the place itself.
const ofPeak = 8.0

func constantTable() *metal.Table {
	at := []float64{metal.Ambient, 6000}
	c := metal.Curve{T: at}
	for _, t := range at {
		c.H, c.Theta = append(c.H, steelRC*(t-metal.Ambient)), append(c.Theta, steelK*(t-metal.Ambient))
	}
	return metal.NewTable(c, nil)
}

// k0 is the modified Bessel function of the second kind, by the trapezoidal rule
// on its integral, which converges to the last bits.
func k0(x float64) float64 {
	const h = 0.05
	sum := 0.5 * math.Exp(-x)
	for u := h; ; u += h {
		v := math.Exp(-x * math.Cosh(u))
		sum += v
		if v < 1e-18*sum {
			return sum * h
		}
	}
}

// smeared gives a field averaged over the places of a Gaussian source of deviation
// sigma: the closed forms are of points and lines, the solver's arc is not.
func smeared(field func(x, y float64) float64, x, y, sigma float64) float64 {
	sum, weight := 0.0, 0.0
	const n = 10
	for i := -n; i <= n; i++ {
		for k := -n; k <= n; k++ {
			u, v := 4*float64(i)/n, 4*float64(k)/n
			w := math.Exp(-(u*u + v*v) / 2)
			sum += w * field(x-sigma*u, y-sigma*v)
			weight += w
		}
	}
	return sum / weight
}

// steady runs a quasi-steady plate and reads temperatures, C, ahead (m) and beside the arc.
func steady(t *testing.T, thickness, power, speed, sigma float64, at [][2]float64, side Side) []float64 {
	t.Helper()
	c := &Case{Kind: PlateQuasiSteady, Table: constantTable(), Diffusivity: steelA, Thickness: thickness, Power: power, Speed: speed, Sigma: sigma}
	var probes []Probe
	for _, p := range at {
		probes = append(probes, Probe{Quantity: Temperature, Side: side, Ahead: p[0], Y: p[1]})
	}
	values, closure, err := c.Run(probes)
	require.NoError(t, err)
	assert.Less(t, closure, 1e-9)
	return values
}

// A line source in a thin plate (Rosenthal 1941): 300 W at 2 mm/s in 1 mm.
func TestThinPlate(t *testing.T) {
	slow(t)
	const thickness, power, speed, sigma = 1e-3, 300.0, 2e-3, 1.2e-3
	line := func(xi, y float64) float64 {
		b := speed / (2 * steelA)
		return metal.Ambient + power/(2*math.Pi*steelK*thickness)*math.Exp(-b*xi)*k0(b*math.Hypot(xi, y))
	}
	// The closed form itself, against values computed elsewhere (SciPy): xi and y in mm, C.
	for _, row := range [][3]float64{
		{3, 1, 776.177827}, {3, 8, 207.352693}, {0, 1, 2965.605848}, {0, 4, 1034.970646},
		{-3, 2, 1975.225034}, {-8, 1, 1548.295434}, {-15, 4, 1062.813386}, {-30, 1, 856.297668}, {-30, 8, 702.985343},
	} {
		assert.InDelta(t, row[2], line(row[0]/1e3, row[1]/1e3), 1e-4, "%v", row)
	}
	at := [][2]float64{{5e-3, 0}, {5e-3, 4e-3}, {0, 6e-3}, {0, 9e-3}, {-3e-3, 6e-3}, {-8e-3, 0}, {-8e-3, 4e-3}, {-15e-3, 0}, {-15e-3, 8e-3}, {-30e-3, 0}, {-30e-3, 8e-3}}
	for i, got := range steady(t, thickness, power, speed, sigma, at, Top) {
		want := smeared(line, at[i][0], at[i][1], sigma)
		assert.InDelta(t, want, got, 0.012*(want-metal.Ambient)+ofPeak, "at %v", at[i])
	}
}

// A point source on a plate (Rosenthal 1941, image sources): 700 W at 2 mm/s on 3 mm.
func TestThickPlate(t *testing.T) {
	slow(t)
	const thickness, power, speed, sigma = 3e-3, 700.0, 2e-3, 1.3e-3
	point := func(z float64) func(xi, y float64) float64 {
		return func(xi, y float64) float64 {
			b := speed / (2 * steelA)
			sum := 0.0
			for n := -60; n <= 60; n++ {
				r := math.Sqrt(xi*xi + y*y + math.Pow(z-2*float64(n)*thickness, 2))
				sum += math.Exp(-b*(xi+r)) / r
			}
			return metal.Ambient + power/(2*math.Pi*steelK)*sum
		}
	}
	// The closed form itself, against values computed elsewhere (SciPy): xi, y and z in mm, C.
	for _, row := range [][4]float64{
		{2, 1, 0, 1108.778566}, {2, 4, 3, 493.918684}, {0, 1, 1.5, 2082.406983}, {-2, 2, 0, 1758.510780},
		{-5, 1, 3, 1447.489852}, {-10, 4, 0, 938.227056}, {-20, 1, 0, 807.633388},
	} {
		assert.InDelta(t, row[3], point(row[2]/1e3)(row[0]/1e3, row[1]/1e3), 2e-3, "%v", row)
	}
	at := [][2]float64{{5e-3, 0}, {0, 6e-3}, {-5e-3, 0}, {-5e-3, 4e-3}, {-10e-3, 0}, {-10e-3, 4e-3}, {-20e-3, 0}, {-20e-3, 4e-3}}
	for side, z := range map[Side]float64{Top: 0, Back: thickness} {
		for i, got := range steady(t, thickness, power, speed, sigma, at, side) {
			want := smeared(point(z), at[i][0], at[i][1], sigma)
			assert.InDelta(t, want, got, 0.012*(want-metal.Ambient)+ofPeak, "%s at %v", side, at[i])
		}
	}
}
