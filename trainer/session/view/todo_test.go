package view_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/sessiontest"
	"puddlewise/trainer/session/view"
)

func TestToDo(t *testing.T) {
	at := func(h int) time.Time { return sessiontest.Time.Add(time.Duration(h) * time.Hour) }
	drafts := []session.Draft{{Scenario: "T-01", At: at(0), Typed: map[string]string{"amps": "60", "dab": "1/16 in"}}, {Scenario: "gone", At: at(0)}}
	coupon := func(id string, h int, o scoring.Outcome) session.Brief {
		return session.Brief{ID: id, Scenario: id, At: at(h), Outcome: o}
	}
	coupons := []session.Brief{
		coupon("C-01", 1, scoring.Accept), coupon("B-01", 2, scoring.Reject), coupon("gone", 2, scoring.Reject),
		coupon("C-01", 3, scoring.Reject), coupon("T-01", 4, scoring.Reject), coupon("T-01", 5, scoring.Accept),
	}
	td := view.NewToDo(sessiontest.Bank(), drafts, sessiontest.Standings(coupons), coupons)
	assert.Len(t, td.Begun, 1, "what is no longer in the bank cannot be gone on with")
	assert.Equal(t, "2 of 4 filled in", td.Begun[0].Words())
	assert.Equal(t, []view.Fact{{Label: "amps", Text: "60 A"}, {Label: "travel", Text: "still to decide"}, {Label: "dab every", Text: "1/16 in"}, {Label: "lean", Text: "still to decide"}}, td.Begun[0].Decided())
	var due []string
	for _, b := range td.Due {
		due = append(due, b.Scenario)
	}
	assert.Equal(t, []string{"B-01", "C-01"}, due, "rejected last, longest ago first")
	assert.Equal(t, 2, td.Accepted)
	assert.Equal(t, 2, td.Last["C-01"].Tried)
}

func TestWhen(t *testing.T) {
	zone := time.FixedZone("", -5*3600)
	now := time.Date(2026, 3, 10, 0, 30, 0, 0, zone)
	for at, want := range map[time.Time]string{
		now.Add(-10 * time.Minute):     "today 00:20",
		now.Add(-time.Hour).UTC():      "yesterday 23:30",
		now.Add(-25 * time.Hour):       "2 days ago",
		now.Add(-30 * 24 * time.Hour):  "2026-02-08",
		now.Add(2 * 24 * time.Hour):    "2026-03-12", // another machine's clock
		now.Add(30 * time.Minute):      "today 01:00",
		now.Add(-13 * 24 * time.Hour):  "13 days ago",
		now.Add(-14 * 24 * time.Hour):  "2026-02-24",
		now.Add(-200 * 24 * time.Hour): "2025-08-22",
	} {
		assert.Equal(t, want, view.When(at, now))
	}
}

func TestFilter(t *testing.T) {
	bank := sessiontest.Bank()
	ids := func(f view.Filter) (out string) {
		for _, sc := range bank {
			if f.Takes(sc, weld.Metric) {
				out += sc.ID + " "
			}
		}
		return out
	}
	for want, f := range map[string]view.Filter{
		"B-01 C-01 T-01 ": nil,
		"B-01 ":           {view.ByMetal: "304"},
		"B-01 T-01 ":      {view.ByWall: "1.2 to 2 mm"},
		"C-01 ":           {view.ByWall: "2 mm and up", view.ByLevel: "4", view.ByMetal: ""},
		"T-01 ":           {view.ByJoint: "tee fillet", view.ByPosition: "PB"},
		"":                {view.ByJoint: "tee fillet", view.ByPosition: "PA"},
	} {
		assert.Equal(t, want, ids(f), "%v", f)
	}
	assert.Equal(t, "5052, wall 2 mm and up, level 4", view.Filter{view.ByLevel: "4", view.ByMetal: "5052", view.ByWall: "2 mm and up"}.Words())
	assert.Empty(t, view.Filter{view.ByLevel: ""}.Words())

	for _, sys := range []weld.System{weld.Metric, weld.Imperial} {
		for _, c := range view.Facets(bank, sys) {
			for _, v := range c.Values {
				n := 0
				for _, sc := range bank {
					if (view.Filter{c.Facet: v.Text}).Takes(sc, sys) {
						n++
					}
				}
				assert.Equal(t, v.Joints, n, "%s %s", c.Facet, v.Text)
			}
		}
	}
	c := view.Counts{Values: []view.Count{{"dab", 1}, {"dabbing", 1}, {"Cup", 1}}}
	for text, want := range map[string]string{"dab": "dab", "dabb": "dabbing", "da": "", "cup": "Cup", "": "", "x": ""} {
		assert.Equal(t, want, c.Find(text), text)
	}
}
