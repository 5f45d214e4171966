package scoring

import (
	"fmt"

	"puddlewise/scoring/weld"
)

// tungstenClass: pure tungsten balls and starts badly on direct current, zirconia is
// made for AC; the oxide classes run on both. ISO 6848 and AWS A5.12 remarks
// (secondary source).
func tungstenClass(e *evidence) reading {
	r := reading{from: 0, to: e.task.Seam, got: tungstenName(e.answer.Tungsten), want: "lanthana or ceria: WL15, WL20, WC20",
		fix: "a lanthanated or ceriated tungsten, ground", source: "ISO 6848 and AWS A5.12 remarks, secondary source"}
	dc := e.answer.Polarity != weld.AC
	switch {
	case e.answer.Tungsten == weld.WP && dc:
		r.margin = 1.5
		r.why = "pure tungsten does not hold a point on direct current: it balls, the arc wanders, bits fall into the pool"
	case (e.answer.Tungsten == weld.WZ8 || e.answer.Tungsten == weld.WZ3) && dc:
		r.margin, r.as = 1, Remark
		r.why = "zirconiated tungsten is made for AC: on direct current it starts harder and wears sooner"
	case e.answer.Tungsten == weld.WP:
		r.margin, r.as = 1, Remark
		r.why = "pure tungsten carries less current on AC than an oxide class and spits when pushed"
	}
	return r
}

// tungstenName gives a class by both its names.
func tungstenName(t weld.Tungsten) string { return fmt.Sprintf("%s (AWS %s)", t, t.AWS()) }
