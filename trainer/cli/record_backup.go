package cli

import (
	"fmt"

	"github.com/spf13/cobra"
)

func newRecordBackup(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "backup FILE",
		Short: "Copy the whole record, also while a trainer is open",
		Long: `Copy the whole record, settings and drafts included, to a file that is not there
yet. A trainer may be open meanwhile: the copy is of one moment. To go back to it,
close every trainer and copy it over the record (puddlewise info says where that is).` +
			exitCodes(exitDone, exitError, exitUsage),
		Example: "  puddlewise record backup record-friday.db",
		Args:    oneFile("the copy to write"),
		RunE: func(_ *cobra.Command, args []string) error {
			store, err := a.openRecord()
			if err != nil {
				return err
			}
			defer store.Close()
			if err := store.Backup(args[0]); err != nil {
				return err
			}
			fmt.Fprintf(a.Out, "the record is copied to %s\n", args[0])
			return nil
		},
	}
}
