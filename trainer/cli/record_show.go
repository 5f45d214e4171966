package cli

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

type recordShowOptions struct {
	*app
	ID    string
	Units string
	Run   string
	JSON  bool
}

func newRecordShow(a *app) *cobra.Command {
	o := &recordShowOptions{app: a}
	cmd := &cobra.Command{
		Use:   "show [ID] [--run FILE] [--json]",
		Short: "Show a coupon's verdict again, as it was",
		Long: `Show a coupon's verdict again exactly as it was recorded: the one whose id, or its
first digits, is given, or the last. When the model has changed since, the same
answer is welded again on the same joint, and both verdicts are shown.

A coupon welded by hand, live, holds what the hand did: --run writes it as a run's
file, which puddlewise arc --replay welds and scores again.

With --json, one object with the coupon's keys in puddlewise record --json, and
recorded and today: verdicts (puddlewise help json); today is null while the model
is the same.` +
			exitCodes(exitDone, exitError, exitUsage),
		Example: "  puddlewise record show\n  puddlewise record show 3f2a09c1\n  puddlewise record show 3f2a09c1 --run run.json",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 1 {
				return usageError("record show takes one id, it was given %d", len(args))
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 1 {
				o.ID = args[0]
			}
			return o.run()
		},
	}
	cmd.Flags().BoolVar(&o.JSON, "json", false, "print an object")
	cmd.Flags().StringVar(&o.Run, "run", "", "write what the hand did to `FILE`, of a coupon welded live")
	unitsFlag(cmd, &o.Units)
	return cmd
}

type shownJSON struct {
	attemptJSON
	Recorded verdictJSON  `json:"recorded"`
	Today    *verdictJSON `json:"today"`
}

func (o *recordShowOptions) run() error {
	if _, err := unitsOf(o.Units, weld.Metric); err != nil {
		return err
	}
	store, err := o.openRecord()
	if err != nil {
		return err
	}
	defer store.Close()
	settings, err := store.Settings()
	if err != nil {
		return err
	}
	system, err := unitsOf(o.Units, settings.Units)
	if err != nil {
		return err
	}
	found, err := store.Find(o.ID)
	if err != nil {
		return err
	}
	switch {
	case len(found) == 0 && o.ID == "":
		fmt.Fprintln(o.Out, "no coupon has been welded yet")
		return nil
	case len(found) == 0:
		return usageError("the record holds no coupon %.40q\npuddlewise record lists them", o.ID)
	case len(found) > 1:
		return usageError("%s begin with %.40q\ngive more of the id: %s", counted(len(found), "coupon"), o.ID, strings.Join(found[:min(4, len(found))], ", "))
	}
	a, err := store.Attempt(found[0])
	if err != nil {
		return err
	}
	if o.Run != "" {
		return o.writeRun(a)
	}
	sc, known := jointOf(a)
	var today *scoring.Verdict
	if a.ModelVersion != scoring.ModelVersion && known {
		v, err := a.Reweld(scoring.Judge, sc)
		if err != nil {
			return fmt.Errorf("%s cannot be welded so by today's model: %w", sc.ID, err)
		}
		today = &v
	}
	if o.JSON {
		out := shownJSON{attemptJSON: newAttemptJSON(session.NewBrief(a)), Recorded: newVerdictJSON(sc, a.Answer, a.Verdict)}
		out.Recorded.ModelVersion = a.ModelVersion
		if today != nil {
			v := newVerdictJSON(sc, a.Answer, *today)
			out.Today = &v
		}
		return printJSON(o.Out, out)
	}
	o.print(a, sc, known, today, system)
	return nil
}

func (o *recordShowOptions) writeRun(a session.Attempt) error {
	if a.Run == nil {
		return usageError("coupon %.*s was welded by settings: there is no run of a hand to write\npuddlewise record says which were welded by hand", shortID, a.ID)
	}
	if err := o.toFile(nil, o.Run, a.Run.Write); err != nil {
		return err
	}
	fmt.Fprintf(o.Out, "the run is written to %s\n", o.Run)
	return nil
}

func (o *recordShowOptions) print(a session.Attempt, sc scenarios.Scenario, known bool, today *scoring.Verdict, system weld.System) {
	head := []string{"coupon " + a.ID, a.At.Local().Format("2006-01-02 15:04"), nameOf(a.Learner), a.Mode, counted(a.Hints, "hint")}
	if a.Guess != "" {
		head = append(head, "said: "+session.InWords(a.Guess))
	}
	fmt.Fprintln(o.Out, wrap(strings.Join(head, ", "), 79, 0))
	var settings []string
	for _, f := range weld.Fields {
		settings = append(settings, f.Label+" "+f.Show(a.Answer, system))
	}
	fmt.Fprintf(o.Out, "\n  %s\n", wrap(strings.Join(settings, "; "), 79, 2))
	if a.Run != nil {
		fmt.Fprintf(o.Out, "\n%s; above, the numbers the run comes to\n", view.HandWords(a, system))
	}
	if !known {
		fmt.Fprintf(o.Out, "\nThe joint %s is not known any more: places and sizes are left out.\n", a.Scenario)
	}
	fmt.Fprintf(o.Out, "\nAS RECORDED, model %s\n\n", a.ModelVersion)
	printVerdict(o.Out, sc, a.Verdict, system)
	switch {
	case today != nil:
		fmt.Fprintf(o.Out, "\nTHE SAME WELD TODAY, model %s\n\n", scoring.ModelVersion)
		printVerdict(o.Out, sc, *today, system)
	case a.ModelVersion != scoring.ModelVersion:
		fmt.Fprintf(o.Out, "\nThe model is now %s; without its joint the coupon cannot be welded again.\n", scoring.ModelVersion)
	}
}

// jointOf gives the joint a coupon was welded on: as recorded, or for a coupon of
// the first records the bank's, if it is the same revision.
func jointOf(a session.Attempt) (sc scenarios.Scenario, known bool) {
	sc = scenarios.Scenario{ID: a.Scenario, Seed: a.Seed, Title: a.Title, Revision: a.Revision, Task: a.Task}
	if a.Task != (weld.Task{}) {
		return sc, true
	}
	all, err := scenarios.Bank()
	if err != nil {
		return sc, false
	}
	for _, s := range all {
		if s.ID == a.Scenario && s.Revision == a.Revision {
			return s, true
		}
	}
	return sc, false
}
