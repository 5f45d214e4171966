package cli

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"puddlewise/trainer/record"
	"puddlewise/trainer/tui"
)

// screenOptions choose between the full screen and lines, for commands that have both and
// take lines where there is no terminal.
type screenOptions struct {
	Plain bool
}

func (o *screenOptions) flags(cmd *cobra.Command) {
	cmd.Flags().BoolVar(&o.Plain, "plain", false, "line by line, without a screen")
}

// full says whether the full screen is drawn.
func (o *screenOptions) full(t terminal) bool { return !o.Plain && t.usable() }

// noScreen says of a terminal that turned out to be none that lines do without.
func noScreen(err error) error {
	if errors.Is(err, tui.ErrNoTerminal) {
		return &codedError{exitNoTerminal, fmt.Errorf("%w\nwith --plain it goes line by line", err)}
	}
	return err
}

// remembered gives the settings that the trainer keeps.
func (a *app) remembered(units string) (record.Settings, error) {
	store, err := a.openRecord()
	if err != nil {
		return record.Settings{}, err
	}
	settings, err := store.Settings()
	if err == nil {
		settings.Units, err = unitsOf(units, settings.Units)
	}
	return settings, errors.Join(err, store.Close())
}
