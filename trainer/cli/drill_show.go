package cli

import (
	"context"
	"errors"
	"time"

	"github.com/spf13/cobra"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/plain"
	"puddlewise/trainer/record"
	"puddlewise/trainer/session"
	"puddlewise/trainer/tui"
)

type drillShowOptions struct {
	*app
	screenOptions
	Joints, Units string
}

func newDrillShow(a *app) *cobra.Command {
	o := &drillShowOptions{app: a}
	cmd := &cobra.Command{
		Use:   "show DRILL|FILE [--plain]",
		Short: "Take a class through a drill before one screen",
		Long: `Take a class through a drill before one screen: the joint and the time left, one
agreed answer or a show of hands (60 A: 7, 90 A: 4), the coupon of what had the most
hands, what went wrong by hands, the verdict, the smallest change that holds, and the
window with the options on it. Every joint is welded by settings, also one the drill
asks a question at or has welded by hand. Nothing is kept.

In a terminal it fills the screen, for a projector; else and with --plain it goes
line by line.` + exitCodes(exitDone, exitError, exitUsage, exitBadFile, exitNoTerminal),
		Example: "  puddlewise drill show amps-first",
		Args:    oneFile("a drill of puddlewise drill list, or a file"),
		RunE:    func(_ *cobra.Command, args []string) error { return o.run(args[0]) },
	}
	cmd.Flags().StringVar(&o.Joints, "joints", "", jointsFlagHelp)
	unitsFlag(cmd, &o.Units)
	o.flags(cmd)
	return cmd
}

func (o *drillShowOptions) run(name string) error {
	d, err := openDrill(name)
	if err != nil {
		return err
	}
	joints, err := bank(o.Joints)
	if err != nil {
		return err
	}
	system, err := unitsOf(o.Units, weld.Metric)
	if err != nil {
		return err
	}
	ctx, stop := interruptible()
	defer stop()
	newSession := func(sc scenarios.Scenario) *session.Session {
		return session.New(sc, session.Options{
			Judge: scoring.Judge, Save: scoring.Save, SaveRun: scoring.SaveRun, DabTime: scoring.TimeToDab, Map: scoring.MapWindow, System: system, Mode: "drill", NoHints: !d.Hints, Now: o.env.Now, NewID: o.env.NewID,
		})
	}
	if t := o.terminal(); o.full(t) {
		settings, err := o.remembered(o.Units)
		if err != nil {
			return err
		}
		picked, err := d.Pick(joints, "")
		if err != nil {
			return err
		}
		return noScreen(tui.Run(ctx, tui.Options{
			Bank: joints, Settings: settings, Term: t.Kind, Now: o.env.Now, NewSession: newSession,
			Show: &tui.Show{Drill: d, Joints: picked, Vary: varied(ctx)},
		}))
	}
	tick := time.NewTicker(time.Second)
	defer tick.Stop()
	err = plain.ShowDrill(ctx, plain.Options{
		In: o.In, Out: o.Out, Bank: joints, Settings: record.Settings{Units: system}, Now: o.env.Now, Echo: !o.terminal().In, NewSession: newSession,
	}, d, varied(ctx), tick.C)
	if ctx.Err() != nil && errors.Is(err, context.Canceled) {
		return nil
	}
	return err
}
