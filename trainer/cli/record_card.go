package cli

import (
	"fmt"
	"io"
	"slices"

	"github.com/spf13/cobra"

	"puddlewise/trainer/record"
	"puddlewise/trainer/report"
	"puddlewise/trainer/session"
)

type recordCardOptions struct {
	*app
	Learner string
	HTML    string
	Joints  string
}

func newRecordCard(a *app) *cobra.Command {
	o := &recordCardOptions{app: a}
	cmd := &cobra.Command{
		Use:   "card [--learner NAME] [--html FILE]",
		Short: "A learner's card: scores over time, findings, skills",
		Long: `Print a learner's card: the three scores over time, coupons by finding, the
scores by metal and joint, and how each skill stands. Without --learner it is the
card of who is set as the learner now.

With --html it is written as one page that needs nothing from elsewhere and prints
on one sheet of A4 or Letter, in black and white as well.` +
			exitCodes(exitDone, exitError, exitUsage, exitBadFile),
		Example: "  puddlewise record card\n  puddlewise record card --learner Ann --html ann.html",
		Args:    noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return o.run(cmd.Flags().Changed("learner"))
		},
	}
	a.learnerFlag(cmd, &o.Learner)
	cmd.Flags().Lookup("learner").Usage = "the card of `NAME`"
	cmd.Flags().StringVar(&o.HTML, "html", "", "write a page to `FILE`")
	cmd.Flags().StringVar(&o.Joints, "joints", "", jointsFlagHelp)
	return cmd
}

func (o *recordCardOptions) run(named bool) error {
	all, err := bank(o.Joints)
	if err != nil {
		return err
	}
	store, err := o.openRecord()
	if err != nil {
		return err
	}
	defer store.Close()
	if !named {
		if o.Learner, err = o.present(store); err != nil {
			return err
		}
	}
	coupons, err := store.Briefs(record.Filter{Learner: o.Learner})
	if err != nil {
		return err
	}
	coupons = slices.DeleteFunc(coupons, func(b session.Brief) bool { return b.Learner != o.Learner }) // who has no name is not everybody
	if len(coupons) == 0 && named {
		return noCouponsOf(store, o.Learner)
	}
	card := report.NewCard(o.Learner, o.env.Now(), all, coupons)
	if o.HTML == "" {
		return report.CardText(o.Out, card)
	}
	if err := o.toFile(o.Out, o.HTML, func(w io.Writer) error { return report.CardHTML(w, card) }); err != nil {
		return err
	}
	fmt.Fprintf(o.Out, "the card is written to %s\n", o.HTML)
	return nil
}

// present is the learner set now, or the only one there is.
func (a *app) present(store *record.Store) (string, error) {
	settings, err := store.Settings()
	if err != nil {
		return "", err
	}
	all, err := store.Learners()
	if err != nil {
		return "", err
	}
	if len(all) == 1 {
		return all[0].Name, nil
	}
	return settings.Name, nil
}
