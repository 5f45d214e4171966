package cli

import (
	"bufio"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"puddlewise/trainer/record"
)

type recordForgetOptions struct {
	*app
	Learner string
	One     bool // --learner was given; a learner may have no name
	Yes     bool
}

func newRecordForget(a *app) *cobra.Command {
	o := &recordForgetOptions{app: a}
	cmd := &cobra.Command{
		Use:   "forget [--learner NAME] [--yes]",
		Short: "Delete everything, or everything of one learner",
		Long: `Delete everything of everybody: coupons, answers to questions, drafts, settings and
damaged records that were set aside. With --learner, only what is of that learner;
--learner "" is who welded without a name. It asks before, unless --yes is given.
Exports and backups are your files: delete them yourself.` +
			exitCodes(exitDone, exitError, exitUsage),
		Example: "  puddlewise record forget --learner Ann\n  puddlewise record forget --yes",
		Args:    noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			o.One = cmd.Flags().Changed("learner")
			return o.run()
		},
	}
	cmd.Flags().BoolVar(&o.Yes, "yes", false, "do not ask")
	a.learnerFlag(cmd, &o.Learner)
	cmd.Flags().Lookup("learner").Usage = "only what is of `NAME`"
	return cmd
}

func (o *recordForgetOptions) run() error {
	store, err := o.openRecord()
	if err != nil {
		return err
	}
	defer store.Close()
	what, err := o.what(store)
	if err != nil {
		return err
	}
	if !o.Yes {
		fmt.Fprintf(o.Out, "This deletes %s, for good.\nType yes to go on: ", what)
		line, _ := bufio.NewReader(o.In).ReadString('\n') // no answer is not yes
		if !strings.HasSuffix(line, "\n") {
			fmt.Fprintln(o.Out)
		}
		if strings.TrimSpace(line) != "yes" {
			return fmt.Errorf("nothing was deleted\nit takes the word yes, or --yes")
		}
	}
	var n int
	if o.One {
		n, err = store.ForgetLearner(o.Learner)
	} else {
		n, err = store.ForgetAll()
	}
	if err != nil {
		return err
	}
	fmt.Fprintf(o.Out, "%s deleted\n", counted(n, "coupon"))
	return nil
}

// what says what would be deleted.
func (o *recordForgetOptions) what(store *record.Store) (string, error) {
	all, err := store.Learners()
	if err != nil {
		return "", err
	}
	if o.One {
		for _, l := range all {
			if l.Name == o.Learner {
				return holds(l) + " of " + nameOf(l.Name), nil
			}
		}
		return "", noCouponsOf(store, o.Learner)
	}
	var sum record.Learner
	for _, l := range all {
		sum.Coupons, sum.Answers = sum.Coupons+l.Coupons, sum.Answers+l.Answers
	}
	aside, err := store.Damaged()
	if err != nil {
		return "", err
	}
	what := holds(sum) + " of " + counted(len(all), "learner") + ", the drafts and the settings"
	if len(aside) > 0 {
		what += ", and " + counted(len(aside), "file") + " of damaged records:\n  " + strings.Join(aside, "\n  ") + "\n"
	}
	return what, nil
}
