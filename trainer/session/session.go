// Package session walks the learner's path through one joint: read the sheet,
// commit to an answer, weld, look, say what went wrong, weld again, record.
// It knows no screen and no file.
package session

import (
	"time"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
)

// Judge welds and judges an answer; scoring.Judge in the program, a fake in tests.
type Judge func(weld.Task, weld.Answer) (scoring.Verdict, error)

// Attempt is one welded coupon, as it is recorded.
type Attempt struct {
	ID           string // unique
	At           time.Time
	Learner      string
	Scenario     string
	Revision     int
	ModelVersion string
	Mode         string // self-study, drill, test
	Answer       weld.Answer
	Verdict      scoring.Verdict
	Guess        string // what the learner said went wrong, a rule id; empty when not asked
	Hints        int
}

// Recorder keeps attempts; Add returns only when the attempt is safe on disk.
type Recorder interface {
	Add(Attempt) error
}
