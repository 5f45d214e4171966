package cli

import (
	"bytes"
	"context"
	"errors"
	"os"
	"runtime"
	"strings"

	"github.com/spf13/cobra"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/report"
	"puddlewise/trainer/session"
)

type windowOptions struct {
	weldOptions
	X, Y     string
	SVG, CSV string
}

func newWindow(a *app) *cobra.Command {
	o := &windowOptions{weldOptions: weldOptions{app: a}}
	cmd := &cobra.Command{
		Use:   "window --scenario ID|FILE",
		Short: "Map two settings: where a joint fuses, holds or burns through",
		Long: `Map two numeric settings of a joint around an answer, everything else as the
answer has it: where it does not fuse, where it is good, where it burns through,
and which way is out. At the answer the map says what the verdict says; elsewhere
its borders may lie a few per cent off.` +
			exitCodes(exitDone, exitError, exitUsage, exitBadFile),
		Example: "  puddlewise window --scenario T-01\n  puddlewise window --scenario T-02 --x amps --y dab --svg window.svg",
		Args:    noArguments,
		RunE:    func(*cobra.Command, []string) error { return o.run() },
	}
	cmd.Flags().StringVar(&o.Scenario, "scenario", "", "the joint: its `ID`, or a file")
	seedFlag(cmd, &o.Seed)
	cmd.Flags().StringVar(&o.Answer, "answer", modelAnswer, "the answer: a `FILE`, or the word model")
	cmd.Flags().StringVar(&o.X, "x", "amps", "the `SETTING` across")
	cmd.Flags().StringVar(&o.Y, "y", "travel", "the `SETTING` up")
	cmd.Flags().StringVar(&o.SVG, "svg", "", "write a picture to `FILE`")
	cmd.Flags().StringVar(&o.CSV, "csv", "", "write a table to `FILE`")
	cmd.Flags().StringVar(&o.Joints, "joints", "", jointsFlagHelp)
	offer(cmd, "scenario", jointIDs)
	offer(cmd, "x", numericSettings)
	offer(cmd, "y", numericSettings)
	unitsFlag(cmd, &o.Units)
	return cmd
}

// numericSettings lists what can be an axis.
func numericSettings() []string {
	var out []string
	for _, f := range weld.Fields {
		if f.Numeric() {
			out = append(out, f.Key)
		}
	}
	return out
}

func (o *windowOptions) run() error {
	if o.Scenario == "" {
		return usageError("window needs --scenario\npuddlewise joints lists the ids")
	}
	for flag, key := range map[string]string{"x": o.X, "y": o.Y} {
		if err := oneOf(flag, key, numericSettings()...); err != nil {
			return err
		}
	}
	if o.X == o.Y {
		return usageError("--x and --y are both %s\na map needs two settings", o.X)
	}
	sc, answer, system, err := o.read()
	if err != nil {
		return err
	}
	w, err := scoring.MapWindow(sc.Task, answer, o.X, o.Y, session.Cores(context.Background(), runtime.GOMAXPROCS(0)))
	if err != nil {
		return err
	}
	var svg, csv bytes.Buffer
	err = errors.Join(report.WindowSVG(&svg, w, sc.Name()+"  "+sc.Title, system), report.WindowCSV(&csv, w, system))
	if err != nil {
		return err
	}
	for file, content := range map[string][]byte{o.SVG: svg.Bytes(), o.CSV: csv.Bytes()} {
		if file = strings.TrimSpace(file); file == "" {
			continue
		}
		if err := os.WriteFile(file, content, 0o644); err != nil {
			return err
		}
	}
	if o.SVG == "" && o.CSV == "" {
		return report.WindowText(o.Out, w, system)
	}
	return nil
}
