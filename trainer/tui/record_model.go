package tui

import (
	"fmt"
	"strings"
	"time"

	"puddlewise/scenarios"
	"puddlewise/trainer/learner"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

// recordModel is the learner's coupons, newest first, and what was practised.
type recordModel struct {
	bank    []scenarios.Scenario
	todo    view.ToDo
	coupons []session.Brief // newest first
	skills  []learner.Skill // the weakest first
	now     time.Time
	cursor  int
	turned  bool // the skills are shown, where there is no room for both
}

// take takes what the record holds now; the cursor stays on its coupon.
func (m *recordModel) take(bank []scenarios.Scenario, td view.ToDo, oldestFirst []session.Brief, now time.Time) {
	var id string
	if b, ok := m.marked(); ok {
		id = b.ID
	}
	m.bank, m.now, m.cursor, m.coupons = bank, now, 0, nil
	for i := len(oldestFirst) - 1; i >= 0; i-- {
		if oldestFirst[i].ID == id {
			m.cursor = len(m.coupons)
		}
		m.coupons = append(m.coupons, oldestFirst[i])
	}
	m.todo = td
}

// marked gives the coupon the cursor is on; ok is false for an empty record.
func (m *recordModel) marked() (b session.Brief, ok bool) {
	if m.cursor >= len(m.coupons) {
		return session.Brief{}, false
	}
	return m.coupons[m.cursor], true
}

// move steps the cursor and stops at the ends.
func (m *recordModel) move(by int) { m.cursor = max(0, min(len(m.coupons)-1, m.cursor+by)) }

// titleOf gives the title a joint has in the bank; empty when it is not there.
func (m *recordModel) titleOf(id string) string {
	for _, sc := range m.bank {
		if sc.ID == id {
			return sc.Title
		}
	}
	return ""
}

// couponLines is h lines of the list with its head, around the cursor.
func (m *recordModel) couponLines(w, h int, dots string) []line {
	const when, outcome, scores, finding = 17, 13, 16, 25
	id := idWidth(m.coupons)
	title := w - 2 - when - id - outcome - scores - finding
	if title < 14 { // no room: the id must do
		title = 0
	}
	head := padTo("", 2) + padTo("when", when) + padTo("id", id)
	if title > 0 {
		head += padTo("joint", title)
	}
	out := []line{{{head + padTo("", outcome) + padTo("burn fuse oxid", scores) + "decided by", inkFaint}}}
	rows := h - 1
	from := max(0, min(m.cursor-rows/2, len(m.coupons)-rows))
	for i := from; i < len(m.coupons) && i < from+rows; i++ {
		out = append(out, m.couponLine(i, when, id, title, outcome, w, dots))
	}
	return out
}

// jointName names a coupon's joint in a column: B-01, or B-01 v3 for its variation 3;
// what was welded by hand is marked.
func jointName(b session.Brief) string {
	name := b.Scenario
	if b.Seed != 0 {
		name = fmt.Sprintf("%s v%d", b.Scenario, b.Seed)
	}
	if b.Live > 0 {
		name += " hand"
	}
	return name
}

// idWidth is how wide the column of the joints' names is.
func idWidth(coupons []session.Brief) int {
	w := 6
	for _, b := range coupons {
		w = max(w, width(jointName(b))+2)
	}
	return w
}

func (m *recordModel) couponLine(i, when, id, title, outcome, w int, dots string) line {
	b := m.coupons[i]
	mark, in := "  ", inkPlain
	if i == m.cursor {
		mark, in = "> ", inkFocus
	}
	word, sign := view.Outcome(b.Outcome)
	l := line{{mark + padTo(view.When(b.At, m.now), when) + padTo(jointName(b), id), in}}
	if title > 0 {
		l = append(l, span{padTo(shorten(m.titleOf(b.Scenario), title-2, dots), title), in})
	}
	l = append(l, span{padTo(word+" "+sign, outcome), outcomeInk(b.Outcome)})
	var scores []string
	for _, s := range view.BriefScores(b) {
		scores = append(scores, padLeft(itoa(s.Value), 3)+s.Mark())
	}
	l = append(l, span{padTo(strings.Join(scores, " "), 16), inkPlain})
	return append(l, span{shorten(session.InWords(b.Finding), w-width(l.String()), dots), inkFaint})
}

// Cells of the list of skills, with the day each came up last and without.
const (
	skillsWide   = 68
	skillsNarrow = 50
)

// skillLines says how each skill stands, the weakest first.
func (m *recordModel) skillLines(w int) []line {
	const skill, word, seen = 32, 14, 6
	head, last := padTo("skill, weakest first", skill)+padTo("stands", word)+"seen", w >= skillsWide
	if last {
		head += "  last"
	}
	out := []line{{{head, inkFaint}}}
	var never []string
	for _, s := range m.skills {
		if s.Seen == 0 {
			never = append(never, s.Name)
			continue
		}
		l := line{{padTo(s.Name, skill) + padTo(s.Word(), word) + padTo(padLeft(itoa(s.Seen), 4), seen), inkPlain}}
		if last {
			l = append(l, span{view.When(s.Last, m.now), inkFaint})
		}
		out = append(out, l)
	}
	if never != nil {
		out = append(append(out, nil), labelled("not yet", strings.Join(never, ", "), 9, w, inkFaint)...)
	}
	return out
}

// aboutLines says more of the marked coupon.
func (m *recordModel) aboutLines(w int) []line {
	b, ok := m.marked()
	if !ok {
		return nil
	}
	var told []string
	for _, t := range b.Told {
		told = append(told, session.InWords(t.Rule))
	}
	welded := b.At.In(m.now.Location()).Format("2006-01-02 15:04") + ", " + view.Counted(b.Hints, "hint")
	if w := view.LiveWords(b.Live); w != "" {
		welded += ", " + w
	}
	out := []line{{{scenarios.Name(b.Scenario, b.Seed) + "  " + m.titleOf(b.Scenario), inkStrong}}}
	for _, f := range []view.Fact{
		{Label: "welded", Text: welded},
		{Label: "found", Text: strings.Join(told, ", ")},
		{Label: "you said", Text: session.InWords(b.Guess)},
	} {
		if f.Text != "" {
			out = append(out, labelled(f.Label, f.Text, 10, w, inkPlain)...)
		}
	}
	return out
}

// totals says in a line what there is.
func (m *recordModel) totals() string {
	out := fmt.Sprintf("%s, %d accepted", view.Counted(m.todo.Tried, "coupon"), m.todo.Accepted)
	if n := len(m.todo.Due); n > 0 {
		out += fmt.Sprintf(", %d due again", n)
	}
	if n := len(m.coupons); n < m.todo.Tried {
		out = fmt.Sprintf("last %d of ", n) + strings.TrimSuffix(out, " again")
	}
	return out
}
