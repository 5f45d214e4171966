package cli

import (
	"fmt"
	"path/filepath"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/trainer/record"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

type recordOptions struct {
	*app
	Learner string
	Last    int
	JSON    bool
}

func newRecord(a *app) *cobra.Command {
	o := &recordOptions{app: a}
	cmd := &cobra.Command{
		Use:   "record [--learner NAME] [--last N] [--json]",
		Short: "List the coupons welded so far; show, copy, delete them",
		Long: `List the coupons welded so far, oldest first: date, joint, outcome, the three
scores (burn-through, lack of fusion, oxide), the finding that decided, and the
first digits of its id. What was welded by hand, live, says so.

With --json, one array of objects with id, started, at, learner, scenario,
revision, seed, model_version, mode, live (0 by settings, else the speed: 1 is
real time), outcome, scores, finding, guess and hints.

The record is a file on this machine (puddlewise info says where). Nothing of it
is sent anywhere.` +
			exitCodes(exitDone, exitError, exitUsage),
		Args: noArguments,
		RunE: func(*cobra.Command, []string) error { return o.run() },
	}
	cmd.Flags().IntVar(&o.Last, "last", 0, "only the last `N` coupons")
	cmd.Flags().BoolVar(&o.JSON, "json", false, "print an array of objects")
	a.learnerFlag(cmd, &o.Learner)
	cmd.AddCommand(newRecordCard(a), newRecordShow(a), newRecordLearners(a), newRecordExport(a), newRecordImport(a), newRecordBackup(a), newRecordForget(a))
	return cmd
}

// learnerFlag adds --learner to a command.
func (a *app) learnerFlag(cmd *cobra.Command, into *string) {
	cmd.Flags().StringVar(into, "learner", "", "only the coupons of `NAME`")
}

// attemptJSON is one coupon of record --json.
type attemptJSON struct {
	ID           string          `json:"id"`
	Started      string          `json:"started"` // as at; empty when not known
	At           string          `json:"at"`      // RFC 3339, UTC, milliseconds
	Learner      string          `json:"learner"`
	Scenario     string          `json:"scenario"`
	Revision     int             `json:"revision"`
	Seed         int64           `json:"seed"`
	ModelVersion string          `json:"model_version"`
	Mode         string          `json:"mode"`
	Live         float64         `json:"live"` // 0 by settings; by hand the speed it was welded at, 1 for real time
	Outcome      scoring.Outcome `json:"outcome"`
	Scores       scoresJSON      `json:"scores"`
	Finding      string          `json:"finding"`
	Guess        string          `json:"guess"`
	Hints        int             `json:"hints"`
}

func newAttemptJSON(b session.Brief) attemptJSON {
	return attemptJSON{
		ID: b.ID, Started: record.Stamp(b.Started), At: record.Stamp(b.At), Learner: b.Learner,
		Scenario: b.Scenario, Revision: b.Revision, Seed: b.Seed, ModelVersion: b.ModelVersion, Mode: b.Mode, Live: speedOf(b.Live),
		Outcome: b.Outcome, Scores: newScoresJSON(b.Outcome, b.Scores), Finding: b.Finding, Guess: b.Guess, Hints: b.Hints,
	}
}

// speedOf is a part of real time.
func speedOf(live int) float64 {
	if live == 0 {
		return 0
	}
	return 1 / float64(live)
}

func (o *recordOptions) run() error {
	if o.Last < 0 {
		return usageError("--last cannot be %d", o.Last)
	}
	store, err := o.openRecord()
	if err != nil {
		return err
	}
	defer store.Close()
	coupons, err := store.Briefs(record.Filter{Learner: o.Learner, Last: o.Last})
	if err != nil {
		return err
	}
	if o.JSON {
		list := make([]attemptJSON, 0, len(coupons))
		for _, b := range coupons {
			list = append(list, newAttemptJSON(b))
		}
		return printJSON(o.Out, list)
	}
	if len(coupons) == 0 {
		if o.Learner != "" {
			return noCouponsOf(store, o.Learner)
		}
		fmt.Fprintln(o.Out, "no coupon has been welded yet")
		return nil
	}
	w := tabwriter.NewWriter(o.Out, 0, 0, 2, ' ', 0)
	for _, b := range coupons {
		word, mark := view.Outcome(b.Outcome)
		name := scenarios.Name(b.Scenario, b.Seed)
		if words := view.LiveWords(b.Live); words != "" {
			name += ", " + words
		}
		fmt.Fprintf(w, "%s\t%s\t%s %s", b.At.Local().Format("2006-01-02 15:04"), name, word, mark)
		scores := view.Scores(scoring.Verdict{Outcome: b.Outcome, Scores: b.Scores})
		for i := range 3 {
			if scores == nil {
				fmt.Fprint(w, "\t-")
				continue
			}
			fmt.Fprintf(w, "\t%d", scores[i].Value)
		}
		fmt.Fprintf(w, "\t%s\t%.*s\n", session.InWords(b.Finding), shortID, b.ID)
	}
	return w.Flush()
}

// shortID is how many digits of an id are listed: enough to name a coupon by.
const shortID = 8

// noCouponsOf says that a learner has none, and who has.
func noCouponsOf(store *record.Store, name string) error {
	all, err := store.Learners()
	if err != nil {
		return err
	}
	var names []string
	for _, l := range all {
		names = append(names, l.Name)
	}
	hint := nearest(name, names)
	if hint == "" {
		hint = "\npuddlewise record learners lists who has welded here"
	}
	return usageError("the record holds no coupon of %.40q%s", name, hint)
}

// openRecord opens the learner's record and says so when a damaged one was set aside.
func (a *app) openRecord() (*record.Store, error) {
	dir, err := a.env.dataFolder()
	if err != nil {
		return nil, err
	}
	store, err := record.Open(filepath.Join(dir, record.FileName))
	if err != nil {
		return nil, err
	}
	if aside := store.SetAside(); aside != "" {
		fmt.Fprintf(a.Err, "puddlewise: the record was damaged; it is kept as %s, and a new one was begun\n", aside)
	}
	return store, nil
}
