package tui

import (
	"fmt"

	"puddlewise/scoring"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

// verdictModel is the verdict on the last coupon and how much of it is told.
type verdictModel struct {
	s       *session.Session
	try     session.Attempt
	all     bool     // every finding
	sources bool     // where each comes from
	advice  []string // asked for
	looking bool     // for the smallest change
	old     bool     // it is a coupon of another model's time
	today   string   // what today's says of it; empty while it welds
	number  int      // of the coupon, at its joint
	counts  string   // how it counts in a drill, where the outcome does not say it
}

func newVerdictModel(s *session.Session) verdictModel {
	try, _ := s.Last()
	return verdictModel{s: s, try: try, all: view.TellsAll(s.Scenario().Level), number: len(s.Tries())}
}

// more gives how many findings are held back when not all are asked for.
func (m *verdictModel) more() int {
	_, more := view.Findings(m.try.Verdict, false)
	return more
}

// takeAdvice asks for it; the session counts it.
func (m *verdictModel) takeAdvice() {
	if m.advice = m.s.Advice(); m.advice == nil {
		m.advice = []string{"There is no advice for this joint."}
	}
}

// scoreLines is what decided and the three scores.
func (m *verdictModel) scoreLines(look *look, w int) []line {
	v := m.try.Verdict
	word, mark := view.Outcome(v.Outcome)
	head := word + " " + mark
	var out []line
	for i, l := range wrap(view.Said(v.Reason, m.s.System()), w-width(head)-2) {
		if i == 0 {
			out = append(out, line{{head, outcomeInk(v.Outcome)}, {"  " + l, inkPlain}})
		} else {
			out = append(out, plainLine(padTo("", width(head)+2)+l))
		}
	}
	if out == nil {
		out = []line{{{head, outcomeInk(v.Outcome)}}}
	}
	out = append(out, paragraph(m.counts, w, inkWarn)...)
	if g, ok := m.s.Said(); ok {
		in := inkFaint
		if g.Hit == session.Decisive {
			in = inkGood
		}
		out = append(out, paragraph(view.GuessWords(g), w, in)...)
	}
	out = append(out, nil)
	for _, sc := range view.Scores(v) {
		in := inkBad
		if sc.Good {
			in = inkGood
		}
		out = append(out, append(line{{padTo(sc.Name, 16), inkPlain}, {padLeft(itoa(sc.Value), 3) + " " + sc.Mark() + "  ", in}},
			bar(look, sc.Value, scoring.Limit, min(40, w-24), in)...))
	}
	if v.Outcome != scoring.OutOfRange {
		out = append(out, line{{padTo("", 22) + fmt.Sprintf("0 to 100; accepted from %.0f on", scoring.Limit), inkFaint}})
	}
	return out
}

// rescueLines tells the smallest change that would have saved the coupon.
func (m *verdictModel) rescueLines(w int) []line {
	if m.old {
		today := m.today
		if today == "" {
			today = "welding ..."
		}
		return append([]line{{{view.TodayHead, inkStrong}}}, append(paragraph(today, w, inkPlain), nil)...)
	}
	found, done := m.s.Rescue()
	words := []string{"looking ..."}
	switch {
	case done:
		words = view.RescueWords(found, m.s.System())
	case !m.looking:
		return nil
	}
	out := []line{{{"smallest change that holds", inkStrong}}}
	for _, text := range words {
		out = append(out, paragraph(text, w, inkPlain)...)
	}
	return append(out, nil)
}

// findingLines tells the findings, worst first.
func (m *verdictModel) findingLines(w int) []line {
	told := view.Explain(m.s.Scenario().Task, m.try.Verdict, m.all, m.s.System())
	var out []line
	for _, f := range told.Findings {
		in := inkPlain
		switch f.Severity {
		case scoring.Defect:
			in = inkBad
		case scoring.Fault:
			in = inkWarn
		}
		out = append(out, line{{view.SeverityMark(f.Severity) + " " + f.Head, in}, {"  " + string(f.Severity), inkFaint}})
		facts := f.Facts
		if m.sources {
			facts = append(facts, view.Fact{Label: "from", Text: f.Source})
		}
		for _, fact := range facts {
			for _, l := range labelled(fact.Label, fact.Text, 6, w-2, inkPlain) {
				out = append(out, append(line{{"  ", inkPlain}}, l...))
			}
		}
		out = append(out, nil)
	}
	if told.More > 0 {
		out = append(out, line{{fmt.Sprintf("and %d more: m tells them all", told.More), inkFaint}}, nil)
	}
	if told.Signs != nil {
		head := "what else was to be seen"
		if told.Findings == nil {
			head = "what was to be seen"
		}
		out = append(append(append(out, line{{head, inkStrong}}), signLines(told.Signs, w, true)...), nil)
	}
	return out
}

// signLines tells what was to be seen, place by place, and what it means if that may be told.
func signLines(seen []view.Seen, w int, means bool) []line {
	const label = 9
	var out []line
	for _, s := range seen {
		place := s.Place
		for _, sign := range s.Signs {
			text := sign.Text
			if means {
				text = sign.Explained()
			}
			out = append(out, labelled(place, text, label, w, inkPlain)...)
			place = ""
		}
	}
	return out
}

// besideLines sets this coupon beside the one before and gives what was asked for.
func (m *verdictModel) besideLines(w int) []line {
	var out []line
	if tries := m.s.Tries(); len(tries) > 1 {
		c := view.Compare(tries[len(tries)-2], tries[len(tries)-1], m.s.Entries(), m.s.System())
		out = append(out, line{{"beside coupon " + itoa(m.number-1), inkStrong}})
		if c.Changes == nil {
			out = append(out, line{{"nothing was changed", inkFaint}})
		}
		for _, ch := range append(append(c.Changes, c.Outcome), c.Scores...) {
			out = append(out, line{{padTo(ch.Label, 18), inkFaint}, {ch.Before + " -> " + ch.After, inkPlain}})
		}
		out = append(out, nil)
	}
	if m.advice != nil {
		out = append(out, line{{"advice", inkStrong}})
		for _, t := range m.advice {
			out = append(out, paragraph(t, w, inkPlain)...)
		}
		out = append(out, nil)
	}
	return out
}

// answerLines is what was welded with, as far as it was asked.
func (m *verdictModel) answerLines() []line {
	out := []line{{{"welded with", inkStrong}}}
	label := 0
	for _, e := range m.s.Entries() {
		label = max(label, width(e.Field.Label))
	}
	for _, e := range m.s.Entries() {
		out = append(out, line{{padTo(e.Field.Label, label+2), inkFaint}, {e.Field.Show(m.try.Answer, m.s.System()), inkPlain}})
	}
	return append(out, nil)
}

// recordLine says whether the last coupon is on disk.
func recordLine(s *session.Session) line {
	switch {
	case s.Recorded():
		return line{{"recorded", inkFaint}}
	case !s.Keeps():
		return line{{"no record is kept", inkFaint}}
	}
	return line{{"NOT recorded", inkBad}}
}
