package scoring_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scoring"
	"puddlewise/scoring/visual"
	"puddlewise/scoring/weld"
)

const mm = weld.Millimetre

// sheetOf inspects a butt 1.5 mm thick and 50 mm long, sound but for what spoil does to it.
func sheetOf(t *testing.T, level visual.Level, spoil func(c *scoring.Coupon)) map[visual.Imperfection]scoring.Inspected {
	t.Helper()
	task := weld.Task{Joint: weld.SquareButt, Seam: 50 * mm}
	task.A = weld.Member{Metal: weld.CarbonSteel, Thickness: 1.5 * mm}
	task.B = task.A
	c := scoring.Coupon{}
	for k := range 51 {
		c.Stations = append(c.Stations, scoring.Station{
			At: weld.Length(float64(k)) * mm, FaceWidth: 5 * mm, BackWidth: 3 * mm, Penetration: 1, Cap: 0.4 * mm, Root: 0.2 * mm, Toe: 165 * weld.Degree,
		})
	}
	spoil(&c)
	out := map[visual.Imperfection]scoring.Inspected{}
	for _, l := range scoring.Inspect(task, c, level) {
		out[l.Imperfection] = l
	}
	require.NotEmpty(t, out)
	return out
}

// The limits at 1.5 mm are ISO 5817:2014's as worked in testdata/visual.
func TestInspect(t *testing.T) {
	for _, l := range sheetOf(t, visual.B, func(*scoring.Coupon) {}) {
		assert.NotEqual(t, scoring.Failed, l.Result, l.Name)
	}
	at := func(k int, spoil func(s *scoring.Station)) func(*scoring.Coupon) {
		return func(c *scoring.Coupon) { spoil(&c.Stations[k]) }
	}
	for _, c := range []struct {
		what   string
		spoil  func(*scoring.Coupon)
		id     visual.Imperfection
		passes []visual.Level
	}{
		{"undercut 0.12", at(20, func(s *scoring.Station) { s.Undercut = 0.12 * mm }), visual.Undercut, []visual.Level{"C", "D"}},
		{"undercut 0.2", at(20, func(s *scoring.Station) { s.Undercut = 0.2 * mm }), visual.Undercut, []visual.Level{"D"}},
		{"undercut 0.12 along the seam", func(c *scoring.Coupon) {
			for k := range c.Stations {
				c.Stations[k].Undercut = 0.12 * mm
			}
		}, visual.Undercut, nil}, // C and D allow it on short stretches only
		{"root out by 1.5", at(20, func(s *scoring.Station) { s.Root = 1.5 * mm }), visual.ExcessRoot, []visual.Level{"C", "D", "test"}},
		{"cap of 1.7", at(20, func(s *scoring.Station) { s.Cap = 1.7 * mm }), visual.ExcessWeld, []visual.Level{"C", "D", "test"}},
		{"root drawn in by 0.3", at(20, func(s *scoring.Station) { s.Root = -0.3 * mm }), visual.RootConcavity, []visual.Level{"D"}},
		{"not through by 0.2", at(20, func(s *scoring.Station) { s.Penetration = 0.87 }), visual.RootPenetration, []visual.Level{"D"}},
		{"a hole", at(20, func(s *scoring.Station) { s.Hole = true }), visual.BurnThrough, nil},
		{"a cold lap", at(20, func(s *scoring.Station) { s.ColdLap = true }), visual.LackOfFusion, nil},
		{"a blunt toe", at(20, func(s *scoring.Station) { s.Toe = 120 * weld.Degree }), visual.ToeAngle, []visual.Level{"C", "D"}},
		{"a crater of 0.25", func(c *scoring.Coupon) { c.Crater = 0.25 * mm }, visual.EndCrater, []visual.Level{"D"}},
	} {
		for _, level := range []visual.Level{visual.B, visual.C, visual.D, visual.Test} {
			sheet := sheetOf(t, level, c.spoil)
			want := scoring.Failed
			if slices.Contains(c.passes, level) {
				want = scoring.Passed
			}
			assert.Equal(t, want, sheet[c.id].Result, "%s at %s: %+v", c.what, level, sheet[c.id])
			for id, l := range sheet {
				assert.True(t, id == c.id || l.Result != scoring.Failed, "%s at %s fails %s too", c.what, level, l.Name)
			}
		}
	}
}

// What no source confirms is not guessed.
func TestWhatIsNotEncodedIsNotChecked(t *testing.T) {
	for _, l := range sheetOf(t, visual.D11, func(*scoring.Coupon) {}) {
		assert.Equal(t, scoring.NotChecked, l.Result, "%s: D1.1 begins at 3 mm", l.Name)
	}
	task := weld.Task{Joint: weld.SquareButt, Seam: 50 * mm}
	task.A = weld.Member{Metal: weld.Al6061, Thickness: 2 * mm}
	task.B = task.A
	for _, l := range scoring.Inspect(task, scoring.Coupon{Stations: make([]scoring.Station, 51)}, visual.B) {
		assert.Equal(t, scoring.NotChecked, l.Result, l.Name)
	}
}
