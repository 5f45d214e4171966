package cli

import (
	"context"
	"fmt"
	"os"
	"runtime"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/arc"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

type arcOptions struct {
	*app
	Scenario string
	Seed     int64
	Happens  int64
	Joints   string
	Units    string
	Replay   string
	Hand     string
	File     string
	JSON     bool
	Rescue   bool
	Dabs     bool
	Against  string
}

func newArc(a *app) *cobra.Command {
	o := &arcOptions{app: a}
	names, words := arc.Hands()
	var hands strings.Builder
	for i, n := range names {
		fmt.Fprintf(&hands, "\n  %-16s %s", n, words[i])
	}
	cmd := &cobra.Command{
		Use:   "arc [--scenario ID|FILE] [--out FILE] | --replay FILE | --hand NAME",
		Short: "Weld by hand, live, or score a run that was kept",
		Long: `Weld by hand, in real time, on the screen: at the joint's sheet, f2 takes the torch up
with what is set there. --out keeps the last run that ended. Line by line it cannot be
live; a kept run can be scored there.

A run is what a hand did with the torch, step by step: a JSON file with the joint,
what was set, and inputs at the steps of a clock of 0.04 s. It welds the same coupon
on every machine. --replay welds it again and prints the verdict and the time line, with
what went wrong beside the moments it lies at. Nothing is recorded. With --rescue, a
rejected run is also searched for the smallest change of the hand's motion that the
model accepts, of one thing or two; --out keeps the run so changed. With --dabs, each
dab's time is said: from when the pool is ready for the rod until it is too late without
it; dabs that were in no hurry share a line. With --against, another run of the joint
stands beside it: what the hands did, what was found, the time lines to one scale.

--happens draws by a seed from what the joint's file says may happen while it is
welded: a draught, a gap that opens, a dirty spot, a sheet that lifts. Only its signs
tell. A run keeps what was drawn; 0 is nothing.

With --json, the object of weld --json (puddlewise help json), its answer the numbers
the run comes to, and with it under "run" the time line: time_s, at_mm, amps,
travel_mm_min, pool_width_mm, back_width_mm, happened, dabs_s, when each dab met
the pool.
With --rescue, "change" under it: null, or what is to be changed, each with move,
from_mm, to_mm (0: to the end), at_s, was and now in A, mm, mm/min or s, and words. With
--dabs, "dab_time" under it, for each dab: dab_s, ready_s and late_s, null where there is
no such moment, and sign, keyhole or hole. With --against, "against" is the other run.

--hand writes the run of a scripted hand, to compare with or to score:` + hands.String() +
			exitCodes(exitDone, exitError, exitUsage, exitBadFile, exitNoTerminal),
		Example: "  puddlewise arc --scenario B-01 --out run.json\n  puddlewise arc --hand good --scenario B-01 --out run.json\n  puddlewise arc --replay run.json\n  puddlewise arc --replay run.json --json",
		Args:    noArguments,
		RunE:    func(cmd *cobra.Command, _ []string) error { return o.run(cmd.Flags()) },
	}
	cmd.Flags().StringVar(&o.Replay, "replay", "", "the run to score: a `FILE`")
	cmd.Flags().StringVar(&o.Hand, "hand", "", "the scripted hand: its `NAME`")
	cmd.Flags().StringVar(&o.File, "out", "", "where the run goes, with --rescue the changed one: a `FILE`")
	cmd.Flags().StringVar(&o.Scenario, "scenario", "", "the joint: its `ID`, or a file; a replay knows its own")
	seedFlag(cmd, &o.Seed)
	cmd.Flags().Int64Var(&o.Happens, "happens", 0, "what happens meanwhile: a `SEED`; 0 is nothing")
	cmd.Flags().StringVar(&o.Joints, "joints", "", jointsFlagHelp)
	cmd.Flags().BoolVar(&o.Rescue, "rescue", false, "look for the smallest change of the hand that saves a rejected run")
	cmd.Flags().StringVar(&o.Against, "against", "", "with --replay: another run of the joint, beside it, a `FILE`")
	cmd.Flags().BoolVar(&o.Dabs, "dabs", false, "say how long there was for each dab")
	cmd.Flags().BoolVar(&o.JSON, "json", false, "print an object for scripts")
	unitsFlag(cmd, &o.Units)
	offer(cmd, "scenario", jointIDs)
	offer(cmd, "hand", func() []string { return names })
	return cmd
}

func (o *arcOptions) run(flags *pflag.FlagSet) error {
	switch {
	case o.Replay != "" && o.Hand != "":
		return usageError("--replay and --hand do not go together\na run is scored, or a new one is written")
	case o.Replay != "" && flags.Changed("happens"):
		return usageError("--replay and --happens do not go together\na run knows what happened in it")
	case o.Replay != "" && o.File != "" && !o.Rescue:
		return usageError("--replay takes --out with --rescue alone\nthe run is in a file already; the changed one is not")
	case o.Replay == "" && (o.Rescue || o.Dabs || o.Against != ""):
		return usageError("--rescue, --dabs and --against go with --replay\nthey are asked of a run that was kept")
	case o.Replay != "":
		return o.replay()
	case o.Hand != "":
		return o.write()
	}
	p := &practiceOptions{app: o.app, Scenario: o.Scenario, Seed: o.Seed, Joints: o.Joints, Units: o.Units, happens: o.Happens}
	if o.Happens != 0 && o.Scenario != "" {
		sc, err := o.variation(o.Scenario, o.Joints, o.Seed)
		if err != nil {
			return err
		}
		if _, err := o.befall(sc); err != nil {
			return err
		}
	}
	if o.File != "" {
		p.keepRun = func(run arc.Run) error { return writeRun(run, o.File, os.O_TRUNC) }
	}
	return p.run(flags)
}

func (o *arcOptions) replay() error {
	system, err := unitsOf(o.Units, weld.Metric)
	if err != nil {
		return err
	}
	sc, run, judged, err := o.judged(o.Replay)
	if err != nil {
		return err
	}
	hand, err := run.Hand(sc)
	if err != nil {
		return badFile(fmt.Errorf("%s: %w", o.Replay, err))
	}
	par := session.Cores(context.Background(), runtime.GOMAXPROCS(0))
	var change scoring.HandRescue
	var saved bool
	if o.Rescue {
		change, saved = scoring.SaveRun(hand, system, par)
		if saved && o.File != "" {
			changed := run
			changed.Inputs, changed.Steps = change.Inputs, change.Steps
			if err := writeRun(changed, o.File, os.O_EXCL); err != nil {
				return err
			}
		}
	}
	times, dabs, err := o.dabTimes(hand, judged, par)
	if err != nil {
		return err
	}
	var other *runJSON
	if o.Against != "" {
		sc2, run2, judged2, err := o.judged(o.Against)
		if err != nil {
			return err
		}
		if sc2.Name() != sc.Name() {
			return badFile(fmt.Errorf("%s: it was welded on %s, the other on %s\nruns of one joint stand beside each other", o.Against, sc2.Name(), sc.Name()))
		}
		if !o.JSON {
			o.beside(sc, judged, judged2, system)
			return nil
		}
		j := newRunJSON(sc2, run2, judged2)
		other = &j
	}
	if o.JSON {
		j := newRunJSON(sc, run, judged)
		j.Against = other
		for _, c := range change.Changes {
			j.Run.Change = append(j.Run.Change, newHandJSON(c))
		}
		for i, d := range times {
			j.Run.DabTime = append(j.Run.DabTime, dabTimeJSON{moment(dabs[i]), moment(d.Ready), moment(d.Late), d.Sign})
		}
		return printJSON(o.Out, j)
	}
	printVerdict(o.Out, sc, judged.Verdict, system)
	a := judged.Answer
	if words := view.HappenedWords(sc.Task.Happens, system); words != "" {
		fmt.Fprintf(o.Out, "\nwhat happened: %s\n", wrap(words, 79, 2))
	}
	fmt.Fprintf(o.Out, "\nthe run: %.1f s, %s, travel %.0f mm/min in the mean, at most %.0f A\n", float64(run.Steps)*puddle.LiveStep,
		counted(len(judged.Dabs), "dab"), a.Travel.MMPerMin(), float64(a.Amps))
	const rows = 24
	for _, row := range view.RunTable(sc.Task, judged, rows, system) {
		fmt.Fprintf(o.Out, "  %s\n", row)
	}
	if times != nil {
		fmt.Fprintln(o.Out, "\ntime for each dab")
		for _, row := range view.DabTable(times, dabs) {
			fmt.Fprintf(o.Out, "  %7s  %s\n", row[0], wrap(row[1], 79, 11))
		}
	}
	if o.Rescue && judged.Verdict.Outcome == scoring.Reject {
		fmt.Fprintln(o.Out, "\nsmallest change of the hand that holds")
		for _, line := range view.HandRescueWords(change, saved, system) {
			fmt.Fprintf(o.Out, "  %s\n", line)
		}
	}
	return nil
}

// judged reads a run's file and welds it again.
func (o *arcOptions) judged(file string) (sc scenarios.Scenario, run arc.Run, judged scoring.Run, err error) {
	if run, err = readRun(file); err != nil {
		return sc, run, judged, badFile(err)
	}
	name := o.Scenario
	if name == "" {
		name = run.Scenario
	}
	if sc, err = o.variation(name, o.Joints, run.Seed); err != nil {
		return sc, run, judged, err
	}
	sc = sc.Befall(run.Happens)
	if judged, err = run.Judge(sc); err != nil {
		err = badFile(fmt.Errorf("%s: %w", file, err))
	}
	return sc, run, judged, err
}

// readRun reads a run's file.
func readRun(name string) (arc.Run, error) {
	file, err := os.Open(name)
	if err != nil {
		return arc.Run{}, fmt.Errorf("%w\nit takes a run that arc wrote", err)
	}
	defer file.Close()
	return arc.Read(file, name)
}

func (o *arcOptions) write() error {
	if o.Scenario == "" || o.File == "" {
		return usageError("arc --hand needs --scenario and --out\npuddlewise joints lists the ids")
	}
	names, _ := arc.Hands()
	if err := oneOf("hand", o.Hand, names...); err != nil {
		return err
	}
	sc, err := o.variation(o.Scenario, o.Joints, o.Seed)
	if err != nil {
		return err
	}
	if sc, err = o.befall(sc); err != nil {
		return err
	}
	run, _ := arc.Scripted(sc, o.Hand)
	return writeRun(run, o.File, os.O_EXCL)
}

// rounded gives what a run comes to with the numbers that are means rounded as the others are.
func rounded(a weld.Answer) weld.Answer {
	length := func(l weld.Length) weld.Length { return weld.Length(mm(l) / 1e3) }
	a.Travel = weld.Speed(round(a.Travel.MMPerMin(), 1) / 60e3)
	a.ArcLength, a.Aim, a.RodWithdrawn, a.DabSpacing = length(a.ArcLength), length(a.Aim), length(a.RodWithdrawn), length(a.DabSpacing)
	a.SlopeDown = weld.Duration(round(float64(a.SlopeDown), 100))
	return a
}

// befall draws what happens; an error where the joint's file names nothing.
func (o *arcOptions) befall(sc scenarios.Scenario) (scenarios.Scenario, error) {
	if o.Happens != 0 && len(sc.Happens) == 0 {
		return sc, usageError("--happens: the file of %s names nothing that may happen\nscenarios/README.md says how one does; leave --happens out", sc.ID)
	}
	return sc.Befall(o.Happens), nil
}

// writeRun writes a run's file; how says what becomes of one that is there.
func writeRun(run arc.Run, name string, how int) error {
	file, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|how, 0o644)
	if err != nil {
		return fmt.Errorf("%w\n--out names a file that can be written, for a scripted hand one that is not there yet", err)
	}
	if err := run.Write(file); err != nil {
		file.Close()
		return err
	}
	return file.Close()
}

