package drill

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/question"
	"puddlewise/trainer/session/view"
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
	// of equal ones by the sum of the three, the earlier of equal sums; Best nil when there is only one coupon.
	Worst, Best *Answered
	Quiz        *Quiz // nil where no question was answered
}

// Quiz is the question most learners had at a joint.
type Quiz struct {
	Kind     question.Kind
	Seed     int64
	Revision int
	Said     []question.Said // what each answered
	Others   int             // learners who had another
}

// Right counts who had all of it right.
func (z Quiz) Right() (n int) {
	for _, s := range z.Said {
		if s.Right {
			n++
		}
	}
	return n
}

// Again makes the question again and checks the best that was answered. The error says
// that it cannot be made from this bank, that no answer can be read, or that ctx ended.
func (t Talk) Again(ctx context.Context, desk question.Desk) (*question.Question, question.Result, error) {
	z := t.Quiz
	q, err := desk.Compose(ctx, z.Kind, t.Scenario, z.Seed)
	switch {
	case err != nil:
		return nil, question.Result{}, err
	case q.Scenario.Revision != z.Revision:
		return nil, question.Result{}, fmt.Errorf("it was of revision %d of its joint, the bank here has %d", z.Revision, q.Scenario.Revision)
	}
	said := slices.Clone(z.Said)
	slices.SortStableFunc(said, func(a, b question.Said) int { return cmp.Compare(b.Share, a.Share) })
	for _, s := range said {
		if q.Taken(s) {
			r, err := desk.Check(ctx, q, s.Replies, s.System)
			return q, r, err
		}
	}
	return nil, question.Result{}, errors.New("none of its answers can be read")
}

// Answered is a coupon and whose it is.
type Answered struct {
	Learner string
	Attempt
}

// against orders two coupons, the worse first, by the lowest of their scores and, as many
// end at 0, by all of them.
func (a Answered) against(b Answered) int {
	lowest := func(s scoring.Scores) float64 { return math.Min(s.BurnThrough, math.Min(s.LackOfFusion, s.Oxide)) }
	sum := func(s scoring.Scores) float64 { return s.BurnThrough + s.LackOfFusion + s.Oxide }
	return cmp.Or(cmp.Compare(lowest(a.Scores), lowest(b.Scores)), cmp.Compare(sum(a.Scores), sum(b.Scores)))
}

// MostMissed gives the places of talks, those that fewest passed first.
func MostMissed(all []Talk) []int {
	out := make([]int, len(all))
	for i := range out {
		out[i] = i
	}
	slices.SortStableFunc(out, func(a, b int) int { return cmp.Compare(all[a].Passed, all[b].Passed) })
	return out
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
			if a := &r.Attempts[i]; a.Scenario != row.Scenario || a.Task != t.Task || a.Outcome == scoring.OutOfRange {
				continue
			}
			coupons++
			for key, text := range r.Attempts[i].Answer {
				differ[key] = differ[key] || text != t.Answers[0].Answer[key]
			}
			one := Answered{r.Learner, r.Attempts[i]}
			if t.Worst == nil || one.against(*t.Worst) < 0 {
				t.Worst = &one
			}
			if t.Best == nil || one.against(*t.Best) > 0 {
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
	t.Quiz = quiz(all, row.Scenario)
	return t
}

// quiz gives the question most learners had at a joint; nil for none.
func quiz(all []Checked, id string) *Quiz {
	type which struct {
		kind           question.Kind
		seed, revision int64
	}
	said := map[which][]question.Said{}
	var order []which
	for _, r := range all {
		for _, a := range r.Answers {
			if a.Scenario != id {
				continue
			}
			k := which{a.Kind, a.Seed, int64(a.Revision)}
			if said[k] == nil {
				order = append(order, k)
			}
			said[k] = append(said[k], question.Said{Learner: r.Learner, Replies: a.Replies, System: a.units(), Share: a.Right, Right: a.Passed()})
		}
	}
	if order == nil {
		return nil
	}
	most, n := order[0], 0
	for _, k := range order {
		n += len(said[k])
		if len(said[k]) > len(said[most]) {
			most = k
		}
	}
	return &Quiz{most.kind, most.seed, int(most.revision), said[most], n - len(said[most])}
}

// Windows gives what a window over the class's answers goes around, the best of them, and
// the pairs of settings it may be of, what moves the most common finding first; none
// where nothing was welded, a hand welded, or too little can be mapped.
func (t Talk) Windows() (around weld.Answer, pairs []session.Axes) {
	center := cmp.Or(t.Best, t.Worst)
	if center == nil || len(center.Run) > 0 {
		return around, nil
	}
	around, err := center.Settings()
	if err != nil {
		return around, nil // verify tells of it
	}
	return around, session.Pairs(t.Set, around, t.Finding)
}

// Points places the class's first answers by two settings.
func (t Talk) Points(x, y weld.Field) []view.ChartPoint {
	var out []view.ChartPoint
	for _, a := range t.Answers {
		got, err := a.Settings()
		if err != nil {
			continue // verify tells of it
		}
		p := view.ChartPoint{Learner: a.Learner, Passed: a.Passed}
		p.X, _ = x.Value(got)
		p.Y, _ = y.Value(got)
		out = append(out, p)
	}
	return out
}

// Weld welds a coupon again, to be looked at.
func (a Answered) Weld(judge session.Judge) (session.Attempt, error) {
	v, answer, err := a.again(judge)
	if err != nil {
		return session.Attempt{}, err
	}
	run, err := a.hand()
	return session.Attempt{Learner: a.Learner, Task: a.Task, Answer: answer, Run: run, Verdict: v}, err
}
