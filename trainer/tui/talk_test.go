package tui_test

import (
	"errors"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/drill"
	"puddlewise/trainer/session/question"
	"puddlewise/trainer/session/sessiontest"
	"puddlewise/trainer/tui"
	"puddlewise/trainer/tui/tuitest"
)

// class is four learners at B-01, one at C-01, and three at a question about T-01.
func class(t *testing.T) *tui.Talk {
	t.Helper()
	desk := *sessiontest.Desk(nil)
	handIn := func(name string) *drill.Checked { return &drill.Checked{Result: drill.Result{Learner: name}} }
	welded := func(r *drill.Checked, id string, amps, travel string) {
		sc := sessiontest.Joint(id)
		a := sc.Model
		for key, text := range map[string]string{"amps": amps, "travel": travel} {
			f, _ := weld.FieldByKey(key)
			require.NoError(t, f.SetStrict(&a, text))
		}
		v, err := sessiontest.Judge(sc.Task, a)
		require.NoError(t, err)
		out := drill.Attempt{Scenario: id, Revision: 1, Task: sc.Task, Answer: map[string]string{}, Outcome: v.Outcome, Scores: v.Scores, Passed: v.Outcome == scoring.Accept}
		for _, f := range weld.Fields {
			out.Answer[f.Key] = f.Get(a)
		}
		for _, f := range v.Findings {
			out.Findings = append(out.Findings, f.Rule)
		}
		r.Attempts = append(r.Attempts, out)
	}
	q, err := desk.Compose(t.Context(), question.Spot, "T-01", 7)
	require.NoError(t, err)
	r, err := desk.Check(t.Context(), q, []string{"1", "1", "1"}, weld.Metric)
	require.NoError(t, err)
	said := func(r *drill.Checked, right float64, replies ...string) {
		r.Answers = append(r.Answers, drill.Answer{Scenario: "T-01", Revision: 1, Kind: question.Spot, Seed: 7, Replies: replies, Right: right, Rules: q.Rules})
	}
	right := make([]string, len(r.Truth))
	for i, k := range r.Truth {
		right[i] = fmt.Sprint(k + 1)
	}
	ann, bo, cy, dee := handIn("Ann"), handIn("Bo"), handIn("Cy"), handIn("Dee")
	for _, x := range []struct {
		who          *drill.Checked
		amps, travel string
	}{{ann, "60 A", "120 mm/min"}, {bo, "80 A", "150 mm/min"}, {bo, "64 A", "150 mm/min"}, {cy, "40 A", "100 mm/min"}, {dee, "75 A", "130 mm/min"}} {
		welded(x.who, "B-01", x.amps, x.travel)
	}
	welded(dee, "C-01", "60 A", "120 mm/min")
	said(ann, 1, right...)
	said(bo, 0, "3", "3", "1")
	said(cy, 0.3, right[0], "2", "1")
	return &tui.Talk{
		Title: "Amps and eyes", Talks: drill.Talks([]drill.Checked{*ann, *bo, *cy, *dee}),
		Judge: sessiontest.Judge, Map: sessiontest.Map, Desk: desk,
	}
}

func TestADrillIsTalkedThrough(t *testing.T) {
	l := tuitest.Sit(t, 80, 24, func(o *tui.Options) { o.Talk = class(t) })
	l.Sees("B-01  Duct patch [flat]", "joint 1 of 3", "2 of 4 learners passed.", "Most often: burn-through.", "P passed   N did not pass", "first answers, amps and travel", "N 80 A, 150 mm/min", "P 60 A, 120")
	l.SeesNot("Ann", "Bo").Press("n").Sees("Ann: 60 A").Press("n").SeesNot("Ann")
	l.Press("tab").Sees("furthest off   REJECT x  burn-through", "the best   ACCEPT +", "between them: amps 80 A -> 60 A, travel 150 mm/min -> 120 mm/min", "furthest best", "at 46 mm")
	l.Press("left", "l", "l", "x").Sees("at 46 mm").Press("n").Sees("furthest off, Bo", "the best, Ann").Press("n")
	l.Press("tab").Sees("back", "section at 46 mm", "gravity").SeesNot("face width").Press("l").SeesNot("at 46 mm").Press("x").Sees("tab answers")
	l.Press("down").Sees("C-01  Lid", "joint 2 of 3", "amps").SeesNot("left/right").Press("tab").Sees("the only coupon   ACCEPT +")
	l.Press("enter").Sees("T-01  Rail gusset", "1 of 3 learners passed.", "A question, what is wrong with it", "1 learner of 3 had all of it right", "What is wrong with this coupon?")
	l.Press("n").Sees("(Ann, Cy)").Press("pgdn").SeesNot("had all of it right").Sees("tab its coupon").Press("tab").Sees("face", "back").SeesNot("What is wrong")
	l.Press("m").Sees("most missed first", "> T-01", "1 of 3", "keyhole").Press("G").Sees("> C-01", "1 of 1")
	l.Press("up", "enter").Sees("B-01  Duct").Press("m", "esc").Sees("B-01  Duct", "up/down joint")
	assert.ErrorIs(t, l.Walker.Press("q"), tui.ErrEnded)
	assert.NoError(t, l.Walker.Ended())
}

// What cannot be made again is said, and the rest stands there.
func TestADebriefOfWhatCannotBeMadeAgain(t *testing.T) {
	talk := class(t)
	talk.Names = true
	talk.Talks[0].Worst.Answer["amps"] = "399 A"
	talk.Talks[2].Quiz.Revision = 9
	talk.Map = func(weld.Task, weld.Answer, string, string, scoring.Parallel) (*scoring.Window, error) {
		return nil, errors.New("there is no window around that")
	}
	l := tuitest.Sit(t, 80, 24, func(o *tui.Options) { o.Talk, o.Bank = talk, o.Bank[:1] })
	l.Sees("No window of amps and travel: there is no window around that", "N Cy: 40 A, 100 mm/min")
	l.Press("tab").Sees("It cannot be welded again: the heat balance did not close").SeesNot("left/right")
	l.Press("down", "down").Sees("T-01", "A question", "It cannot be made again: it was of revision 9 of its joint").SeesNot("tab")
}

func TestScreensOfADebrief(t *testing.T) {
	for _, size := range sizes {
		if tui.Raced && size.name != "80x24" {
			continue
		}
		t.Run(size.name, func(t *testing.T) {
			l := tuitest.Sit(t, size.w, size.h, func(o *tui.Options) {
				if size.change != nil {
					size.change(o)
				}
				o.Talk = class(t)
			})
			name := func(s string) string { return s + "-" + size.name }
			l.Press("n").Golden(name("talk-answers"))
			l.Press("n", "tab").Golden(name("talk-coupons"))
			if size.w < 110 {
				l.Press("tab").Golden(name("talk-sections"))
			}
			l.Press("m").Golden(name("talk-list")).Press("esc")
			l.Press("down", "down").Golden(name("talk-question"))
			if size.w < 110 {
				l.Press("tab").Golden(name("talk-look"))
			}
		})
	}
}
