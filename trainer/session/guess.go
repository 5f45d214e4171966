package session

import (
	"slices"
	"strings"

	"puddlewise/scoring"
)

// Nothing is the guess that the coupon is good.
const Nothing = "nothing"

// Cause is something that can be wrong with a weld, as a learner would name it.
type Cause struct {
	Rule string // rule id, or Nothing
	Text string
}

// choices is how many causes are offered beside Nothing: enough that guessing
// blindly rarely hits, few enough to read at a glance.
const choices = 5

// Choices gives what the learner may answer to "what went wrong?": what decided
// this coupon, what commonly goes wrong at this joint, and Nothing. The order is
// that of the causes, so it tells nothing.
func (s *Session) Choices() []Cause {
	last, ok := s.Last()
	if !ok || last.Verdict.Outcome == scoring.OutOfRange {
		return nil
	}
	causes := s.causes(last.Verdict)
	pick := map[string]bool{}
	add := func(rule string) {
		known := slices.ContainsFunc(causes, func(c Cause) bool { return c.Rule == rule })
		if known && len(pick) < choices {
			pick[rule] = true
		}
	}
	if last.Verdict.Outcome == scoring.Reject && len(last.Verdict.Findings) > 0 {
		add(last.Verdict.Findings[0].Rule)
	}
	for _, m := range s.sc.Mistakes {
		add(m.Finding)
	}
	for _, c := range causes {
		add(c.Rule)
	}
	var out []Cause
	for _, c := range causes {
		if pick[c.Rule] {
			out = append(out, c)
		}
	}
	return append(out, Cause{Nothing, "nothing: it is good"})
}

// causes gives the causes with those that only this coupon or this joint knows
// added at the end, under their rule id.
func (s *Session) causes(v scoring.Verdict) []Cause {
	causes := s.opt.Causes
	if causes == nil {
		causes = CommonCauses
	}
	causes = slices.Clone(causes)
	add := func(rule string) {
		if rule != "" && !slices.ContainsFunc(causes, func(c Cause) bool { return c.Rule == rule }) {
			causes = append(causes, Cause{rule, InWords(rule)})
		}
	}
	for _, f := range v.Findings {
		add(f.Rule)
	}
	for _, m := range s.sc.Mistakes {
		add(m.Finding)
	}
	return causes
}

// InWords makes a rule id readable: burn-through stays, lack_of_fusion becomes lack of fusion.
func InWords(rule string) string { return strings.ReplaceAll(rule, "_", " ") }

// Hit says how well a guess met the findings.
type Hit int

// Hits.
const (
	Missed   Hit = iota // the coupon shows no such thing
	Present             // it is there, but it did not decide
	Decisive            // it decided, or the coupon is good and was said to be
)

// Guess is what the learner said, checked against the findings.
type Guess struct {
	Cause Cause
	Hit   Hit
	Truth string // the decisive rule, or Nothing
}

// Say takes the learner's answer to "what went wrong?" and records the coupon
// with it. Only the first answer counts. The error says the coupon could not be
// recorded; the guess stands all the same.
func (s *Session) Say(rule string) (Guess, error) {
	last, ok := s.Last()
	if !ok {
		return Guess{}, nil
	}
	if s.guess != nil {
		return *s.guess, nil
	}
	g := check(rule, last.Verdict)
	for _, c := range s.Choices() {
		if c.Rule == rule {
			g.Cause = c
		}
	}
	s.guess = &g
	if s.pending {
		s.tries[len(s.tries)-1].Guess = rule
	}
	return g, s.Close()
}

// Said gives the guess made for the last coupon; ok is false before Say.
func (s *Session) Said() (g Guess, ok bool) {
	if s.guess == nil {
		return Guess{}, false
	}
	return *s.guess, true
}

func check(rule string, v scoring.Verdict) Guess {
	g := Guess{Cause: Cause{rule, InWords(rule)}, Truth: Nothing}
	if v.Outcome == scoring.Reject && len(v.Findings) > 0 {
		g.Truth = v.Findings[0].Rule
	}
	switch {
	case rule == g.Truth:
		g.Hit = Decisive
	case slices.ContainsFunc(v.Findings, func(f scoring.Finding) bool { return f.Rule == rule }):
		g.Hit = Present
	}
	return g
}

// CommonCauses is what most often goes wrong, in a learner's words.
var CommonCauses = []Cause{
	{"burn-through", "burnt through: more heat than the wall holds"},
	{"keyhole", "a hole opened at the gap: not bridged in time"},
	{"lack-of-fusion", "cold: the root did not fuse"},
	{"undercut", "undercut: the edge melted and was not filled"},
	{"undersize-leg", "too small: a leg is shorter than the drawing asks"},
	{"oxide", "air got to the hot metal: oxide"},
	{"crater", "the crater was left open at the end"},
	{"wrong-filler", "the wrong rod for this metal"},
	{"porosity", "pores: dirt, damp or gas"},
}
