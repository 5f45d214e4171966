package drill

import (
	"math"

	"puddlewise/scoring/weld"
)

// Talk is what there is to talk about at one joint of a drill.
type Talk struct {
	JointRow
	Seed     int64
	Task     weld.Task  // the joint as most learners had it
	Answers  []Answered // each learner's first coupon of it
	Set      []string   // the settings the class's coupons of it differ in, in the order of weld.Fields
	Others   int        // learners whose first coupon was of another variation
	Revision int
	// Worst and Best are the coupons of the lowest and the highest score that decides,
	// the earlier of equal ones; Best nil when there is only one coupon.
	Worst, Best *Answered
}

// Answered is a coupon and whose it is.
type Answered struct {
	Learner string
	Attempt
}

// deciding is the lowest of a coupon's scores.
func (a Answered) deciding() float64 {
	return math.Min(a.Scores.BurnThrough, math.Min(a.Scores.LackOfFusion, a.Scores.Oxide))
}

// Talks gives what there is to talk about, joint by joint as in the table.
func Talks(all []Checked) []Talk {
	var out []Talk
	for _, row := range NewTable(all).Joints {
		out = append(out, talk(all, row))
	}
	return out
}

func talk(all []Checked, row JointRow) Talk {
	t := Talk{JointRow: row}
	had := map[weld.Task]int{}
	var firsts []Answered
	for _, r := range all {
		for _, a := range First([]Checked{r}, row.Scenario) {
			firsts = append(firsts, Answered{r.Learner, a})
			had[a.Task]++
		}
	}
	for _, a := range firsts {
		if had[a.Task] > had[t.Task] {
			t.Task, t.Seed, t.Revision = a.Task, a.Seed, a.Revision
		}
	}
	for _, a := range firsts {
		if a.Task == t.Task {
			t.Answers = append(t.Answers, a)
		} else {
			t.Others++
		}
	}
	coupons, differ := 0, map[string]bool{}
	for _, r := range all {
		for i := range r.Attempts {
			if a := &r.Attempts[i]; a.Scenario != row.Scenario || a.Task != t.Task {
				continue
			}
			coupons++
			for key, text := range r.Attempts[i].Answer {
				differ[key] = differ[key] || text != t.Answers[0].Answer[key]
			}
			one := Answered{r.Learner, r.Attempts[i]}
			if t.Worst == nil || one.deciding() < t.Worst.deciding() {
				t.Worst = &one
			}
			if t.Best == nil || one.deciding() > t.Best.deciding() {
				t.Best = &one
			}
		}
	}
	for _, f := range weld.Fields {
		if differ[f.Key] {
			t.Set = append(t.Set, f.Key)
		}
	}
	if coupons == 1 {
		t.Best = nil
	}
	return t
}
