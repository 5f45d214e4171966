package metal

import (
	"math"
	"sort"
)

// Curve samples a metal along rising temperature: volumetric enthalpy H (J/m3,
// zero at 20 C, latent heat inside) and the conductivity integral Theta (W/m,
// zero at 20 C).
type Curve struct{ T, H, Theta []float64 }

// bins is the room for lines over H; a metal uses half of them or more. As many
// lines of two floats stay in the first-level cache.
const bins = 2048

// Table looks up the conductivity integral, the temperature and the evaporation
// from enthalpy. Linear between its points; lines go on beyond both ends.
type Table struct {
	shift    uint // a bin is 2 to this many J/m3 wide: found from a whole number without a product
	theta    [bins][2]float64
	temp     [bins][2]float64
	maxSlope float64 // largest d theta / dH, m2/s: sets the explicit time step
	curve    Curve
	evap     func(t float64) float64
	evapAt   [evapBins + 1]float64 // W/m2 over theta from evapFrom
	evapFrom float64
	evapInv  float64
	ofTheta  [thetaBins + 1]float64 // C over theta
	thetaInv float64
}

const (
	evapBins  = 256
	thetaBins = 1024
	evapWorth = 2e5 // W/m2
)

// NewTable resamples the curve on uniform H. evaporation gives W/m2 at a
// temperature in C; nil for none.
func NewTable(c Curve, evaporation func(t float64) float64) *Table {
	t := &Table{curve: c, evap: evaporation}
	_, width := math.Frexp(c.H[len(c.H)-1] / bins)
	t.shift = uint(max(width, 0))
	step := math.Ldexp(1, int(t.shift))
	h0, th0, te0 := 0.0, c.Theta[0], c.T[0]
	for i := range bins {
		h1 := float64(float64(i+1) * step)
		th1, te1 := interpolate(c.H, c.Theta, h1), interpolate(c.H, c.T, h1)
		slope := (th1 - th0) / (h1 - h0)
		t.theta[i] = [2]float64{th0 - float64(slope*h0), slope}
		t.maxSlope = max(t.maxSlope, slope)
		slope = (te1 - te0) / (h1 - h0)
		t.temp[i] = [2]float64{te0 - float64(slope*h0), slope}
		h0, th0, te0 = h1, th1, te1
	}
	thTop := c.Theta[len(c.Theta)-1]
	t.thetaInv = thetaBins / thTop
	for k := range t.ofTheta {
		t.ofTheta[k] = interpolate(c.Theta, c.T, float64(k)/t.thetaInv)
	}
	t.evapFrom, t.evapInv = thTop, 0
	if evaporation != nil {
		// Below this, evaporation is nothing beside radiation (9e5 W/m2 at 2000 C).
		i := sort.Search(len(c.T), func(i int) bool { return evaporation(c.T[i]) > evapWorth })
		if i < len(c.T)-1 {
			t.evapFrom = c.Theta[i]
			t.evapInv = evapBins / (thTop - t.evapFrom)
			for k := range t.evapAt {
				th := t.evapFrom + float64(float64(k)/t.evapInv)
				t.evapAt[k] = evaporation(interpolate(c.Theta, c.T, th))
			}
		}
	}
	return t
}

// interpolate y at x on rising xs, the end lines going on beyond.
func interpolate(xs, ys []float64, x float64) float64 {
	i := sort.SearchFloat64s(xs, x)
	i = min(max(i, 1), len(xs)-1)
	w := (x - xs[i-1]) / (xs[i] - xs[i-1])
	return ys[i-1] + float64(w*(ys[i]-ys[i-1]))
}

func (t *Table) bin(h float64) uint64 {
	b := uint64(int64(h)) >> (t.shift & 63)
	if b >= bins {
		if h < 0 {
			return 0
		}
		return bins - 1
	}
	return b
}

// Theta gives the conductivity integral, W/m, at enthalpy h.
func (t *Table) Theta(h float64) float64 {
	l := &t.theta[t.bin(h)%bins]
	return l[0] + float64(l[1]*h)
}

// Temperature gives C at enthalpy h.
func (t *Table) Temperature(h float64) float64 {
	l := &t.temp[t.bin(h)%bins]
	return l[0] + float64(l[1]*h)
}

// Enthalpy gives J/m3 at temperature c in C.
func (t *Table) Enthalpy(c float64) float64 { return interpolate(t.curve.T, t.curve.H, c) }

// ThetaAt gives the conductivity integral at temperature c in C.
func (t *Table) ThetaAt(c float64) float64 { return interpolate(t.curve.T, t.curve.Theta, c) }

// TemperatureAt gives C at the conductivity integral theta.
func (t *Table) TemperatureAt(theta float64) float64 {
	x := float64(theta * t.thetaInv)
	k := min(max(int(x), 0), thetaBins-1)
	return t.ofTheta[k] + float64((x-float64(k))*(t.ofTheta[k+1]-t.ofTheta[k]))
}

// MaxSlope gives the largest diffusivity in the table, m2/s.
func (t *Table) MaxSlope() float64 { return t.maxSlope }

// Lines gives the look-up for the solver's inner loop: theta = a + b*h in bin
// int(h) >> shift, the last bin beyond its end and the first below 0.
func (t *Table) Lines() (lines *[bins][2]float64, shift uint) { return &t.theta, t.shift }

// EvaporationFrom gives the theta above which vapour carries off heat.
func (t *Table) EvaporationFrom() float64 { return t.evapFrom }

// Evaporation gives W/m2 at theta above EvaporationFrom.
func (t *Table) Evaporation(theta float64) float64 {
	x := float64((theta - t.evapFrom) * t.evapInv)
	k := min(max(int(x), 0), evapBins-1)
	return t.evapAt[k] + float64((x-float64(k))*(t.evapAt[k+1]-t.evapAt[k]))
}

// EvaporationUnder gives W/m2 from a surface that the flux q, W/m2, keeps hotter
// than the metal at a depth, m, where theta is known. The vapour itself cools the
// surface: two steps of Newton's method from the surface without it, which a
// convex curve approaches from below, to a few parts in a thousand.
func (t *Table) EvaporationUnder(theta, q, depth float64) float64 {
	e := 0.0
	for range 2 {
		at := theta + float64((q-e)*depth)
		if at <= t.evapFrom {
			return e
		}
		x := float64((at - t.evapFrom) * t.evapInv)
		k := min(int(x), evapBins-1)
		rise := t.evapAt[k+1] - t.evapAt[k]
		value, slope := t.evapAt[k]+float64((x-float64(k))*rise), float64(rise*t.evapInv)
		e += (value - e) / (1 + float64(slope*depth))
	}
	return e
}

// Bins is how many lines Lines has; a power of two.
const Bins = bins
