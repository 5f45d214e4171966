package scoring

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// Trials say what verdicts say, far from the limit and near it, and weld a seam once.
func TestTrialsAgreeWithVerdicts(t *testing.T) {
	s := setups(t)["steel butt"]
	tr := Trials{Task: s.task}
	with := func(key, text string) weld.Answer {
		a := s.answer
		f, _ := weld.FieldByKey(key)
		require.NoError(t, f.SetStrict(&a, text))
		return a
	}
	for _, a := range []weld.Answer{s.answer, with("amps", "20 A"), with("amps", "38.8 A")} {
		v, margin, err := tr.Accepts(a)
		require.NoError(t, err)
		full := judgeShared(t, s.task, a)
		assert.Equal(t, full.Outcome, v.Outcome, "%v", a.Amps)
		assert.Equal(t, v.Outcome == Reject, margin >= 1)
		if margin > surelyRight && margin < surelyWrong {
			assert.Equal(t, full, v, "near the limit the full grade speaks")
		}
	}
	welded := len(tr.seams)
	v, raised, err := tr.Raises(with("flow", "2 L/min"), "flow_low")
	require.NoError(t, err)
	assert.True(t, raised, "%v", v.Findings)
	_, raised, err = tr.Raises(with("filler", "ER4043"), "wrong_filler")
	require.NoError(t, err)
	assert.True(t, raised)
	assert.Len(t, tr.seams, welded, "gas and filler melt nothing else")

	_, raised, err = tr.Raises(s.answer, "collapse")
	require.NoError(t, err)
	assert.False(t, raised)
	hot := s.answer
	assert.NotNil(t, tr.seams[seam{seamOf(hot), puddle.Fine}], "what is not found is looked for at the full grade")

	v, _, err = tr.Accepts(with("travel", "5 mm/min"))
	require.NoError(t, err)
	assert.Equal(t, OutOfRange, v.Outcome)
}
