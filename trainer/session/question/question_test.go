package question_test

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session/question"
	"puddlewise/trainer/session/sessiontest"
	"puddlewise/trainer/session/view"
)

// fromBank judges as the bank says of its own mistakes, so that questions of the whole
// bank can be made without welding. Model answers are accepted.
func fromBank(t testing.TB) question.Desk {
	bank, err := scenarios.Bank()
	require.NoError(t, err)
	type weldOf struct {
		task   weld.Task
		answer weld.Answer
	}
	found := map[weldOf]string{}
	for _, sc := range bank {
		for _, m := range sc.Mistakes {
			found[weldOf{sc.Task, m.Answer}] = m.Finding
		}
	}
	judge := func(task weld.Task, a weld.Answer) (scoring.Verdict, error) {
		v := scoring.Verdict{Outcome: scoring.Accept, Reason: "nothing stands against it"}
		rule := found[weldOf{task, a}]
		if rule == "" {
			return v, nil
		}
		v.Outcome = scoring.Reject
		v.Findings = []scoring.Finding{{Rule: rule, Severity: scoring.Defect, To: task.Seam}}
		for _, s := range scoring.SignIDs() {
			if _, rules := scoring.Meaning(s.ID); slices.Contains(rules, rule) {
				s.Strength = 1
				v.Signs = append(v.Signs, s)
			}
		}
		return v, nil
	}
	return question.Desk{Bank: bank, Judge: judge, Estimate: judge}
}

// truths gives the right replies, by checking the first option of every part.
func truths(t testing.TB, d question.Desk, q *question.Question) []string {
	var replies []string
	for _, p := range q.Parts {
		replies = append(replies, map[bool]string{false: "1", true: "77"}[p.Typed])
	}
	r, err := d.Check(t.Context(), q, replies, weld.Metric)
	require.NoError(t, err)
	var out []string
	for _, i := range r.Truth {
		out = append(out, strconv.Itoa(i+1))
	}
	return out
}

func TestTheRightAnswersAreTheVerdicts(t *testing.T) {
	d := *sessiontest.Desk(nil)
	q, err := d.Compose(t.Context(), question.Spot, "T-01", 3)
	require.NoError(t, err)
	require.Len(t, q.Parts, 3)
	right := truths(t, d, q)
	said := func(part int) string {
		return view.ReplyText(q, part, right[part], weld.Metric)
	}
	f := q.Coupons[0].Verdict.Findings[0]
	want := map[string][3]string{
		"keyhole":        {"a hole opened at the gap: not bridged in time", "dab every", "near the end"},
		"root_not_fused": {"cold: the root did not fuse", "amps", "all along it"},
		"rod_tip_out":    {"the rod's hot tip left the gas", "rod tip drawn back", "all along it"},
	}[f.Rule]
	assert.Equal(t, want, [3]string{said(0), said(1), said(2)})

	r, err := d.Check(t.Context(), q, right, weld.Metric)
	require.NoError(t, err)
	assert.Equal(t, 1.0, r.Share())
	wrong := slices.Clone(right)
	wrong[2] = "1"
	if right[2] == "1" {
		wrong[2] = "2"
	}
	r, err = d.Check(t.Context(), q, wrong, weld.Metric)
	require.NoError(t, err)
	assert.Equal(t, []bool{true, true, false}, r.Right)
}

func TestWhichCouponCameFromWhich(t *testing.T) {
	d := *sessiontest.Desk(nil)
	q, err := d.Compose(t.Context(), question.Which, "T-01", 5)
	require.NoError(t, err)
	require.Len(t, q.Parts, len(q.Coupons)-1)
	for i, reply := range truths(t, d, q) {
		n, _ := strconv.Atoi(reply)
		assert.Equal(t, q.Coupons[i].Answer, q.Parts[i].Options[n-1].Made)
		v, err := sessiontest.Judge(q.Scenario.Task, q.Parts[i].Options[n-1].Made)
		require.NoError(t, err)
		assert.Equal(t, v, q.Coupons[i].Verdict)
	}
}

// Whatever change is proposed, it is right exactly when the model accepts it.
func TestAChangeIsWelded(t *testing.T) {
	d := *sessiontest.Desk(nil)
	for seed := range int64(4) {
		q, err := d.Compose(t.Context(), question.One, "T-01", seed)
		require.NoError(t, err)
		assert.Equal(t, scoring.Reject, q.Coupons[0].Verdict.Outcome)
		for i, o := range q.Parts[0].Options {
			n := strconv.Itoa(i + 1)
			for _, value := range map[string][]string{"amps": {"50", "80 A", "400 A"}, "travel": {"4 ipm"}, "dab": {"1 mm", "0.08 in"}, "direction": {"drag"}}[o.Fields[0].Key] {
				r, err := d.Check(t.Context(), q, []string{n, value}, weld.Metric)
				require.NoError(t, err, value)
				v, err := sessiontest.Judge(q.Scenario.Task, r.Tried.Answer)
				require.NoError(t, err)
				assert.Equal(t, v, r.Tried.Verdict)
				assert.Equal(t, v.Outcome == scoring.Accept, r.Share() == 1)
				if r.Rescue != nil {
					assert.Equal(t, scoring.Accept, r.Rescue.Verdict.Outcome)
				}
				assert.Contains(t, view.Outcomes(q, []string{n, value}, r, weld.Metric)[0].Text, o.Fields[0].Label+" ")
			}
			for _, value := range []string{"", "-3", "999999", "what", o.Fields[0].Get(q.Coupons[0].Answer)} {
				assert.Error(t, q.Accept([]string{n}, value, weld.Metric), "%s: %q", o.Fields[0].Key, value)
			}
		}
	}
}

