package puddle

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scoring/metal"
	"puddlewise/scoring/weld"
)

// Four columns at a time give the same bits as one after the other, for rows of every
// length, at both ends of the table and past them, and touch nothing beyond the row.
func TestWideIsTheSame(t *testing.T) {
	if !wide {
		t.Skip("this processor takes one column at a time")
	}
	draw := rand.New(rand.NewPCG(1, 2))
	lines, shift := metal.Of(weld.CarbonSteel).Table().Lines()
	odd := []float64{0, math.Copysign(0, -1), -1e-9, -0.5, -1, -3e8, 1e15, 1e300, -1e300, 5e-324, math.Inf(1), math.Inf(-1), math.NaN()}
	some := func(n int, scale float64, odds bool) []float64 {
		out := make([]float64, n+2*pad)
		for i := range out {
			out[i] = scale * draw.Float64()
			if odds && draw.IntN(12) == 0 {
				out[i] = odd[draw.IntN(len(odd))]
			}
		}
		return out
	}
	for n := range 40 {
		for _, odds := range []bool{false, true} {
			h, out, th := some(n, 1.2e10, odds), some(n, 1.2e10, odds), some(n, 8e4, odds)
			k := kernel{
				h: h[:n], th: th[pad-1:][:n+2],
				a: some(n, 8e4, odds)[:n], b: some(n, 8e4, odds)[:n], c: some(n, 8e4, odds)[:n], d: some(n, 8e4, odds)[:n],
				west: some(n, 1e3, false)[:n], east: some(n, 1e3, false)[:n], both: some(n, 2e3, false)[:n],
				src: some(n, 1e9, odds)[:n], mass: some(n, 3, false)[:n],
				mu: 1.5, nu: -0.4, mt: 1e-3, ga: 3e3, gb: 2.9e3, gc: 1.7e3, gd: 1.6e3, gsum: 9.2e3,
				lines: lines, shift: shift, perBin: math.Ldexp(1, -int(shift)), lastBin: metal.Bins - 1,
			}
			for name, row := range map[string]func(k *kernel){
				"pairs": (*kernel).pairs, "pairOne": (*kernel).pairOne, "two": (*kernel).two,
				"any": func(k *kernel) { k.any(uneven) }, "any two": func(k *kernel) { k.any(two) },
				"filled": func(k *kernel) { k.filled(uneven) }, "filled two": func(k *kernel) { k.filled(two) },
			} {
				run := func(wide bool) (all []uint64) {
					k := k
					k.wide = wide
					outs, ups := append([]float64{}, out...), make([]float64, len(out))
					k.out, k.up = outs[:n], ups[:n]
					row(&k)
					for _, v := range append(outs, ups...) {
						if math.IsNaN(v) {
							v = math.NaN() // which one is nobody's business
						}
						all = append(all, math.Float64bits(v))
					}
					return all
				}
				require.Equal(t, run(false), run(true), "%s, %d columns", name, n)
			}
		}
	}
}

// A whole weld comes out the same to the last bit.
func TestWideWeldsTheSame(t *testing.T) {
	if !wide {
		t.Skip("this processor takes one column at a time")
	}
	const mm = weld.Millimetre
	sheet := weld.Member{Metal: weld.CarbonSteel, Thickness: 1.5 * mm, Width: 40 * mm}
	task := weld.Task{Joint: weld.TeeFillet, Position: weld.PB, A: sheet, B: sheet, Seam: 12 * mm, RunOut: 5 * mm, PartTemp: weld.Celsius(20), Chill: weld.FreeInAir}
	a := weld.Defaults()
	a.Amps = 62
	fours, err := WeldAt(task, a, Coarse)
	require.NoError(t, err)
	wide = false
	defer func() { wide = true }()
	ones, err := WeldAt(task, a, Coarse)
	require.NoError(t, err)
	assert.Equal(t, ones, fours)
}
