package view

import (
	"fmt"
	"math"
	"strings"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
)

// Outcome gives the word and the mark of an outcome.
func Outcome(o scoring.Outcome) (word, mark string) {
	switch o {
	case scoring.Accept:
		return "ACCEPT", "+"
	case scoring.Reject:
		return "REJECT", "x"
	}
	return "NOT SCORED", "-"
}

// Score is one of the three scores, ready to show.
type Score struct {
	Name  string
	Value int // rounded down, so that what is short never shows as the limit
	Good  bool
}

// Mark gives the sign that goes with the number.
func (s Score) Mark() string {
	if s.Good {
		return "+"
	}
	return "x"
}

// Scores gives the three scores; nil when the coupon is not scored.
func Scores(v scoring.Verdict) []Score {
	if v.Outcome == scoring.OutOfRange {
		return nil
	}
	score := func(name string, x float64) Score {
		x = math.Min(100, math.Max(0, x))
		return Score{name, int(math.Floor(x + 1e-9)), x >= scoring.Limit-1e-9}
	}
	return []Score{
		score("burn-through", v.Scores.BurnThrough),
		score("lack of fusion", v.Scores.LackOfFusion),
		score("oxide", v.Scores.Oxide),
	}
}

// BriefScores is Scores for a coupon in brief.
func BriefScores(b session.Brief) []Score {
	return Scores(scoring.Verdict{Outcome: b.Outcome, Scores: b.Scores})
}

// SeverityMark gives the sign that stands before a finding.
func SeverityMark(s scoring.Severity) string {
	switch s {
	case scoring.Defect:
		return "x"
	case scoring.Fault:
		return "!"
	}
	return "-"
}

// FindingHead is the first line of a finding: what, and where unless it is all along.
func FindingHead(t weld.Task, f scoring.Finding, sys weld.System) string {
	head := session.InWords(f.Rule)
	if p := Place(t, f.From, f.To, sys); p != "" && (f.From > 0 || f.To < t.Seam) {
		head += ", " + p
	}
	return head
}

// RescueWords says what the smallest change is and what it would have scored: in one
// paragraph, or where it takes more than two settings, each on its own line.
func RescueWords(r *scoring.Rescue, sys weld.System) []string {
	if r == nil {
		return []string{"no change of what was asked was found that saves this coupon: look at the findings together"}
	}
	var scores []string
	for _, s := range Scores(r.Verdict) {
		scores = append(scores, fmt.Sprintf("%s %d", s.Name, s.Value))
	}
	then := strings.Join(scores, ", ")
	changes := r.Words(sys)
	if len(changes) <= 2 {
		return []string{strings.Join(changes, "; ") + ": " + then}
	}
	count := map[int]string{3: "three", 4: "four"}[len(changes)]
	out := []string{count + " things at once, the worst fault's first; no one or two were found:"}
	for i, c := range changes {
		out = append(out, fmt.Sprintf("%d. %s", i+1, c))
	}
	return append(out, "then "+then)
}

// TodayHead stands over what today's model says of an old coupon's weld.
const TodayHead = "the same weld today, model " + scoring.ModelVersion

// TodayWords says it, or why the weld cannot be made any more.
func TodayWords(v scoring.Verdict, err error, sys weld.System) string {
	if err != nil {
		return "it cannot be welded so any more: " + strings.ReplaceAll(err.Error(), "\n", "; ")
	}
	word, mark := Outcome(v.Outcome)
	out := word + " " + mark + ", " + Said(v.Reason, sys)
	for i, s := range Scores(v) {
		out += fmt.Sprintf("%s %s %d", []string{":", ",", ","}[i], s.Name, s.Value)
	}
	return out
}

// fewFindings is how many findings a beginner is told unasked: more than three at once
// teach nothing. From the level beyond beginners on all are told.
const fewFindings, beginner = 3, 2

// TellsAll says whether every finding is told unasked at a joint of this level.
func TellsAll(level int) bool { return level > beginner }

// Findings gives the findings to tell, worst first, and how many are held back.
func Findings(v scoring.Verdict, all bool) (shown []scoring.Finding, more int) {
	if all || len(v.Findings) <= fewFindings {
		return v.Findings, 0
	}
	return v.Findings[:fewFindings], len(v.Findings) - fewFindings
}

// GuessWords tells the learner how the guess met the findings.
func GuessWords(g session.Guess) string {
	truth := session.InWords(g.Truth)
	switch {
	case g.Hit == session.Decisive && g.Truth == session.Nothing && g.Mend != "":
		return "You said it is good. It is accepted; what to mend all the same: " + session.InWords(g.Mend) + "."
	case g.Hit == session.Decisive && g.Truth == session.Nothing:
		return "You said it is good, and it is."
	case g.Mend != "" && g.Cause.Rule == g.Mend:
		return "You said " + session.InWords(g.Mend) + ": yes, that is what to mend. The coupon is accepted all the same."
	case g.Hit == session.Close:
		return "You said " + session.InWords(g.Cause.Rule) + ": close, it was " + truth + "."
	case g.Hit == session.Decisive:
		return "You said " + session.InWords(g.Cause.Rule) + ": yes, that decided it."
	case g.Hit == session.Present && g.Truth == session.Nothing:
		return "You said " + session.InWords(g.Cause.Rule) + ": it is there, but the coupon is accepted all the same."
	case g.Hit == session.Present:
		return "You said " + session.InWords(g.Cause.Rule) + ": it is there too, but " + truth + " decided it."
	case g.Cause.Rule == session.Nothing:
		return "You said it is good, but " + truth + " rejects it."
	case g.Truth == session.Nothing:
		return "You said " + session.InWords(g.Cause.Rule) + ", but this coupon is good."
	}
	return "You said " + session.InWords(g.Cause.Rule) + ": no sign of it; it was " + truth + "."
}

// Comparison sets a coupon beside the one before it.
type Comparison struct {
	Changes []Change // asked fields that differ
	Outcome Change
	Scores  []Change
}

// Change is one thing that differs, or a score before and after.
type Change struct{ Label, Before, After string }

// PassedWords says how many of those who tried a joint passed it: passed is their share.
func PassedWords(passed float64, tried int) string {
	return fmt.Sprintf("%.0f of %s passed.", passed*float64(tried), Counted(tried, "learner"))
}

// AllFields are the entries of every setting, for Compare where all may differ.
func AllFields() []session.Entry {
	var out []session.Entry
	for _, f := range weld.Fields {
		out = append(out, session.Entry{Field: f})
	}
	return out
}

// Compare says what was changed from one coupon to the next and what came of it.
func Compare(before, after session.Attempt, asked []session.Entry, sys weld.System) Comparison {
	var c Comparison
	for _, e := range asked {
		was, is := e.Field.Show(before.Answer, sys), e.Field.Show(after.Answer, sys)
		if was != is { // what a hand did may differ in less than is shown
			c.Changes = append(c.Changes, Change{e.Field.Label, was, is})
		}
	}
	b, _ := Outcome(before.Verdict.Outcome)
	a, _ := Outcome(after.Verdict.Outcome)
	c.Outcome = Change{"outcome", b, a}
	was, is := Scores(before.Verdict), Scores(after.Verdict)
	if was == nil || is == nil {
		return c
	}
	for i := range is {
		c.Scores = append(c.Scores, Change{is[i].Name, fmt.Sprint(was[i].Value), fmt.Sprint(is[i].Value)})
	}
	return c
}
