package session_test

import (
	"context"
	"errors"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/sessiontest"
)

// tee starts a session at the test bank's tee with some fields typed.
func tee(t *testing.T, rec session.Recorder, typed map[string]string) *session.Session {
	t.Helper()
	s := session.New(sessiontest.Joint("T-01"), sessiontest.Options(rec))
	for key, text := range typed {
		require.NoError(t, s.Set(key, text))
	}
	return s
}

func good() map[string]string {
	return map[string]string{"amps": "60", "travel": "120", "dab": "1.5", "direction": "push"}
}

func with(key, text string) map[string]string {
	m := good()
	m[key] = text
	return m
}

func TestTheLearnerMustCommit(t *testing.T) {
	s := tee(t, nil, nil)
	for _, e := range s.Entries() {
		assert.False(t, e.Ready(), e.Field.Key)
	}
	_, err := s.Weld(t.Context())
	var missing *session.MissingError
	require.ErrorAs(t, err, &missing)
	assert.Len(t, missing.Fields, 4)
	assert.Equal(t, "still to decide: amps, travel, dab every, lean", err.Error())

	require.Error(t, s.Set("amps", "6o"))
	assert.Equal(t, "6o", s.Entries()[0].Text, "what was typed stays, to be mended")
	assert.Len(t, s.Missing(), 4)
	require.NoError(t, s.Set("amps", " 60 "))
	assert.Len(t, s.Missing(), 3)
	require.NoError(t, s.Set("amps", ""))
	assert.Len(t, s.Missing(), 4, "empty text takes a field back")
	assert.Error(t, s.Set("cup", "8"), "the joint does not ask for it")
}

func TestAttemptIsRecordedWithTheGuess(t *testing.T) {
	rec := &sessiontest.Recorder{}
	s := tee(t, rec, with("dab", "3"))
	s.Hint("amps")
	s.Hint("amps")
	a, err := s.Weld(t.Context())
	require.NoError(t, err)
	assert.Equal(t, scoring.Reject, a.Verdict.Outcome)
	assert.Empty(t, rec.Attempts, "the guess belongs to the record")
	assert.False(t, s.Recorded())

	g, err := s.Say("keyhole")
	require.NoError(t, err)
	assert.Equal(t, session.Decisive, g.Hit)
	assert.True(t, s.Recorded())
	require.Len(t, rec.Attempts, 1)
	got := rec.Attempts[0]
	assert.Equal(t, session.Attempt{
		ID: "test-1", Started: sessiontest.Time, At: sessiontest.Time, Learner: "apprentice", Scenario: "T-01", Revision: 1,
		Title: s.Scenario().Title, Task: s.Scenario().Task,
		ModelVersion: scoring.ModelVersion, Mode: "self-study", Answer: s.Answer(), Verdict: a.Verdict, Guess: "keyhole", Hints: 1,
	}, got)

	again, err := s.Say("back_air")
	require.NoError(t, err)
	assert.Equal(t, g, again, "only the first answer counts")
	assert.Len(t, rec.Attempts, 1)
}

func TestCouponIsRecordedWithoutAGuess(t *testing.T) {
	rec := &sessiontest.Recorder{}
	s := tee(t, rec, good())
	_, err := s.Weld(t.Context())
	require.NoError(t, err)
	_, err = s.Weld(t.Context())
	require.NoError(t, err)
	assert.Len(t, rec.Attempts, 1, "the next weld records the one before")
	require.NoError(t, s.Close())
	require.NoError(t, s.Close())
	assert.Len(t, rec.Attempts, 2)
	assert.Equal(t, "test-2", rec.Attempts[1].ID)
}

func TestNotScoredIsRecordedAtOnce(t *testing.T) {
	rec := &sessiontest.Recorder{}
	s := tee(t, rec, with("amps", "400"))
	_, err := s.Weld(t.Context())
	require.NoError(t, err)
	assert.Len(t, rec.Attempts, 1)
	assert.Nil(t, s.Choices())
}