// Where it turns is where the judge turns, and what is as near as said is right.
func TestALimitIsWhereTheVerdictTurns(t *testing.T) {
	d := *sessiontest.Desk(nil)
	want := map[string]struct {
		turn, off float64
		right     []string
		wrong     []string
	}{
		"amps":    {45, 5, []string{"45", "49 A", "41"}, []string{"60", "38 A", "52"}},
		"dab":     {2e-3, 0.5e-3, []string{"2", "2.4 mm"}, []string{"1.2", "3 mm"}},
		"rod_tip": {20e-3, 2e-3, []string{"20", "21.5 mm", "0.75 in"}, []string{"5", "25", "1 in"}},
	}
	for seed := range int64(6) {
		q, err := d.Compose(t.Context(), question.Limit, "T-01", seed)
		require.NoError(t, err)
		f, ok := q.Field(nil)
		require.True(t, ok)
		w, known := want[f.Key]
		require.True(t, known, f.Key)
		for _, reply := range append(slices.Clone(w.right), w.wrong...) {
			r, err := d.Check(t.Context(), q, []string{reply}, weld.Metric)
			require.NoError(t, err)
			assert.InDelta(t, w.turn, r.Turn, w.off/3)
			assert.Equal(t, slices.Contains(w.right, reply), r.Share() == 1, "%s: %s", f.Key, reply)
			assert.Equal(t, scoring.Reject, r.Tried.Verdict.Outcome)
		}
		for _, reply := range []string{"", "much", "-1", "999999"} {
			assert.Error(t, q.Accept(nil, reply, weld.Metric), reply)
		}
	}
}

// An order is right when the model has nothing more against what it comes to.
func TestAnOrderIsWhatItComesTo(t *testing.T) {
	d := *sessiontest.Desk(nil)
	q, err := d.Compose(t.Context(), question.Order, "B-01", 1)
	require.NoError(t, err)
	number := map[question.Step]string{}
	for i, o := range q.Parts[0].Options {
		number[o.Step] = strconv.Itoa(i + 1)
	}
	require.Len(t, number, 6)
	c, tk, s, w, m, h := question.Clean, question.Tack, question.Strike, question.Wait, question.Move, question.Hold
	for _, x := range []struct {
		steps []question.Step
		worse string // the finding it raises; empty: none
		right bool
	}{
		{[]question.Step{c, tk, s, w, m, h}, "", true},
		{[]question.Step{tk, s, w, m, h, c}, "dirty_metal", false},
		{[]question.Step{c, tk, s, m, w, h}, "cold_start", false},
		{[]question.Step{c, tk, s, h, w, m}, "post_flow_short", false},
		{[]question.Step{c, tk, m, s, w, h}, "", false}, // no arc yet
		{[]question.Step{c, s, w, m, tk, h}, "", false},
	} {
		reply := ""
		for _, step := range x.steps {
			reply += number[step] + " "
		}
		r, err := d.Check(t.Context(), q, []string{reply}, weld.Metric)
		require.NoError(t, err)
		assert.Equal(t, x.right, r.Share() == 1, "%v", x.steps)
		found := ""
		if len(r.Worse) > 0 {
			found = r.Worse[0].Rule
		}
		assert.Equal(t, x.worse, found, "%v", x.steps)
		assert.Equal(t, x.right || x.worse != "", r.Tried != nil)
		assert.Equal(t, []question.Step{c, tk, s, w, m, h}, r.Good)
	}
	for _, reply := range []string{"", "1", "1 2 3 4 5 5", "1234567", "clean", "0 1 2 3 4 5"} {
		assert.ErrorContains(t, q.Accept(nil, reply, weld.Metric), "each number from 1 to 6 once", reply)
	}
	assert.NoError(t, q.Accept(nil, "6,5, 4-3>2 1", weld.Metric))
}

// What breaks the paper is what its check says, and nothing else is asked of it.
func TestAPaperIsHeldToTheSetUp(t *testing.T) {
	d := *sessiontest.Desk(nil)
	seen := map[string]bool{}
	for seed := range int64(24) {
		q, err := d.Compose(t.Context(), question.Read, "T-01", seed)
		require.NoError(t, err)
		right := truths(t, d, q)
		at := func(part int) question.Option {
			n, _ := strconv.Atoi(right[part])
			return q.Parts[part].Options[n-1]
		}
		want, then := question.None, question.Allowed
		for _, l := range sessiontest.Paper().Held(q.Scenario.Task, q.Setup, weld.Metric) {
			if l.Then != question.Allowed {
				want, then = l.Variable, l.Then
			}
		}
		assert.Equal(t, want, at(0).Variable)
		assert.Equal(t, then, at(1).Then)
		r, err := d.Check(t.Context(), q, right, weld.Metric)
		require.NoError(t, err)
		assert.Equal(t, 1.0, r.Share())
		require.NotNil(t, r.Tried)
		assert.NotEmpty(t, view.Reasons(q, r, weld.Metric))
		seen[want] = true
	}
	assert.Len(t, seen, 3, "amps, dabs and nothing: %v", seen)
}

