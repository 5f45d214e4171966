// Package detmath has the few transcendental functions the model needs, with
// every rounding fixed: the standard library's use assembly and fused
// multiply-add on some processors, so their last bits differ between machines.
//
// Each product that meets a sum is converted to float64, which forbids fusing
// (Go specification, "Floating-point operators"). Relative error is below 1e-14
// for Exp, Log and Pow, absolute error below 1.5e-7 for Erf.
package detmath

import "math"

const (
	ln2Hi = 6.93147180369123816490e-01 // ln 2 split so that k*ln2Hi is exact for |k| < 2^20
	ln2Lo = 1.90821492927058770002e-10
)

// Exp gives e to the x; 0 below -700 and +Inf above 700.
func Exp(x float64) float64 {
	switch {
	case x != x:
		return x
	case x < -700:
		return 0
	case x > 700:
		return math.Inf(1)
	}
	k := math.Floor(float64(x/math.Ln2) + 0.5)
	r := x - float64(k*ln2Hi) - float64(k*ln2Lo)
	// Taylor series on |r| < 0.35: the fourteenth term is below 1e-17.
	p := 1.0
	for n := 13.0; n >= 1; n-- {
		p = 1 + float64(float64(p*r)/n)
	}
	return math.Ldexp(p, int(k))
}

// Log gives the natural logarithm of x > 0; NaN for the rest.
func Log(x float64) float64 {
	if !(x > 0) || math.IsInf(x, 1) {
		return math.NaN()
	}
	f, e := math.Frexp(x)
	if f < math.Sqrt2/2 {
		f, e = 2*f, e-1
	}
	s := (f - 1) / (f + 1) // |s| < 0.172
	s2 := float64(s * s)
	p := 0.0
	for n := 21.0; n >= 1; n -= 2 {
		p = float64(p*s2) + 1/n
	}
	k := float64(e)
	return float64(k*ln2Hi) + (float64(2*float64(s*p)) + float64(k*ln2Lo))
}

// Pow gives x to the y for x > 0, and 0 for x = 0 with y > 0.
func Pow(x, y float64) float64 {
	if x == 0 && y > 0 {
		return 0
	}
	return Exp(float64(y * Log(x)))
}

// Erf gives the error function (Abramowitz and Stegun 7.1.26, absolute error below 1.5e-7).
func Erf(x float64) float64 {
	if x < 0 {
		return -Erf(-x)
	}
	t := 1 / (1 + float64(0.3275911*x))
	p := 0.0
	for _, c := range [...]float64{1.061405429, -1.453152027, 1.421413741, -0.284496736, 0.254829592} {
		p = float64(p*t) + c
	}
	return 1 - float64(float64(p*t)*Exp(-float64(x*x)))
}

// NormalShare gives the share of a normal distribution with deviation sigma between a and b.
func NormalShare(a, b, sigma float64) float64 {
	s := float64(sigma * math.Sqrt2)
	return 0.5 * (Erf(b/s) - Erf(a/s))
}

// Sin gives the sine of x, |x| up to a few turns; absolute error below 1e-14.
func Sin(x float64) float64 {
	x -= float64(2 * math.Pi * math.Floor(float64(x/(2*math.Pi))+0.5))
	// Fold into -pi/2..pi/2, where the series ends after ten terms.
	if x > math.Pi/2 {
		x = math.Pi - x
	} else if x < -math.Pi/2 {
		x = -math.Pi - x
	}
	x2 := float64(x * x)
	p := 1.0
	for n := 21.0; n >= 3; n -= 2 {
		p = 1 - float64(float64(p*x2)/float64(n*(n-1)))
	}
	return float64(x * p)
}

// Cos gives the cosine of x.
func Cos(x float64) float64 { return Sin(x + math.Pi/2) }

// Asin gives the arc sine of x in -1..1 by Newton's method on Sin; absolute error below 1e-12.
func Asin(x float64) float64 {
	if x >= 1 {
		return math.Pi / 2
	}
	if x <= -1 {
		return -math.Pi / 2
	}
	y := x
	for range 60 {
		c := Cos(y)
		if c < 1e-9 {
			break
		}
		step := (Sin(y) - x) / c
		y = math.Min(math.Pi/2, math.Max(-math.Pi/2, y-step))
		if math.Abs(step) < 1e-15 {
			break
		}
	}
	return y
}

// Atan gives the arc tangent of x; absolute error below 1e-12.
func Atan(x float64) float64 {
	if x < 0 {
		return -Atan(-x)
	}
	hyp := math.Sqrt(1 + float64(x*x))
	if x > 1 {
		return math.Pi/2 - Asin(1/hyp)
	}
	return Asin(x / hyp)
}