func TestWhatCannotBeRecordedSaysSo(t *testing.T) {
	full := errors.New("the disk is full")
	s := tee(t, &sessiontest.Recorder{Err: full}, good())
	_, err := s.Weld(t.Context())
	require.NoError(t, err)
	_, err = s.Say(session.Nothing)
	require.ErrorIs(t, err, full)
	assert.Equal(t, "this coupon is NOT recorded: the disk is full", err.Error())
	assert.False(t, s.Recorded())
	_, ok := s.Said()
	assert.True(t, ok)
}

func TestGuesses(t *testing.T) {
	for _, c := range []struct {
		name  string
		typed map[string]string
		rule  string
		hit   session.Hit
		truth string
	}{
		{"the decisive one", with("dab", "3"), "keyhole", session.Decisive, "keyhole"},
		{"there, but not decisive", with("dab", "3"), "crater", session.Present, "keyhole"},
		{"not there", with("dab", "3"), "undercut", session.Missed, "keyhole"},
		{"a reject called good", with("dab", "3"), session.Nothing, session.Missed, "keyhole"},
		{"good", good(), session.Nothing, session.Decisive, session.Nothing},
		{"good, called bad", good(), "back_air", session.Missed, session.Nothing},
		{"cold", with("amps", "30"), "root_not_fused", session.Decisive, "root_not_fused"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := tee(t, nil, c.typed)
			_, err := s.Weld(t.Context())
			require.NoError(t, err)
			g, err := s.Say(c.rule)
			require.NoError(t, err)
			assert.Equal(t, c.hit, g.Hit)
			assert.Equal(t, c.truth, g.Truth)
		})
	}
}

func TestChoicesHoldTheTruthAndGiveNothingAway(t *testing.T) {
	var sets [][]session.Cause
	for _, amps := range []string{"30", "60", "90"} {
		s := tee(t, nil, with("amps", amps))
		assert.Nil(t, s.Choices(), "nothing to explain yet")
		_, err := s.Weld(t.Context())
		require.NoError(t, err)
		cs := s.Choices()
		assert.Len(t, cs, 6)
		assert.Equal(t, session.Nothing, cs[5].Rule)
		last, _ := s.Last()
		if last.Verdict.Outcome == scoring.Reject {
			assert.Contains(t, rules(cs), last.Verdict.Findings[0].Rule)
		}
		sets = append(sets, cs)
	}
	assert.Equal(t, sets[0], sets[1], "a good coupon offers the same causes as a cold one")
	for _, set := range sets {
		assert.IsIncreasing(t, order(set), "the order is that of the rules")
	}

	sc := sessiontest.Joint("T-01")
	sc.Mistakes[0].Finding = "arc_strike" // a rule no table knows
	s := session.New(sc, sessiontest.Options(nil))
	for k, v := range good() {
		require.NoError(t, s.Set(k, v))
	}
	_, err := s.Weld(t.Context())
	require.NoError(t, err)
	assert.Contains(t, s.Choices(), session.Cause{Rule: "arc_strike", Text: "arc strike"})
}

// judged starts a session at the test bank's tee whose coupon gets this verdict.
func judged(t *testing.T, v scoring.Verdict) *session.Session {
	t.Helper()
	opt := sessiontest.Options(nil)
	opt.Judge = func(weld.Task, weld.Answer) (scoring.Verdict, error) { return v, nil }
	s := session.New(sessiontest.Joint("T-01"), opt)
	for key, text := range good() {
		require.NoError(t, s.Set(key, text))
	}
	_, err := s.Weld(t.Context())
	require.NoError(t, err)
	return s
}

