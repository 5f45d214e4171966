package arc

import (
	"math"
	"slices"

	"puddlewise/scenarios"
	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// tap is how far one tap of a scripted hand moves the torch, m.
const tap = 0.5e-3 // tapsTo gives halves of a millimetre without a rounding

// hand is a scripted hand: a name, a line on it, and what it makes of an answer.
type hand struct {
	name, words string
	spoil       func(a *weld.Answer)
	late        bool // lets the pedal up before each dab
	watches     bool // and answers what it sees
}

// hands are what a scripted hand makes of a joint's good answer.
var hands = []hand{
	{"good", "welds as the joint's own answer says", func(*weld.Answer) {}, false, false},
	{"hasty", "does not wait for the pool and moves two and a half times as fast", func(a *weld.Answer) {
		a.Travel, a.Start = weld.Speed(2.5*float64(a.Travel)), weld.GoAtOnce
	}, false, false},
	{"timid", "keeps the pedal at two thirds", func(a *weld.Answer) {
		a.Amps, a.AmpsEnd = weld.Current(math.Round(float64(a.Amps)*2/3)), weld.Current(math.Round(float64(a.AmpsEnd)*2/3))
	}, false, false},
	{"never-backs-off", "starts a third hotter and leaves the pedal there", func(a *weld.Answer) {
		a.Amps, a.AmpsEnd = weld.Current(math.Round(float64(a.Amps)*4/3)), 0
	}, false, false},
	{"forgets-the-gap", "dabs a third as often", func(a *weld.Answer) { a.DabSpacing *= 3 }, false, false},
	{"too-close", "holds the arc at a third of a millimetre", func(a *weld.Answer) { a.ArcLength = 0.3 * weld.Millimetre }, false, false},
	{"late", "lets the pedal up first and dabs when the pool has frozen", func(*weld.Answer) {}, true, false},
	{"watchful", "answers what it sees: eases off and waits, lifts, dabs sooner", func(*weld.Answer) {}, false, true},
}

// Hands names the scripted hands, each with a line on it.
func Hands() (names, words []string) {
	for _, h := range hands {
		names, words = append(names, h.name), append(words, h.words)
	}
	return names, words
}

// Scripted makes the run of a scripted hand on a joint; ok is false for a name it does
// not know. It taps ahead half a millimetre at a time, dabs where the spacing has come
// round, pulls a rod off that is frozen to the sheet, and works the pedal in whole amps,
// after waiting for the pool where the answer says so, and eases out at the end.
func Scripted(sc scenarios.Scenario, name string) (run Run, ok bool) {
	k := slices.IndexFunc(hands, func(h hand) bool { return h.name == name })
	if k < 0 {
		return Run{}, false
	}
	a := sc.Model
	hands[k].spoil(&a)
	a.Amps = weld.Current(math.Round(float64(a.Amps)))
	set := sc.Model // what a hand does otherwise is in what it does, not in what was set
	set.Amps, set.AmpsEnd = a.Amps, a.AmpsEnd
	torch := Take(sc, set)
	do := func(d puddle.Deed, value float64) { _ = torch.Do(d, value) } // what cannot be, a hand lets be
	step := func() { torch.Step() }
	if a.ArcLength != set.ArcLength {
		do(puddle.ArcLength, a.ArcLength.MM())
	}
	do(puddle.Arc, 1)
	const (
		longestWait = 4.0 // s: common practice, no source
		notices     = 15  // steps until a hand pulls a stuck rod
		letUp       = 0.8 // s before a dab that a late hand lets the pedal up
		longest     = (puddle.LiveSteps - 1) * puddle.LiveStep
	)
	for a.Start == weld.WaitForPool && torch.Pool().Through < 0.98 && torch.Seconds() < longestWait {
		step()
	}
	rod, pull := set.RodWithdrawn.MM(), -1
	seam, v := float64(sc.Task.Seam), float64(a.Travel)
	amps, at, due := float64(a.Amps), 0.0, 0.0
	see := watch{pedal: 1}
	for from := torch.Seconds(); at < seam-1e-9 && torch.Seconds() < longest; step() {
		if hands[k].watches && torch.n%watchEvery == 0 {
			see.look(torch)
		}
		if see.hold {
			from += puddle.LiveStep
		}
		should := math.Min(seam, v*(torch.Seconds()-from))
		mm := tapsTo(at, should)
		if mm == 0 && should >= seam { // the last tap is a short one
			mm = math.Max(0.1, float64((seam-at)*1e3))
		}
		if mm > 0 {
			do(puddle.Move, mm)
			at += mm * 1e-3
		}
		current := float64(a.CurrentAt(at / seam))
		if hands[k].late && due > 0 && due-should < v*letUp {
			current /= 4
		}
		if want := math.Max(5, math.Round(current*see.pedal)); want != amps {
			do(puddle.Pedal, want)
			amps = want
		}
		if a.Filler != weld.NoFiller && (at >= due-1e-9 || see.dab) && !see.hold {
			do(puddle.Dab, 0)
			if see.dab {
				due, see.dab = at, false
			}
			due += float64(a.DabSpacing)
			if torch.Pool().Stuck && pull < 0 {
				pull = notices
			}
		}
		if pull--; pull == 0 {
			do(puddle.RodTip, rod+5)
			do(puddle.RodTip, rod)
		}
	}
	whole := amps
	ease := int(math.Round(float64(a.SlopeDown) / puddle.LiveStep))
	for k := range ease {
		if want := math.Max(5, math.Round(whole*(1-0.8*float64(k+1)/float64(ease)))); want != amps {
			do(puddle.Pedal, want)
			amps = want
		}
		step()
	}
	do(puddle.Arc, 0)
	return torch.Run(), true
}

// tapsTo gives how many mm of whole taps lie between two places.
func tapsTo(at, should float64) float64 {
	taps := math.Floor((should-at)/tap + 1e-9)
	return taps / 2
}
