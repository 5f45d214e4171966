package visual_test

import (
	"encoding/csv"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scoring/visual"
	"puddlewise/scoring/weld"
)

// TestISO5817 holds the table to numbers worked from copies of the standard; the copy
// stands beside each.
func TestISO5817(t *testing.T) {
	f, err := os.Open("../../testdata/visual/iso5817.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(rows), 25)
	length := func(s string) weld.Length {
		v, err := strconv.ParseFloat(s, 64)
		require.NoError(t, err)
		return weld.Length(v) * weld.Millimetre
	}
	for _, r := range rows[1:] {
		size := visual.Size{T: length(r[2]), B: length(r[3]), A: length(r[4]), Fillet: r[4] != "0"}
		got := visual.ISO5817(visual.Imperfection(r[0]), visual.Level(r[1]), size)
		assert.InDelta(t, length(r[5]).MM(), got.Most.MM(), 1e-9, "%v", r)
	}
}

// A stricter level never allows more, and a test piece is between B and C.
func TestLevelsAreInOrder(t *testing.T) {
	all := []visual.Imperfection{
		visual.EndCrater, visual.LackOfFusion, visual.RootPenetration, visual.Undercut, visual.ExcessWeld, visual.Convexity, visual.ExcessRoot, visual.ToeAngle,
		visual.Sagging, visual.BurnThrough, visual.UnequalLegs, visual.RootConcavity, visual.ThroatTooSmall, visual.ThroatTooBig, visual.RootGap,
	}
	for _, thickness := range []weld.Length{0.5, 1, 2, 3, 3.2, 4} {
		for _, i := range all {
			s := visual.Size{T: thickness * weld.Millimetre, B: 4 * weld.Millimetre, A: 2 * weld.Millimetre}
			b, c, d, piece := visual.ISO5817(i, visual.B, s), visual.ISO5817(i, visual.C, s), visual.ISO5817(i, visual.D, s), visual.ISO5817(i, visual.Test, s)
			assert.LessOrEqual(t, b.Most, c.Most, i)
			assert.True(t, c.Most <= d.Most || d.Allowed, i)
			assert.True(t, b.Least >= c.Least && c.Least >= d.Least, i)
			assert.True(t, b.Most <= piece.Most && piece.Most <= c.Most, i)
			assert.Contains(t, piece.Source, "ISO 9606-1")
		}
	}
}

func TestTheNewerEdition(t *testing.T) {
	s := visual.Size{T: 4 * weld.Millimetre, B: 4 * weld.Millimetre}
	assert.InDelta(t, 3.4, visual.ISO5817(visual.ExcessRoot, visual.C, s).Most.MM(), 1e-9)
	assert.InDelta(t, 2.8, visual.ISO5817(visual.ExcessRoot, visual.C2023, s).Most.MM(), 1e-9)
	s.T = 2 * weld.Millimetre
	assert.InDelta(t, 2.2, visual.ISO5817(visual.ExcessRoot, visual.C2023, s).Most.MM(), 1e-9, "thin sheet is as it was")
}
