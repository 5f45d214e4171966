package plain

import (
	"fmt"
	"strconv"
	"strings"

	"puddlewise/scenarios"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

// record lists the coupons, newest first, or with a number says one again as it was;
// with "window" and perhaps a number behind it, maps settings around its answer.
func (r *runner) record(td view.ToDo, text string) {
	const most = 1000 // coupons said; the command lists all
	var coupons []session.Brief
	if r.opt.Past != nil {
		var err error
		if coupons, err = r.opt.Past.Recent(r.opt.Settings.Name, most); err != nil {
			r.say(0, "! "+err.Error())
		}
	}
	n := len(coupons)
	number, what, _ := strings.Cut(text, " ")
	if i, err := strconv.Atoi(number); err == nil && i >= 1 && i <= n {
		r.review(i, coupons[n-i].ID, what)
		return
	}
	if n == 0 {
		r.say(2, "No coupon has been welded yet.")
		return
	}
	for i := range n {
		b := coupons[n-1-i]
		word, mark := view.Outcome(b.Outcome)
		text := fmt.Sprintf("%d  %s %s, %s %s", i+1, view.When(b.At, r.now()), scenarios.Name(b.Scenario, b.Seed), word, mark)
		for _, s := range view.BriefScores(b) {
			text += fmt.Sprintf(", %s %d", s.Name, s.Value)
		}
		if words := view.LiveWords(b.Live); words != "" {
			text += ", " + words
		}
		if b.Finding != "" {
			text += ": " + session.InWords(b.Finding)
		}
		r.say(2, text)
	}
	r.gap()
	r.say(0, "Skills, weakest first")
	for _, s := range r.known.Skills(r.now()) {
		if s.Seen > 0 {
			r.say(2, s.Words())
		}
	}
	r.say(2, "record and a number says that coupon and its verdict again, as they were; window behind it maps its settings.")
}

// review says a recorded coupon again, the one that is i-th in the list, or what is asked of it.
func (r *runner) review(i int, id, what string) {
	a, err := r.opt.Past.Attempt(id)
	if err != nil {
		r.say(0, "! "+err.Error())
		return
	}
	s, ok := session.Review(r.opt.Bank, a, r.open)
	if !ok {
		r.say(2, "The joint "+a.Scenario+" is not in the bank any more, and this coupon is too old to hold it.")
		return
	}
	r.gap()
	r.say(0, s.Scenario().Name()+" "+s.Scenario().Title+", welded "+view.When(a.At, r.now()))
	for _, e := range s.Entries() {
		r.hang(2, 24, e.Field.Label, e.Field.Show(a.Answer, s.System()))
	}
	if a.Run != nil {
		r.say(2, "It was "+view.HandWords(a, s.System())+"; the numbers above are what the run comes to.")
	}
	window := fmt.Sprintf("record %d window", i)
	if which, ok := strings.CutPrefix(what, "window"); ok {
		n, _ := strconv.Atoi(strings.TrimSpace(which))
		n = max(1, n)
		_ = r.window(s, n-1, fmt.Sprintf("%s %d", window, n+1)) // the end of the run, which the next question meets
		return
	}
	r.coupon(s, a)
	r.verdict(s, true)
	if j, ok := s.Today(); ok {
		v, err := session.Await(r.ctx, j.Start())
		r.gap()
		r.say(0, strings.ToUpper(view.TodayHead[:1])+view.TodayHead[1:])
		r.say(2, view.TodayWords(v, err, s.System()))
	}
	if r.rescue(s) == nil && s.Maps() {
		r.gap()
		r.say(0, "("+window+" maps two settings around it)")
	}
}
