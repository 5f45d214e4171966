package session

import (
	"maps"
	"slices"
	"strings"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
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
// that of the rules, so it tells nothing.
func (s *Session) Choices() []Cause {
	last, ok := s.Last()
	if !ok || last.Verdict.Outcome == scoring.OutOfRange {
		return nil
	}
	pick := map[string]bool{}
	add := func(rule string) {
		if rule != "" && len(pick) < choices {
			pick[rule] = true
		}
	}
	add(decisive(last.Verdict))
	for _, m := range s.sc.Mistakes {
		add(m.Finding)
	}
	for _, rule := range common(s.sc.Task.Joint) {
		add(rule)
	}
	var out []Cause
	for _, rule := range scoring.RuleIDs() {
		if pick[rule] {
			out = append(out, causeOf(rule))
			delete(pick, rule)
		}
	}
	for _, rule := range slices.Sorted(maps.Keys(pick)) { // rules this program does not know
		out = append(out, causeOf(rule))
	}
	return append(out, causeOf(Nothing))
}

// decisive gives the rule that rejects the coupon; empty when none does.
func decisive(v scoring.Verdict) string {
	if v.Outcome == scoring.Reject && len(v.Findings) > 0 {
		return v.Findings[0].Rule
	}
	return ""
}

func causeOf(rule string) Cause {
	if rule == Nothing {
		return Cause{Nothing, "nothing: it is good"}
	}
	if text, ok := plain[rule]; ok {
		return Cause{rule, text}
	}
	return Cause{rule, InWords(rule)}
}

// InWords makes a rule id readable: root_not_fused becomes root not fused.
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
	g := Guess{Cause: causeOf(rule), Truth: Nothing}
	if d := decisive(v); d != "" {
		g.Truth = d
	}
	switch {
	case rule == g.Truth:
		g.Hit = Decisive
	case slices.ContainsFunc(v.Findings, func(f scoring.Finding) bool { return f.Rule == rule }):
		g.Hit = Present
	}
	return g
}

// plain says for the rules what a learner would say: what was done, not what it
// is called. A rule without an entry is offered by its name.
var plain = map[string]string{
	"keyhole":             "a hole opened at the gap: not bridged in time",
	"collapse":            "burnt through: the pool grew wider than the wall carries",
	"far_side_melted":     "too hot: melted through to the far side",
	"overheated":          "more heat than the metal can stand",
	"no_penetration":      "cold: not melted through to the back",
	"root_not_fused":      "cold: the root did not fuse",
	"cold_start":          "cold at the start: moved off before there was a pool",
	"cold_lap":            "the rod was laid on, not melted in",
	"underfill":           "not enough rod: the face sinks in",
	"undersize_leg":       "too small: a leg is shorter than the drawing asks",
	"unequal_legs":        "the heat was not shared: one leg is longer",
	"wrong_gas":           "the wrong gas",
	"wrong_current_type":  "the wrong current type for this metal",
	"flow_low":            "too little gas",
	"turbulent_flow":      "too much gas: it swirls and takes air in",
	"draught":             "a draught blew the gas away",
	"stick_out_long":      "the tungsten stood out too far for the gas",
	"pool_uncovered":      "the gas did not cover the pool",
	"rod_tip_out":         "the rod's hot tip left the gas",
	"hot_bead_uncovered":  "the bead was still hot when the gas had moved on",
	"back_air":            "air reached the hot back",
	"dirty_metal":         "dirt or old oxide on the metal",
	"post_flow_short":     "the gas was shut off while the end was hot",
	"no_vent":             "the closed hollow had no vent",
	"wrong_filler":        "the wrong rod for this metal",
	"rod_too_thick":       "the rod is too thick for the wall",
	"tungsten_overloaded": "more current than the tungsten carries",
	"tungsten_too_thick":  "the tungsten is too thick for so little current",
	"long_arc":            "the arc was too long",
	"crater":              "the crater was left open at the end",
}

// common gives the rules that most often speak at a joint, to fill the answers with.
func common(j weld.Joint) []string {
	hot, cold := "collapse", "no_penetration"
	if j.Fillet() {
		hot, cold = "far_side_melted", "root_not_fused"
	}
	return []string{hot, cold, "pool_uncovered", "underfill", "crater", "keyhole"}
}
