package plain

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"puddlewise/scoring"
	"puddlewise/trainer/precert"
	"puddlewise/trainer/record"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

// RunTest takes a learner through a test until it is over or the learner leaves; what
// has been welded is kept either way. Of opt, Bank, Start, Past and Questions are not used.
func RunTest(ctx context.Context, opt Options, t *precert.Sitting, resumed bool) error {
	r := &runner{console: newConsole(ctx, opt.In, opt.Out, opt.Echo), ctx: ctx, opt: opt, filter: view.Filter{}}
	if !opt.Settings.CautionsSeen {
		r.cautions()
		r.set(func(s *record.Settings) { s.CautionsSeen = true })
	}
	err := r.test(t, resumed)
	if errors.Is(err, errLeave) || errors.Is(err, io.EOF) {
		r.say(0, "Left. The same command goes on where this was; the time away will stand on the paper.")
		err = nil
	}
	return errors.Join(err, t.Close(), r.out.err)
}

func (r *runner) test(t *precert.Sitting, resumed bool) error {
	p := t.Piece()
	r.gap()
	r.say(0, p.ID+"  "+p.Title)
	r.say(0, p.Test.String())
	r.say(0, "Practice: it certifies nothing.")
	if resumed {
		r.say(0, "Going on where this was. The time away stands on the paper.")
	}
	r.say(0, fmt.Sprintf("%s, no hints. %s to set up on; the test piece is welded once. Everything stays within procedure %s (puddlewise precert procedure %s). quit leaves.",
		view.Spell(p.Time), view.Counted(p.Blanks, "blank"), p.Procedure, p.Procedure))
	var before []session.Entry
	for {
		run, n, ok := t.Next()
		if !ok {
			break
		}
		s := r.open(run.Scenario)
		for _, e := range before { // what was set on the run before stands there again
			_ = s.Set(e.Field.Key, e.Text)
		}
		if d := t.Draft(); len(d.Typed) > 0 { // typed before it was closed
			s.Resume(d)
		}
		r.gap()
		r.say(0, strings.ToUpper(run.Name[:1])+run.Name[1:])
		r.sheet(run.Scenario)
		err := r.testRun(t, s, n)
		before = s.Entries()
		if err = errors.Join(err, s.Close()); err != nil {
			return err
		}
	}
	return r.testEnd(t)
}

// testRun welds the run in hand: blanks to set up on, then the test piece.
func (r *runner) testRun(t *precert.Sitting, s *session.Session, n int) error {
	for {
		if _, here, ok := t.Next(); !ok || here != n {
			return nil
		}
		r.gap()
		r.say(0, fmt.Sprintf("Time left: %s.", view.Spell(t.Left())))
		blank := false
		if left := t.Blanks(); left > 0 {
			text, err := r.ask(fmt.Sprintf("blank (%d left) or test: ", left))
			switch {
			case errors.Is(err, errBack):
				continue
			case err != nil:
				return err
			case text == "?":
				r.say(2, "blank welds one that counts for nothing and shows it, without a word on it. test welds the test piece, once.")
				continue
			case strings.EqualFold(text, "blank"):
				blank = true
			case !strings.EqualFold(text, "test"):
				r.say(2, "Type blank or test.")
				continue
			}
		}
		if err := r.answer(s); errors.Is(err, errBack) {
			continue
		} else if err != nil {
			return err
		}
		weldIt, word := t.Weld, "Welding the test piece ..."
		if blank {
			weldIt, word = t.Blank, "Welding a blank ..."
		}
		r.say(0, word)
		v, err := weldIt(s.Answer())
		switch {
		case errors.Is(err, precert.ErrOver):
			r.say(0, "The time is up: this is not welded.")
			return nil
		case err != nil:
			return err
		case v.Outcome == scoring.OutOfRange:
			r.say(0, "Not counted: "+view.Said(v.Reason, s.System()))
			continue
		}
		r.gap()
		r.piece(s.Scenario().Task, v, s.System())
	}
}

func (r *runner) testEnd(t *precert.Sitting) error {
	if err := t.Close(); err != nil {
		return err
	}
	out, err := t.Taken().Judge(scoring.Judge)
	if err != nil {
		return err
	}
	r.outcome(t.Taken(), out)
	return nil
}

// outcome says how a test came out, line by line.
func (r *runner) outcome(t precert.Taken, out precert.Outcome) {
	sys := r.opt.Settings.Units
	for _, j := range out.Parts {
		if !j.Welded {
			continue
		}
		r.gap()
		r.say(0, "Inspector's sheet, "+j.Part.Name)
		for _, l := range j.Sheet {
			text := string(l.Result)
			if l.Got != "" {
				text += ": " + view.Said(l.Got, sys)
			}
			if l.Want != "" {
				text += ", " + view.Said(l.Want, sys)
			}
			r.hang(2, 34, string(l.Imperfection)+" "+l.Name, text)
		}
		for _, l := range precert.Worst(j.Procedure) {
			r.say(2, fmt.Sprintf("x procedure: %s was %s, allowed is %s: %s", l.Variable, l.Have, l.May, l.Result))
		}
	}
	r.gap()
	word := "DOES NOT PASS x"
	if out.Pass {
		word = "WOULD PASS +"
	}
	r.say(0, word+"   "+view.Said(out.Decided, sys))
	if n := len(t.Away); n > 0 {
		r.say(0, "Closed in the middle "+view.Counted(n, "time")+", "+view.Spell(t.Lost())+" in all.")
	}
	r.say(0, "It certifies nothing: a computed coupon, no hand was watched. A qualification is made by a licensed examiner to the code in force.")
}
