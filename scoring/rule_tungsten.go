package scoring

import (
	"fmt"

	"puddlewise/scoring/weld"
)

// tungstenRange is the union of four published current ranges for an electrode with
// oxide in argon: the sources disagree at the edges, so only outside all of them is
// wrong. Composite of US recommendations 1988; a set after AWS A5.12; a gas maker's
// handbook p. 16; a torch manual. DCEN low ends: sharp tips run down to 8-10 A
// (welding handbook, reprinted), so the low end is where a blunt tip wanders.
var tungstenRange = []struct {
	dia           float64 // mm
	dcLow, dcHigh float64 // A
	acLow, acHigh float64 // A
}{
	{0.5, 5, 40, 5, 35},
	{1.0, 5, 85, 10, 80},
	{1.6, 8, 160, 30, 150},
	{2.4, 12, 250, 60, 250},
	{3.2, 20, 400, 100, 360},
	{4.0, 40, 500, 160, 450},
	{4.8, 60, 600, 200, 550},
}

// tungstenLimits gives the range for the nearest size sold.
func tungstenLimits(a weld.Answer) (low, high float64) {
	best, d := tungstenRange[0], a.TungstenDia.MM()
	for _, r := range tungstenRange {
		if abs(r.dia-d) < abs(best.dia-d) {
			best = r
		}
	}
	if a.Polarity == weld.AC {
		return best.acLow, best.acHigh
	}
	return best.dcLow, best.dcHigh
}

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}

// tungstenOverloaded: too thin for the current, the tip balls, splits and drops into the pool.
func tungstenOverloaded(e *evidence) reading {
	_, high := tungstenLimits(e.answer)
	d := float64(e.answer.TungstenDia)
	return reading{
		margin: e.amps / (high + 0.5), from: 0, to: e.task.Seam,
		got: amps(e.amps) + " on " + mm(d), want: "at most " + amps(high),
		why: fmt.Sprintf("the tungsten is overloaded: %s on %s; no published range goes beyond %s", amps(e.amps), mm(d), amps(high)),
		fix: "the next thicker tungsten", source: "union of four published electrode ranges, AWS A5.12 among them",
	}
}

// tungstenTooThick: too thick and cold for the current, the arc wanders over the tip.
func tungstenTooThick(e *evidence) reading {
	low, _ := tungstenLimits(e.answer)
	d := float64(e.answer.TungstenDia)
	return reading{
		margin: low / (e.amps + 0.5), from: 0, to: e.task.Seam,
		got: amps(e.amps) + " on " + mm(d), want: "at least " + amps(low),
		why: fmt.Sprintf("the arc wanders: %s do not heat a %s tungsten", amps(e.amps), mm(d)),
		fix: "a thinner tungsten, ground sharp", source: "union of published electrode and tip ranges",
	}
}
