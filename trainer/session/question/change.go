package question

import (
	"context"
	"errors"
	"math"
	"runtime"
	"strings"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
)

// change shows a rejected coupon that one setting would save, and asks for that: the
// setting and its new value.
func change(b *bench, q *Question) error {
	for _, m := range b.mistakes() {
		c, err := b.shown(m.Answer)
		if err == errNone {
			continue
		} else if err != nil {
			return err
		}
		if c.Verdict.Outcome != scoring.Reject {
			continue
		}
		p := Part{About: Change, right: -1}
		saves := false
		for _, key := range b.sc.Ask {
			f, ok := weld.FieldByKey(key)
			if !ok {
				continue
			}
			p.Options = append(p.Options, Option{Fields: []weld.Field{f}})
			if !saves && touch(changed(b.sc.Model, m.Answer), []weld.Field{f}) {
				a := m.Answer
				if f.SetStrict(&a, f.Get(b.sc.Model)) != nil {
					continue
				}
				v, err := b.weld(b.desk.Estimate, b.sc.Task, ease(a, m.Answer))
				if err != nil && err != errNone {
					return err
				}
				saves = err == nil && v.Outcome == scoring.Accept
			}
		}
		if saves && len(p.Options) > 1 {
			q.Coupons, q.Title, q.Rules = []Coupon{c}, m.Title, []string{session.Chief(c.Verdict)}
			q.Parts = []Part{p, {About: Value, Typed: true, right: -1}}
			return nil
		}
	}
	return errNone
}

// ease lets the current at the end go with the current, in whole amps, as a foot would.
func ease(a, from weld.Answer) weld.Answer {
	if a.Amps != from.Amps && from.Amps > 0 && from.AmpsEnd > 0 && a.AmpsEnd == from.AmpsEnd {
		a.AmpsEnd = weld.Current(math.Round(float64(from.AmpsEnd * a.Amps / from.Amps)))
	}
	return a
}

// changedTo gives the answer with one setting as typed.
func (q *Question) changedTo(f weld.Field, text string, sys weld.System) (weld.Answer, error) {
	a := q.Coupons[0].Answer
	if strings.TrimSpace(text) == "" {
		return a, errors.New("it needs a value")
	}
	if err := f.Set(&a, text, sys); err != nil {
		return a, err
	}
	if a == q.Coupons[0].Answer {
		return a, errors.New("that is what it is now\ngive another value")
	}
	return ease(a, q.Coupons[0].Answer), nil
}

// try welds the change, and looks for the smallest that would do.
func (d Desk) try(ctx context.Context, q *Question, a weld.Answer, sys weld.System, r *Result) error {
	v, err := d.Judge(q.Scenario.Task, a)
	if err != nil {
		return err
	}
	ok := v.Outcome == scoring.Accept
	r.Tried, r.Right, r.Truth = &Coupon{a, v}, []bool{ok, ok}, []int{-1, -1}
	if d.Save == nil {
		return ctx.Err()
	}
	if saved, found := d.Save(q.Scenario.Task, q.Coupons[0].Answer, q.Scenario.Ask, sys, session.Cores(ctx, runtime.GOMAXPROCS(0)-1)); found {
		r.Rescue = &saved
	}
	return ctx.Err()
}
