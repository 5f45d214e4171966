package tui

import (
	"fmt"
	"math"
	"slices"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// debrief is a judged run that is looked through.
type debrief struct {
	sc      scenarios.Scenario
	run     scoring.Run
	at      int // moment
	finding int // that x goes to next
}

func (d *debrief) move(by int) { d.at = max(0, min(d.at+by, len(d.run.Line)-1)) }

// next goes to the moment at which the next finding with a place begins.
func (d *debrief) next() {
	fs := d.run.Verdict.Findings
	if len(fs) == 0 {
		return
	}
	f := fs[d.finding%len(fs)]
	d.finding++
	if i := slices.IndexFunc(d.run.Line, func(p puddle.Pool) bool { return p.At >= float64(f.From)-1e-6 && p.Lit }); i >= 0 {
		d.at = i
	}
}

// moment says what was at the moment looked at.
func (d *debrief) moment(sys weld.System) []line {
	if len(d.run.Line) == 0 {
		return nil
	}
	p := d.run.Line[d.at]
	show := func(v float64) string { return weld.Length(math.Round(v*1e4) / 1e4).Show(sys) }
	since := "no dab yet"
	for _, n := range d.run.Dabs {
		if n <= p.Step {
			since = fmt.Sprintf("last dab %.1f s before", float64(p.Step-n)*puddle.LiveStep)
		}
	}
	amps := "arc out"
	if p.Lit {
		amps = weld.Current(p.Amps).Show(sys)
	}
	out := []line{
		plainLine(fmt.Sprintf("%.1f s   at %s   %s   pool %s wide   back %s wide", float64(p.Step)*puddle.LiveStep, show(p.At), amps, show(p.Width), show(p.Back))),
		plainLine(since),
	}
	for _, s := range scoring.PoolSigns(d.sc.Task, d.run.Answer, p) {
		out = append(out, line{{padTo(s.Place, 9), inkFaint}, {s.Words, inkPlain}})
	}
	return out
}

// rows are the time line: each measure as digits 0 to 9 of its most, over w columns.
func (d *debrief) rows(w int) []line {
	ps := d.run.Line
	if len(ps) == 0 {
		return nil
	}
	second := int(math.Round(1 / (scoring.LineEvery * puddle.LiveStep)))
	measures := []struct {
		name string
		of   func(i int) float64
	}{
		{"amps", func(i int) float64 {
			if !ps[i].Lit {
				return 0
			}
			return ps[i].Amps
		}},
		{"travel", func(i int) float64 { return ps[i].At - ps[max(0, i-second)].At }},
		{"pool", func(i int) float64 { return ps[i].Width }},
		{"back", func(i int) float64 { return ps[i].Back }},
	}
	const label = 8
	w = min(w-label, len(ps))
	moment := func(col int) int { return col * len(ps) / w }
	var out []line
	for _, m := range measures {
		most := 1e-9
		for i := range ps {
			most = math.Max(most, m.of(i))
		}
		digits := make([]byte, w)
		for col := range digits {
			digits[col] = " 123456789"[int(math.Round(9*math.Max(0, m.of(moment(col)))/most))]
		}
		out = append(out, line{{padTo(m.name, label), inkFaint}, {string(digits), inkPlain}})
	}
	dabs, here := slices.Repeat([]byte{' '}, w), slices.Repeat([]byte{' '}, w)
	for _, n := range d.run.Dabs {
		dabs[min(n/scoring.LineEvery*w/len(ps), w-1)] = '|'
	}
	here[min(d.at*w/len(ps), w-1)] = '^'
	return append(out, line{{padTo("dabs", label), inkFaint}, {string(dabs), inkPlain}}, line{{padTo("", label), inkFaint}, {string(here), inkFocus}})
}
