package cli

import (
	"context"
	"strconv"
	"time"

	"github.com/spf13/cobra"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/record"
	"puddlewise/trainer/session"
	"puddlewise/trainer/tui"
)

// newPicture draws a screen of a scripted walk as SVG: how the README's pictures are made.
func newPicture(a *app) *cobra.Command {
	var scenario string
	width, height := 80, 24
	cmd := &cobra.Command{
		Use:   "picture [--scenario ID] STEP...",
		Short: "Draw a screen of a scripted walk as SVG",
		Long: `Draw the last screen of a walk as SVG on standard output. A STEP is the name of a
key, a single character, "type TEXT", or, with the live arc struck, "wait TICKS" of its
clock, of which 25 are a second. Nothing is recorded.` + exitCodes(exitDone, exitError, exitUsage, exitBadFile),
		Example: `  puddlewise picture --scenario T-01 "type 58" Tab "type 2" Enter > screen.svg`,
		Args:    cobra.ArbitraryArgs,
		RunE: func(cmd *cobra.Command, steps []string) error {
			joints, err := bank("")
			if err != nil {
				return err
			}
			n := 0
			still := *a // the same walk gives the same picture
			still.env.Now = func() time.Time { return time.Time{} }
			svg, err := tui.Picture(context.Background(), tui.Options{
				Bank: joints, Start: scenario, Settings: record.Settings{CautionsSeen: true}, Questions: still.desk(joints, nil),
				NewSession: func(sc scenarios.Scenario) *session.Session {
					return session.New(sc, session.Options{
						Judge: scoring.Judge, Save: scoring.Save, SaveRun: scoring.SaveRun, DabTime: scoring.TimeToDab, Map: scoring.MapWindow, System: weld.Metric, Mode: "self-study",
						Now:   func() time.Time { return time.Time{} },
						NewID: func() string { n++; return strconv.Itoa(n) },
					})
				},
			}, steps, width, height)
			if err != nil {
				return err
			}
			_, err = cmd.OutOrStdout().Write(svg)
			return err
		},
	}
	cmd.Flags().StringVar(&scenario, "scenario", "", "the joint's `ID`")
	cmd.Flags().IntVar(&width, "width", width, "columns")
	cmd.Flags().IntVar(&height, "height", height, "lines")
	return cmd
}
