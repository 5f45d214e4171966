// Package scenarios holds the joints to practise: what one is, the YAML file an
// instructor writes it in, a strict reader for that file, and the bank that
// ships with the program. README.md describes the file.
package scenarios

import "puddlewise/scoring/weld"

// Scenario is one joint to practise, as its file gives it.
type Scenario struct {
	ID       string // file name without .yaml, such as B-03
	Title    string
	Revision int
	Level    int      // 1 to 5
	Skills   []string // from Skills
	Topics   []Topic  // from Topics; mostly none
	Job      string   // one or two plain sentences
	Bench    string   // rods, cups and tungstens at hand, in words
	Access   string   // body position and access, in words; may be empty
	Task     weld.Task
	Given    weld.Answer       // what the joint sheet gives, complete: defaults with the file's own values
	Ask      []string          // keys of the fields the learner decides, in the order asked
	Model    weld.Answer       // an accepted answer: Given with the file's model values
	ModelWhy string            // why a good hand would choose so
	Worked   map[string]string // for each asked key why a good hand sets it so; nil where the joint is not worked through
	Mistakes []Mistake
	Coaching Coaching
	Hazards  []Hazard     // those the file names and those the joint brings by itself
	MostAmps weld.Current // what the machine on this bench gives; 0: enough for anything
	Vary     []Span       // what may differ from one variation to the next; nil for nothing
	Seed     int64        // of the variation; 0 for the joint as its file has it
	Happens  []Thing      // what may happen while it is welded live; nil for nothing
	Happened int64        // the seed of what happens, which Task holds; 0 for nothing
}

// Mistake is a typical wrong answer and the finding it must raise.
type Mistake struct {
	Title   string
	Answer  weld.Answer // Model with the mistake's values
	Finding string      // rule id
}

// Coaching is what an instructor would say beside the bench; each may be empty.
type Coaching struct {
	Look string // what to look at first
	Why  string
	Try  string // what a good hand would try
}
