package scoring

import (
	"fmt"

	"puddlewise/scoring/weld"
)

// acFrequency: 60 to 200 Hz in the shop. Lower is a soft, wide arc, higher a
// narrow and loud one (common practice, no source).
func acFrequency(e *evidence) reading {
	if e.answer.Polarity != weld.AC {
		return reading{}
	}
	f := float64(e.answer.ACFrequency)
	r := reading{from: 0, to: e.task.Seam, got: fmt.Sprintf("%.0f Hz", f), want: "60 to 200 Hz", source: byPractice}
	if f < 100 {
		r.margin = 45 / max(f, 1)
		r.why = fmt.Sprintf("at %.0f Hz the arc is wide and soft and wanders off a thin edge", f)
		r.fix = "a higher frequency: the arc narrows"
	} else {
		r.margin = f / 270
		r.why = fmt.Sprintf("at %.0f Hz the arc is narrow and stiff: it cleans less wide and asks for a steadier hand", f)
		r.fix = "a lower frequency"
	}
	return r
}
