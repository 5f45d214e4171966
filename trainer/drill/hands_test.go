package drill

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/trainer/session"
	"puddlewise/trainer/session/sessiontest"
	"puddlewise/trainer/session/view"
)

func TestHands(t *testing.T) {
	for text, want := range map[string][]Hand{
		"60 A":                     {{"60 A", 0}},
		"60 A: 7, 90 A: 4":         {{"60 A", 7}, {"90 A", 4}},
		"60 A:4 , 90 A : 7,1 A: 0": {{"90 A", 7}, {"60 A", 4}, {"1 A", 0}},
		"60 A: 4, 90 A: 4":         {{"60 A", 4}, {"90 A", 4}},
	} {
		got, err := ReadHands(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got)
	}
	for text, want := range map[string]string{
		"60 A: many": "is no option with its hands", "60 A: 5, 90 A": `"90 A" is no option`, ": 4": "is no option", "60 A: -1": "is no option",
		"60 A: 501": "0 to 500", "60 A: 4, 60 a: 1": "stands there twice", "60 A: 0": "no hand was up",
	} {
		_, err := ReadHands(text)
		assert.ErrorContains(t, err, want, text)
	}
}

// Most hands are set; what is no option leaves the field as it was.
func TestHandsAreSet(t *testing.T) {
	s := session.New(sessiontest.Joint("T-01"), sessiontest.Options(nil))
	require.NoError(t, SetHands(s, "amps", []Hand{{"90 A", 7}, {"60", 4}}))
	assert.Equal(t, "90 A", s.Entries()[0].Text)
	assert.Error(t, SetHands(s, "amps", []Hand{{"70 A", 7}, {"furlong", 4}}))
	assert.Equal(t, "90 A", s.Entries()[0].Text)

	cs := []session.Cause{{Rule: "collapse", Text: "burnt through"}, {Rule: session.Nothing, Text: "it is good"}}
	up, rules, err := CauseHands(cs, "1: 3, good: 5")
	require.NoError(t, err)
	assert.Equal(t, []string{session.Nothing, "collapse"}, rules)
	assert.Equal(t, 5, up[0].Count)
	for text, want := range map[string]string{"9: 3": `"9" is none of them: 1 to 2`, "1: x": "is no option with its hands"} {
		_, _, err := CauseHands(cs, text)
		assert.ErrorContains(t, err, want)
	}
}

func TestHandsOnAWindow(t *testing.T) {
	s := session.New(sessiontest.Joint("T-01"), sessiontest.Options(nil))
	h := Shown{"amps": {{"95", 7}, {"60", 4}}, "travel": {{"120", 0}}, "dab": {{"2", 3}, {"3", 1}}}
	for key, up := range h {
		require.NoError(t, SetHands(s, key, up))
	}
	w, err := sessiontest.Map(s.Scenario().Task, s.Answer(), "amps", "travel", session.Cores(t.Context(), 1))
	require.NoError(t, err)
	welded, others := h.On(w, s)
	assert.Equal(t, "welded, 95 A: 7, 120 mm/min", welded)
	assert.Equal(t, []view.ChartOption{{X: 60, Y: w.Y0, Word: "60 A: 4"}}, others)
	w, err = sessiontest.Map(s.Scenario().Task, s.Answer(), "travel", "dab", session.Cores(t.Context(), 1))
	require.NoError(t, err)
	_, others = h.On(w, s)
	require.Len(t, others, 1)
	assert.InDelta(t, 3e-3, others[0].Y, 1e-12)
	assert.Equal(t, w.X0, others[0].X)
}
