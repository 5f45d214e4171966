package view

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"puddlewise/scoring"
	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
)

// RunSecond is the time, s, of a moment of a live run's time line.
func RunSecond(p puddle.Pool) float64 { return float64(p.Step) * puddle.LiveStep }

// RunTravel gives the travel at a moment of a time line, m/s, over the second before: a
// tap is a jump.
func RunTravel(line []puddle.Pool, i int) float64 {
	before := line[max(0, i-int(math.Round(1/(scoring.LineEvery*puddle.LiveStep))))]
	if line[i].Step == before.Step {
		return 0
	}
	return (line[i].At - before.At) / (RunSecond(line[i]) - RunSecond(before))
}

// DabsAbout gives the steps of the dabs before and after a moment of a time line; -1 for none.
func DabsAbout(run scoring.Run, i int) (before, after int) {
	before, after = -1, -1
	for _, n := range run.Dabs {
		if n <= run.Line[i].Step {
			before = n
		} else if after < 0 {
			after = n
		}
	}
	return before, after
}

// RunMark is a finding on a run's time line: the moments at which the arc was where it lies.
type RunMark struct {
	From, To int
	Severity scoring.Severity
	Head     string // what, and where
	Fix      string
}

// RunMarks gives the findings that have a place and what deserves mending, worst first.
func RunMarks(t weld.Task, run scoring.Run, sys weld.System) []RunMark {
	var out []RunMark
	for _, f := range run.Verdict.Findings {
		if f.Severity == scoring.Remark || f.To <= 0 {
			continue
		}
		m := RunMark{From: -1, Severity: f.Severity, Head: FindingHead(t, f, sys), Fix: Said(f.Fix, sys)}
		const reach = 0.5e-3 // m: half a station either way
		for i, p := range run.Line {
			if p.Lit && p.At >= float64(f.From)-reach && p.At <= float64(f.To)+reach {
				if m.From < 0 {
					m.From = i
				}
				m.To = i
			}
		}
		if m.From < 0 { // jumped over, or the arc never came there: the last moment before
			for i, p := range run.Line {
				if p.Lit && p.At <= float64(f.To) {
					m.From, m.To = i, i
				}
			}
		}
		if m.From >= 0 {
			out = append(out, m)
		}
	}
	return out
}

// runEvery gives how many moments a row of a table stands for, so that so many seconds
// take so many rows at most.
func runEvery(seconds float64, rows int) int {
	if seconds <= 0 {
		return 1
	}
	return int(math.Max(1, math.Round(NiceStep(seconds/float64(rows))/(scoring.LineEvery*puddle.LiveStep))))
}

// runWords is a moment of a run.
type runWords struct{ at, amps, travel, pool, back, dabs string }

// runMoment says a moment of a run in words, with the dabs until so many moments later.
func runMoment(run scoring.Run, i, every int, sys weld.System) runWords {
	long := func(v float64) string { return weld.Length(math.Round(v*1e4) / 1e4).Show(sys) }
	p := run.Line[i]
	amps := "out"
	if p.Lit {
		amps = weld.Current(math.Round(p.Amps)).Show(sys)
	}
	dabs := 0
	for _, d := range run.Dabs {
		if d >= p.Step && (i+every >= len(run.Line) || d < run.Line[i+every].Step) {
			dabs++
		}
	}
	return runWords{long(p.At), amps, Travel(RunTravel(run.Line, i), sys), long(p.Width), long(p.Back), fmt.Sprint(dabs)}
}

// ChangeMarks gives where on a run's time line its smallest change holds.
func ChangeMarks(run scoring.Run, r scoring.HandRescue) []RunMark {
	var out []RunMark
	for _, c := range r.Changes {
		m := RunMark{Head: "smallest change"}
		for i, p := range run.Line {
			if RunSecond(p) <= c.Second {
				m.From, m.To = i, i
			}
			over := c.Move == scoring.HandPedal || c.Move == scoring.HandTravel || c.Move == scoring.HandDab || c.Move == scoring.HandBackOff
			if over && p.Lit && (c.To <= 0 || p.At <= float64(c.To)) {
				m.To = i
			}
		}
		if len(run.Line) > 0 {
			out = append(out, m)
		}
	}
	return out
}

// RunTable is the time line in lines: at most so many rows, with a mark beside the moments
// at which something went wrong, and what it was before the first of them.
func RunTable(t weld.Task, run scoring.Run, rows int, sys weld.System) []string {
	n := len(run.Line)
	if n == 0 || rows < 1 {
		return nil
	}
	every := runEvery(RunSecond(run.Line[n-1]), rows)
	marks := RunMarks(t, run, sys)
	const form = "%7s  %-9s %-6s %-12s %-9s %-9s %4s"
	out := []string{fmt.Sprintf(form, "s", "at", "amps", "travel", "pool", "back", "dabs")}
	told := map[int]bool{}
	for i := 0; i < n; i += every {
		m := runMoment(run, i, every, sys)
		row := fmt.Sprintf(form, fmt.Sprintf("%.1f", RunSecond(run.Line[i])), m.at, m.amps, m.travel, m.pool, m.back, m.dabs)
		beside := ""
		for k, x := range marks {
			if x.From >= i+every || x.To < i {
				continue
			}
			if !told[k] {
				out = append(out, fmt.Sprintf("%7s  %s %s", "", SeverityMark(x.Severity), x.Head))
			}
			told[k] = true
			beside += SeverityMark(x.Severity)
		}
		if beside != "" {
			row += "  " + beside
		}
		out = append(out, row)
	}
	return out
}

