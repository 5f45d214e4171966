package scoring

import (
	"errors"
	"math"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// HeatRange is the currents between which a joint fuses and holds. High below Low says
// that it never does both.
type HeatRange struct {
	Low  weld.Current // from here it melts through, or fuses a fillet's root, all along but at the start
	High weld.Current // from here it drops out, or melts through to a far side; +Inf: not up to the most the model covers
}

// Open says whether any current both fuses and holds.
func (r HeatRange) Open() bool { return r.High > r.Low }

// ErrNoEdge says that an edge lies outside what the model covers.
var ErrNoEdge = errors.New("no edge within what the model covers")

// FindHeatRange looks for the currents between which the joint fuses and holds, all
// else as the answer has it: heat alone, as if the gas were good. The start, which has a
// rule of its own, is left out; the foot's share stays as it is. An edge is read between
// two seams not more than 4 % apart. At the coarse grade most edges lie within 2 % of the
// fine one's, a fillet's low edge up to 8 % off. The error is ErrNoEdge when
// nothing within what the model covers fuses it, or says why it cannot be welded at all.
// near is where to look first, and spares welds; its zero is an amp a thousandth.
func FindHeatRange(task weld.Task, answer weld.Answer, grade puddle.Grade, near HeatRange) (HeatRange, error) {
	s := newSearch(task, grade, leastAmps, mostAmps, func(amps float64) weld.Answer {
		a := answer
		a.Amps = weld.Current(amps)
		easeWith(&a, answer)
		return a
	})
	if near.Low <= 0 {
		near.Low = weld.Current(float64(task.Thinner()) / 25.4e-6)
	}
	for _, amps := range []weld.Current{min(near.Low, mostAmps), min(near.High, mostAmps)} {
		if amps > 0 {
			if _, err := s.at(math.Max(float64(amps), leastAmps)); err != nil {
				return HeatRange{}, err
			}
		}
	}
	unheated := -2.0 // nothing melted of a butt, or below of a fillet
	if task.Joint.Fillet() {
		unheated = -4
	}
	low, err := s.edge(unheated, func(e *evidence) float64 { return 1 - e.fuses() })
	if err != nil {
		return HeatRange{}, err
	}
	high, err := s.edge(-1, func(e *evidence) float64 { return e.holds() - 1 })
	if err == ErrNoEdge {
		high, err = math.Inf(1), nil
	}
	return HeatRange{weld.Current(low), weld.Current(high)}, err
}

// fuses gives the margin of penetration, or of a fillet's root, all along but at the
// start, which a hand waits for.
func (e *evidence) fuses() float64 {
	margin := e.notThrough
	if e.fillet() {
		margin = e.rootMargin
	}
	m, _, _ := e.worst(0.3, 0.9, margin)
	return m
}

// holds gives the margin against dropping out or melting through to a far side.
func (e *evidence) holds() float64 { return math.Max(collapse(e).margin, farSideMelted(e).margin) }

// The dab spacings that are tried, mm.
const leastDab, MostDab = 0.3, 12.0

// FindDabSpacing looks for the widest dab spacing at which the joint's gap does not open
// and every dab still melts in, and gives the id of the rule that stops a wider one: none
// up to MostDab. Zero when no spacing does. At the coarse grade, as near as
// FindHeatRange; the answer's spacing is where to look first.
func FindDabSpacing(task weld.Task, answer weld.Answer) (weld.Length, string, error) {
	s := newSearch(task, puddle.Coarse, leastDab, MostDab, func(mm float64) weld.Answer {
		a := answer
		a.DabSpacing = weld.Length(float64(mm * float64(weld.Millimetre)))
		return a
	})
	stops := func(e *evidence) float64 { return math.Max(keyhole(e).margin, coldLap(e).margin) - 1 }
	first := math.Min(math.Max(answer.DabSpacing.MM(), leastDab), MostDab)
	if gap := float64(max(task.Gap, task.GapEnd)); gap > 0 {
		first = math.Min(first, math.Max(leastDab, weld.Length(puddle.BareLimit(gap, float64(task.Thinner()))).MM()))
	}
	if _, err := s.at(first); err != nil {
		return 0, "", err
	}
	widest, err := s.edge(-1, stops)
	stop := s.firstOver(stops)
	switch {
	case err == ErrNoEdge && stop == nil:
		return MostDab * weld.Millimetre, "", nil
	case err == ErrNoEdge:
		widest = 0
	case err != nil:
		return 0, "", err
	}
	rule := "cold_lap"
	if keyhole(stop).margin >= 1 {
		rule = "keyhole"
	}
	return weld.Length(float64(widest * float64(weld.Millimetre))), rule, nil
}

// search welds a joint again and again with one setting varied from least to most, and
// keeps what it saw.
type search struct {
	task        weld.Task
	grade       puddle.Grade
	least, most float64
	answer      func(x float64) weld.Answer
	seen        map[float64]*evidence
}

func newSearch(task weld.Task, grade puddle.Grade, least, most float64, answer func(x float64) weld.Answer) *search {
	return &search{task, grade, least, most, answer, map[float64]*evidence{}}
}

// at welds with the setting at x.
func (s *search) at(x float64) (*evidence, error) {
	if e, ok := s.seen[x]; ok {
		return e, nil
	}
	a := s.answer(x)
	if reason := outside(s.task, a); reason != "" {
		return nil, errors.New(reason)
	}
	b, err := puddle.WeldAt(s.task, a, s.grade)
	if err != nil {
		return nil, err
	}
	e := gather(s.task, a, b)
	e.sluggish = 0
	s.seen[x] = e
	return e, nil
}

// firstOver gives the seam with the least setting at which over is not negative.
func (s *search) firstOver(over func(*evidence) float64) *evidence {
	least := math.Inf(1)
	for x, e := range s.seen {
		if over(e) >= 0 {
			least = math.Min(least, x)
		}
	}
	return s.seen[least]
}

// edge finds the setting at which over, which rises with it from none at zero, passes zero.
func (s *search) edge(none float64, over func(*evidence) float64) (float64, error) {
	const within = 0.04
	for halve, back := false, 0.965; ; {
		lo, hi, below, above := 0.0, math.Inf(1), none, 0.0
		for x, e := range s.seen {
			switch o := over(e); {
			case o < 0 && x > lo:
				lo, below = x, o
			case o >= 0 && x < hi:
				hi, above = x, o
			}
		}
		var x float64
		switch {
		case math.IsInf(hi, 1): // onwards the way it went from nothing up to here, and a little beyond
			ahead := 1.35
			if below > none {
				ahead = math.Min(math.Max(1.02*none/(none-below), 1.035), ahead)
			}
			x = float64(lo * ahead)
		case hi-lo <= math.Max(float64(within*hi), 0.1):
			return lo + float64((hi-lo)*(-below/(above-below))), nil
		case lo == 0:
			x = float64(hi * math.Min(math.Max(0.98*none/(none-above), 0.72), back))
			back = float64(back * back)
		case halve:
			x = (lo + hi) / 2
		default: // along a line; short of the edge or past it, so that the far end moves
			x = lo + float64((hi-lo)*(-below/(above-below)))
			if hi-x > x-lo {
				x += float64(within / 3 * x)
			} else {
				x -= float64(within / 3 * x)
			}
			x = math.Min(math.Max(x, lo+(hi-lo)/8), hi-(hi-lo)/8)
		}
		x = math.Min(math.Max(x, s.least), s.most)
		if x == lo || x == hi {
			return 0, ErrNoEdge
		}
		e, err := s.at(x)
		if err != nil {
			return 0, err
		}
		halve = !halve && lo > 0 && (over(e) < 0) == (x-lo < hi-x) // less than half is gone
	}
}
