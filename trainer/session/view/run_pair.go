package view

import (
	"fmt"
	"math"
	"strings"

	"puddlewise/scoring"
	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// HandFact is one thing that a hand did, in words.
type HandFact struct{ Name, Text string }

// HandFacts says what a hand did over its run: the same things in the same order for every
// run of a joint.
func HandFacts(t weld.Task, run scoring.Run, sys weld.System) []HandFact {
	var lit, waited, amps, end float64
	moved := false
	for _, p := range run.Line {
		if !p.Lit {
			continue
		}
		lit++
		amps += p.Amps
		if moved = moved || p.At > 0; !moved {
			waited++
		}
		end = math.Max(end, p.At)
	}
	const each = scoring.LineEvery * puddle.LiveStep
	a := run.Answer
	out := []HandFact{
		{"welded", Along(weld.Length(end), sys)},
		{"arc lit", fmt.Sprintf("%.1f s", lit*each)},
		{"wait", fmt.Sprintf("%.1f s", waited*each)},
		{"amps, mean", weld.Current(math.Round(amps / math.Max(1, lit))).Show(sys)},
		{"at the end", weld.Current(math.Round(float64(a.AmpsEnd))).Show(sys)},
		{"travel, mean", Travel(float64(a.Travel), sys)},
	}
	if a.Filler != weld.NoFiller {
		per, unit := 10e-3, "10 mm"
		if sys == weld.Imperial {
			per, unit = float64(weld.Inch), "inch"
		}
		out = append(out, HandFact{"dabs per " + unit, fmt.Sprintf("%.1f", float64(len(run.Dabs))*per/math.Max(end, 1e-3))})
	}
	long := func(v weld.Length) string { return weld.Length(math.Round(float64(v)*1e4) / 1e4).Show(sys) }
	out = append(out, HandFact{"arc, mean", long(a.ArcLength)}, HandFact{"rod tip out", long(a.RodWithdrawn)})
	if t.Joint.Fillet() {
		out = append(out, HandFact{"aim", weld.Length(math.Round(float64(a.Aim)*1e5) / 1e5).Show(sys)})
	}
	return out
}

// HandPair is the facts of two runs, those that differ marked.
type HandPair struct {
	Name, Before, Now string
	Differs           bool
}

// HandPairs sets what two hands did on a joint beside each other.
func HandPairs(t weld.Task, before, now scoring.Run, sys weld.System) []HandPair {
	a, b := HandFacts(t, before, sys), HandFacts(t, now, sys)
	var out []HandPair
	for i := range min(len(a), len(b)) {
		out = append(out, HandPair{a[i].Name, a[i].Text, b[i].Text, a[i].Text != b[i].Text})
	}
	return out
}

// RunPairTable is two time lines in lines, to one scale: at most so many rows.
func RunPairTable(t weld.Task, a, b scoring.Run, rows int, sys weld.System) []string {
	last := 0.0
	for _, r := range []scoring.Run{a, b} {
		if n := len(r.Line); n > 0 {
			last = math.Max(last, RunSecond(r.Line[n-1]))
		}
	}
	if last == 0 || rows < 1 {
		return nil
	}
	every := runEvery(last, rows)
	half := func(r scoring.Run, marks []RunMark, i int) string {
		const form = "%-9s %-6s %-12s %4s %-3s"
		if i < 0 {
			return fmt.Sprintf(form, "at", "amps", "travel", "dabs", "")
		}
		if i >= len(r.Line) {
			return fmt.Sprintf(form, "", "", "", "", "")
		}
		m := runMoment(r, i, every, sys)
		wrong := ""
		for _, k := range marks {
			if k.From < i+every && k.To >= i && len(wrong) < 3 {
				wrong += SeverityMark(k.Severity)
			}
		}
		return fmt.Sprintf(form, m.at, m.amps, m.travel, m.dabs, wrong)
	}
	am, bm := RunMarks(t, a, sys), RunMarks(t, b, sys)
	out := []string{strings.TrimRight(fmt.Sprintf("%6s  %s  %s", "s", half(a, nil, -1), half(b, nil, -1)), " ")}
	for i := 0; i < max(len(a.Line), len(b.Line)); i += every {
		s := float64(i) * scoring.LineEvery * puddle.LiveStep
		out = append(out, strings.TrimRight(fmt.Sprintf("%6.1f  %s  %s", s, half(a, am, i), half(b, bm, i)), " "))
	}
	return out
}
