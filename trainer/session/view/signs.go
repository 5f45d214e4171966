package view

import (
	"slices"
	"strings"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
)

// Seen is what was to be seen at one part of the weld: the pool, the rod, the bead...
type Seen struct {
	Place string
	Signs []SeenSign
}

// SeenSign is one thing that was to be seen.
type SeenSign struct {
	ID    string
	Text  string // what, and where along the seam unless it is all along
	Means string
}

// running are the places to watch while it runs.
var running = []string{"pool", "rod", "arc", "tungsten"}

// Signs gives what was to be seen of a coupon, in the order a welder looks.
func Signs(t weld.Task, v scoring.Verdict, sys weld.System) []Seen {
	return seen(t, v.Signs, sys)
}

// SignsAt gives what is to be seen where the arc is, while it runs.
func SignsAt(t weld.Task, v scoring.Verdict, at weld.Length, sys weld.System) []Seen {
	const glance = 1.5 * weld.Millimetre // to either side
	here := slices.DeleteFunc(slices.Clone(v.Signs), func(s scoring.Sign) bool {
		return !slices.Contains(running, s.Place) || at < s.From-glance || at > s.To+glance
	})
	for i := range here {
		here[i].From, here[i].To = 0, t.Seam // the learner sees where
	}
	return seen(t, here, sys)
}

func seen(t weld.Task, signs []scoring.Sign, sys weld.System) []Seen {
	var out []Seen
	for _, place := range scoring.SignPlaces {
		s := Seen{Place: place}
		for _, sign := range signs {
			if sign.Place == place {
				means, _ := scoring.Meaning(sign.ID)
				s.Signs = append(s.Signs, SeenSign{sign.ID, signText(t, sign, sys), means})
			}
		}
		if s.Signs != nil {
			out = append(out, s)
		}
	}
	return out
}

// signText says what is seen and where; what is hardly there is called so.
func signText(t weld.Task, s scoring.Sign, sys weld.System) string {
	const plain = 0.5
	text := s.Words
	if s.Strength < plain {
		text += ", a little"
	}
	if s.From <= 0 && s.To >= t.Seam {
		return text
	}
	if place := Place(t, s.From, s.To, sys); place != "" {
		text += ", " + place
	}
	return text
}

// Explained is the sign with its meaning, for when it may be told.
func (s SeenSign) Explained() string { return s.Text + " (" + s.Means + ")" }

// goesWith says whether the sign is evidence of a finding, or of what the finding tells too.
func (s SeenSign) goesWith(rule string) bool {
	_, rules := scoring.Meaning(s.ID)
	return slices.ContainsFunc(rules, func(r string) bool { return r == rule || scoring.SaysNoMore(r, rule) })
}

// Told is a finding with what there was to see of it.
type Told struct {
	scoring.Finding
	Head   string
	Facts  []Fact
	Source string
}

// Explanation is a verdict explained: the findings, worst first, and the signs that go
// with none of them.
type Explanation struct {
	Findings []Told
	More     int // findings held back
	Signs    []Seen
}

// Explain tells a verdict; all of its findings, or the first few. What already stands
// over them as the verdict's reason is not said again.
func Explain(task weld.Task, v scoring.Verdict, all bool, sys weld.System) Explanation {
	shown, more := Findings(v, all)
	out := Explanation{More: more, Signs: Signs(task, v, sys)}
	for _, f := range shown {
		t := Told{Finding: f, Head: FindingHead(task, f, sys), Source: f.Source}
		facts := []Fact{{"got", f.Got}, {"want", f.Want}, {"why", f.Why}, {"fix", f.Fix}}
		if strings.HasSuffix(v.Reason, f.Why) {
			facts = slices.Delete(facts, 2, 3)
		}
		for _, x := range append(facts, out.take(f.Rule)...) {
			if x.Text != "" {
				t.Facts = append(t.Facts, Fact{x.Label, Said(x.Text, sys)})
			}
		}
		out.Findings = append(out.Findings, t)
	}
	return out
}

// take tells the signs of a finding and leaves them out of the rest.
func (e *Explanation) take(rule string) []Fact {
	var out []Fact
	for i := range e.Signs {
		e.Signs[i].Signs = slices.DeleteFunc(e.Signs[i].Signs, func(s SeenSign) bool {
			if !s.goesWith(rule) {
				return false
			}
			out = append(out, Fact{"seen", e.Signs[i].Place + ": " + s.Explained()})
			return true
		})
	}
	e.Signs = slices.DeleteFunc(e.Signs, func(s Seen) bool { return len(s.Signs) == 0 })
	return out
}