// Whatever stands first against a coupon can be said, in words that no other answer has.
func TestEveryFindingCanBeSaid(t *testing.T) {
	said := map[string]string{}
	for _, rule := range scoring.RuleIDs() {
		for severity, outcome := range map[scoring.Severity]scoring.Outcome{scoring.Defect: scoring.Reject, scoring.Fault: scoring.Accept} {
			s := judged(t, scoring.Verdict{Outcome: outcome, Findings: []scoring.Finding{{Rule: rule, Severity: severity}}})
			i := slices.Index(rules(s.Choices()), rule)
			require.GreaterOrEqual(t, i, 0, "%s as a %s is not among the answers", rule, severity)
			text := s.Choices()[i].Text
			assert.NotContains(t, text, "_")

			assert.LessOrEqual(t, len(text), 70, "%s: too long for a line of 80", rule)
			if other := said[text]; other != "" {
				assert.Equal(t, other, rule, "two answers read alike: %q", text)
			}
			said[text] = rule
		}
		assert.NotContains(t, session.InWords(rule), "_", "no name")
	}
}

func TestWhatIsCloseAndWhatIsToMend(t *testing.T) {
	s := judged(t, scoring.Verdict{Outcome: scoring.Reject, Findings: []scoring.Finding{{Rule: "draught", Severity: scoring.Defect}}})
	g, err := s.Say("pool_uncovered")
	require.NoError(t, err)
	assert.Equal(t, session.Close, g.Hit, "the draught is why the pool was not covered")

	s = judged(t, scoring.Verdict{Outcome: scoring.Accept, Findings: []scoring.Finding{{Rule: "crater", Severity: scoring.Fault}}})
	g, err = s.Say(session.Nothing)
	require.NoError(t, err)
	assert.Equal(t, session.Decisive, g.Hit)
	assert.Equal(t, "crater", g.Mend)
}

func rules(cs []session.Cause) (out []string) {
	for _, c := range cs {
		out = append(out, c.Rule)
	}
	return out
}

func order(cs []session.Cause) (out []int) {
	for _, c := range cs[:len(cs)-1] {
		out = append(out, slices.Index(scoring.RuleIDs(), c.Rule))
	}
	return out
}

