package plain

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/drill"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/question"
	"puddlewise/trainer/session/view"
)

// Debrief is what DebriefDrill goes through.
type Debrief struct {
	Title string
	Talks []drill.Talk
	Names bool // say whose coupon is whose
	Judge session.Judge
	Map   session.Map
	Desk  question.Desk // makes the questions again
}

// DebriefDrill walks through a drill joint by joint: the class's answers on the window,
// the worst coupon and the best beside each other. Of opt, Bank, In, Out, Echo and
// Settings.Units are used.
func DebriefDrill(ctx context.Context, opt Options, d Debrief) error {
	r := &runner{console: newConsole(ctx, opt.In, opt.Out, opt.Echo), ctx: ctx, opt: opt}
	r.say(0, d.Title+": "+view.Counted(len(d.Talks), "joint"))
	for i := 0; i < len(d.Talks); {
		r.gap()
		r.line(rule)
		r.say(0, fmt.Sprintf("JOINT %d OF %d", i+1, len(d.Talks)))
		if err := r.talk(d, d.Talks[i]); err != nil {
			return err
		}
		to, err := r.afterTalk(i, len(d.Talks))
		if errors.Is(err, errLeave) || errors.Is(err, io.EOF) {
			return r.out.err
		}
		if err != nil {
			return err
		}
		i = to
	}
	return r.out.err
}

// afterTalk asks which joint is next.
func (r *runner) afterTalk(i, of int) (int, error) {
	for {
		r.gap()
		text, err := r.ask(fmt.Sprintf("Enter goes on, 1 to %d goes to a joint, back, quit: ", of))
		n := 0
		switch {
		case errors.Is(err, errBack):
			return max(0, i-1), nil
		case err != nil:
			return 0, err
		case text == "":
			return i + 1, nil
		}
		if _, err := fmt.Sscanf(text, "%d", &n); err == nil && n >= 1 && n <= of {
			return n - 1, nil
		}
		r.say(2, fmt.Sprintf("%q is no joint: 1 to %d.", cut(text, 20), of))
	}
}

func (r *runner) talk(d Debrief, t drill.Talk) error {
	sys := r.opt.Settings.Units
	sc, err := scenarios.Find(r.opt.Bank, t.Scenario)
	if err != nil {
		sc = scenarios.Scenario{ID: t.Scenario}
	}
	r.say(0, scenarios.Name(t.Scenario, t.Seed)+"  "+sc.Title)
	r.say(0, view.PassedWords(t.Passed, t.Tried))
	if t.Finding != "" {
		r.say(0, "Most often: "+session.InWords(t.Finding)+".")
	}
	if err := r.talkQuestion(d, t); err != nil {
		return err
	}
	if err := r.talkWindow(d, t); err != nil {
		return err
	}
	if t.Worst == nil {
		return nil
	}
	worst, err := r.welded(d, *t.Worst)
	if err != nil {
		return err
	}
	if t.Best == nil {
		r.coupons(d, t, worst)
		return nil
	}
	best, err := r.welded(d, *t.Best)
	if err != nil {
		return err
	}
	r.coupons(d, t, worst, best)
	c := view.Compare(worst, best, view.AllFields(), sys)
	r.gap()
	r.say(0, "From the one to the other")
	for _, ch := range append(append(c.Changes, c.Outcome), c.Scores...) {
		r.say(2, ch.Label+": "+ch.Before+" -> "+ch.After)
	}
	return nil
}

