package drill

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/record"
	"puddlewise/trainer/session"
)

// bigClass makes results up: of so many joints spread over the bank each learner welds
// one coupon, what is asked a fifth off what is right (normal), said as people say it: in
// 5 A, and 10 mm/min. Verdicts are not welded: Check costs the same.
func bigClass(t testing.TB, learners, joints int, asked ...string) []Checked {
	all := bank(t)
	draw := rand.New(rand.NewPCG(8, 8))
	round := map[string]float64{"amps": 5, "travel": 10}
	var picked []scenarios.Scenario
	for i := range joints {
		picked = append(picked, all[i*len(all)/joints])
	}
	var out []Checked
	for n := range learners {
		r := Result{Format: resultFormat, Learner: fmt.Sprint("L", n), Drill: "Big", Model: scoring.ModelVersion, Done: true, Joints: joints}
		for _, sc := range picked {
			a := sc.Model
			for _, key := range asked {
				f, _ := weld.FieldByKey(key)
				v, _ := f.Value(a)
				unit, step := f.UnitSize(weld.Metric), round[key]
				v = math.Max(1, math.Round(v/unit*(1+0.2*draw.NormFloat64())/step)) * step
				require.NoError(t, f.SetStrict(&a, fmt.Sprint(v, " ", f.Unit(weld.Metric))))
			}
			v := scoring.Verdict{Outcome: scoring.Accept, Scores: scoring.Scores{BurnThrough: 70, LackOfFusion: 60, Oxide: 80}}
			if draw.IntN(2) == 0 {
				v = scoring.Verdict{Outcome: scoring.Reject, Findings: []scoring.Finding{{Rule: "no_penetration"}}}
			}
			at := time.Date(2026, 3, 4, 9, 0, 0, 0, time.UTC)
			w := newAttempt(session.Attempt{ID: fmt.Sprint(n, sc.ID), Scenario: sc.ID, Revision: sc.Revision, Task: sc.Task, Answer: a, Started: at, At: at})
			w.take(v, v.Outcome == scoring.Accept)
			r.Attempts = append(r.Attempts, w)
		}
		out = append(out, Checked{r.Learner, r})
	}
	return out
}

// different counts the coupons that have to be welded.
func different(all []Checked) int {
	seen := map[coupon]bool{}
	for _, r := range all {
		for _, a := range r.Attempts {
			answer, _ := a.Settings()
			seen[coupon{task: a.Task, answer: answer}] = true
		}
	}
	return len(seen)
}

// BenchmarkCheck says what the check of a class takes; a whole one is 200 by 50.
func BenchmarkCheck(b *testing.B) {
	all := bigClass(b, 20, 10, "amps")
	joints := bank(b)
	for b.Loop() {
		_, _, err := Check(b.Context(), all, Against{Bank: joints, Judge: scoring.Judge, Par: session.Cores(b.Context(), 2)})
		require.NoError(b, err)
	}
	b.ReportMetric(float64(different(all)), "welds")
	b.ReportMetric(float64(different(bigClass(b, 200, 50, "amps"))), "welds-200x50-amps")
	b.ReportMetric(float64(different(bigClass(b, 200, 50, "amps", "travel"))), "welds-200x50-both")
}

// BenchmarkKnown says what the check of a whole class takes when all of it was welded
// before.
func BenchmarkKnown(b *testing.B) {
	all, joints := bigClass(b, 200, 50, "amps", "travel"), bank(b)
	v, _ := judge(weld.Task{}, weld.Answer{Amps: 60})
	for i := range all {
		for n := range all[i].Attempts {
			all[i].Attempts[n].take(v, true)
		}
	}
	known, err := record.OpenKnown(b.TempDir(), "b")
	require.NoError(b, err)
	defer known.Close()
	by := Against{Bank: joints, Judge: func(weld.Task, weld.Answer) (scoring.Verdict, error) { return v, nil }, Known: known, Par: scoring.InOrder}
	_, _, err = Check(b.Context(), all, by)
	require.NoError(b, err)
	for b.Loop() {
		_, work, err := Check(b.Context(), all, by)
		require.NoError(b, err)
		require.Zero(b, work.Welded)
	}
}

// BenchmarkTable says what reading a whole class's table takes.
func BenchmarkTable(b *testing.B) {
	all, joints := bigClass(b, 200, 50, "amps"), bank(b)
	for b.Loop() {
		NewTable(all)
		NewNeeds(all, joints)
		Talks(all)
	}
}