// Travel shows a travel, m/s, as a hand's is spoken of: in whole mm/min.
func Travel(v float64, sys weld.System) string {
	if sys == weld.Metric {
		return fmt.Sprintf("%.0f mm/min", weld.Speed(v).MMPerMin())
	}
	return weld.Speed(v).Show(sys)
}

// HandRescueWords says what the smallest change of the hand's motion is and what it
// would have scored, or that there is none, and what does not lie in the hand.
func HandRescueWords(r scoring.HandRescue, found bool, sys weld.System) []string {
	if !found {
		out := []string{"no small change of the hand was found that saves this run"}
		var set []string
		for _, id := range r.Set {
			set = append(set, session.InWords(id))
		}
		if set != nil {
			out[0] += "; whatever it does, this stays: " + strings.Join(set, ", ")
		}
		return out
	}
	var scores []string
	for _, s := range Scores(r.Verdict) {
		scores = append(scores, fmt.Sprintf("%s %d", s.Name, s.Value))
	}
	out := r.Words(sys)
	for i := range out[1:] {
		out[i+1] = "and " + out[i+1]
	}
	return append(slices.Clone(out), "then "+strings.Join(scores, ", "))
}

// DabWords says how long there was for a dab, and when it came: at the step dab of the
// run, -1 for never.
func DabWords(d scoring.DabTime, dab int) string {
	at := func(n int) string { return fmt.Sprintf("%.1f s", float64(n)*puddle.LiveStep) }
	late := "a keyhole opens"
	if d.Sign == "hole" {
		late = "it burns through"
	}
	came := func(from int) string {
		switch {
		case dab < 0:
			return "; no dab came"
		case d.Late >= 0 && dab > d.Late:
			return "; yours came " + at(dab-d.Late) + " too late"
		case max(dab-from, from-dab) < 2: // 0.0 s
			return "; yours came just then"
		case dab < from:
			return "; yours came " + at(from-dab) + " before that"
		}
		return "; yours came " + at(dab-from) + " after it was ready"
	}
	switch {
	case d.Late >= 0 && (d.Ready < 0 || d.Late <= d.Ready):
		return "at " + at(d.Late) + " " + late + ", before the pool is ready for the rod" + came(d.Late)
	case d.Late >= 0:
		return "here you had " + at(d.Late-d.Ready) + " to dab: the pool is ready at " + at(d.Ready) + ", at " + at(d.Late) + " " + late + came(d.Ready)
	case d.Ready < 0:
		return fmt.Sprintf("the pool is not ready for the rod within %g s", scoring.DabHurry)
	}
	return fmt.Sprintf("no hurry to dab: the pool is ready at %s, and nothing opens within %g s", at(d.Ready), scoring.DabHurry) + came(d.Ready)
}

// DabTable says of each dab how long there was for it, two words a row: when it came, and
// DabWords. Three or more in a row that were in no hurry, or had no pool to meet, and came
// alike are one row.
func DabTable(times []scoring.DabTime, dabs []int) [][2]string {
	at := func(n int) string { return fmt.Sprintf("%.1f s", float64(n)*puddle.LiveStep) }
	// What a dab shares with those one row tells of; 0 where it has a row of its own.
	alike := func(i int) int {
		switch d := times[i]; {
		case dabs[i] < 0 || d.Late >= 0:
			return 0
		case d.Ready < 0:
			return 1
		case dabs[i] < d.Ready:
			return 2
		}
		return 3
	}
	var out [][2]string
	for i := 0; i < len(times); {
		kind, end := alike(i), i+1
		for kind > 0 && end < len(times) && alike(end) == kind {
			end++
		}
		if end-i < 3 {
			when := "no more"
			if dabs[i] >= 0 {
				when = at(dabs[i])
			}
			out = append(out, [2]string{when, DabWords(times[i], dabs[i])})
			i++
			continue
		}
		words := fmt.Sprintf("to %s, %d dabs: ", at(dabs[end-1]), end-i)
		if kind == 1 {
			words += fmt.Sprintf("the pool is not ready for the rod within %g s of the dab before", scoring.DabHurry)
		} else {
			least, most := math.MaxInt, 0
			for k := i; k < end; k++ {
				away := max(dabs[k]-times[k].Ready, times[k].Ready-dabs[k])
				least, most = min(least, away), max(most, away)
			}
			side := "after the pool was ready"
			if kind == 2 {
				side = "before the pool is ready"
			}
			words += fmt.Sprintf("no hurry to dab, nothing opens within %g s; yours came %s %s", scoring.DabHurry, between(at(least), at(most)), side)
		}
		out = append(out, [2]string{at(dabs[i]), words})
		i = end
	}
	return out
}

// between joins two times into a span, or says the one they are.
func between(a, b string) string {
	if a == b {
		return b
	}
	return strings.TrimSuffix(a, " s") + " to " + b
}
