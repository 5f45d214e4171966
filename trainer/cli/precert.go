package cli

import (
	"fmt"
	"strings"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"puddlewise/trainer/precert"
)

func newPrecert(a *app) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "precert",
		Short: "Practise for a welder's test",
		Long: `What helps before a welder's test. It certifies nothing: a qualification is made
by an examiner, with a test piece, to the code in force.` + exitCodes(exitDone, exitUsage),
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.AddCommand(newPrecertRange(a), newPrecertInspect(a), newPrecertProcedure(a), newPrecertCheck(a), newPrecertList(a), newPrecertTest(a), newPrecertPaper(a), newPrecertReady(a), newPrecertSheet(a), newPrecertLock(a), newPrecertUnlock(a))
	return cmd
}

type rangeOptions struct {
	*app
	Welded string
	JSON   bool
}

func newPrecertRange(a *app) *cobra.Command {
	o := &rangeOptions{app: a}
	cmd := &cobra.Command{
		Use:   "range DESIGNATION",
		Short: "What a welder's test would qualify for",
		Long: `Say what a welder's test would qualify for, variable by variable, each with the
table it follows from. The designation is written as ISO 9606 does, lengths in mm;
another code stands in front of it: ISO 9606-2 (aluminium), ASME IX, AWS D1.1.

  process, P plate or T tube, BW butt or FW fillet, filler group, filler,
  s deposited (butt) or t material (fillet), D outside diameter, position,
  ss or bs (sides), backing, layers (fillet sl, ml; butt 3l)

For the codes without process and filler leave these out. What no source at hand
confirms is not guessed: "not checked here". With --welded also the dates that follow.

With --json, one object: test, covers (variable, covers, source, note), due (on,
what, source).` + exitCodes(exitDone, exitUsage),
		Example: `  puddlewise precert range "141 T BW FM1 S s3 D60.3 PH ss nb" --welded 2026-03-04
  puddlewise precert range "ASME IX T BW s3.9 D60.3 6G nb"`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return usageError("precert range needs a designation\nsuch as: puddlewise precert range \"141 T BW FM1 S s3 D60.3 PH ss nb\"")
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error { return o.run(strings.Join(args, " ")) },
	}
	cmd.Flags().StringVar(&o.Welded, "welded", "", "the `DATE` of welding, such as 2026-03-04")
	cmd.Flags().BoolVar(&o.JSON, "json", false, "print an object")
	return cmd
}

type rangeJSON struct {
	Test   string      `json:"test"`
	Covers []coverJSON `json:"covers"`
	Due    []dueJSON   `json:"due"`
}

type coverJSON struct {
	Variable string `json:"variable"`
	Covers   string `json:"covers"`
	Source   string `json:"source"`
	Note     string `json:"note"`
}

type dueJSON struct {
	On     string `json:"on"`
	What   string `json:"what"`
	Source string `json:"source"`
}

func (o *rangeOptions) run(designation string) error {
	test, err := precert.ParseTest(designation)
	if err != nil {
		return usageError("%v", err)
	}
	out := rangeJSON{Test: test.String(), Due: []dueJSON{}}
	for _, c := range test.Range() {
		out.Covers = append(out.Covers, coverJSON(c))
	}
	if o.Welded != "" {
		day, err := time.Parse(time.DateOnly, o.Welded)
		if err != nil {
			return usageError("--welded cannot be %.40q\nwrite year, month and day: 2026-03-04", o.Welded)
		}
		for _, d := range test.Code.Validity(day) {
			out.Due = append(out.Due, dueJSON{d.On.Format(time.DateOnly), d.What, d.Source})
		}
	}
	if o.JSON {
		return printJSON(o.Out, out)
	}
	fmt.Fprintf(o.Out, "%s\n\nWould qualify for:\n", out.Test)
	w := tabwriter.NewWriter(o.Out, 0, 0, 2, ' ', 0)
	for _, c := range out.Covers {
		fmt.Fprintf(w, "  %s\t%s\t%s\n", c.Variable, c.Covers, c.Source)
		if c.Note != "" {
			fmt.Fprintf(w, "  \t  %s\n", c.Note)
		}
	}
	if err := w.Flush(); err != nil {
		return err
	}
	for i, d := range out.Due {
		if i == 0 {
			fmt.Fprintf(o.Out, "\nWelded on %s:\n", o.Welded)
		}
		fmt.Fprintf(o.Out, "  %s  %s\n              %s\n", d.On, d.What, d.Source)
	}
	_, err = fmt.Fprintln(o.Out, "\nIt certifies nothing. Numbers from copies of the standards, not the books: the\ncode in force and a licensed examiner decide.")
	return err
}
