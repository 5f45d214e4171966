package drill

import (
	"fmt"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
)

// Doubt is what is wrong with a result.
type Doubt struct {
	File string
	What string
}

// Checked is a result with its file.
type Checked struct {
	File string
	Result
}

// Check holds results against each other, the drill (nil: against the first result's
// hash alone) and the class key (nil: seals are not looked at), and welds every coupon
// again, equal ones once. It cannot know who sat at the keyboard.
func Check(all []Checked, d *Drill, key []byte, judge session.Judge, par scoring.Parallel) []Doubt {
	var doubts []Doubt
	doubt := func(file, format string, args ...any) {
		doubts = append(doubts, Doubt{file, fmt.Sprintf(format, args...)})
	}
	hash := ""
	if d != nil {
		hash = d.Hash
	}
	whose, coupons := map[string]string{}, map[string]string{}
	for _, r := range all {
		if hash == "" {
			hash = r.Hash
		}
		if r.Hash != hash {
			doubt(r.File, "another drill, or the drill's file was changed: %s", r.Drill)
		}
		if key != nil && !r.Sealed(key) {
			if r.Seal == "" {
				doubt(r.File, "is not sealed")
			} else {
				doubt(r.File, "was changed after it was sealed, or sealed with another key")
			}
		}
		if r.Model != scoring.ModelVersion {
			doubt(r.File, "was welded by model %s, this program has %s: a verdict may differ for that", r.Model, scoring.ModelVersion)
		}
		who := r.Learner + "\x00" + r.Hash
		if before, ok := whose[who]; ok {
			doubt(r.File, "is a second result of %s; the first is %s", r.Learner, before)
		} else {
			whose[who] = r.File
		}
		for _, a := range r.Attempts {
			if before, ok := coupons[a.ID]; ok {
				doubt(r.File, "holds a coupon that is in %s too: %s", before, a.ID)
			}
			coupons[a.ID] = r.File
		}
	}
	return append(doubts, reweld(all, judge, par)...)
}

// coupon is what decides a verdict; equal ones are welded once.
type coupon struct {
	task   weld.Task
	answer weld.Answer
}

// reweld welds every coupon of the results and tells the ones that come out otherwise.
func reweld(all []Checked, judge session.Judge, par scoring.Parallel) []Doubt {
	type job struct {
		coupon
		verdict scoring.Verdict
		err     error
	}
	var jobs []*job
	known := map[coupon]*job{}
	for _, r := range all {
		for _, a := range r.Attempts {
			answer, err := a.Settings()
			c := coupon{a.Task, answer}
			if err == nil && known[c] == nil {
				known[c] = &job{coupon: c}
				jobs = append(jobs, known[c])
			}
		}
	}
	par(len(jobs), func(i int) { jobs[i].verdict, jobs[i].err = judge(jobs[i].task, jobs[i].answer) })
	var doubts []Doubt
	for _, r := range all {
		for n, a := range r.Attempts {
			where := fmt.Sprintf("coupon %d, %s", n+1, a.Scenario)
			answer, err := a.Settings()
			if err != nil {
				doubts = append(doubts, Doubt{r.File, where + ": " + err.Error()})
				continue
			}
			j := known[coupon{a.Task, answer}]
			switch {
			case j.err != nil:
				doubts = append(doubts, Doubt{r.File, where + " cannot be welded: " + j.err.Error()})
			case Digest(j.verdict) != a.Digest:
				doubts = append(doubts, Doubt{r.File, fmt.Sprintf("%s comes out otherwise: handed in as %s, welded again %s", where, a.Outcome, j.verdict.Outcome)})
			case j.verdict.Outcome != a.Outcome || j.verdict.Scores != a.Scores:
				doubts = append(doubts, Doubt{r.File, where + " says other scores than its verdict has"})
			}
		}
	}
	return doubts
}
