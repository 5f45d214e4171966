package tui

import (
	"math"
	"slices"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session/view"
)

// runPair is two runs of a joint, drawn to one scale and looked at at one time.
type runPair struct {
	runs  [2]scoring.Run
	whose [2]string // what they are called
	marks [2][]view.RunMark
	facts []view.HandPair
	sys   weld.System
	at    int // moment
}

func newRunPair(t weld.Task, a, b scoring.Run, whose [2]string, sys weld.System) *runPair {
	p := &runPair{runs: [2]scoring.Run{a, b}, whose: whose, facts: view.HandPairs(t, a, b, sys), sys: sys}
	for i, r := range p.runs {
		p.marks[i] = view.RunMarks(t, r, sys)
	}
	// What differs first.
	slices.SortStableFunc(p.facts, func(a, b view.HandPair) int {
		switch {
		case a.Differs == b.Differs:
			return 0
		case a.Differs:
			return -1
		}
		return 1
	})
	return p
}

func (p *runPair) moments() int { return max(len(p.runs[0].Line), len(p.runs[1].Line)) }

func (p *runPair) move(by int) { p.at = max(0, min(p.at+by, p.moments()-1)) }

func (p *runPair) marked() bool { return len(p.marks[0])+len(p.marks[1]) > 0 }

// next goes to the next moment at which a finding of either run begins, from the last to
// the first.
func (p *runPair) next() {
	next, first := math.MaxInt, math.MaxInt
	for _, m := range slices.Concat(p.marks[0], p.marks[1]) {
		first = min(first, m.From)
		if m.From > p.at {
			next = min(next, m.From)
		}
	}
	if next == math.MaxInt {
		next = first
	}
	p.at = next
}

// lines are the two verdicts, the time lines, the moment of each and what the hands did.
func (p *runPair) lines(look *look, w, h int) []line {
	const who = 8 // cells
	var out []line
	for i, r := range p.runs {
		word, mark := view.Outcome(r.Verdict.Outcome)
		head := line{{padTo(p.whose[i], who), inkFaint}, {word + " " + mark + " ", outcomeInk(r.Verdict.Outcome)}}
		out = append(out, append(head, span{shorten(view.Said(r.Verdict.Reason, p.sys), w-width(head.String()), look.glyph.dots), inkPlain}))
	}
	if p.moments() == 0 {
		return out
	}
	ms := [2][]measure{measures(p.runs[0], p.sys), measures(p.runs[1], p.sys)}
	const rest, tall = 2 + 2 + 2 + 2 + 4, 30 // dabs, a mark each, axis, moments, few facts; a page with room
	which := []int{0, 1, 3}                  // without the pool where there is no room
	if h >= tall {
		which = []int{0, 1, 2, 3}
	}
	rows := max(1, (h-len(out)-rest-2)/(2*len(which)))
	t := newTimeline(look, w, p.moments(), who)
	for _, k := range which {
		most := math.Max(ms[0][k].most(), ms[1][k].most())
		out = append(out, t.plot(ms[0][k], most, rows, p.whose[0])...)
		out = append(out, t.plot(ms[1][k], most, rows, p.whose[1])...)
	}
	for i, r := range p.runs {
		out = append(out, t.dabs(r, p.whose[i], scoring.DabTime{Ready: -1}))
	}
	few := 1
	if h >= tall {
		few = 2
	}
	for i, marks := range p.marks {
		for _, m := range marks[:min(few, len(marks))] {
			out = append(out, t.mark(m, p.whose[i]))
		}
	}
	out = append(out, t.axis(p.at)...)
	for i, r := range p.runs {
		l := line{{padTo(p.whose[i], who), inkFaint}}
		if p.at < len(r.Line) {
			at, state := momentWords(r, p.at, p.sys)
			l = append(l, span{at, inkFocus}, span{state, inkPlain})
		} else {
			l = append(l, span{"over", inkPlain})
		}
		out = append(out, l)
	}
	return append(out, p.factLines(w, h-len(out))...)
}

// factLines sets what the hands did beside each other, in two columns; what differs is
// marked and comes first.
func (p *runPair) factLines(w, h int) []line {
	const name, value = 15, 11
	columns := max(1, w/(name+2*value+2))
	rows := min(h-1, (len(p.facts)+columns-1)/columns)
	if rows < 1 {
		return nil
	}
	out := make([]line, rows+1)
	for i, f := range p.facts {
		if i/rows >= columns {
			break
		}
		if i%rows == 0 {
			out[0] = append(out[0], span{padTo("", name) + padTo(p.whose[0], value) + padTo(p.whose[1], value+2), inkFaint})
		}
		mark, in := "  ", inkPlain
		if f.Differs {
			mark, in = "~ ", inkStrong
		}
		row := &out[1+i%rows]
		*row = append(*row, span{padTo(f.Name, name), inkFaint}, span{padTo(f.Before, value), inkPlain}, span{padTo(f.Now, value), in}, span{mark, inkFaint})
	}
	return out
}