func TestWhatCannotBeAnsweredIsSaid(t *testing.T) {
	d := *sessiontest.Desk(nil)
	q, err := d.Compose(t.Context(), question.Spot, "t-01", 1)
	require.NoError(t, err)
	for _, reply := range []string{"", "0", "5", "-1", "two", "1.5", "99999999999999999999"} {
		assert.ErrorContains(t, q.Accept(nil, reply, weld.Metric), "a number from 1 to", reply)
	}
	_, err = d.Check(t.Context(), q, []string{"1"}, weld.Metric)
	assert.ErrorContains(t, err, "answer every part")
	_, err = d.Compose(t.Context(), "spott", "", 1)
	assert.ErrorContains(t, err, "allowed: spot")
	_, err = d.Compose(t.Context(), "", "T-99", 1)
	assert.ErrorContains(t, err, "there is no joint")
	ctx, stop := context.WithCancel(t.Context())
	stop()
	_, err = d.Compose(ctx, question.Spot, "", 1)
	assert.ErrorIs(t, err, context.Canceled)
}

// The same seed gives the same question; every right option is among the others once;
// no two options say the same.
func TestASeedIsAQuestion(t *testing.T) {
	d := fromBank(t)
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom(question.Kinds()).Draw(t, "kind")
		seed := rapid.Int64().Draw(t, "seed")
		q, err := d.Compose(context.Background(), kind, "", seed)
		if err != nil {
			t.Skip(err)
		}
		again, err := d.Compose(context.Background(), kind, q.Scenario.ID, seed)
		if err != nil || fmt.Sprint(view.QuestionHead(q, 0), q.Parts, q.Coupons) != fmt.Sprint(view.QuestionHead(again, 0), again.Parts, again.Coupons) {
			t.Fatalf("another question: %v", err)
		}
		for i, p := range q.Parts {
			texts := view.OptionTexts(q, i, weld.Metric)
			seen := map[string]bool{}
			for _, x := range texts {
				if seen[x] || x == "" {
					t.Fatalf("%s: %q stands twice or is empty in %q", p.About, x, texts)
				}
				seen[x] = true
			}
		}
	})
}

// No option is right by its place among the others, nor by being the longest.
func TestNeitherPlaceNorLengthTells(t *testing.T) {
	if raced {
		t.Skip("it counts; nothing runs beside anything else")
	}
	d := fromBank(t)
	const seeds = 240
	for _, kind := range question.Kinds() {
		at := map[question.About]map[[2]int]int{} // by how many options, and which is right
		longest, chance, n := 0.0, 0.0, 0.0
		for seed := range int64(seeds) {
			q, err := d.Compose(t.Context(), kind, "", seed)
			if kind == question.Limit || kind == question.Read || kind == question.Order {
				break // the bank's word is too little to make them of
			}
			require.NoError(t, err)
			if slices.ContainsFunc(q.Parts, func(p question.Part) bool { return p.Typed }) {
				break
			}
			r, err := d.Check(t.Context(), q, truths(t, d, q), weld.Metric)
			require.NoError(t, err)
			for i, p := range q.Parts {
				if r.Truth[i] < 0 {
					continue
				}
				if at[p.About] == nil {
					at[p.About] = map[[2]int]int{}
				}
				at[p.About][[2]int{len(p.Options), r.Truth[i]}]++
				texts := view.OptionTexts(q, i, weld.Metric)
				n++
				chance += 1 / float64(len(texts))
				most, as := 0, 0.0
				for _, x := range texts {
					most = max(most, len(x))
				}
				for _, x := range texts {
					if len(x) == most {
						as++
					}
				}
				if len(texts[r.Truth[i]]) == most {
					longest += 1 / as // one who takes the longest has to choose among these
				}
			}
		}
		for about, counts := range at {
			for _, options := range []int{2, 3, 4} {
				total := 0
				for i := range options {
					total += counts[[2]int{options, i}]
				}
				if total < 60 {
					continue
				}
				chi := 0.0
				for i := range options {
					e := float64(total) / float64(options)
					chi += (float64(counts[[2]int{options, i}]) - e) * (float64(counts[[2]int{options, i}]) - e) / e
				}
				assert.Less(t, chi, 18.0, "%s, %s with %d options: %v", kind, about, options, counts) // p < 0.001 for 3 degrees of freedom
			}
		}
		if n > 0 {
			assert.Less(t, longest/n, chance/n+0.12, "%s: the right option is the longest too often", kind)
		}
	}
}
