package cli

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"puddlewise/scoring"
	"puddlewise/scoring/visual"
	"puddlewise/trainer/session/view"
)

type inspectOptions struct {
	weldOptions
	Level string
}

func newPrecertInspect(a *app) *cobra.Command {
	o := &inspectOptions{weldOptions: weldOptions{app: a}}
	cmd := &cobra.Command{
		Use:   "inspect --scenario ID|FILE --answer FILE|model [--level LEVEL]",
		Short: "Hold a coupon to a published level",
		Long: `Weld an answer and fill in the sheet of a visual inspection: each imperfection by
its number in ISO 6520-1, what was measured, what the level allows, pass or fail.
Levels: B, C, D of ISO 5817 (2014); C-2023, where a source tells that edition apart
(504 over 3 mm); test, for a test piece of ISO 9606-1; D1.1, for AWS D1.1 (3 mm and
up). What no source at hand confirms, aluminium's ISO 10042 above all, is "not
checked here".

With --json, one object: scenario, level, passed (null when nothing was checked),
lines (number, name, got, want, at_mm, result, source).` + exitCodes(exitDone, exitError, exitUsage, exitBadFile),
		Example: "  puddlewise precert inspect --scenario B-03 --answer model --level B",
		Args:    noArguments,
		RunE:    func(*cobra.Command, []string) error { return o.run() },
	}
	o.flags(cmd)
	cmd.Flags().StringVar(&o.Level, "level", "C", "the `LEVEL`: "+strings.Join(levels(), ", "))
	offer(cmd, "level", levels)
	cmd.Flags().BoolVar(&o.JSON, "json", false, "print an object")
	return cmd
}

func levels() []string {
	var out []string
	for _, l := range visual.Levels {
		out = append(out, string(l))
	}
	return out
}

type inspectionJSON struct {
	Scenario string          `json:"scenario"`
	Level    string          `json:"level"`
	Passed   *bool           `json:"passed"`
	Lines    []inspectedJSON `json:"lines"`
}

type inspectedJSON struct {
	Number string         `json:"number"`
	Name   string         `json:"name"`
	Got    string         `json:"got"`
	Want   string         `json:"want"`
	AtMM   float64        `json:"at_mm"`
	Result scoring.Result `json:"result"`
	Source string         `json:"source"`
}

func (o *inspectOptions) run() error {
	if err := o.complete("precert inspect"); err != nil {
		return err
	}
	if err := oneOf("level", o.Level, levels()...); err != nil {
		return err
	}
	sc, answer, system, err := o.read()
	if err != nil {
		return err
	}
	v, err := scoring.Judge(sc.Task, answer)
	if err != nil {
		return fmt.Errorf("%s cannot be welded so: %w", sc.ID, err)
	}
	sheet := scoring.Inspect(sc.Task, v.Coupon, visual.Level(o.Level))
	if o.JSON {
		out := inspectionJSON{Scenario: sc.ID, Level: o.Level, Passed: passed(sheet), Lines: []inspectedJSON{}}
		for _, l := range sheet {
			out.Lines = append(out.Lines, inspectedJSON{string(l.Imperfection), l.Name, l.Got, l.Want, mm(l.At), l.Result, l.Source})
		}
		return printJSON(o.Out, out)
	}
	fmt.Fprintf(o.Out, "%s  %s  level %s\n", sc.ID, sc.Title, o.Level)
	if v.Outcome == scoring.OutOfRange {
		fmt.Fprintf(o.Out, "not inspected: %s\n", view.Said(v.Reason, system))
		return nil
	}
	word := "nothing of it is checked here"
	if ok := passed(sheet); ok != nil && *ok {
		word = "it passes what is checked here"
	} else if ok != nil {
		word = "it fails"
	}
	fmt.Fprintf(o.Out, "%s\n\n", word)
	w := tabwriter.NewWriter(o.Out, 0, 0, 2, ' ', 0)
	sources := map[string]bool{}
	for _, l := range sheet {
		where := ""
		if l.Result == scoring.Failed {
			where = " at " + l.At.Show(system)
		}
		fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%s%s\n", l.Imperfection, l.Name, view.Said(l.Got, system), view.Said(l.Want, system), l.Result, where)
		if l.Result != scoring.NotChecked {
			sources[strings.Split(l.Source, ", ")[0]] = true
		}
	}
	if err := w.Flush(); err != nil {
		return err
	}
	if len(sources) > 0 {
		fmt.Fprintf(o.Out, "\nby %s; numbers from copies, check against the book.\n", strings.Join(slices.Sorted(maps.Keys(sources)), "; "))
	}
	_, err = fmt.Fprintln(o.Out, "It certifies nothing: a computed coupon, not an examiner's.")
	return err
}

// passed says whether no line fails; nil when none was checked.
func passed(sheet []scoring.Inspected) *bool {
	checked, ok := false, true
	for _, l := range sheet {
		checked = checked || l.Result != scoring.NotChecked
		ok = ok && l.Result != scoring.Failed
	}
	if !checked {
		return nil
	}
	return &ok
}
