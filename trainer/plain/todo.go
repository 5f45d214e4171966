package plain

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"puddlewise/scenarios"
	"puddlewise/trainer/learner"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

// proposal is the joint that is proposed, if there is one.
type proposal struct {
	learner.Choice
	ok bool
}

// todo says what there is to do beside a joint of the list, and gives it, with the
// joint that is proposed.
func (r *runner) todo() (td view.ToDo, proposed proposal) {
	if r.opt.Past == nil {
		return td, proposed
	}
	td, err := view.ReadToDo(r.opt.Bank, r.opt.Past, r.opt.Settings.Name)
	known, kerr := learner.Read(r.opt.Past, r.opt.Bank, r.opt.Settings.Name)
	if err = errors.Join(err, kerr); err != nil {
		r.say(0, "! "+err.Error())
	}
	r.known = known
	var begun []string
	offer := func(word, text string) { r.hang(2, max(10, len(word)+2), word, text) }
	r.gap()
	r.say(0, "You may type")
	for i, b := range td.Begun {
		word := b.Scenario.ID
		if b.Draft.Seed != 0 {
			word = fmt.Sprintf("vary %s %d", b.Scenario.ID, b.Draft.Seed)
		}
		if i == 0 {
			word = "go on"
		}
		begun = append(begun, b.Scenario.ID)
		offer(word, fmt.Sprintf("goes on with %s %s: %s, left %s", b.Scenario.Name(), b.Scenario.Title, b.Words(), view.When(b.Draft.At, r.now())))
	}
	if c, ok := known.Next(r.now(), begun...); ok {
		proposed = proposal{c, true}
		offer("next", fmt.Sprintf("welds %s %s, the joint that pays most now. %s", scenarios.Name(c.Scenario.ID, c.Seed), c.Scenario.Title, c.Why))
	}
	if n := len(td.Due); n > 0 {
		offer("due", "lists "+view.Counted(n, "joint")+" rejected last time")
	}
	if n := td.Tried; n > 0 {
		offer("record", fmt.Sprintf("lists %s, %d accepted, and what you have practised", view.Counted(n, "coupon"), td.Accepted))
	}
	if r.opt.Vary != nil {
		offer("vary", "and a joint welds it with other numbers, new to you")
	}
	offer("filter", "narrows the list by metal, joint, position, wall, level or skill")
	if r.opt.Questions != nil {
		offer("ask", "shows a coupon and asks what is wrong with it; ask and the id of a joint, one of that joint")
	}
	offer("settings", "says units, name and the rest, and changes them")
	return td, proposed
}

func (r *runner) now() time.Time {
	if r.opt.Now == nil {
		return time.Now()
	}
	return r.opt.Now()
}

// due lists the joints that were rejected last time, longest ago first.
func (r *runner) due(td view.ToDo) {
	for _, b := range td.Due {
		r.say(2, fmt.Sprintf("%d  %s %s, %s: %s", r.index(b.Scenario)+1, b.Scenario, r.opt.Bank[r.index(b.Scenario)].Title, view.When(b.At, r.now()), session.InWords(b.Finding)))
	}
}

// shown gives what the filter leaves of the joints.
func (r *runner) shown(scs []scenarios.Scenario) []scenarios.Scenario {
	var out []scenarios.Scenario
	for _, sc := range scs {
		if r.filter.Takes(sc, r.opt.Settings.Units) {
			out = append(out, sc)
		}
	}
	return out
}

// setFilter takes "metal 304" or "off"; anything else is told what there is.
func (r *runner) setFilter(text string) {
	text = strings.ToLower(strings.TrimSpace(text))
	if text == "off" {
		clear(r.filter)
		r.list(r.shown(r.opt.Bank))
		return
	}
	word, value, _ := strings.Cut(text, " ")
	for _, c := range view.Facets(r.opt.Bank, r.opt.Settings.Units) {
		if string(c.Facet) != word {
			continue
		}
		if v := c.Find(value); v != "" {
			r.filter[c.Facet] = v
			r.say(0, "Only "+r.filter.Words()+". filter off takes it away.")
			r.list(r.shown(r.opt.Bank))
			return
		}
		r.hang(2, 10, word, c.Words())
		return
	}
	r.say(2, "Type filter, what to go by and what it must be, such as: filter level 2. filter off shows all again. There are:")
	for _, c := range view.Facets(r.opt.Bank, r.opt.Settings.Units) {
		r.hang(2, 10, string(c.Facet), c.Words())
	}
}