func TestCancellingLeavesTheSessionAsItWas(t *testing.T) {
	opt := sessiontest.Options(nil)
	hold := make(chan struct{})
	defer close(hold)
	opt.Judge = func(weld.Task, weld.Answer) (scoring.Verdict, error) { <-hold; return scoring.Verdict{}, nil }
	s := session.New(sessiontest.Joint("T-01"), opt)
	for k, v := range good() {
		require.NoError(t, s.Set(k, v))
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := s.Weld(ctx)
	require.ErrorIs(t, err, context.Canceled)
	assert.Empty(t, s.Tries())
}

func TestTheJudgesFaultsArrive(t *testing.T) {
	s := tee(t, nil, with("amps", "399"))
	_, err := s.Weld(t.Context())
	require.ErrorContains(t, err, "heat balance")
	assert.Empty(t, s.Tries())
	require.NoError(t, s.Set("amps", "398"))
	assert.PanicsWithValue(t, "the judge's own fault", func() { _, _ = s.Weld(t.Context()) })
}

func TestDirty(t *testing.T) {
	s := tee(t, nil, nil)
	assert.False(t, s.Dirty())
	for k, v := range good() {
		require.NoError(t, s.Set(k, v))
	}
	assert.True(t, s.Dirty())
	_, err := s.Weld(t.Context())
	require.NoError(t, err)
	assert.False(t, s.Dirty())
	require.NoError(t, s.Set("dab", "1.5 mm"))
	assert.False(t, s.Dirty(), "the same value in other words")
	require.NoError(t, s.Set("dab", "2"))
	assert.True(t, s.Dirty())
}

func TestSmallestChange(t *testing.T) {
	s := tee(t, nil, with("dab", "3"))
	_, err := s.Weld(t.Context())
	require.NoError(t, err)
	_, ok := s.Search()
	assert.False(t, ok, "the learner says first what went wrong")
	_, err = s.Say("keyhole")
	require.NoError(t, err)
	require.NoError(t, s.Rescued(t.Context()))
	r, done := s.Rescue()
	require.True(t, done)
	assert.Equal(t, []string{"dab every 3 mm -> 1.5 mm"}, r.Words(weld.Metric))
	_, ok = s.Search()
	assert.False(t, ok, "it is looked for once")

	_, err = s.Weld(t.Context())
	require.NoError(t, err)
	_, done = s.Rescue()
	assert.False(t, done, "another coupon, another search")
	_, err = s.Say("keyhole")
	require.NoError(t, err)
	q, ok := s.Search()
	require.True(t, ok)
	_, err = s.Weld(t.Context())
	require.NoError(t, err)
	s.Found(q, r)
	_, done = s.Rescue()
	assert.False(t, done, "what is found too late is not taken for the new coupon")
}

func TestSearchesEndWithTheirContext(t *testing.T) {
	opt := sessiontest.Options(nil)
	working := make(chan struct{})
	opt.Save = func(_ weld.Task, _ weld.Answer, _ []string, _ weld.System, par scoring.Parallel) (scoring.Rescue, bool) {
		close(working)
		for {
			par(1, func(int) {}) // as a search does, again and again
		}
	}
	s := session.New(sessiontest.Joint("T-01"), opt)
	for k, v := range with("dab", "3") {
		require.NoError(t, s.Set(k, v))
	}
	_, err := s.Weld(t.Context())
	require.NoError(t, err)
	_, err = s.Say("keyhole")
	require.NoError(t, err)
	q, ok := s.Search()
	require.True(t, ok)
	ctx, cancel := context.WithCancel(t.Context())
	result := q.Start(ctx)
	<-working
	cancel()
	require.ErrorIs(t, (<-result).Err, context.Canceled)
}

func TestFaultsOfASearchArrive(t *testing.T) {
	opt := sessiontest.Options(nil)
	opt.Save = func(_ weld.Task, _ weld.Answer, _ []string, _ weld.System, par scoring.Parallel) (scoring.Rescue, bool) {
		par(9, func(i int) {
			if i == 7 {
				panic("the search's own fault")
			}
		})
		return scoring.Rescue{}, false
	}
	s := session.New(sessiontest.Joint("T-01"), opt)
	for k, v := range with("dab", "3") {
		require.NoError(t, s.Set(k, v))
	}
	_, err := s.Weld(t.Context())
	require.NoError(t, err)
	_, err = s.Say("keyhole")
	require.NoError(t, err)
	assert.PanicsWithValue(t, "the search's own fault", func() { _ = s.Rescued(t.Context()) })
}

func TestAxes(t *testing.T) {
	for _, c := range []struct {
		ask  []string
		want []session.Axes
	}{
		{[]string{"amps", "travel", "rod"}, []session.Axes{{"amps", "travel"}, {"amps", "rod"}, {"travel", "rod"}}},
		{[]string{"amps", "tungsten_diameter", "gas", "dab"}, []session.Axes{{"amps", "dab"}, {"amps", "tungsten_diameter"}, {"dab", "tungsten_diameter"}}},
		{[]string{"amps", "filler", "back"}, []session.Axes{{"amps", "travel"}}},
		{[]string{"flow", "stick_out", "lens"}, []session.Axes{{"flow", "stick_out"}}},
		{[]string{"dab", "lens"}, []session.Axes{{"dab", "amps"}}},
		{[]string{"amps_end", "dab_size", "vent"}, []session.Axes{{"amps", "travel"}}}, // nought: nothing to go around
		{nil, []session.Axes{{"amps", "travel"}}},
	} {
		sc := sessiontest.Joint("T-01")
		sc.Ask = c.ask
		s := session.New(sc, sessiontest.Options(nil))
		for _, e := range s.Entries() {
			require.NoError(t, s.Set(e.Field.Key, e.Field.Get(sc.Model)))
		}
		_, err := s.Weld(t.Context())
		require.NoError(t, err)
		assert.Equal(t, c.want, s.Axes(), c.ask)
	}
	assert.Equal(t, "amps and dab every", session.Axes{X: "amps", Y: "dab"}.Words())

	s := tee(t, nil, with("dab", "3"))
	_, err := s.Weld(t.Context())
	require.NoError(t, err)
	assert.Equal(t, session.Axes{X: "amps", Y: "dab"}, s.Axes()[0], "what moves a keyhole")
}

func TestWindow(t *testing.T) {
	x := session.Axes{X: "amps", Y: "travel"}
	s := tee(t, nil, with("dab", "3"))
	_, err := s.Weld(t.Context())
	require.NoError(t, err)
	_, ok := s.Survey(x)
	assert.False(t, ok, "the learner says first what went wrong")
	_, err = s.Say("keyhole")
	require.NoError(t, err)
	w, err := s.WindowNow(t.Context(), x)
	require.NoError(t, err)
	require.NotNil(t, w)
	assert.Equal(t, "amps", w.X.Key)
	again, err := s.WindowNow(t.Context(), x)
	require.NoError(t, err)
	assert.Same(t, w, again, "it is mapped once")
	other, err := s.WindowNow(t.Context(), session.Axes{X: "amps", Y: "dab"})
	require.NoError(t, err)
	assert.Equal(t, "dab", other.Y.Key)

	q, ok := s.Survey(session.Axes{X: "travel", Y: "dab"})
	require.True(t, ok)
	_, err = s.Weld(t.Context())
	require.NoError(t, err)
	assert.Nil(t, s.Window(x), "another coupon, another window")
	s.Mapped(q, w)
	assert.Nil(t, s.Window(session.Axes{X: "travel", Y: "dab"}), "what comes too late is not taken for the new coupon")

	_, err = s.Say("keyhole")
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = s.WindowNow(ctx, x)
	require.ErrorIs(t, err, context.Canceled)
	_, err = s.WindowNow(t.Context(), session.Axes{X: "amps", Y: "amps_end"})
	require.ErrorContains(t, err, "no window around that")
}

func TestACouponThatIsNotScoredHasAWindowToo(t *testing.T) {
	s := tee(t, nil, with("amps", "400"))
	_, err := s.Weld(t.Context())
	require.NoError(t, err)
	w, err := s.WindowNow(t.Context(), session.Axes{X: "amps", Y: "travel"})
	require.NoError(t, err)
	require.NotNil(t, w)
}

// A machine that gives little is asked for no more, and no more is proposed.
func TestASmallMachine(t *testing.T) {
	sc := sessiontest.Joint("T-01")
	sc.MostAmps = 60
	opt := sessiontest.Options(&sessiontest.Recorder{})
	var offered []string
	opt.Save = func(_ weld.Task, _ weld.Answer, fields []string, _ weld.System, _ scoring.Parallel) (scoring.Rescue, bool) {
		offered = fields
		return scoring.Rescue{}, false
	}
	s := session.New(sc, opt)
	require.NoError(t, s.Set("amps", "30"))
	assert.ErrorContains(t, s.Set("amps", "61"), "61 A is more than the machine on this bench gives: at most 60 A")
	assert.Equal(t, weld.Current(30), s.Answer().Amps)
	for key, text := range map[string]string{"amps": "30", "travel": "200", "dab": "1.5", "direction": "push"} {
		require.NoError(t, s.Set(key, text))
	}
	a, err := s.Weld(t.Context())
	require.NoError(t, err)
	require.Equal(t, scoring.Reject, a.Verdict.Outcome)
	_, err = s.Say(session.Nothing)
	require.NoError(t, err)
	require.NoError(t, s.Rescued(t.Context()))
	if a.Verdict.Scores.LackOfFusion < scoring.Limit {
		assert.NotContains(t, offered, "amps")
	}
	assert.Contains(t, offered, "travel")
}
