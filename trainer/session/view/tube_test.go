package view

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session/sessiontest"
)

// around gives the tube butt or the branch of the tests in a position.
func aroundIn(j weld.Joint, p weld.Position) weld.Task {
	i := 0
	if j == weld.TubeSaddle {
		i = 1
	}
	t := sessiontest.Around()[i].Task
	t.Position = p
	t.Seam = t.Round().Run()
	return t
}

// markAt gives where a word stands in the picture.
func markAt(t *testing.T, s Section, word string) Point {
	t.Helper()
	for _, m := range s.Marks {
		if slices.Contains(m.Lines, word) {
			return m.At
		}
	}
	require.Fail(t, "no mark", "%q in %v", word, s.Marks)
	return Point{}
}

func TestTubeEnd(t *testing.T) {
	const r = 38.1 / 2 * 0.9
	welded := func(s Section, y, z float64) bool { return s.KindAt(Point{y * r, z * r}) == Bead }
	up, ok := TubeView(aroundIn(weld.TubeButt, weld.PH), -1)
	require.True(t, ok)
	assert.Less(t, markAt(t, up, "start").Z, markAt(t, up, "6").Z, "it starts under six o'clock")
	assert.Greater(t, markAt(t, up, "end").Z, markAt(t, up, "12").Z)
	assert.Greater(t, markAt(t, up, "3").Y, markAt(t, up, "9").Y)
	assert.True(t, welded(up, 1, 0) && !welded(up, -1, 0), "past three o'clock, not past nine")
	markAt(t, up, "up")
	down, _ := TubeView(aroundIn(weld.TubeButt, weld.PJ), -1)
	assert.Greater(t, markAt(t, down, "start").Z, markAt(t, down, "end").Z)
	markAt(t, down, "down")
	turned, _ := TubeView(aroundIn(weld.TubeButt, weld.PA), -1)
	assert.True(t, welded(turned, 1, 0) && welded(turned, -1, 0), "all around")
	markAt(t, turned, "turns")
	upright, _ := TubeView(aroundIn(weld.TubeButt, weld.PC), -1)
	assert.True(t, upright.FromAbove)
	assert.False(t, slices.ContainsFunc(upright.Marks, func(m Mark) bool { return m.Lines[0] == "6" }), "no clock where gravity pulls along the axis")

	task := aroundIn(weld.TubeButt, weld.PJ)
	here, _ := TubeView(task, task.Seam/2)
	assert.InDelta(t, 0, markAt(t, here, "o").Z, 1e-6, "half way is three o'clock")
	assert.Greater(t, markAt(t, here, "o").Y, 0.0)
	_, ok = TubeView(sessiontest.Joint("T-01").Task, -1)
	assert.False(t, ok)
}

func TestBranchFromTheSide(t *testing.T) {
	level, _ := TubeView(aroundIn(weld.TubeSaddle, weld.PH), -1)
	assert.Less(t, markAt(t, level, "crotch").Z, markAt(t, level, "crown").Z, "the crotch lies under the branch")
	assert.Equal(t, markAt(t, level, "crotch"), markAt(t, level, "start"))
	down, _ := TubeView(aroundIn(weld.TubeSaddle, weld.PJ), -1)
	assert.Equal(t, markAt(t, down, "crown"), markAt(t, down, "start"))
	square := aroundIn(weld.TubeSaddle, weld.PB)
	square.Branch = weld.MaxBranch
	s, _ := TubeView(square, -1)
	assert.False(t, slices.ContainsFunc(s.Marks, func(m Mark) bool { return slices.Contains(m.Lines, "crotch") }), "a square branch has none")
}

