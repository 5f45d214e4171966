package scoring

import (
	"fmt"

	"puddlewise/scoring/weld"
)

// tipAngles: the included angle of a ground tip and the current it is published for
// on DCEN (welding handbook p. 142, reprinted in a power-source manual; the last row
// from memory, medium).
var tipAngles = []struct{ degrees, amps float64 }{
	{12, 15}, {20, 30}, {25, 50}, {30, 70}, {35, 90}, {45, 150}, {60, 200}, {90, 300},
}

// tipAngle: too sharp a tip melts back at the current, too blunt a one lets the arc
// wander. The table is advice: half of it is the limit below; above, what the whole
// table spans (common practice, no source, for both).
func tipAngle(e *evidence) reading {
	if e.answer.Polarity == weld.AC && e.answer.Tungsten == weld.WP {
		return reading{} // pure tungsten is run with a ball
	}
	usual := tipAngles[len(tipAngles)-1].degrees
	for i, row := range tipAngles {
		if e.amps > row.amps {
			continue
		}
		usual = row.degrees
		if i > 0 {
			before := tipAngles[i-1]
			usual = before.degrees + float64((row.degrees-before.degrees)*((e.amps-before.amps)/(row.amps-before.amps)))
		}
		break
	}
	sharpest, bluntest := usual/2, max(60, 2*usual)
	if e.answer.Polarity == weld.AC {
		sharpest, bluntest = 20, 120
	}
	tip := float64(e.answer.TipAngle / weld.Degree)
	r := reading{from: 0, to: e.task.Seam, got: degrees(e.answer.TipAngle),
		want: fmt.Sprintf("%.0f to %.0f deg at %s", sharpest, bluntest, amps(e.amps)), source: "welding handbook p. 142 (reprinted): tip and current; limits common practice, no source"}
	if tip < sharpest {
		r.margin = sharpest / max(tip, 1)
		r.why = fmt.Sprintf("a tip of %s is too fine for %s: it melts back and drops into the pool", degrees(e.answer.TipAngle), amps(e.amps))
		r.fix = "grind it blunter, or put a small flat on the point"
	} else {
		r.margin = tip / (bluntest + 0.5)
		r.why = fmt.Sprintf("a tip of %s is blunt for %s: the arc wanders over it", degrees(e.answer.TipAngle), amps(e.amps))
		r.fix = "grind it sharper, lengthwise"
	}
	return r
}
