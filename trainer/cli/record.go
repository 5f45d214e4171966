package cli

import (
	"fmt"
	"path/filepath"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"puddlewise/scoring"
	"puddlewise/trainer/record"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

type recordOptions struct {
	*app
	JSON bool
}

func newRecord(a *app) *cobra.Command {
	o := &recordOptions{app: a}
	cmd := &cobra.Command{
		Use:   "record [--json]",
		Short: "List the coupons welded so far",
		Long: `List the coupons welded so far, oldest first: date, joint, outcome, the three
scores (burn-through, lack of fusion, oxide) and the finding that decided.

With --json, one array of objects with id, at, learner, scenario, revision,
model_version, mode, outcome, scores, finding, guess and hints.` +
			exitCodes(exitDone, exitError, exitUsage),
		Args: noArguments,
		RunE: func(*cobra.Command, []string) error { return o.run() },
	}
	cmd.Flags().BoolVar(&o.JSON, "json", false, "print an array of objects")
	return cmd
}

// attemptJSON is one coupon of record --json.
type attemptJSON struct {
	ID           string          `json:"id"`
	At           string          `json:"at"` // RFC 3339, UTC, milliseconds
	Learner      string          `json:"learner"`
	Scenario     string          `json:"scenario"`
	Revision     int             `json:"revision"`
	ModelVersion string          `json:"model_version"`
	Mode         string          `json:"mode"`
	Outcome      scoring.Outcome `json:"outcome"`
	Scores       scoresJSON      `json:"scores"`
	Finding      string          `json:"finding"`
	Guess        string          `json:"guess"`
	Hints        int             `json:"hints"`
}

func (o *recordOptions) run() error {
	store, err := o.openRecord()
	if err != nil {
		return err
	}
	defer store.Close()
	attempts, err := store.Attempts(record.Filter{})
	if err != nil {
		return err
	}
	if o.JSON {
		list := make([]attemptJSON, 0, len(attempts))
		for _, a := range attempts {
			list = append(list, attemptJSON{
				ID: a.ID, At: a.At.UTC().Format("2006-01-02T15:04:05.000Z"), Learner: a.Learner,
				Scenario: a.Scenario, Revision: a.Revision, ModelVersion: a.ModelVersion, Mode: a.Mode,
				Outcome: a.Verdict.Outcome, Scores: newScoresJSON(a.Verdict), Finding: deciding(a), Guess: a.Guess, Hints: a.Hints,
			})
		}
		return printJSON(o.Out, list)
	}
	if len(attempts) == 0 {
		fmt.Fprintln(o.Out, "no coupon has been welded yet")
		return nil
	}
	w := tabwriter.NewWriter(o.Out, 0, 0, 2, ' ', 0)
	for _, a := range attempts {
		word, mark := view.Outcome(a.Verdict.Outcome)
		fmt.Fprintf(w, "%s\t%s\t%s %s", a.At.Local().Format("2006-01-02 15:04"), a.Scenario, word, mark)
		scores := view.Scores(a.Verdict)
		for i := range 3 {
			if scores == nil {
				fmt.Fprint(w, "\t-")
				continue
			}
			fmt.Fprintf(w, "\t%d", scores[i].Value)
		}
		fmt.Fprintf(w, "\t%s\n", session.InWords(deciding(a)))
	}
	return w.Flush()
}

// deciding names the finding that rejected the coupon, or nothing.
func deciding(a session.Attempt) string {
	if a.Verdict.Outcome != scoring.Reject || len(a.Verdict.Findings) == 0 {
		return ""
	}
	return a.Verdict.Findings[0].Rule
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