// The section hangs as it does at that hour, and the tubes meet at their angle.
func TestSectionAroundATube(t *testing.T) {
	for _, j := range []weld.Joint{weld.TubeButt, weld.TubeSaddle} {
		task := aroundIn(j, weld.PH)
		at := func(share float64) Section {
			return JointSection(task, SectionOptions{At: weld.Length(share) * task.Seam})
		}
		assert.InDelta(t, -1, at(0).Toward.Z, 1e-9, "%s: from below at six", j)
		assert.True(t, at(0.5).AlongGravity, j)
		assert.InDelta(t, 1, at(1).Toward.Z, 1e-9, "%s: from above at twelve", j)
	}
	branch := aroundIn(weld.TubeSaddle, weld.PB)
	const reach = 3.0
	for _, c := range []struct{ share, deg float64 }{{0, 60}, {1, 120}} {
		s := JointSection(branch, SectionOptions{At: weld.Length(c.share) * branch.Seam})
		just := func(deg float64) Kind {
			return s.KindAt(Point{reach * math.Cos(deg*math.Pi/180), reach * math.Sin(deg*math.Pi/180)})
		}
		assert.Equal(t, Air, just(c.deg-2), "at %g", c.share)
		assert.Equal(t, MemberB, just(c.deg+2), "at %g", c.share)
	}
}

func TestTubesInWords(t *testing.T) {
	butt := JointSheet(sessiontest.Around()[0], weld.Metric)
	assert.Equal(t, "59.85 mm, from six o'clock up past three to twelve; the other half is another run", fact(t, butt.Facts, "seam"))
	assert.Equal(t, "38.1 mm outside", fact(t, butt.Facts, "tube"))
	assert.Contains(t, strings.Join(butt.Cautions, " "), "Overhead")
	branch := JointSheet(sessiontest.Around()[1], weld.Imperial)
	assert.Contains(t, fact(t, branch.Facts, "seam"), "from the crown around a flank to the crotch")
	assert.Equal(t, "branch 1 in outside on a tube of 1.5 in, leaning at 60 deg", fact(t, branch.Facts, "tube"))
	assert.Contains(t, fact(t, branch.Facts, "part"), "a run as yours ended down the other half 60 s ago")
	text := strings.Join(SectionWords(sessiontest.Around()[1].Task, weld.Metric), " ")
	for _, want := range []string{"the crotch lies where the branch leans over", "at 120 deg where the run starts", "at 132 deg on the flank"} {
		assert.Contains(t, text, want)
	}

	task := sessiontest.Around()[0].Task
	at := func(from, to float64) string {
		return Place(task, weld.Length(from)*task.Seam, weld.Length(to)*task.Seam, weld.Metric)
	}
	assert.Equal(t, "at 29.9 mm, at 3 o'clock", at(0.5, 0.5))
	assert.Equal(t, "19.9 to 39.9 mm, from 4 o'clock to 2 o'clock", at(1./3, 2./3))
	assert.Equal(t, "0 to 59.8 mm", at(0, 1), "all along needs no hour")
	square := aroundIn(weld.TubeSaddle, weld.PB)
	square.Branch = weld.MaxBranch
	square.Seam = square.Round().Run()
	assert.NotContains(t, Place(square, 1e-3, square.Seam, weld.Metric), "crown", "it has two of them")
	rows := Table(task, scoring.Coupon{Stations: []scoring.Station{{}, {At: task.Seam}}}, 2, weld.Metric)
	assert.Equal(t, "6 o'clock", rows[0].Note)
	assert.Equal(t, "12 o'clock", rows[1].Note)
}

// An edge has no back: no screen names one.
func TestEdgeHasNoBack(t *testing.T) {
	for _, m := range Measures(weld.EdgeWeld, scoring.Station{Down: 1.2e-3}, weld.Metric) {
		assert.NotContains(t, m.Name, "back")
	}
	assert.Equal(t, Measure{"melted down", "1.2 mm"}, Measures(weld.EdgeWeld, scoring.Station{Down: 1.2e-3}, weld.Metric)[1])
	v := scoring.Verdict{Coupon: scoring.Coupon{Stations: []scoring.Station{{Down: 1e-3}, {Down: 1e-3, At: 0.06}}}}
	text := strings.Join(CouponWords(weld.Task{Joint: weld.EdgeWeld, Seam: 0.06}, v, weld.Metric), " ")
	assert.Contains(t, text, "Melted down: 1 mm all along.")
	assert.NotContains(t, text, "Back")
}
