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
	may     int // the most of them
	slowest int // of the run
	ticks   int
	numbers bool
	follows string    // record.Settings' good hand
	good    *arc.Path // its run, once it is made
	lit     bool

	amps, arcLength, rod, aim float64 // A, mm

	laid    []float64 // how wide the pool was, m, by beadEvery along the seam
	ripples []ripple  // where the dabs froze, mm along the seam
	dabbed  int       // step of the last dab
	froze   float64   // where the rod stuck last, mm along the seam
}

// beadEvery is how closely the bead behind the pool is kept, m.
const beadEvery = 0.5e-3

// dabShows is how long a dab is seen, steps.
const dabShows = 5

func newArcModel(sc scenarios.Scenario, a weld.Answer) *arcModel {
	return &arcModel{
		sc: sc, set: a, torch: arc.Take(sc, a), slow: 1, may: 4, slowest: 1,
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
	more := m.torch.Step()
	p := m.torch.Pool()
	k := int(p.At / beadEvery)
	for len(m.laid) <= k {
		m.laid = append(m.laid, 0)
	}
	m.laid[k] = math.Max(m.laid[k], p.Width)
	return more
}

// goodHand says where a good hand would be by now, and how far ahead of this one, m; ok is
// false where none is followed.
func (m *arcModel) goodHand(sys weld.System) (words string, ahead float64, ok bool) {
	if m.good == nil || m.follows == "" {
		return "", 0, false
	}
	if !m.lit {
		return "strikes with you", 0, true
	}
	p := m.torch.Pool()
	at, gone, over := m.good.Place(p.Step)
	ahead = math.Round((at-p.At)*1e4) / 1e4
	switch {
	case !gone:
		words = "waits for its pool"
	case ahead == 0:
		words = "with you"
	case ahead > 0:
		words = weld.Length(ahead).Show(sys) + " ahead"
	default:
		words = weld.Length(-ahead).Show(sys) + " behind"
	}
	if gone && over {
		words += ", at the end"
	}
	if m.goodDabs(dabShows) {
		words += ", dabs now"
	}
	return words, ahead, true
}

// goodDabs says whether the good hand dabbed in the last n steps.
func (m *arcModel) goodDabs(n int) bool {
	return m.lit && m.good != nil && m.follows != "" && m.good.Dabbed(m.torch.Pool().Step, n)
}

// bead gives how wide the run is at a place along the seam, mm.
func (m *arcModel) bead(at float64) float64 {
	const jumped = 3 // taps within a step
	k := int(at * 1e-3 / beadEvery)
	if at < 0 || k >= len(m.laid) {
		return 0
	}
	for n := 0; n < jumped && k > 0 && m.laid[k] == 0; n++ {
		k--
	}
	return m.laid[k] * 1e3
}

// picture is what is seen now.
func (m *arcModel) picture(l *look) *arcPicture {
	p := m.torch.Pool()
	at := p.At * 1e3
	out := &arcPicture{
		look: l, task: m.sc.Task, pool: p, band: m.torch.Band(), signs: strengths(scoring.PoolSigns(m.sc.Task, m.set, p)), lit: m.lit,
		arc: m.arcLength, aim: m.aim, dia: m.set.TungstenDia.MM(), beside: m.set.RodFrom == weld.Aside,
		bead: func(x float64) float64 { return m.bead(at + x) },
	}
	if m.set.Filler != weld.NoFiller {
		out.rod = m.set.Rod.MM()
		out.tip = math.Max(p.Ahead*1e3, 1) + m.rod
		if out.dabs = m.dabbed > 0 && p.Step < m.dabbed+dabShows; out.dabs {
			out.tip = math.Max(p.Ahead*1e3-0.5, 0.5)
		}
		if p.Stuck {
			out.dabs, out.tip = true, m.froze-at
		}
	}
	for _, r := range m.ripples {
		r.at -= at
		out.ripples = append(out.ripples, r)
	}
	return out
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
		stuck := m.torch.Pool().Stuck
		_ = m.torch.Do(puddle.Dab, 0)
		p := m.torch.Pool()
		if p.Stuck && !stuck {
			m.froze = p.At * 1e3
		}
		m.dabbed = p.Step
		if p.Width > 0 && !p.Stuck {
			m.ripples = append(m.ripples, ripple{p.At * 1e3, p.Behind * 1e3, p.Width * 1e3})
		}
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
		if m.slow *= 2; m.slow > m.may {
			m.slow = 1
		}
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
			plainLine(fmt.Sprintf("at %s of %s   pool %s wide   back %s wide   %s", show(p.At), m.sc.Task.Seam.Show(sys), show(p.Width), show(p.Back), view.Counted(p.Dabs, "dab"))),
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
