package drill

import (
	"encoding/json"
	"fmt"
	"slices"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/arc"
	"puddlewise/trainer/session"
)

// Known keeps what this program has worked out on this machine, question by question:
// what a coupon says of itself is known to be true when it was welded here and came out
// so. record.Known in the program.
type Known interface {
	Get(question string) (answer string, ok bool)
	Put(question, answer string)
}

// nothing knows nothing.
type nothing struct{}

func (nothing) Get(string) (string, bool) { return "", false }
func (nothing) Put(string, string)        {}

// outcome is what a coupon says came of it.
type outcome struct {
	Digest   string
	Outcome  scoring.Outcome
	Scores   scoring.Scores
	Findings []string
}

func outcomeOf(v scoring.Verdict) outcome { return outcome{Digest(v), v.Outcome, v.Scores, rules(v)} }

func (a Attempt) outcome() outcome { return outcome{a.Digest, a.Outcome, a.Scores, a.Findings} }

func (o outcome) equal(p outcome) bool {
	return o.Digest == p.Digest && o.Outcome == p.Outcome && o.Scores == p.Scores && slices.Equal(o.Findings, p.Findings)
}

// claim words what a coupon says: this joint, welded so, comes out so.
func claim(c coupon, o outcome) string {
	raw, err := json.Marshal(struct {
		Task    weld.Task
		Answer  weld.Answer
		Run     string
		Outcome outcome
	}{c.task, c.answer, c.run, o})
	if err != nil {
		return "" // not a number: never put, so never known
	}
	return "coupon " + string(raw)
}

// Judging welds, and keeps how it came out.
func Judging(judge session.Judge, known Known) session.Judge {
	return func(t weld.Task, a weld.Answer) (scoring.Verdict, error) {
		return coupon{task: t, answer: a}.weld(judge, known)
	}
}

// weld welds the coupon, and keeps how it came out. The error says that it cannot be, or
// that a run comes to another answer.
func (c coupon) weld(judge session.Judge, known Known) (v scoring.Verdict, err error) {
	if c.run == "" {
		v, err = judge(c.task, c.answer)
	} else {
		var run arc.Run
		var got scoring.Run
		if run, err = arc.Unpack([]byte(c.run)); err != nil {
			return v, err
		}
		got, err = rejudge(run, c.task)
		if v = got.Verdict; err == nil && got.Answer != c.answer {
			err = errNumbers
		}
	}
	if text := claim(c, outcomeOf(v)); err == nil && text != "" {
		known.Put(text, "")
	}
	return v, err
}

// Varying makes the joint of a seed, or takes it from what is known.
func Varying(vary Vary, known Known) Vary {
	return func(sc scenarios.Scenario, seed int64) scenarios.Scenario {
		raw, err := json.Marshal(sc)
		question := fmt.Sprintf("variation %d of %s", seed, raw)
		var out scenarios.Scenario
		if answer, ok := known.Get(question); ok && json.Unmarshal([]byte(answer), &out) == nil {
			return out
		}
		out = vary(sc, seed)
		if raw, e := json.Marshal(out); e == nil && err == nil && out.Seed == seed { // not what stands for one that could not be made
			known.Put(question, string(raw))
		}
		return out
	}
}
