package tui

import (
	"fmt"
	"math"
	"time"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/arc"
	"puddlewise/trainer/session/view"
)

// arcTick is one step of the run's clock, at real time. A terminal or machine that
// cannot keep up makes the run slower, never coarser.
const arcTick = time.Duration(puddle.LiveStep * float64(time.Second))

// What one tap changes.
const (
	tapAhead = 0.5 // mm
	tapAmps  = 2.0 // A
	tapArc   = 0.25
	tapRod   = 2.0
	tapAim   = 0.25
)

// arcModel is a hand at the torch.
type arcModel struct {
	sc      scenarios.Scenario
	set     weld.Answer
	torch   *arc.Torch
	slow    int // ticks for a step: 1, 2 or 4
	slowest int // of the run
	ticks   int
	numbers bool
	lit     bool

	amps, arcLength, rod, aim float64 // A, mm
}

func newArcModel(sc scenarios.Scenario, a weld.Answer) *arcModel {
	return &arcModel{
		sc: sc, set: a, torch: arc.Take(sc, a), slow: 1, slowest: 1,
		amps: float64(a.Amps), arcLength: a.ArcLength.MM(), rod: a.RodWithdrawn.MM(), aim: a.Aim.MM(),
	}
}

// tick lets the clock go on; false when the run is as long as one may be.
func (m *arcModel) tick() bool {
	if !m.lit {
		return true
	}
	if m.ticks++; m.ticks%m.slow != 0 {
		return true
	}
	return m.torch.Step()
}

// do does what a key stands for; a value that cannot be is left as it was.
func (m *arcModel) do(act action) {
	change := func(d puddle.Deed, value *float64, by float64) {
		if m.torch.Do(d, *value+by) == nil {
			*value += by
		}
	}
	switch act {
	case actStrike, actPutOut:
		m.lit = act == actStrike
		on := 0.0
		if m.lit {
			on = 1
			m.slowest = max(m.slowest, m.slow)
		}
		_ = m.torch.Do(puddle.Arc, on)
	case actAhead:
		_ = m.torch.Do(puddle.Move, tapAhead)
	case actDab:
		_ = m.torch.Do(puddle.Dab, 0)
	case actHotter:
		change(puddle.Pedal, &m.amps, tapAmps)
	case actColder:
		change(puddle.Pedal, &m.amps, -tapAmps)
	case actLonger:
		change(puddle.ArcLength, &m.arcLength, tapArc)
	case actShorter:
		change(puddle.ArcLength, &m.arcLength, -tapArc)
	case actRodOut:
		change(puddle.RodTip, &m.rod, tapRod)
	case actRodIn:
		change(puddle.RodTip, &m.rod, -tapRod)
	case actAimA:
		change(puddle.Aim, &m.aim, tapAim)
	case actAimB:
		change(puddle.Aim, &m.aim, -tapAim)
	case actSlower:
		m.slow = map[int]int{1: 2, 2: 4, 4: 1}[m.slow]
		if m.lit {
			m.slowest = max(m.slowest, m.slow)
		}
	case actNumbers:
		m.numbers = !m.numbers
	}
}

// readout is what a welder has: the amps and the time. The rest is asked for.
func (m *arcModel) readout(p puddle.Pool, sys weld.System) []line {
	state := "arc out"
	if m.lit {
		state = "arc lit"
	}
	out := []line{{{padTo(state, 10), inkStrong}, {padLeft(weld.Current(m.amps).Show(sys), 6), inkPlain}, {fmt.Sprintf("  %6.1f s", m.torch.Seconds()), inkFaint}}}
	if w := view.SpeedWords(m.slow); w != "" {
		out[0] = append(out[0], span{"   " + w, inkWarn})
	}
	if m.numbers {
		show := func(v float64) string { return weld.Length(math.Round(v*1e4) / 1e4).Show(sys) }
		out = append(out,
			plainLine(fmt.Sprintf("at %s of %s   pool %s wide   back %s wide   %d dabs", show(p.At), m.sc.Task.Seam.Show(sys), show(p.Width), show(p.Back), p.Dabs)),
			plainLine(fmt.Sprintf("arc %s   rod drawn back %s   aim %s", show(m.arcLength*1e-3), show(m.rod*1e-3), show(m.aim*1e-3))))
	}
	return out
}

// signs says what is to be seen of the pool.
func (m *arcModel) signs(p puddle.Pool) []line {
	if p.Width == 0 && !p.Stuck {
		if !m.lit {
			return []line{plainLine("the torch stands over the start of the seam")}
		}
		return []line{plainLine("no pool yet")}
	}
	var out []line
	for _, s := range scoring.PoolSigns(m.sc.Task, m.set, p) {
		out = append(out, line{{padTo(s.Place, 9), inkFaint}, {s.Words, inkPlain}})
	}
	return out
}

// face gives the ink and the width, m, of the face at a place around the arc, from its
// temperature and where the pool lies.
func face(p puddle.Pool, off, temperature, width float64) (mm float64, in ink) {
	switch {
	case p.Width > 0 && off <= p.Ahead && off >= -p.Behind:
		// The pool is drawn as two half ellipses.
		reach := p.Ahead
		if off < 0 {
			reach = p.Behind
		}
		r := off / math.Max(reach, 1e-4)
		return p.Width * math.Sqrt(math.Max(0.05, 1-r*r)), inkMolten
	case off > 0 || p.At+off < 0:
		return 0, inkSeam
	}
	for i, from := range view.GlowSteps {
		if temperature >= from {
			return width, inkGlow + ink(i)
		}
	}
	return width, inkBead
}
