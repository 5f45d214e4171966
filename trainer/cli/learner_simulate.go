package cli

import (
	"fmt"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"puddlewise/scenarios"
	"puddlewise/trainer/learner/apprentice"
)

type learnerSimulateOptions struct {
	*app
	JSON bool
}

// How many apprentices and joints are made up.
const (
	simulatedApprentices = 120
	simulatedJoints      = 150
)

func newLearnerSimulate(a *app) *cobra.Command {
	o := &learnerSimulateOptions{app: a}
	cmd := &cobra.Command{
		Use:   "simulate [--json]",
		Short: "Measure the estimate and the choice of joints on made-up apprentices",
		Long: fmt.Sprintf(`Measure on made-up apprentices, whose skills are known, what the estimate of
skills and the choice of the next joint are worth. Each welds 200 coupons in 25
sittings over three months: as chosen, at random, and by level. They learn, forget,
and have three skills they never learnt; no real apprentice has been asked.

Three times: on %d joints made up for it; on the same joints with apprentices who
learn as much from every joint; and on the joints that ship. The seeds are fixed:
every run gives the same. It takes about half a minute.

With --json, one object with attempts_to_weakest_three and
attempts_to_weakest_three_random (200: never), calibration_error and
calibration_error_worst_band (of 1), skill_gain, skill_gain_random and
skill_gain_fixed (rise of the chance of doing a skill right, of 1), accepted,
success and skills_right (share of the chosen coupons that are accepted, that have
nothing to mend, and of what they exercise that is done right), the same of the
second half as accepted_late, success_late and skills_right_late, apprentices,
joints, attempts; and all of it under learn_evenly and shipped.`, simulatedJoints) +
			exitCodes(exitDone, exitError, exitUsage),
		Args: noArguments,
		RunE: func(*cobra.Command, []string) error { return o.run() },
	}
	cmd.Flags().BoolVar(&o.JSON, "json", false, "print an object")
	return cmd
}

type simulatedJSON struct {
	Apprentices      int     `json:"apprentices"`
	Joints           int     `json:"joints"`
	Attempts         int     `json:"attempts"`
	ToWeakest        float64 `json:"attempts_to_weakest_three"`
	ToWeakestRandom  float64 `json:"attempts_to_weakest_three_random"`
	CalibrationError float64 `json:"calibration_error"`
	WorstBand        float64 `json:"calibration_error_worst_band"`
	Gain             float64 `json:"skill_gain"`
	GainRandom       float64 `json:"skill_gain_random"`
	GainFixed        float64 `json:"skill_gain_fixed"`
	Accepted         float64 `json:"accepted"`
	LateAccepted     float64 `json:"accepted_late"`
	Success          float64 `json:"success"`
	LateSuccess      float64 `json:"success_late"`
	Right            float64 `json:"skills_right"`
	LateRight        float64 `json:"skills_right_late"`

	Evenly  *simulatedJSON `json:"learn_evenly,omitempty"`
	Shipped *simulatedJSON `json:"shipped,omitempty"`
}

func newSimulatedJSON(r apprentice.Result) simulatedJSON {
	return simulatedJSON{
		Apprentices: r.Apprentices, Joints: r.Joints, Attempts: r.Attempts,
		ToWeakest: round(r.ToWeakest, 10), ToWeakestRandom: round(r.ToWeakestRandom, 10),
		CalibrationError: shareOf(r.CalibrationError), WorstBand: shareOf(r.WorstBand),
		Gain: shareOf(r.Gain), GainRandom: shareOf(r.GainRandom), GainFixed: shareOf(r.GainFixed),
		Accepted: shareOf(r.All.Accepted), LateAccepted: shareOf(r.Late.Accepted),
		Success: shareOf(r.All.Clean), LateSuccess: shareOf(r.Late.Clean),
		Right: shareOf(r.All.Right), LateRight: shareOf(r.Late.Right),
	}
}

func (o *learnerSimulateOptions) run() error {
	shipped, err := bank("")
	if err != nil {
		return err
	}
	made := apprentice.Bank(simulatedJoints)
	measure := func(joints []scenarios.Scenario, even bool) apprentice.Result {
		return apprentice.Measure(joints, simulatedApprentices, even)
	}
	results := []apprentice.Result{measure(made, false), measure(made, true), measure(shipped, false)}
	if o.JSON {
		out, evenly, real := newSimulatedJSON(results[0]), newSimulatedJSON(results[1]), newSimulatedJSON(results[2])
		out.Evenly, out.Shipped = &evenly, &real
		return printJSON(o.Out, out)
	}
	fmt.Fprintf(o.Out, "%d made-up apprentices, %d coupons each.\n\n", simulatedApprentices, results[0].Attempts)
	w := tabwriter.NewWriter(o.Out, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintf(w, "%*s\tjoints made up\tall teach alike\tjoints that ship\t\n", 0, "")
	for _, row := range []struct {
		what string
		say  func(r apprentice.Result) string
	}{
		{"coupons to name the three weakest", func(r apprentice.Result) string { return fmt.Sprintf("%.0f", r.ToWeakest) }},
		{"the same, joints at random", func(r apprentice.Result) string { return fmt.Sprintf("%.0f", r.ToWeakestRandom) }},
		{"estimated chances off by", func(r apprentice.Result) string { return fmt.Sprintf("%.1f %%", 100*r.CalibrationError) }},
		{"of ten bands of them the worst", func(r apprentice.Result) string { return fmt.Sprintf("%.1f %%", 100*r.WorstBand) }},
		{"skills gained", func(r apprentice.Result) string { return fmt.Sprintf("%.1f %%", 100*r.Gain) }},
		{"the same, joints at random", func(r apprentice.Result) string { return fmt.Sprintf("%.1f %%", 100*r.GainRandom) }},
		{"the same, joints by level", func(r apprentice.Result) string { return fmt.Sprintf("%.1f %%", 100*r.GainFixed) }},
		{"coupons accepted, and in the second half", func(r apprentice.Result) string { return bothShares(r.All.Accepted, r.Late.Accepted) }},
		{"with nothing to mend", func(r apprentice.Result) string { return bothShares(r.All.Clean, r.Late.Clean) }},
		{"skills done right in them", func(r apprentice.Result) string { return bothShares(r.All.Right, r.Late.Right) }},
	} {
		fmt.Fprintf(w, "%s\t%s\t%s\t%s\t\n", row.what, row.say(results[0]), row.say(results[1]), row.say(results[2]))
	}
	return w.Flush()
}

func bothShares(all, late float64) string { return fmt.Sprintf("%.0f, %.0f %%", 100*all, 100*late) }
