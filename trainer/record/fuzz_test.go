package record

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"puddlewise/scoring"
	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/arc"
	"puddlewise/trainer/session"
)

// FuzzImported reads attempts that come from anywhere: what is taken can be kept.
func FuzzImported(f *testing.F) {
	set := map[string]string{}
	for _, field := range weld.Fields {
		set[field.Key] = field.Get(weld.Defaults())
	}
	raw, err := newExported(session.Attempt{
		ID: "a", At: time.Unix(1, 0), Scenario: "B-01", ModelVersion: "1", Mode: "self-study", Answer: weld.Defaults(), Task: weld.Task{Joint: weld.SquareButt},
		Run:     &arc.Run{Format: arc.Format, Scenario: "B-01", Model: "1", Answer: set, Steps: 9, Inputs: []puddle.Input{{Do: puddle.Arc, Value: 1}, {Step: 3, Do: puddle.Dab}}},
		Verdict: scoring.Verdict{Outcome: scoring.Reject},
	})
	require.NoError(f, err)
	a, problems := readAttempt(raw)
	require.Empty(f, problems)
	require.NotNil(f, a.Run)
	f.Add(raw)
	f.Fuzz(func(t *testing.T, raw []byte) {
		if !json.Valid(raw) {
			return // the export's reader has refused it
		}
		a, problems := readAttempt(raw)
		if problems != nil {
			return
		}
		if r, err := newRow(a); err == nil {
			back, err := r.attempt()
			require.NoError(t, err)
			require.Equal(t, a, back)
		}
	})
}