// runJSON is verdictJSON with the run's time line.
type runJSON struct {
	verdictJSON
	Run     lineJSON `json:"run"`
	Against *runJSON `json:"against,omitempty"`
}

type lineJSON struct {
	Revision    int           `json:"revision"`
	Happened    []string      `json:"happened"` // what was drawn
	TimeS       []float64     `json:"time_s"`
	AtMM        []float64     `json:"at_mm"`
	Amps        []float64     `json:"amps"` // 0 with the arc out
	TravelMMMin []float64     `json:"travel_mm_min"`
	PoolWidthMM []float64     `json:"pool_width_mm"`
	BackWidthMM []float64     `json:"back_width_mm"`
	DabsS       []float64     `json:"dabs_s"`
	Change      []handJSON    `json:"change"`
	DabTime     []dabTimeJSON `json:"dab_time,omitempty"`
}

func newRunJSON(sc scenarios.Scenario, run arc.Run, judged scoring.Run) runJSON {
	l := lineJSON{Revision: run.Revision, Happened: append([]string{}, run.Drawn...), DabsS: []float64{}}
	for i, p := range judged.Line {
		amps := p.Amps
		if !p.Lit {
			amps = 0
		}
		l.TimeS, l.AtMM, l.Amps = append(l.TimeS, round(float64(p.Step)*puddle.LiveStep, 100)), append(l.AtMM, mm(weld.Length(p.At))), append(l.Amps, round(amps, 10))
		l.TravelMMMin = append(l.TravelMMMin, round(view.RunTravel(judged.Line, i)*60e3, 1))
		l.PoolWidthMM, l.BackWidthMM = append(l.PoolWidthMM, mm(weld.Length(p.Width))), append(l.BackWidthMM, mm(weld.Length(p.Back)))
	}
	for _, n := range judged.Dabs {
		l.DabsS = append(l.DabsS, round(float64(n)*puddle.LiveStep, 100))
	}
	return runJSON{newVerdictJSON(sc, rounded(judged.Answer), judged.Verdict), l, nil}
}
