package cli

import (
	"context"
	"errors"

	"github.com/spf13/cobra"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/drill"
	"puddlewise/trainer/plain"
	"puddlewise/trainer/record"
	"puddlewise/trainer/tui"
)

type drillDebriefOptions struct {
	*app
	screenOptions
	Joints, Units string
	Names         bool
}

func newDrillDebrief(a *app) *cobra.Command {
	o := &drillDebriefOptions{app: a}
	cmd := &cobra.Command{
		Use:   "debrief FILE|DIR... [--plain]",
		Short: "Walk through a drill that was run, joint by joint",
		Long: `Walk through a drill that was run, joint by joint: the class's first answers on the
window that the most common fault asks for, the coupon furthest off and the best
one, and what lies between them. Where the drill asked a question: which answers were
chosen how often, what is right and why. Names are not shown unless asked for.

In a terminal it fills the screen, else and with --plain it goes line by line.` + exitCodes(exitDone, exitError, exitUsage, exitBadFile, exitNoTerminal),
		Example: "  puddlewise drill debrief results",
		Args:    someFiles("puddlewise drill debrief results"),
		RunE:    func(_ *cobra.Command, args []string) error { return o.run(args) },
	}
	cmd.Flags().BoolVar(&o.Names, "names", false, "say whose coupon is whose")
	cmd.Flags().StringVar(&o.Joints, "joints", "", jointsFlagHelp)
	unitsFlag(cmd, &o.Units)
	o.flags(cmd)
	return cmd
}

func (o *drillDebriefOptions) run(names []string) error {
	system, err := unitsOf(o.Units, weld.Metric)
	if err != nil {
		return err
	}
	all, err := readResults(names)
	if err != nil {
		return err
	}
	joints, err := bank(o.Joints)
	if err != nil {
		return err
	}
	ctx, stop := interruptible()
	defer stop()
	title, talks, desk := all[0].Drill, drill.Talks(all), *o.desk(joints, nil)
	if t := o.terminal(); o.full(t) && len(talks) > 0 {
		settings, err := o.remembered(o.Units)
		if err != nil {
			return err
		}
		return noScreen(tui.Run(ctx, tui.Options{
			Bank: joints, Settings: settings, Term: t.Kind, Now: o.env.Now,
			Talk: &tui.Talk{Title: title, Talks: talks, Names: o.Names, Judge: scoring.Judge, Map: scoring.MapWindow, Desk: desk},
		}))
	}
	err = plain.DebriefDrill(ctx, plain.Options{
		In: o.In, Out: o.Out, Bank: joints, Settings: record.Settings{Units: system}, Echo: !o.terminal().In,
	}, plain.Debrief{Title: title, Talks: talks, Names: o.Names, Judge: scoring.Judge, Map: scoring.MapWindow, Desk: desk})
	if ctx.Err() != nil && errors.Is(err, context.Canceled) {
		return nil
	}
	return err
}
