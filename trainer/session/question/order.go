package question

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
)

// Step is one thing a welder does at a joint.
type Step string

// Steps, in the order of a good hand.
const (
	Clean      Step = "clean"       // degrease and brush the joint
	Tack       Step = "tack"        // tack it
	BrushTacks Step = "brush tacks" // brush the tacks
	Purge      Step = "purge"       // argon behind the seam
	GasOn      Step = "gas on"      // shielding gas before the arc
	Strike     Step = "strike"      // strike the arc
	Wait       Step = "wait"        // stand until the pool is there
	Move       Step = "move"        // move off along the seam
	Ease       Step = "ease"        // ease the current out
	Hold       Step = "hold"        // hold the torch over the end
	First      Step = "first"       // weld the first third of the seam
	Second     Step = "second"      // the middle one
	Third      Step = "third"       // the last one
)

// slips says of each step that can be out of place what the welder then did instead.
// That a joint is tacked before it is welded, and that an arc burns before it moves, is
// no slip: nothing else can be done.
var slips = []struct {
	step          Step
	after, before Step // where it belongs; empty: anywhere
	slip          func(*weld.Answer)
}{
	{Clean, "", Tack, func(a *weld.Answer) { a.Cleaned = false }},
	{BrushTacks, Tack, Strike, func(a *weld.Answer) { a.TacksClean = false }},
	{Purge, "", Strike, func(a *weld.Answer) { a.Back, a.PurgeTime = weld.OpenAir, 0 }},
	{GasOn, "", Strike, func(a *weld.Answer) { a.PreFlow = 0 }},
	{Wait, Strike, Move, func(a *weld.Answer) { a.Start = weld.GoAtOnce }},
	{Ease, Move, "", func(a *weld.Answer) { a.SlopeDown = 0 }},
	{Hold, Move, "", func(a *weld.Answer) { a.PostFlow = 0 }},
}

// mostSlips is how many steps of an order can be out of place: with those that cannot, a
// list that is read at a glance.
const mostSlips = 4

// order asks for the steps of a joint in order: those whose place the model minds there.
func order(b *bench, q *Question) error {
	good, err := b.weld(b.desk.Judge, b.sc.Task, b.sc.Model)
	if err != nil {
		return err
	}
	minded := func(slip func(*weld.Answer)) ([]scoring.Finding, error) {
		a := b.sc.Model
		if slip(&a); a == b.sc.Model {
			return nil, nil
		}
		v, err := b.weld(b.desk.Estimate, b.sc.Task, a)
		if err == errNone {
			return nil, nil
		}
		return worse(good, v), err
	}
	lengths, err := minded(func(a *weld.Answer) { a.Sequence = weld.EndToEnd })
	if err != nil {
		return err
	}
	steps := []Step{Tack, Strike, Move}
	n := 0
	if lengths != nil {
		steps, n = []Step{Tack, First, Second, Third}, 1
		q.Rules = append(q.Rules, lengths[0].Rule)
	}
	for _, s := range shuffled(b.rng, slips) {
		if n == mostSlips || lengths != nil && (s.step == Wait || s.step == Ease || s.step == Hold) {
			continue
		}
		found, err := minded(s.slip)
		if err != nil {
			return err
		}
		if found != nil {
			steps, n = append(steps, s.step), n+1
			q.Rules = append(q.Rules, found[0].Rule)
		}
	}
	if n < 2 {
		return errNone
	}
	p := Part{About: InOrder, Typed: true, right: -1, base: good}
	for _, s := range shuffled(b.rng, steps) {
		p.Options = append(p.Options, Option{Step: s})
	}
	q.Parts = []Part{p}
	return nil
}

// worse gives the defects and faults of a coupon that another has not.
func worse(than, v scoring.Verdict) []scoring.Finding {
	var out []scoring.Finding
	for _, f := range v.Findings {
		had := func(g scoring.Finding) bool { return g.Rule == f.Rule && g.Severity == f.Severity }
		if f.Severity != scoring.Remark && !slices.ContainsFunc(than.Findings, had) {
			out = append(out, f)
		}
	}
	return out
}

// sequence reads the numbers of all steps, with or without anything between them.
func (p Part) sequence(reply string) ([]Step, error) {
	var out []Step
	for _, r := range reply {
		if strings.ContainsRune(" ,;-.>", r) {
			continue
		}
		i := int(r - '1')
		if i < 0 || i >= len(p.Options) || slices.Contains(out, p.Options[i].Step) {
			return nil, fmt.Errorf("%.40q is no order: each number from 1 to %d once, such as %s", reply, len(p.Options), someOrder(len(p.Options)))
		}
		out = append(out, p.Options[i].Step)
	}
	if len(out) < len(p.Options) {
		return nil, fmt.Errorf("that leaves steps out: each number from 1 to %d once, such as %s", len(p.Options), someOrder(len(p.Options)))
	}
	return out, nil
}

func someOrder(n int) string {
	var out []string
	for i := range n {
		out = append(out, fmt.Sprint((i+1)%n+1))
	}
	return strings.Join(out, " ")
}

// errCannot says that steps cannot be done in an order at all.
var errCannot = errors.New("cannot be done")

// done gives the answer that an order of steps comes to.
func done(model weld.Answer, steps []Step) (weld.Answer, error) {
	at := func(s Step) int { return slices.Index(steps, s) }
	strike, move := at(Strike), at(Move)
	if strike < 0 { // in lengths: the first one strikes, the last one ends
		thirds := []int{at(First), at(Second), at(Third)}
		strike, move = slices.Min(thirds), slices.Min(thirds)
		switch {
		case slices.IsSorted(thirds):
			model.Sequence = weld.EndToEnd
		case thirds[0] > thirds[1] && thirds[1] > thirds[2]:
			model.Sequence = weld.BackStep
		default:
			model.Sequence = weld.Skip
		}
	}
	if move < strike || at(Tack) > strike {
		return model, errCannot
	}
	place := func(s Step) int {
		switch s {
		case Strike:
			return strike
		case Move:
			return move
		}
		return at(s)
	}
	for _, s := range slips {
		i := at(s.step)
		if i >= 0 && (s.after != "" && i < place(s.after) || s.before != "" && i > place(s.before)) {
			s.slip(&model)
		}
	}
	return model, nil
}

// inOrder welds what an order of steps comes to: right is one the model minds no more
// than the joint's own answer.
func (d Desk) inOrder(q *Question, reply string) (Result, error) {
	p := q.Parts[0]
	steps, err := p.sequence(reply)
	if err != nil {
		return Result{}, err
	}
	r := Result{Right: []bool{false}, Truth: []int{-1}}
	for _, s := range goodOrder {
		for _, o := range p.Options {
			if o.Step == s {
				r.Good = append(r.Good, s)
			}
		}
	}
	a, err := done(q.Scenario.Model, steps)
	if err == errCannot {
		return r, nil
	}
	v, err := d.Judge(q.Scenario.Task, a)
	r.Tried, r.Worse = &Coupon{a, v}, worse(p.base, v)
	r.Right[0] = r.Worse == nil
	return r, err
}

// goodOrder is one right order: whatever the joint, its model answer is what it comes to.
var goodOrder = []Step{Clean, Tack, BrushTacks, Purge, GasOn, Strike, Wait, Move, Ease, Hold, Third, Second, First}
