package tui

import (
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/trainer/drill"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/sessiontest"
)

func TestWhatADrillAllowsIsSaid(t *testing.T) {
	for file, want := range map[string][]string{
		"": {"joints   2, in a fixed order", "coupons  1 at a joint at most; one that passes is enough", "time     no limit", "hints    on request: ? at a field",
			"to pass  accepted, and at least burn-through 50, lack of fusion 50, oxide 50"},
		"order: shuffled\nvariations: own\nkinds: [weld, spot]\n": {"in an order of your own, with numbers of your own", "where a question is asked in place of a weld"},
		"hints: no\nvariations: same\ntime: {whole: 90 s}\n":      {"with other numbers than in the bank, the same for all", "time     1 min 30 s in all", "hints    none; no advice"},
		"time: {joint: 2 min, whole: 1 h}\n":                      {"time     2 min 0 s at each joint, 60 min 0 s in all"},
	} {
		d, err := drill.Parse("d.yaml", []byte("title: x\naim: y\njoints: [T-01, B-01]\n"+file))
		require.NoError(t, err)
		var got string
		for _, l := range texts(drillModel{d: d, learner: "Ann", all: 2}.lines("r.json", 100)) {
			got += l + "\n"
		}
		for _, w := range want {
			assert.Contains(t, got, w)
		}
		assert.NotContains(t, got, "Goes on")
	}
	got := texts(drillModel{learner: "Ann", done: 1, all: 3, resumed: true, closed: 90 * time.Second, interrupted: true}.lines("r.json", 100))
	assert.Contains(t, got, "Goes on: 1 of 3 joints done. Closed for 1 min 30 s; that is not working time, and it stands in the")
	assert.Contains(t, got, "! A coupon was being welded when this was closed. It is welded now, and counts.")
}

func TestPlaceAndTimeLeftAreSaid(t *testing.T) {
	now := sessiontest.Time
	d, err := drill.Parse("d.yaml", []byte("title: x\naim: y\njoints: [T-01, B-01]\nkinds: [weld, spot]\ntries: 3\ntime: {joint: 2 min, whole: 10 min}\n"))
	require.NoError(t, err)
	run, _, err := drill.Open(d, drill.Sitting{Bank: sessiontest.Bank(), Learner: "Ann", File: filepath.Join(t.TempDir(), "r.json"), Judge: sessiontest.Judge, Now: func() time.Time { return now }})
	require.NoError(t, err)
	says := func(joint string, deciding bool) string { return turnLine(run, joint, deciding).String() }
	sc, _ := run.Next()
	assert.Equal(t, " joint 1 of 2  coupon 1 of 3  left here 2 min 0 s  left in all 10 min 0 s ", says("T-01", true))
	a := session.Attempt{ID: "a", Scenario: sc.ID, Task: sc.Task, Answer: sc.Model}
	a.Answer.Amps = 30
	_, err = run.Begin(a)
	require.NoError(t, err)
	assert.Contains(t, says("T-01", false), "coupon 1 of 3", "while it welds")
	a.Verdict, _ = sessiontest.Judge(a.Task, a.Answer)
	_, err = run.Take(a)
	require.NoError(t, err)
	assert.Contains(t, says("T-01", false), "coupon 1 of 3", "while it is looked at")
	assert.Contains(t, says("T-01", true), "coupon 2 of 3")
	now = now.Add(61 * time.Second)
	assert.Contains(t, says("T-01", true), "  ! left here 59 s  left in all 8 min 59 s")
	now = now.Add(time.Hour)
	assert.Contains(t, says("T-01", true), "  ! left here 0 s  ! left in all 0 s")
	assert.Contains(t, says("B-01", true), "joint 2 of 2  a question  ")

	assert.Equal(t, "The time at this joint is up.", timeUpWords(drill.Left{JointLimited: true}, false))
	assert.Equal(t, "The time for the drill is up. The drill is over.", timeUpWords(drill.Left{JointLimited: true, WholeLimited: true}, true))
}

func TestAClassIsListed(t *testing.T) {
	m := newClassModel([]string{"Ann", "Bo", "Cy", "Di"})
	m.stands = []stand{{words: "over", over: true}, {words: standing(true, false, 1, 2), open: true}, {words: "over", over: true}, {words: standing(false, false, 0, 2), open: true}}
	m.next(0)
	assert.Equal(t, 1, m.cursor)
	m.next(1)
	assert.Equal(t, 3, m.cursor, "past who is over")
	assert.Equal(t, []string{"  Cy    over", "> Di    not begun"}, texts(m.lines(2, 40, "...")))
	m.next(1)
	assert.Equal(t, []string{"> Bo    1 of 2 joints done"}, texts(m.lines(1, 40, "...")))
	m.move(-9)
	assert.Equal(t, 0, m.cursor)
	for i := range m.stands {
		m.stands[i].open = false
	}
	m.next(1)
	assert.Equal(t, 0, m.cursor, "nobody is left")
}
