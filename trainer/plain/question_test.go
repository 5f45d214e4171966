package plain

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/trainer/session/sessiontest"
)

func TestQuestionsInLines(t *testing.T) {
	rec := &sessiontest.Recorder{}
	opt := Options{Questions: sessiontest.Desk(rec)}
	out := talk(t, rec, opt, "ask T-01", "9", "1", "?", "7", "1", "back", "1", "amps", "near the start", "what", "next", "back", "back", "list", "quit")
	for _, want := range []string{
		"What shall it be about?", "Type one of the numbers; back leaves.", "Question 800000: Rail gusset, far end",
		"Coupon\n", "What was to be seen", "What is wrong with this coupon?", "Look at what is to be seen",
		`"7" is none of the answers: a number from 1 to 3`, "Which setting did it?", "Where along the seam?", " found ",
		"Recorded.", "next asks another question", "Question 800001",
	} {
		assert.Contains(t, out, want)
	}
	assert.Equal(t, 2, strings.Count(out, "Which setting did it?"), "back takes the answer back")
	require.Len(t, rec.Asked, 1)
	assert.Len(t, rec.Asked[0].Replies, 3)
	assert.Empty(t, rec.Attempts)
	out = talk(t, rec, opt, "ask T-01", "3", "amps", "n0", "back", "amps", "55 A", "quit")
	for _, want := range []string{"Which one setting would you change?", "1  amps, now ", "amps (1 to 400 A):", `"n0" is not a current`, "change    amps ", "done    "} {
		assert.Contains(t, out, want)
	}
	require.Len(t, rec.Asked, 2)
	out = talk(t, rec, opt, "ask T-01", "6", "amps", "own", "back", "quit")
	for _, want := range []string{"Allowed, and set up", "45 A to 70 A; set up: ", "PX-01", "What then?", "welded  "} {
		assert.Contains(t, out, want)
	}
	rec.Asked = rec.Asked[:2]
	out = talk(t, rec, opt, "ask T-01", "5", "1 1", "123456", "back", "quit")
	for _, want := range []string{"In which order?", "degrease and brush the joint", "each number from 1 to 6 once", "one way"} {
		assert.Contains(t, out, want)
	}
	out = talk(t, rec, opt, "ask T-01", "4", "", "far", "2 mm", "quit")
	for _, want := range []string{"It is accepted, welded with ", "before it is rejected", `"far" is not a`, "limit ", "off counts as right", "beyond "} {
		assert.Contains(t, out, want)
	}
	assert.NotContains(t, talk(t, rec, Options{}, "ask", "quit"), "What shall it be about?")
	assert.Contains(t, talk(t, rec, opt, "ask T-99", "1", "back", "quit"), `there is no joint "T-99"`)
}
