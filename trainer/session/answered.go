package session

import "time"

// Answered is a question about coupons that was answered, as it is recorded: evidence
// of what the learner knows, and no coupon of theirs.
type Answered struct {
	ID           string
	At           time.Time
	Learner      string
	Scenario     string
	Revision     int
	Kind         string
	Seed         int64 // with kind and joint it gives the question again
	ModelVersion string
	Replies      []string // part by part, as typed
	Rules        []string // the findings it was about
	Right        float64  // share of its parts answered right
}

// Answers keeps answered questions; AddAnswered returns only when it is safe on disk.
type Answers interface {
	AddAnswered(Answered) error
}
