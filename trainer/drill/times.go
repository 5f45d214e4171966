package drill

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"puddlewise/trainer/session/view"
)

// How far times may be apart that should agree: common practice, no source. A result is
// kept to the millisecond and its clock ticks each second.
const (
	slack     = time.Second
	tickSlack = 5 * time.Second
	timeSlack = 15 * time.Second // past a limit: what was begun in time counts
)

// course tells what does not agree in how a result came about: its clock, the sum of its
// times, and with the drill the order of joints, limits and end. d may be nil.
func course(r Checked, by Against) []Doubt {
	var doubts []Doubt
	doubt := func(format string, args ...any) { doubts = append(doubts, Doubt{r.File, fmt.Sprintf(format, args...)}) }
	if r.Ended.Before(r.Started.Add(-slack)) {
		doubt("ended before it began: its clock ran backwards, or its times were edited")
	}
	last, gone := r.Started, time.Duration(0)
	for n, a := range r.Away {
		gone += a.To.Sub(a.From)
		if a.To.Before(a.From.Add(-slack)) || a.From.Before(last.Add(-slack)) || a.To.After(r.Ended.Add(slack)) {
			doubt("time away %d lies before the one before it, or outside the drill's time: its clock ran backwards, or its times were edited", n+1)
		}
		last = a.To
	}
	if given := r.Ended.Sub(r.Started) - gone; (given-seconds(r.Working)).Abs() > slack || math.IsNaN(r.Working) {
		doubt("says %s of work, and its times give %s", view.Spell(seconds(r.Working)), view.Spell(given))
	}
	last = time.Time{}
	for n, a := range r.begun() {
		switch {
		case a.At.Before(a.Started.Add(-slack)):
			doubt("coupon %d, %s was welded before it was begun: its clock ran backwards, or its times were edited", n+1, a.Scenario)
		case a.At.Before(last.Add(-slack)):
			doubt("coupon %d, %s was welded before the one before it: its clock ran backwards, or its times were edited", n+1, a.Scenario)
		case a.At.Before(r.Started.Add(-slack)) || a.At.After(r.Ended.Add(slack)):
			doubt("coupon %d, %s was welded outside the drill's time", n+1, a.Scenario)
		case slices.ContainsFunc(r.Away, func(w Away) bool { return a.At.After(w.From.Add(tickSlack)) && a.At.Before(w.To.Add(-tickSlack)) }):
			doubt("coupon %d, %s was welded while the drill was closed", n+1, a.Scenario)
		}
		last = a.At
	}
	last = time.Time{}
	for n, a := range r.Answers {
		if a.At.Before(last.Add(-slack)) || a.At.Before(r.Started.Add(-slack)) || a.At.After(r.Ended.Add(slack)) {
			doubt("question %d, %s was answered before the one before it, or outside the drill's time", n+1, a.Scenario)
		}
		last = a.At
	}
	if d := by.Drill; d != nil && d.Hash == r.Hash {
		doubts = append(doubts, byDrill(r, *d, by)...)
	}
	return doubts
}

// byDrill tells what a run of the drill does not give.
func byDrill(r Checked, d Drill, by Against) []Doubt {
	var doubts []Doubt
	doubt := func(format string, args ...any) { doubts = append(doubts, Doubt{r.File, fmt.Sprintf(format, args...)}) }
	picked, err := d.Pick(by.Bank, r.Learner)
	if err != nil {
		return nil // the bank here lacks a joint: remake tells of it
	}
	if r.Drill != d.Title {
		doubt("calls the drill %q, its title is %q", r.Drill, d.Title)
	}
	if r.Joints != len(picked) {
		doubt("says the drill has %s, it has %d", view.Counted(r.Joints, "joint"), len(picked))
	}
	for n, a := range r.begun() {
		if a.Hints > 0 && !d.Hints {
			doubt("coupon %d, %s had hints, and the drill gives none", n+1, a.Scenario)
		}
	}
	place := map[string]int{}
	for i, sc := range picked {
		place[sc.ID] = i + 1
	}
	passed, came, before := map[string]bool{}, map[string]time.Time{}, 0
	for _, e := range r.events() {
		if passed[e.id] {
			doubt("goes on with %s after it was passed", e.id)
		}
		passed[e.id] = passed[e.id] || e.passed
		if at := place[e.id]; at > 0 && at < before {
			doubt("comes back to %s after a later joint", e.id)
		} else if at > 0 {
			before = at
		}
		if _, ok := came[e.id]; !ok {
			came[e.id] = e.at
		}
		if d.PerJoint > 0 && r.worked(came[e.id], e.at) > d.PerJoint+timeSlack || d.Whole > 0 && r.worked(r.Started, e.at) > d.Whole+timeSlack {
			doubt("goes on with %s after its time was up", e.id)
		}
	}
	over := d.Whole > 0 && seconds(r.Working) >= d.Whole-slack
	all := true
	for _, sc := range picked {
		used := 0
		for _, e := range r.events() {
			if e.id == sc.ID {
				used++
			}
		}
		finished := passed[sc.ID] || used >= d.Tries || slices.Contains(r.Left, sc.ID) || slices.ContainsFunc(r.Answers, func(a Answer) bool { return a.Scenario == sc.ID })
		all = all && finished
		if r.Done && !over && !finished {
			doubt("says it is done, and %s is not", sc.ID)
		}
	}
	if !r.Done && all && r.Welding == nil {
		doubt("says it is not done, and every joint is")
	}
	return doubts
}

// fewestAlike is how many coupons and questions of two results have to agree in answers
// and to the millisecond in how long they took before they look copied.
const fewestAlike = 3

// copied tells results whose coupons were another's, with new names and ids.
func copied(all []Checked) []Doubt {
	type print struct {
		id, answer    string
		started, took int64 // ms; started 0 where only the time it took is compared
	}
	prints := func(r Checked) (exact, alike []print) {
		for _, a := range r.Attempts {
			p := print{a.Scenario, fmt.Sprint(a.Answer), a.Started.UnixMilli(), a.At.Sub(a.Started).Milliseconds()}
			exact = append(exact, p)
			p.started = 0
			alike = append(alike, p)
		}
		last := r.Started
		for _, a := range r.Answers { // which know only when they were answered
			alike = append(alike, print{a.Scenario, strings.Join(a.Replies, "\x00"), 0, a.At.Sub(last).Milliseconds()})
			last = a.At
		}
		return exact, alike
	}
	var doubts []Doubt
	first, like := map[print]int{}, map[print][]int{}
	for i, r := range all {
		exact, alike := prints(r)
		counts := map[int]int{}
		for _, p := range exact {
			if o, ok := first[p]; ok {
				counts[o] = fewestAlike
			} else {
				first[p] = i
			}
		}
		for _, p := range alike {
			for _, o := range like[p] {
				counts[o]++
			}
		}
		for _, p := range alike {
			like[p] = append(like[p], i)
		}
		for o := range i {
			if counts[o] >= fewestAlike {
				doubts = append(doubts, Doubt{r.File, fmt.Sprintf("looks copied from %s: the same answers, and to the millisecond the same times", all[o].File)})
				break
			}
		}
	}
	return doubts
}
