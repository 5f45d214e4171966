package puddle

import (
	"fmt"
	"puddlewise/scoring/metal"
	"puddlewise/scoring/weld"
	"testing"
)

func BenchmarkCase(b *testing.B) {
	for i := 0; i < b.N; i++ {
		c := &Case{Kind: PlateTransient, Table: metal.TableOf(weld.CarbonSteel), Length: 60e-3, Width: 60e-3, Thickness: 1.4e-3, Power: 360, Sigma: 1.1e-3, Speed: 2e-3, StartX: 5e-3, EndX: 55e-3}
		c.Spec = Spec{Convection: 10, Emissivity: .6, Tau: 0.08}
		s, rec, at, _ := c.build()
		if i == 0 {
			fmt.Println(len(s.rows), s.stages, s.col.fineColumns())
		}
		cells := 0
		for n := 0; n < 312; n++ {
			x := 5e-3 + 2e-3*(float64(n)+.5)*.08
			s.refine(x-at.behind, x+at.before)
			s.step(360, x, 1.1e-3)
			cells += s.col.n * len(s.rows) * s.stages
			rec.all = false
			rec.update()
		}
		if i == 0 {
			fmt.Println(s.col.n, cells)
		}
	}
}
