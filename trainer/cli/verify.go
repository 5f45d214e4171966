package cli

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"puddlewise/trainer/verify"
)

type verifyOptions struct {
	*app
	Cases string
	All   bool
	Rules bool
	JSON  bool
}

func newVerify(a *app) *cobra.Command {
	o := &verifyOptions{app: a}
	cmd := &cobra.Command{
		Use:   "verify [--cases FILE|DIR] [--all] [--json]\n  puddlewise verify --rules [--json]",
		Short: "Hold the heat model to answers found by other means",
		Long: `Weld problems whose answer is known from elsewhere (closed forms, finite
elements) with the trainer's own heat model, and compare. It is for those who
doubt the trainer: an instructor, or anyone who wants to see how far the model
can be trusted. It takes about half a minute.

Allowed are 3 % of a case's peak rise for temperatures, and 5 % or 0.15 mm,
whichever is more, for widths, lengths and depths. Where the reference itself is
less sure than a quarter of that, its uncertainty is added and marked with *. The
command ends with 1 when a value is missed.

Cases of your own go in the same files as those that come with the program;
trainer/verify/cases/README.md describes the format.

With --json, one object: cases[] with id, file, kind, reference, missed, error
(empty when it could be run), energy (the share of the heat that the account of
it misses), seconds, probes[] (quantity, where, unit, model, reference, deviation,
uncertainty, allowed, ok) and history[] (column, rms_c, max_c); and summary with
cases, probes and missed. Only seconds differs from run to run.

With --rules nothing is compared: it asks the model for what the trade goes by,
and prints what comes out: the window of current, and amps for each thousandth
of an inch, of every metal from 0.9 to 3.2 mm; how wide dabs may stand on a gap;
which published starting conditions lie in the model's window and by how much
the others miss it; and the constants that are calibrated or assumed. About half
a minute. With --json: amps[] (joint, metal, windows[] with wall_mm,
travel_mm_min, low_a, high_a, open, per_thou), dabs[], published[], constants[];
null where there is no number.` +
			exitCodes(exitDone, exitError, exitUsage, exitBadFile),
		Example: "  puddlewise verify\n  puddlewise verify --cases my-cases --all\n  puddlewise verify --rules",
		Args:    noArguments,
		RunE:    func(*cobra.Command, []string) error { return o.run() },
	}
	cmd.Flags().StringVar(&o.Cases, "cases", "", "cases in `FILE|DIR` instead of those in the program")
	cmd.Flags().BoolVar(&o.All, "all", false, "print every value, not only the worst of each case")
	cmd.Flags().BoolVar(&o.Rules, "rules", false, "print what the model says of the trade's rules instead")
	cmd.Flags().BoolVar(&o.JSON, "json", false, "print one object")
	return cmd
}

func (o *verifyOptions) run() error {
	if o.Rules {
		return o.rules()
	}
	load := verify.Cases
	if o.Cases != "" {
		load = func() ([]*verify.Case, error) { return verify.Read(o.Cases) }
	}
	all, err := load()
	if err != nil {
		return badFile(err)
	}
	results := verify.Run(all)
	if o.JSON {
		err = printJSON(o.Out, newVerifyJSON(results))
	} else {
		err = printVerify(o.Out, results, o.All)
	}
	if err != nil {
		return err
	}
	if _, _, missed := totals(results); missed > 0 {
		return fmt.Errorf("the model misses %s\n%s", counted(missed, "value"), "puddlewise verify --all shows which")
	}
	return nil
}

func totals(results []verify.Result) (cases, probes, missed int) {
	for _, r := range results {
		probes += len(r.Case.Probes)
		missed += r.Missed()
	}
	return len(results), probes, missed
}

// verifyJSON is what verify --json prints.
type verifyJSON struct {
	Cases   []verifyCaseJSON `json:"cases"`
	Summary struct {
		Cases  int `json:"cases"`
		Probes int `json:"probes"`
		Missed int `json:"missed"`
	} `json:"summary"`
}

type verifyCaseJSON struct {
	ID        string              `json:"id"`
	File      string              `json:"file"`
	Kind      string              `json:"kind"`
	Reference string              `json:"reference"`
	Missed    int                 `json:"missed"`
	Error     string              `json:"error"`
	Energy    float64             `json:"energy"`
	Seconds   float64             `json:"seconds"`
	Probes    []verifyProbeJSON   `json:"probes"`
	History   []verifyHistoryJSON `json:"history"`
}

