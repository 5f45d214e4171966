package plain

import (
	"fmt"
	"io"
	"strconv"

	"puddlewise/scoring/weld"
	"puddlewise/trainer/session/question"
	"puddlewise/trainer/session/view"
)

// questions asks about coupons until the learner has had enough: first which kind, then
// question after question. joint may name the one to ask about.
func (r *runner) questions(joint string) error {
	seed := r.opt.Questions.Seed()
	kinds := question.Kinds()
	for {
		r.gap()
		r.say(0, "What shall it be about?")
		for i, k := range kinds {
			name, about := view.KindWords(k)
			r.hang(2, 4, strconv.Itoa(i+1), name+": "+about)
		}
		text, err := r.ask(fmt.Sprintf("question (1 to %d): ", len(kinds)))
		if err != nil {
			return err
		}
		n, err := strconv.Atoi(text)
		if err != nil || n < 1 || n > len(kinds) {
			if text != "" {
				r.say(2, "Type one of the numbers; back leaves.")
			}
			continue
		}
		for again := true; again; seed++ {
			if again, err = r.question(kinds[n-1], joint, seed); err != nil {
				return err
			}
		}
	}
}

// question asks one question; again asks for another of its kind.
func (r *runner) question(kind question.Kind, joint string, seed int64) (again bool, err error) {
	desk, sys := r.opt.Questions, r.opt.Settings.Units
	r.say(0, "Welding ...")
	q, err := desk.Compose(r.ctx, kind, joint, seed)
	if r.ctx.Err() != nil {
		return false, r.ctx.Err()
	}
	if err != nil {
		r.say(2, err.Error())
		return false, nil
	}
	r.lookAt(q, sys)
	replies, err := r.replies(q)
	if err == errBack {
		return false, nil
	}
	if err != nil {
		return false, err
	}
	if q.Parts[len(q.Parts)-1].Typed {
		r.say(0, "Welding ...")
	}
	res, err := desk.Check(r.ctx, q, replies, sys)
	if r.ctx.Err() != nil {
		return false, r.ctx.Err()
	}
	if err != nil {
		r.say(2, err.Error())
		return false, nil
	}
	r.result(q, replies, res, sys)
	if err := desk.Record(q, replies, res, r.opt.Settings.Name); err != nil {
		r.say(0, "! "+err.Error())
	} else if desk.Answers != nil {
		r.say(0, "Recorded.")
	}
	for {
		text, err := r.ask("next, or back: ")
		switch {
		case err == errBack:
			return false, nil
		case err != nil:
			return false, err
		case text == "next" || text == "n":
			return true, nil
		case text != "":
			r.say(2, "next asks another question of this kind, back chooses another kind, quit leaves.")
		}
	}
}

// replies asks a question part by part; back before the first is errBack.
func (r *runner) replies(q *question.Question) (replies []string, err error) {
	sys := r.opt.Settings.Units
	for len(replies) < len(q.Parts) {
		i := len(replies)
		r.part(q, i, sys)
		text, err := r.ask(replyPrompt(q, replies, sys))
		if err == errBack && i > 0 {
			replies = replies[:i-1]
			continue
		}
		if err != nil {
			return nil, err
		}
		if text == "skip" && r.drilled {
			return nil, errSkip
		}
		if text == "?" {
			r.say(2, "Look at what is to be seen and at the numbers: where do they change, and what would make them change there?")
			continue
		}
		if text = view.PickOption(q, i, text, sys); text == "" {
			continue
		}
		if err := q.Accept(replies, text, sys); err != nil {
			r.say(2, problem(err))
			continue
		}
		replies = append(replies, text)
	}
	return replies, nil
}

// replyPrompt says what may be typed.
func replyPrompt(q *question.Question, replies []string, sys weld.System) string {
	if w := view.Wanted(q, replies, sys); w != "" {
		return w + ": "
	}
	return fmt.Sprintf("answer (1 to %d): ", len(q.Parts[len(replies)].Options))
}

// lookAt says what there is to look at in a question.
func (c *console) lookAt(q *question.Question, sys weld.System) {
	c.gap()
	c.say(0, fmt.Sprintf("Question %d: %s", q.Seed, q.Scenario.Title))
	c.say(0, view.QuestionHead(q, sys))
	if p := view.Paper(q, sys); p != nil {
		c.gap()
		c.say(0, "Allowed, and set up")
		for _, f := range p {
			c.hang(2, 24, f.Label, f.Text)
		}
	}
	for i, k := range q.Coupons {
		c.gap()
		name := "Coupon"
		if len(q.Coupons) > 1 {
			name += " " + view.CouponLetter(i)
		}
		c.say(0, name)
		c.piece(q.Scenario.Task, k.Verdict, sys)
	}
}

// part asks one part of a question.
func (c *console) part(q *question.Question, part int, sys weld.System) {
	c.gap()
	c.say(0, view.PartText(q, part, sys))
	for i, text := range view.OptionTexts(q, part, sys) {
		c.hang(2, 3, strconv.Itoa(i+1), text)
	}
}

// result says how the answer came out and why.
func (c *console) result(q *question.Question, replies []string, r question.Result, sys weld.System) {
	c.gap()
	c.say(0, view.RightWords(r))
	for _, o := range view.Outcomes(q, replies, r, sys) {
		c.hang(2, 12, o.Mark+" "+o.Label, o.Text)
	}
	c.gap()
	for _, f := range view.Reasons(q, r, sys) {
		c.hang(2, 9, f.Label, f.Text)
	}
}

// Tell writes a question as plain mode says it, all parts at once.
func Tell(out io.Writer, q *question.Question, sys weld.System) error {
	c := &console{out: &sink{w: out}, blank: true}
	c.lookAt(q, sys)
	for i := range q.Parts {
		c.part(q, i, sys)
	}
	return c.out.err
}

// TellResult writes how an answer came out and why.
func TellResult(out io.Writer, q *question.Question, replies []string, r question.Result, sys weld.System) error {
	c := &console{out: &sink{w: out}, blank: true}
	c.result(q, replies, r, sys)
	return c.out.err
}
