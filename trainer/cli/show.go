package cli

import (
	"fmt"
	"strconv"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"puddlewise/scenarios"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/practice"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

// seedFlag adds --seed to a command.
func seedFlag(cmd *cobra.Command, into *int64) {
	cmd.Flags().Int64Var(into, "seed", 0, "a variation of the joint, by `NUMBER`; 0: as it is written")
}

// canVary says why a joint has no variation of the seed.
func canVary(sc scenarios.Scenario, seed int64) error {
	switch {
	case seed < 0:
		return usageError("--seed cannot be %d\nvariations are counted from 1, and 0 is the joint as it is written", seed)
	case seed > 0 && !sc.Varies():
		return usageError("%s has no variations: its file gives no ranges\npuddlewise show %s tells what varies", sc.ID, sc.ID)
	}
	return nil
}

// variation gives a joint by id or file, or its variation. A seed that gives the joint
// as it is written is told beside the output.
func (a *app) variation(name, dir string, seed int64) (scenarios.Scenario, error) {
	sc, err := scenario(name, dir)
	if err == nil {
		err = canVary(sc, seed)
	}
	if err != nil || seed == 0 {
		return sc, err
	}
	return a.drawn(sc, seed)
}

func (a *app) drawn(sc scenarios.Scenario, seed int64) (scenarios.Scenario, error) {
	ctx, stop := interruptible()
	defer stop()
	out, err := session.Vary(practice.Vary).Now(ctx, sc, seed)
	if err == nil && out.Seed != seed {
		fmt.Fprintln(a.Err, "puddlewise: "+session.NoVariation(sc.ID, seed))
	}
	return out, err
}

type showOptions struct {
	*app
	Scenario string
	Seeds    []int64
	Joints   string
	Units    string
}

func newShow(a *app) *cobra.Command {
	o := &showOptions{app: a}
	cmd := &cobra.Command{
		Use:   "show ID|FILE [--seed N[,N...]]",
		Short: "Show a joint's sheet, or variations of it side by side",
		Long: `Show the sheet of a joint: what a learner is told before deciding. With one seed,
the sheet of that variation; with several, what they have and the joint as it is
written has not, side by side, with an answer that the model accepts.

A variation is the same job with other numbers, drawn from the ranges in the
joint's file. The same seed gives the same joint everywhere.` +
			exitCodes(exitDone, exitError, exitUsage, exitBadFile),
		Example: "  puddlewise show T-02\n  puddlewise show T-02 --seed 3 --units inch\n  puddlewise show T-02 --seed 1,2,3",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return usageError("show needs one joint: its id, or a file\npuddlewise joints lists the ids")
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error { o.Scenario = args[0]; return o.run() },
	}
	cmd.Flags().Int64SliceVar(&o.Seeds, "seed", nil, "variations of the joint, by `NUMBERS`")
	cmd.Flags().StringVar(&o.Joints, "joints", "", jointsFlagHelp)
	unitsFlag(cmd, &o.Units)
	return cmd
}

// mostBeside is how many variations stand beside each other.
const mostBeside = 4

func (o *showOptions) run() error {
	system, err := unitsOf(o.Units, weld.Metric)
	if err != nil {
		return err
	}
	if len(o.Seeds) > mostBeside {
		return usageError("--seed names %d variations, allowed are %d", len(o.Seeds), mostBeside)
	}
	sc, err := scenario(o.Scenario, o.Joints)
	if err != nil {
		return err
	}
	all := []scenarios.Scenario{sc}
	for _, seed := range o.Seeds {
		if err := canVary(sc, seed); err != nil {
			return err
		}
		one := sc
		if seed != 0 {
			if one, err = o.drawn(sc, seed); err != nil {
				return err
			}
		}
		all = append(all, one)
	}
	if len(all) > 2 {
		return o.beside(all, system)
	}
	o.sheet(all[len(all)-1], system)
	return nil
}

// sheet prints the joint sheet.
func (o *showOptions) sheet(sc scenarios.Scenario, system weld.System) {
	sh := view.JointSheet(sc, system)
	fmt.Fprintf(o.Out, "%s  %s\n%s, level %d\n\n%s\n", sh.ID, sh.Title, sh.Position, sh.Level, wrap(sh.Job, 79, 0))
	for _, c := range sh.Cautions {
		fmt.Fprintf(o.Out, "! %s\n", wrap(c, 79, 2))
	}
	fmt.Fprintln(o.Out)
	for _, f := range sh.Facts {
		fmt.Fprintf(o.Out, "  %-10s%s\n", f.Label, wrap(f.Text, 79, 12))
	}
	fmt.Fprintln(o.Out, "given")
	for _, f := range sh.Given {
		fmt.Fprintf(o.Out, "  %-10s%s\n", f.Label, wrap(f.Text, 79, 12))
	}
	fmt.Fprintf(o.Out, "asked\n  %s\n", wrap(strings.Join(labels(sc.Ask), ", "), 79, 2))
	if sc.Seed != 0 || !sc.Varies() {
		return
	}
	fmt.Fprintln(o.Out, "varies")
	for _, s := range sc.Vary {
		text := strings.Join(s.Values, ", ")
		if len(s.Values) > 6 {
			text = fmt.Sprintf("%s to %s, %d values", s.Values[0], s.Values[len(s.Values)-1], len(s.Values))
		}
		fmt.Fprintf(o.Out, "  %-12s%s\n", label(s.Key), text)
	}
}

// beside prints the joint and its variations, one column each: what differs, and the
// answers that are accepted.
func (o *showOptions) beside(all []scenarios.Scenario, system weld.System) error {
	fmt.Fprintf(o.Out, "%s  %s\n\n", all[0].ID, all[0].Title)
	var b strings.Builder
	w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	row := func(label string, of func(scenarios.Scenario) string) {
		fmt.Fprint(w, label)
		for _, sc := range all {
			fmt.Fprint(w, "\t"+of(sc))
		}
		fmt.Fprintln(w)
	}
	row("", func(sc scenarios.Scenario) string {
		if sc.Seed == 0 {
			return "as written"
		}
		return "variation " + strconv.FormatInt(sc.Seed, 10)
	})
	for _, s := range all[0].Vary {
		row(label(s.Key), func(sc scenarios.Scenario) string { return value(sc, s.Key, system) })
	}
	row("accepted:", func(scenarios.Scenario) string { return "" })
	for _, key := range all[0].Ask {
		f, _ := weld.FieldByKey(key)
		row("  "+f.Label, func(sc scenarios.Scenario) string { return f.Show(sc.Model, system) })
	}
	if err := w.Flush(); err != nil {
		return err
	}
	for line := range strings.Lines(b.String()) {
		fmt.Fprintln(o.Out, strings.TrimRight(line, " \n"))
	}
	return nil
}

func labels(keys []string) (out []string) {
	for _, k := range keys {
		out = append(out, label(k))
	}
	return out
}

// label names what varies or is asked.
func label(key string) string {
	if f, ok := weld.FieldByKey(key); ok {
		return f.Label
	}
	if name, ok := map[string]string{"thickness": "wall", "part_temp": "part at", "earlier_run": "last run", "most_amps": "machine", "chill": "held"}[key]; ok {
		return name
	}
	return key
}

// value says what a joint has of what varies.
func value(sc scenarios.Scenario, key string, system weld.System) string {
	t := sc.Task
	switch key {
	case "thickness":
		if t.A.Thickness != t.B.Thickness {
			return t.A.Thickness.Show(system) + " and " + t.B.Thickness.Show(system)
		}
		return t.A.Thickness.Show(system)
	case "gap":
		if t.Gap != t.GapEnd {
			return t.Gap.Show(system) + " to " + t.GapEnd.Show(system)
		}
		return t.Gap.Show(system)
	case "draught":
		return view.Wind(t.Draught, system)
	case "part_temp":
		return t.PartTemp.Show(system)
	case "earlier_run":
		return t.Earlier.Show(system) + " ago"
	case "most_amps":
		if sc.MostAmps == 0 {
			return "enough"
		}
		return sc.MostAmps.Show(system) + " at most"
	case "chill":
		return string(t.Chill)
	case "position":
		return view.Position(t)
	}
	f, _ := weld.FieldByKey(key)
	return f.Show(sc.Given, system)
}
