package session

import (
	"time"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
)

// Brief is a recorded coupon without its answer and its metal: enough for a list,
// a count or an estimate, and read a hundred times faster.
type Brief struct {
	ID           string
	Started, At  time.Time // as in Attempt
	Learner      string
	Scenario     string
	Revision     int
	Seed         int64
	Joint        weld.Joint
	Metal        string // as the trade says it, both when they differ; empty in the first records, as Joint is
	ModelVersion string
	Mode         string
	Live         int // as Attempt.Live
	Guess        string
	Hints        int
	Outcome      scoring.Outcome
	Scores       scoring.Scores
	Finding      string // the rule that rejected it; empty for none
	Told         []Told // every finding, worst first
}

// Told is a finding by its name alone.
type Told struct {
	Rule     string
	Severity scoring.Severity
}

// NewBrief makes the brief of an attempt.
func NewBrief(a Attempt) Brief {
	b := Brief{
		ID: a.ID, Started: a.Started, At: a.At, Learner: a.Learner,
		Scenario: a.Scenario, Revision: a.Revision, Seed: a.Seed, Joint: a.Task.Joint, Metal: Metals(a.Task),
		ModelVersion: a.ModelVersion, Mode: a.Mode, Live: a.Live(), Guess: a.Guess, Hints: a.Hints,
		Outcome: a.Verdict.Outcome, Scores: a.Verdict.Scores, Finding: decisive(a.Verdict),
	}
	for _, f := range a.Verdict.Findings {
		b.Told = append(b.Told, Told{f.Rule, f.Severity})
	}
	return b
}

// Metals names both members' metals when they differ.
func Metals(t weld.Task) string {
	if t.A.Metal == t.B.Metal || t.B.Metal == "" {
		return string(t.A.Metal)
	}
	return string(t.A.Metal) + " to " + string(t.B.Metal)
}

// Standing is how a joint stands in the record.
type Standing struct {
	Tried    int
	Accepted int
	Last     Brief // the coupon welded last
}
