package cli

import (
	"errors"
	"fmt"
	"strings"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session/view"
)

// dabTimes gives the time there was for each dab of a run and for one after the last, and
// the step each came at, -1 for never; nil where they are not asked for, or there is no rod.
func (o *arcOptions) dabTimes(hand scoring.HandRun, judged scoring.Run, par scoring.Parallel) (times []scoring.DabTime, dabs []int, err error) {
	if !o.Dabs || hand.Set.Filler == weld.NoFiller {
		return nil, nil, nil
	}
	before := append([]int{-1}, judged.Dabs...)
	dabs = append(append(dabs, judged.Dabs...), -1)
	times = make([]scoring.DabTime, len(before))
	errs := make([]error, len(before))
	par(len(before), func(i int) { times[i], errs[i] = scoring.TimeToDab(hand, before[i]) })
	return times, dabs, errors.Join(errs...)
}

// beside prints two runs of a joint beside each other.
func (o *arcOptions) beside(sc scenarios.Scenario, a, b scoring.Run, system weld.System) {
	fmt.Fprintf(o.Out, "%s  %s  %s, %s\n", sc.Name(), sc.Title, sc.Task.Joint, view.Position(sc.Task))
	for i, r := range []scoring.Run{a, b} {
		word, mark := view.Outcome(r.Verdict.Outcome)
		fmt.Fprintf(o.Out, "\n%s, %s: %s %s  %s\n", []string{"one", "two"}[i], []string{o.Replay, o.Against}[i], word, mark, view.Said(r.Verdict.Reason, system))
		for _, f := range view.Explain(sc.Task, r.Verdict, true, system).Findings {
			fmt.Fprintf(o.Out, "  %s %s\n", view.SeverityMark(f.Severity), f.Head)
		}
	}
	fmt.Fprintf(o.Out, "\n  %-15s %-12s %s\n", "what they did", "one", "two")
	for _, p := range view.HandPairs(sc.Task, a, b, system) {
		mark := ""
		if p.Differs {
			mark = "~"
		}
		fmt.Fprintln(o.Out, strings.TrimRight(fmt.Sprintf("  %-15s %-12s %-12s %s", p.Name, p.Before, p.Now, mark), " "))
	}
	fmt.Fprintln(o.Out)
	const rows = 24
	for _, row := range view.RunPairTable(sc.Task, a, b, rows, system) {
		fmt.Fprintf(o.Out, "  %s\n", row)
	}
}

// handJSON is one change of the hand's motion.
type handJSON struct {
	Move   scoring.HandMove `json:"move"`
	FromMM float64          `json:"from_mm"`
	ToMM   float64          `json:"to_mm"`
	AtS    float64          `json:"at_s"`
	Was    float64          `json:"was"`
	Now    float64          `json:"now"`
	Words  string           `json:"words"`
}

func newHandJSON(c scoring.HandChange) handJSON {
	per := 1e3
	switch c.Move {
	case scoring.HandPedal, scoring.HandBackOff, scoring.HandWait, scoring.HandStand, scoring.HandEase, scoring.HandOneDab, scoring.HandFree:
		per = 1
	case scoring.HandTravel:
		per = 60e3
	}
	return handJSON{c.Move, mm(c.From), mm(c.To), round(c.Second, 100), round(c.Was*per, 100), round(c.Now*per, 100), c.Words(weld.Metric)}
}

// dabTimeJSON is the time there was for a dab.
type dabTimeJSON struct {
	DabS   *float64 `json:"dab_s"`
	ReadyS *float64 `json:"ready_s"`
	LateS  *float64 `json:"late_s"`
	Sign   string   `json:"sign"`
}

// moment gives the time of a step, nil for -1.
func moment(step int) *float64 {
	if step < 0 {
		return nil
	}
	s := round(float64(step)*puddle.LiveStep, 100)
	return &s
}