// talkQuestion says what the class answered to the question of a joint, and what is right.
func (r *runner) talkQuestion(d Debrief, t drill.Talk) error {
	if t.Quiz == nil {
		return nil
	}
	sys := r.opt.Settings.Units
	name, about := view.KindWords(t.Quiz.Kind)
	r.gap()
	r.say(0, "A question, "+name+": "+about+".")
	r.say(0, fmt.Sprintf("%d of %s had all of it right.", t.Quiz.Right(), view.Counted(len(t.Quiz.Said), "learner")))
	if t.Quiz.Others > 0 {
		r.say(0, fmt.Sprintf("%s had another question of the joint.", view.Counted(t.Quiz.Others, "learner")))
	}
	r.say(0, "Welding ...")
	q, res, err := t.Again(r.ctx, d.Desk)
	if r.ctx.Err() != nil {
		return r.ctx.Err()
	}
	if err != nil {
		r.say(2, "It cannot be made again: "+err.Error())
		return nil
	}
	r.lookAt(q, sys)
	for _, p := range view.Tally(q, res, t.Quiz.Said, sys) {
		r.gap()
		r.say(0, p.Ask)
		for i, text := range p.Steps {
			r.hang(2, 3, strconv.Itoa(i+1), text)
		}
		for _, o := range p.Said {
			mark := " "
			if o.Right {
				mark = "+"
			}
			text := o.Text
			if d.Names && len(o.Who) > 0 {
				text += " (" + strings.Join(o.Who, ", ") + ")"
			}
			r.hang(2, 6, fmt.Sprintf("%s %3d", mark, len(o.Who)), text)
		}
		if p.Truth != "" {
			r.say(2, "Right: "+p.Truth)
		}
	}
	r.gap()
	for _, f := range view.Reasons(q, res, sys) {
		r.hang(2, 9, f.Label, f.Text)
	}
	return nil
}

// welded welds a coupon again, to be looked at.
func (r *runner) welded(d Debrief, a drill.Answered) (session.Attempt, error) {
	return session.Await(r.ctx, session.Background(func() (session.Attempt, error) { return a.Weld(d.Judge) }))
}

// coupons says the coupons, the worst first.
func (r *runner) coupons(d Debrief, t drill.Talk, all ...session.Attempt) {
	for i, a := range all {
		head := "The coupon furthest off"
		switch {
		case len(all) == 1:
			head = "The only coupon"
		case i == 1:
			head = "The best coupon"
		}
		if d.Names {
			head += ", " + a.Learner + "'s"
		}
		r.gap()
		word, mark := view.Outcome(a.Verdict.Outcome)
		r.say(0, head+": "+word+" "+mark)
		var set []string
		for _, key := range t.Set {
			if f, ok := weld.FieldByKey(key); ok {
				set = append(set, f.Label+" "+f.Show(a.Answer, r.opt.Settings.Units))
			}
		}
		if set != nil {
			r.say(2, strings.Join(set, ", "))
		}
		for _, w := range view.CouponWords(t.Task, a.Verdict, r.opt.Settings.Units) {
			r.say(2, w)
		}
	}
}

// talkWindow draws the class's first answers on the window that the most common finding
// asks for, around the best of them.
func (r *runner) talkWindow(d Debrief, t drill.Talk) error {
	around, pairs := t.Windows()
	if pairs == nil {
		return nil
	}
	x := pairs[0]
	r.say(0, "Mapping "+x.Words()+" ...")
	w, err := session.Await(r.ctx, session.Background(func() (*scoring.Window, error) {
		return d.Map(t.Task, around, x.X, x.Y, session.Cores(r.ctx, 2))
	}))
	if r.ctx.Err() != nil {
		return r.ctx.Err()
	}
	if err != nil {
		r.say(2, "It could not be mapped: "+err.Error())
		return nil
	}
	points := t.Points(w.X, w.Y)
	r.gap()
	for _, l := range view.ClassChart(w, r.opt.Settings.Units, points, len(w.Ys)).Lines() {
		r.line(l)
	}
	r.gap()
	r.say(0, "First answers, "+x.Words()+"; those off the map stand at its edge")
	for _, p := range view.PointRows(w, w.X, w.Y, points, d.Names, r.opt.Settings.Units) {
		r.say(2, p.Text+map[bool]string{true: " passed", false: " did not pass"}[p.Passed])
	}
	if t.Others > 0 {
		r.say(2, fmt.Sprintf("%s had another variation of the joint.", view.Counted(t.Others, "learner")))
	}
	return nil
}
