package weld_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"puddlewise/scoring/weld"
)

// kind is one type of quantity as the tests see it: SI values and text.
type kind struct {
	name   string
	parse  func(string) (float64, error)
	text   func(float64) string
	show   func(float64, weld.System) string
	lo, hi float64   // SI range the property tests draw from
	steps  [2]string // what Show rounds to, metric and imperial
}

type quantity interface {
	~float64
	fmt.Stringer
	Show(weld.System) string
}

func kindOf[Q quantity](name string, parse func(string) (Q, error), lo, hi float64, steps ...string) kind {
	return kind{
		name:  name,
		parse: func(s string) (float64, error) { q, err := parse(s); return float64(q), err },
		text:  func(v float64) string { return Q(v).String() },
		show:  func(v float64, s weld.System) string { return Q(v).Show(s) },
		lo:    lo, hi: hi,
		steps: [2]string{steps[0], steps[len(steps)-1]},
	}
}

// The ranges go far beyond any weld: a quantity must survive being written and
// read whatever it is. Only temperature keeps off absolute zero, where the
// Celsius text of a tiny kelvin value would need hundreds of digits.
var kinds = []kind{
	kindOf("length", weld.ParseLength, -1e29, 1e29, "0.01 mm", "0.001 in"),
	kindOf("current", weld.ParseCurrent, -1e29, 1e29, "1 A"),
	kindOf("voltage", weld.ParseVoltage, -1e29, 1e29, "0.1 V"),
	kindOf("speed", weld.ParseSpeed, -1e29, 1e29, "1 mm/min", "0.1 ipm"),
	kindOf("flow", weld.ParseFlow, -1e29, 1e29, "0.1 L/min", "1 cfh"),
	kindOf("angle", weld.ParseAngle, -1e29, 1e29, "1 deg"),
	kindOf("temperature", weld.ParseTemperature, 1, 1e29, "-272.15 C", "-458.67 F"), // one degree above absolute zero
	kindOf("time", weld.ParseDuration, -1e29, 1e29, "0.1 s"),
	kindOf("power", weld.ParsePower, -1e29, 1e29, "1 W"),
	kindOf("frequency", weld.ParseFrequency, -1e29, 1e29, "1 Hz"),
	kindOf("share", weld.ParseFraction, -1e29, 1e29, "1 %"),
	kindOf("ppm", weld.ParsePPM, -1e29, 1e29, "1 ppm"),
}

func kindByName(t testing.TB, name string) kind {
	for _, k := range kinds {
		if k.name == name {
			return k
		}
	}
	t.Fatalf("no quantity is called %q", name)
	return kind{}
}

// spread draws values evenly over the orders of magnitude as well as over the range.
func spread(k kind) *rapid.Generator[float64] {
	return rapid.OneOf(
		rapid.Float64Range(k.lo, k.hi),
		rapid.Custom(func(t *rapid.T) float64 {
			v := rapid.Float64Range(1, 10).Draw(t, "mantissa") * math.Pow(10, float64(rapid.IntRange(-29, 28).Draw(t, "exponent")))
			if k.lo < 0 && rapid.Bool().Draw(t, "negative") {
				v = -v
			}
			return min(k.hi, max(k.lo, v))
		}),
		rapid.SampledFrom([]float64{max(0, k.lo), max(1, k.lo), 0.0014 + max(0, k.lo), k.lo, k.hi}),
	)
}

func TestParseGivesBackWhatStringPrinted(t *testing.T) {
	for _, k := range kinds {
		t.Run(k.name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				v := spread(k).Draw(t, "v")
				text := k.text(v)
				back, err := k.parse(text)
				require.NoError(t, err, "printed %q", text)
				require.Equal(t, v, back, "printed %q", text)
			})
		})
	}
}

func TestShowIsWithinHalfOfItsLastDigit(t *testing.T) {
	for _, k := range kinds {
		t.Run(k.name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				v := rapid.Float64Range(max(k.lo, -1e3), 1e3).Draw(t, "v")
				for _, s := range []weld.System{weld.Metric, weld.Imperial} {
					shown := k.show(v, s)
					back, err := k.parse(shown)
					require.NoError(t, err, "shown as %q", shown)
					step, err := k.parse(k.steps[s])
					require.NoError(t, err)
					require.InDelta(t, v, back, step/2*(1+1e-9)+1e-12*math.Abs(v), "shown as %q", shown)
					require.Equal(t, shown, k.show(back, s), "showing what was shown must not move it again")
				}
			})
		})
	}
}

func TestEverydayValuesPrintShort(t *testing.T) {
	for text, want := range map[string]string{
		"0.055 in": "1.397 mm", "55 thou": "1.397 mm", "1/16 in": "1.5875 mm", "1.4 mm": "1.4 mm",
	} {
		l, err := weld.ParseLength(text)
		require.NoError(t, err)
		assert.Equal(t, want, l.String())
	}
	assert.Equal(t, "120 mm/min", (120 * weld.MillimetrePerMin).Show(weld.Metric))
	assert.Equal(t, "0.055 in", (0.055 * weld.Inch).Show(weld.Imperial))
	assert.Equal(t, "302 F", weld.Celsius(150).Show(weld.Imperial))
	assert.Equal(t, "0 mm", weld.Length(-1e-9).Show(weld.Metric), "no minus sign before a zero")
}

func TestNotANumberNeverPrintsAsAQuantity(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		for _, k := range kinds {
			_, err := k.parse(k.text(v))
			assert.Error(t, err, "%s %v prints as %q", k.name, v, k.text(v))
		}
	}
}

func FuzzParseLength(f *testing.F) {
	for _, c := range plainCases(f, "length.txt") {
		f.Add(c.input)
	}
	f.Fuzz(func(t *testing.T, text string) {
		l, err := weld.ParseLength(text)
		if err != nil {
			checkMessage(t, err)
			return
		}
		if math.IsNaN(float64(l)) || math.IsInf(float64(l), 0) {
			t.Fatalf("%q was taken as %v", text, float64(l))
		}
		if back, err := weld.ParseLength(l.String()); err != nil || back != l {
			t.Fatalf("%q is %v, printed %q, read back %v, %v", text, float64(l), l, float64(back), err)
		}
	})
}

// checkMessage holds every refusal to what a terminal can show.
func checkMessage(t testing.TB, err error) {
	m := err.Error()
	if m == "" || !utf8.ValidString(m) || len(m) > 1000 || strings.ContainsFunc(m, func(r rune) bool { return r < ' ' && r != '\n' }) {
		t.Fatalf("unfit message %q", m)
	}
}
