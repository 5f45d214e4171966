package scoring

import (
	"fmt"

	"puddlewise/scoring/weld"
)

// tungstenRange is the union of four published current ranges for an electrode with
// oxide in argon: the sources disagree at the edges, so only outside all of them is
// wrong. Composite of US recommendations 1988; a set after AWS A5.12; a gas maker's
// handbook p. 16; a torch manual. Where one of them already says no, a remark. DCEN low
// ends: sharp tips run down to 8-10 A (welding handbook, reprinted), so the low end is
// where a blunt tip wanders. Sizes of 4.8 mm: from memory, low.
var tungstenRange = []struct {
	dia                   float64 // mm
	dcLow, dcSure, dcHigh float64 // A; sure: no source is below
	acLow, acSure, acHigh float64
}{
	{0.5, 5, 20, 40, 5, 20, 35},
	{1.0, 5, 80, 85, 10, 50, 80},
	{1.6, 8, 150, 160, 30, 100, 150},
	{2.4, 12, 235, 250, 60, 150, 250},
	{3.2, 20, 350, 400, 100, 210, 360},
	{4.0, 40, 450, 500, 160, 280, 450},
	{4.8, 60, 600, 600, 200, 550, 550},
}

// tungstenLimits gives the range for the nearest size sold.
func tungstenLimits(a weld.Answer) (low, sure, high float64) {
	best, d := tungstenRange[0], a.TungstenDia.MM()
	for _, r := range tungstenRange {
		if abs(r.dia-d) < abs(best.dia-d) {
			best = r
		}
	}
	if a.Polarity == weld.AC {
		return best.acLow, best.acSure, best.acHigh
	}
	return best.dcLow, best.dcSure, best.dcHigh
}

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}

// tungstenOverloaded: too thin for the current, the tip balls, splits and drops into the pool.
func tungstenOverloaded(e *evidence) reading {
	_, sure, high := tungstenLimits(e.answer)
	d := float64(e.answer.TungstenDia)
	r := reading{
		margin: e.amps / (high + 0.5), from: 0, to: e.task.Seam,
		got: amps(e.amps) + " on " + mm(d), want: "at most " + amps(high),
		why: fmt.Sprintf("the tungsten is overloaded: %s on %s; no published range goes beyond %s", amps(e.amps), mm(d), amps(high)),
		fix: "the next thicker tungsten", source: "union of four published electrode ranges, AWS A5.12 among them",
	}
	if r.margin < 1 && e.amps > sure {
		r.margin, r.as = 1, Remark
		r.want = fmt.Sprintf("up to %s by one source, %s by another", amps(sure), amps(high))
		r.why = fmt.Sprintf("%s is at the edge for a %s tungsten: the published ranges disagree", amps(e.amps), mm(d))
	}
	return r
}

// tungstenTooThick: too thick and cold for the current, the arc wanders over the tip.
func tungstenTooThick(e *evidence) reading {
	low, _, _ := tungstenLimits(e.answer)
	d := float64(e.answer.TungstenDia)
	return reading{
		margin: low / (e.amps + 0.5), from: 0, to: e.task.Seam,
		got: amps(e.amps) + " on " + mm(d), want: "at least " + amps(low),
		why: fmt.Sprintf("the arc wanders: %s do not heat a %s tungsten through", amps(e.amps), mm(d)),
		fix: "a thinner tungsten, ground sharp", source: "union of published electrode and tip ranges",
	}
}
