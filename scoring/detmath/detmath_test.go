package detmath

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// The bounds are those of the package's documentation; math is the judge.
const (
	relative = 1e-14 // of Exp, Log and Pow
	erf      = 1.5e-7
	circular = 1e-14 // of Sin and Cos over a few turns
	arc      = 1e-12
)

func near(want, bound float64) float64 { return bound * math.Max(math.Abs(want), 1e-300) }

func TestExpLogPow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(-690, 690).Draw(t, "x")
		assert.InDelta(t, math.Exp(x), Exp(x), near(math.Exp(x), relative))
		// The argument itself is rounded to |x| 2^-53, which an exponential turns into a relative error.
		y := rapid.Float64Range(1e-250, 1e250).Draw(t, "y")
		assert.InDelta(t, math.Log(y), Log(y), math.Max(near(math.Log(y), relative), 1e-15))
		base, power := rapid.Float64Range(1e-6, 1e6).Draw(t, "base"), rapid.Float64Range(-4, 4).Draw(t, "power")
		want := math.Pow(base, power)
		assert.InDelta(t, want, Pow(base, power), near(want, 3*relative), "%g^%g", base, power)
	})
	for _, x := range []float64{1 - 1e-12, 1 - 1e-6, 0.999, 1.001, 1 + 1e-6, 1 + 1e-12} {
		assert.InDelta(t, math.Log(x), Log(x), near(math.Log(x), relative), "near 1, where the logarithm vanishes")
	}
}

func TestSpecialValues(t *testing.T) {
	inf, nan := math.Inf(1), math.NaN()
	assert.Equal(t, 1.0, Exp(0))
	assert.Equal(t, 0.0, Exp(-701))
	assert.Equal(t, 0.0, Exp(-inf))
	assert.Equal(t, inf, Exp(701))
	assert.Equal(t, inf, Exp(inf))
	assert.True(t, math.IsNaN(Exp(nan)))
	assert.Equal(t, 0.0, Log(1))
	for _, x := range []float64{0, -1, -inf, inf, nan} {
		assert.True(t, math.IsNaN(Log(x)), "%g", x)
	}
	assert.Equal(t, 0.0, Pow(0, 0.3))
	assert.Equal(t, 1.0, Pow(1, 7))
	assert.Equal(t, 1.0, Pow(5, 0))
	assert.InDelta(t, 0, Erf(0), erf)
	assert.Equal(t, 1.0, Erf(30))
	assert.Equal(t, -1.0, Erf(-30))
	assert.Equal(t, 0.0, Sin(0))
	assert.Equal(t, math.Pi/2, Asin(1))
	assert.Equal(t, -math.Pi/2, Asin(-2))
}

func TestErf(t *testing.T) {
	for x := -6.0; x <= 6; x += 1.0 / 64 {
		assert.InDelta(t, math.Erf(x), Erf(x), erf, "%g", x)
		assert.InDelta(t, -Erf(x), Erf(-x), 2e-9, "odd, but for the formula's 1e-9 at 0")
	}
}

func TestNormalShares(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sigma := rapid.Float64Range(1e-4, 1).Draw(t, "sigma")
		a, b, c := rapid.Float64Range(-5, 5).Draw(t, "a"), rapid.Float64Range(-5, 5).Draw(t, "b"), rapid.Float64Range(-5, 5).Draw(t, "c")
		assert.InDelta(t, NormalShare(a, c, sigma), NormalShare(a, b, sigma)+NormalShare(b, c, sigma), 1e-15, "shares add up")
		assert.InDelta(t, NormalShare(a, b, sigma), NormalShare(-b, -a, sigma), 2e-9, "symmetric")
	})
	assert.InDelta(t, 0.682689492, NormalShare(-1, 1, 1), 2*erf)
	assert.InDelta(t, 1, NormalShare(-40, 40, 1), 1e-15)
}

func TestCircular(t *testing.T) {
	for x := -20.0; x <= 20; x += 1.0 / 32 {
		assert.InDelta(t, math.Sin(x), Sin(x), circular, "%g", x)
		assert.InDelta(t, math.Cos(x), Cos(x), circular, "%g", x)
	}
	for x := -1.0; x <= 1; x += 1.0 / 128 {
		assert.InDelta(t, math.Asin(x), Asin(x), arc, "%g", x)
	}
	for _, x := range []float64{0, 1e-9, 0.1, 0.999, 1, 1.001, 7, 1e6, 1e12, math.Inf(1)} {
		assert.InDelta(t, math.Atan(x), Atan(x), arc, "%g", x)
		assert.InDelta(t, -math.Atan(x), Atan(-x), arc, "-%g", x)
	}
}
