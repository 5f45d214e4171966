package cli

import (
	"context"
	"fmt"
	"runtime"

	"github.com/spf13/cobra"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

type weldOptions struct {
	*app
	Scenario string
	Seed     int64
	Answer   string
	Joints   string
	Units    string
	JSON     bool
	Rescue   bool
}

// modelAnswer names the scenario's own accepted answer.
const modelAnswer = "model"

func newWeld(a *app) *cobra.Command {
	o := &weldOptions{app: a}
	cmd := &cobra.Command{
		Use:   "weld --scenario ID|FILE --answer FILE|model",
		Short: "Weld one answer and print the verdict",
		Long: `Weld an answer on a joint and print the verdict the trainer would give. Nothing
is recorded. The answer is a file (puddlewise help answer), or "model" for the
answer the joint itself holds to be right.

With --rescue, a rejected answer is also searched for the smallest change of what
the joint asks for that would be accepted; it takes a second or two.

With --json, one object of a stable shape (puddlewise help json).` +
			exitCodes(exitDone, exitError, exitUsage, exitBadFile),
		Example: "  puddlewise weld --scenario B-01 --answer model\n  puddlewise weld --scenario my-joints/T-07.yaml --answer ann.yaml --json\n  puddlewise weld --scenario T-02 --seed 3 --answer model\n  puddlewise weld --scenario T-02 --answer ann.yaml --rescue --units inch",
		Args:    noArguments,
		RunE:    func(*cobra.Command, []string) error { return o.run() },
	}
	o.flags(cmd)
	cmd.Flags().BoolVar(&o.JSON, "json", false, "print an object for scripts")
	cmd.Flags().BoolVar(&o.Rescue, "rescue", false, "look for the smallest change that saves a rejected answer")
	return cmd
}

// flags say what is welded.
func (o *weldOptions) flags(cmd *cobra.Command) {
	cmd.Flags().StringVar(&o.Scenario, "scenario", "", "the joint: its `ID`, or a file")
	seedFlag(cmd, &o.Seed)
	cmd.Flags().StringVar(&o.Answer, "answer", "", "the answer: a `FILE`, or the word model")
	offer(cmd, "scenario", jointIDs)
	offer(cmd, "answer", func() []string { return []string{modelAnswer} })
	cmd.Flags().StringVar(&o.Joints, "joints", "", jointsFlagHelp)
	unitsFlag(cmd, &o.Units)
}

// complete refuses a command without joint or answer.
func (o *weldOptions) complete(command string) error {
	for _, f := range []struct{ name, value, hint string }{
		{"scenario", o.Scenario, "puddlewise joints lists the ids"},
		{"answer", o.Answer, "a file, or model for the joint's own"},
	} {
		if f.value == "" {
			return usageError("%s needs --%s\n%s", command, f.name, f.hint)
		}
	}
	return nil
}

func (o *weldOptions) run() error {
	if err := o.complete("weld"); err != nil {
		return err
	}
	sc, answer, system, err := o.read()
	if err != nil {
		return err
	}
	verdict, err := scoring.Judge(sc.Task, answer)
	if err != nil {
		return fmt.Errorf("%s cannot be welded so: %w", sc.ID, err)
	}
	var rescue *scoring.Rescue
	if o.Rescue {
		if r, ok := scoring.Save(sc.Task, answer, sc.Ask, system, session.Cores(context.Background(), runtime.GOMAXPROCS(0))); ok {
			rescue = &r
		}
	}
	if o.JSON {
		j := newVerdictJSON(sc, answer, verdict)
		j.Rescue = newRescueJSON(rescue)
		return printJSON(o.Out, j)
	}
	printVerdict(o.Out, sc, verdict, system)
	if o.Rescue && verdict.Outcome == scoring.Reject {
		fmt.Fprintln(o.Out, "\nsmallest change that holds")
		for _, line := range view.RescueWords(rescue, system) {
			fmt.Fprintf(o.Out, "  %s\n", line)
		}
	}
	return nil
}

// read gives the joint, the answer to weld on it, and the units to speak in.
func (o *weldOptions) read() (sc scenarios.Scenario, answer weld.Answer, system weld.System, err error) {
	if system, err = unitsOf(o.Units, weld.Metric); err != nil {
		return sc, answer, system, err
	}
	if sc, err = o.variation(o.Scenario, o.Joints, o.Seed); err != nil {
		return sc, answer, system, err
	}
	answer, err = o.answer(sc)
	return sc, answer, system, err
}

func (o *weldOptions) answer(sc scenarios.Scenario) (weld.Answer, error) {
	if o.Answer == modelAnswer {
		return sc.Model, nil
	}
	a, err := scenarios.LoadAnswer(o.Answer, sc)
	if err != nil {
		return a, badFile(err)
	}
	return a, nil
}

// unitsFlag adds --units to a command.
func unitsFlag(cmd *cobra.Command, into *string) {
	cmd.Flags().StringVar(into, "units", "", "metric or inch `UNITS`, shown and taken for bare numbers")
	offer(cmd, "units", func() []string { return []string{"metric", "inch"} })
}

// unitsOf gives the system of units a flag names, or other when it names none.
func unitsOf(flag string, other weld.System) (weld.System, error) {
	if flag == "" {
		return other, nil
	}
	if err := oneOf("units", flag, "metric", "inch"); err != nil {
		return other, err
	}
	if flag == "inch" {
		return weld.Imperial, nil
	}
	return weld.Metric, nil
}
