package cli

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"puddlewise/scoring/weld"
	"puddlewise/trainer/precert"
)

type procedureOptions struct {
	*app
	Units string
}

func newPrecertProcedure(a *app) *cobra.Command {
	o := &procedureOptions{app: a}
	cmd := &cobra.Command{
		Use:   "procedure [ID|FILE]",
		Short: "The practice procedures, or one of them",
		Long: `List the written procedures to practise within, or print one. They are made up for
practice: no WPS, nothing was welded, tested or signed for them. One of your own is
a YAML file of the same shape.` + exitCodes(exitDone, exitUsage, exitBadFile),
		Args: cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error { return o.run(args) },
	}
	unitsFlag(cmd, &o.Units)
	return cmd
}

func (o *procedureOptions) run(args []string) error {
	system, err := unitsOf(o.Units, weld.Metric)
	if err != nil {
		return err
	}
	w := tabwriter.NewWriter(o.Out, 0, 0, 2, ' ', 0)
	if len(args) == 0 {
		all, err := precert.Procedures()
		if err != nil {
			return err
		}
		for _, p := range all {
			fmt.Fprintf(w, "%s\t%s\t%s to %s\n", p.ID, p.Title, p.Thickness.From.Show(system), p.Thickness.To.Show(system))
		}
		return w.Flush()
	}
	p, err := procedure(args[0])
	if err != nil {
		return err
	}
	fmt.Fprintf(o.Out, "%s  %s\nPRACTICE PROCEDURE: not a WPS, not for production.\n\n", p.ID, p.Title)
	row := func(name, value string) { fmt.Fprintf(w, "%s\t%s\n", name, value) }
	row("process", "141 (TIG), 142 without rod")
	row("joints", words(p.Joints))
	row("positions", words(p.Positions))
	row("metals", words(p.Metals))
	row("wall", p.Thickness.From.Show(system)+" to "+p.Thickness.To.Show(system))
	if p.Diameter.To > 0 {
		row("diameter", p.Diameter.From.Show(system)+" to "+p.Diameter.To.Show(system))
	}
	row("gap", p.Gap.From.Show(system)+" to "+p.Gap.To.Show(system))
	row("part before the arc", p.Part.From.Show(system)+" to "+p.Part.To.Show(system))
	for _, s := range p.Settings {
		row(s.Field.Label, s.Allowed(system))
	}
	row("technique", p.Technique)
	return w.Flush()
}

func words[T ~string](all []T) string {
	var out []string
	for _, w := range all {
		out = append(out, string(w))
	}
	return strings.Join(out, ", ")
}

// procedure finds one that ships by its id, or reads a file.
func procedure(name string) (precert.Procedure, error) {
	all, err := precert.Procedures()
	if err != nil {
		return precert.Procedure{}, err
	}
	var ids []string
	for _, p := range all {
		if strings.EqualFold(p.ID, name) {
			return p, nil
		}
		ids = append(ids, p.ID)
	}
	if !strings.ContainsAny(name, "./\\") {
		hint := nearest(strings.ToUpper(name), ids)
		if hint == "" {
			hint = "\npuddlewise precert procedure lists them"
		}
		return precert.Procedure{}, badFile(fmt.Errorf("there is no procedure %.40q%s", name, hint))
	}
	return precert.LoadProcedure(name)
}

type procedureCheckOptions struct {
	weldOptions
	Procedure string
}

func newPrecertCheck(a *app) *cobra.Command {
	o := &procedureCheckOptions{weldOptions: weldOptions{app: a}}
	cmd := &cobra.Command{
		Use:   "check --procedure ID|FILE --scenario ID|FILE --answer FILE|model",
		Short: "Hold an answer to a practice procedure",
		Long: `Hold a joint and an answer against a practice procedure, variable by variable:
allowed, outside, or needs a new procedure, which is an essential variable. Nothing
is welded; puddlewise weld says how the coupon comes out.

With --json, one object: procedure, scenario, allowed, lines (variable, have, may,
result, source).` + exitCodes(exitDone, exitError, exitUsage, exitBadFile),
		Example: "  puddlewise precert check --procedure PN-01 --scenario B-03 --answer model",
		Args:    noArguments,
		RunE:    func(*cobra.Command, []string) error { return o.run() },
	}
	o.flags(cmd)
	cmd.Flags().StringVar(&o.Procedure, "procedure", "", "the procedure: its `ID`, or a file")
	cmd.Flags().BoolVar(&o.JSON, "json", false, "print an object")
	return cmd
}

type procedureJSON struct {
	Procedure string              `json:"procedure"`
	Scenario  string              `json:"scenario"`
	Allowed   bool                `json:"allowed"`
	Lines     []procedureLineJSON `json:"lines"`
}

type procedureLineJSON struct {
	Variable string         `json:"variable"`
	Have     string         `json:"have"`
	May      string         `json:"may"`
	Result   precert.Result `json:"result"`
	Source   string         `json:"source"`
}

func (o *procedureCheckOptions) run() error {
	if o.Procedure == "" {
		return usageError("precert check needs --procedure\npuddlewise precert procedure lists them")
	}
	if err := o.complete("precert check"); err != nil {
		return err
	}
	p, err := procedure(o.Procedure)
	if err != nil {
		return err
	}
	sc, answer, system, err := o.read()
	if err != nil {
		return err
	}
	lines := p.Check(sc.Task, answer, system)
	if o.JSON {
		out := procedureJSON{Procedure: p.ID, Scenario: sc.ID, Allowed: len(precert.Worst(lines)) == 0}
		for _, l := range lines {
			out.Lines = append(out.Lines, procedureLineJSON(l))
		}
		return printJSON(o.Out, out)
	}
	fmt.Fprintf(o.Out, "%s  %s\n%s  %s\n\n", sc.ID, sc.Title, p.ID, p.Title)
	return printProcedure(o.Out, lines)
}

func printProcedure(out io.Writer, lines []precert.Line) error {
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	for _, l := range lines {
		mark := "+"
		if l.Result != precert.Allowed {
			mark = "x"
		}
		fmt.Fprintf(w, "%s %s\t%s\t%s\t%s\n", mark, l.Variable, l.Have, l.Result, l.May)
	}
	if err := w.Flush(); err != nil {
		return err
	}
	worst := precert.Worst(lines)
	if len(worst) == 0 {
		_, err := fmt.Fprintln(out, "\neverything is within the procedure")
		return err
	}
	l := worst[0]
	fmt.Fprintf(out, "\n%s: %s is %s; the procedure has %s (%s)\n", l.Result, l.Variable, l.Have, l.May, l.Source)
	return nil
}
