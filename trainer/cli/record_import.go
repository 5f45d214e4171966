package cli

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"puddlewise/scenarios"
)

func newRecordImport(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "import FILE",
		Short: "Take the coupons of an export into the record",
		Long: `Take the coupons that puddlewise record export --json wrote into the record. Those
that are there already are left as they are, so importing twice changes nothing.
Of a file with anything wrong in it nothing is taken; every problem is told.` +
			exitCodes(exitDone, exitError, exitUsage, exitBadFile),
		Example: "  puddlewise record import ann.json",
		Args:    oneFile("what record export --json wrote"),
		RunE: func(_ *cobra.Command, args []string) error {
			store, err := a.openRecord()
			if err != nil {
				return err
			}
			defer store.Close()
			taken, had, err := store.Import(args[0])
			var problems scenarios.Problems
			if err != nil {
				if !errors.As(err, &problems) {
					return badFile(err)
				}
				fmt.Fprintln(a.Err, problems)
				return badFile(fmt.Errorf("%s; nothing was taken", counted(len(problems), "problem")))
			}
			fmt.Fprintf(a.Out, "%s taken, %d there already\n", counted(taken, "coupon"), had)
			return nil
		},
	}
}
