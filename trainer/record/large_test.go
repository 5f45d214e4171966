package record

import (
	"fmt"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
)

// large makes a record of so many attempts over 25 joints and 5 years, each with a
// verdict as long as a real one.
func large(tb testing.TB, path string, attempts int) {
	s, err := Open(path)
	require.NoError(tb, err)
	station := scoring.Station{FaceWidth: 1. / 300, BackWidth: 1. / 700, Penetration: 1. / 3, Cap: 1. / 3000, Toe: 1. / 3, PeakFace: 1900. / 7, PeakBack: 1300. / 7, Colour: "straw"}
	finding := scoring.Finding{Rule: "keyhole", Severity: scoring.Defect, Got: "3 mm of melted edge since the last dab", Want: "1.2 mm", Why: "the gap was not bridged in time", Fix: "dab closer", Source: "model"}
	r, err := newRow(session.Attempt{
		ID: "0", At: time.Unix(1, 0), Scenario: "B-01", Answer: weld.Defaults(), ModelVersion: "1", Mode: "self-study",
		Task:    weld.Task{Joint: weld.SquareButt, A: weld.Member{Metal: weld.CarbonSteel}},
		Verdict: scoring.Verdict{Outcome: scoring.Reject, Findings: []scoring.Finding{finding, finding}, Coupon: scoring.Coupon{Stations: slices.Repeat([]scoring.Station{station}, 25)}},
	})
	require.NoError(tb, err)
	start := time.Date(2026, 1, 5, 8, 0, 0, 0, time.UTC)
	_, err = s.db.Exec("BEGIN")
	require.NoError(tb, err)
	for i := range attempts {
		r.ID, r.At, r.Learner = fmt.Sprintf("%032x", uint64(i)*0x9e3779b97f4a7c15), start.Add(time.Duration(i)*26*time.Minute), "Ann"
		r.Started, r.Scenario = r.At.Add(-time.Minute), fmt.Sprintf("B-%02d", i*7%25)
		if r.Outcome = scoring.Accept; i%3 == 0 {
			r.Outcome = scoring.Reject
		}
		require.NoError(tb, s.insert("attempt", r))
	}
	_, err = s.db.Exec("COMMIT")
	require.NoError(tb, err)
	require.NoError(tb, s.Close())
}

// Start is what happens to the record before the trainer's first screen is drawn.
func BenchmarkStart(b *testing.B) {
	path := filepath.Join(b.TempDir(), FileName)
	large(b, path, 100_000)
	for b.Loop() {
		s, err := Open(path)
		require.NoError(b, err)
		_, err = s.Settings()
		require.NoError(b, err)
		_, err = s.Drafts("Ann")
		require.NoError(b, err)
		standings, err := s.Standings("Ann")
		require.NoError(b, err)
		require.Len(b, standings, 25)
		coupons, err := s.Recent("Ann", 50)
		require.NoError(b, err)
		require.Len(b, coupons, 50)
		require.NoError(b, s.Close())
	}
}