type verifyProbeJSON struct {
	Quantity    string  `json:"quantity"`
	Where       string  `json:"where"`
	Unit        string  `json:"unit"`
	Model       float64 `json:"model"`
	Reference   float64 `json:"reference"`
	Deviation   float64 `json:"deviation"`
	Uncertainty float64 `json:"uncertainty"`
	Allowed     float64 `json:"allowed"`
	OK          bool    `json:"ok"`
}

type verifyHistoryJSON struct {
	Column string  `json:"column"`
	RMS    float64 `json:"rms_c"`
	Max    float64 `json:"max_c"`
}

func newVerifyJSON(results []verify.Result) verifyJSON {
	out := verifyJSON{Cases: []verifyCaseJSON{}}
	out.Summary.Cases, out.Summary.Probes, out.Summary.Missed = totals(results)
	for _, r := range results {
		c := verifyCaseJSON{
			ID: r.Case.ID, File: r.Case.File, Kind: string(r.Case.Kind), Reference: r.Case.Reference, Missed: r.Missed(),
			Energy: round(r.Energy, 1e6), Seconds: round(r.Seconds, 1000), Probes: []verifyProbeJSON{}, History: []verifyHistoryJSON{},
		}
		if r.Err != nil {
			c.Error = r.Err.Error()
		}
		for _, x := range r.Readings {
			unit := "mm"
			if x.Probe.Temperature {
				unit = "C"
			}
			c.Probes = append(c.Probes, verifyProbeJSON{
				Quantity: x.Probe.Quantity, Where: x.Probe.Where, Unit: unit, Model: round(x.Model, 1000), Reference: x.Probe.Value,
				Deviation: round(x.Error(), 1000), Uncertainty: x.Probe.Uncertainty, Allowed: round(x.Allowed, 1000), OK: !x.Missed(),
			})
		}
		for _, h := range r.History {
			c.History = append(c.History, verifyHistoryJSON{h.Name, round(h.RMS, 100), round(h.Max, 100)})
		}
		out.Cases = append(out.Cases, c)
	}
	return out
}

func printVerify(out io.Writer, results []verify.Result, all bool) error {
	fmt.Fprintln(out, "The trainer's heat model against answers found by other means; of each case")
	if all {
		fmt.Fprint(out, "every value it was asked for, in C or mm.\n\n")
	} else {
		fmt.Fprint(out, "the temperature and the length that come nearest to what is allowed, in C or mm.\n\n")
	}
	label := func(x verify.Reading) string { return x.Probe.Quantity + " " + x.Probe.Where }
	shown := make([][]verify.Reading, len(results))
	width, marked := 0, false
	for i, r := range results {
		shown[i] = r.Readings
		if !all {
			shown[i] = r.Worst()
		}
		for _, x := range shown[i] {
			width = max(width, len(label(x)))
			marked = marked || x.Added
		}
	}
	fmt.Fprintf(out, "  %-*s  %7s %9s %7s %7s %8s\n", width, "", "model", "reference", "sure to", "off by", "allowed")
	for i, r := range results {
		fmt.Fprintf(out, "%s  %s, %s, %.2f s\n", r.Case.ID, r.Case.Kind, counted(len(r.Case.Probes), "probe"), r.Seconds)
		if r.Err != nil {
			fmt.Fprintf(out, "  MISSED: could not be run: %v\n", r.Err)
		}
		for _, x := range shown[i] {
			places := 2
			if x.Probe.Temperature {
				places = 0
			}
			star, verdict := " ", "ok"
			if x.Added {
				star = "*"
			}
			if x.Missed() {
				verdict = "MISSED"
			}
			fmt.Fprintf(out, "  %-*s  %7.*f %9.*f %7.3g %+7.*f %7.*f%s %s\n", width, label(x), places, x.Model, places, x.Probe.Value,
				x.Probe.Uncertainty, places, x.Error(), places, x.Allowed, star, verdict)
		}
		if h := r.History; len(h) > 0 {
			rms, most := 0.0, 0.0
			for _, t := range h {
				rms, most = max(rms, t.RMS), max(most, t.Max)
			}
			fmt.Fprintf(out, "  history in %s: %.1f C rms, %.0f C at most\n", counted(len(h), "place"), rms, most)
		}
	}
	if marked {
		fmt.Fprintln(out, "\n* holds the reference's own uncertainty, which is more than a quarter of the rest")
	}
	cases, probes, missed := totals(results)
	_, err := fmt.Fprintf(out, "\n%s, %s, %d missed\n", counted(cases, "case"), counted(probes, "probe"), missed)
	return err
}
