package cli

import (
	"context"
	"io"
	"math"
	"runtime"

	"github.com/spf13/cobra"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/drill"
	"puddlewise/trainer/report"
	"puddlewise/trainer/session"
)

type drillReportOptions struct {
	*app
	HTML, CSV, Joints, Units string
	JSON                     bool
}

func newDrillReport(a *app) *cobra.Command {
	o := &drillReportOptions{app: a}
	cmd := &cobra.Command{
		Use:   "report FILE|DIR... [--html FILE|--csv FILE|--json]",
		Short: "The class's table",
		Long: `Print the class's table: each learner and joint, how hard each joint was and how well
it tells learners apart, and what went wrong most. As a page (--html) also the
settings of every learner on the joint's window, without names. Nothing is welded
again but the windows: puddlewise drill verify does that.

With --json, one object: drill, learners (learner, passed, coupons, minutes, away,
done, finding, joints), joints (scenario, tried, passed, tells, finding), findings.` + exitCodes(exitDone, exitError, exitUsage, exitBadFile),
		Example: "  puddlewise drill report results --html monday.html",
		Args:    someFiles("puddlewise drill report results"),
		RunE:    func(_ *cobra.Command, args []string) error { return o.run(args) },
	}
	cmd.Flags().StringVar(&o.HTML, "html", "", "write a page to `FILE`")
	cmd.Flags().StringVar(&o.CSV, "csv", "", "write a row a learner and joint to `FILE`")
	cmd.Flags().BoolVar(&o.JSON, "json", false, "print an object")
	cmd.Flags().StringVar(&o.Joints, "joints", "", jointsFlagHelp)
	unitsFlag(cmd, &o.Units)
	return cmd
}

func (o *drillReportOptions) run(names []string) error {
	system, err := unitsOf(o.Units, weld.Metric)
	if err != nil {
		return err
	}
	all, err := readResults(names)
	if err != nil {
		return err
	}
	joints, err := bank(o.Joints)
	if err != nil {
		return err
	}
	c := report.Class{Table: drill.NewTable(all), Titles: map[string]string{}}
	for _, sc := range joints {
		c.Titles[sc.ID] = sc.Title
	}
	if o.JSON {
		return printJSON(o.Out, newClassJSON(c.Table))
	}
	if o.CSV != "" {
		return o.toFile(o.Out, o.CSV, func(w io.Writer) error { return report.ClassCSV(w, c) })
	}
	if o.HTML != "" {
		if c.Plots, err = plots(c.Table, all, joints); err != nil {
			return err
		}
		return o.toFile(o.Out, o.HTML, func(w io.Writer) error { return report.ClassHTML(w, c, system) })
	}
	return report.ClassText(o.Out, c)
}

// mostPlots is how many windows a page holds, of the joints passed least: each takes a
// second or two.
const mostPlots = 4

// plots maps the joints that gave most trouble, around the joint's own good answer.
func plots(t drill.Table, all []drill.Checked, joints []scenarios.Scenario) ([]report.ClassPlot, error) {
	var out []report.ClassPlot
	for _, row := range t.Hardest() {
		sc, err := scenarios.Find(joints, row.Scenario)
		if err != nil || len(out) == mostPlots {
			continue
		}
		x, y := "amps", "travel"
		w, err := scoring.MapWindow(sc.Task, sc.Model, x, y, session.Cores(context.Background(), runtime.GOMAXPROCS(0)))
		if err != nil {
			return nil, err
		}
		p := report.ClassPlot{Scenario: sc.ID, Window: w}
		for _, a := range drill.First(all, sc.ID) {
			answer, err := a.Settings()
			if err != nil {
				continue // verify tells of it
			}
			vx, _ := w.X.Value(answer)
			vy, _ := w.Y.Value(answer)
			p.Points = append(p.Points, report.ClassPoint{X: vx, Y: vy, Passed: a.Passed})
		}
		out = append(out, p)
	}
	return out, nil
}

type classJSON struct {
	Drill    string             `json:"drill"`
	Learners []classLearnerJSON `json:"learners"`
	Joints   []classJointJSON   `json:"joints"`
	Findings []classFindingJSON `json:"findings"`
}

type classLearnerJSON struct {
	Learner string          `json:"learner"`
	Passed  int             `json:"passed"`
	Coupons int             `json:"coupons"`
	Minutes float64         `json:"minutes"`
	Away    int             `json:"away"`
	Done    bool            `json:"done"`
	Finding string          `json:"finding"`
	Joints  []classMarkJSON `json:"joints"`
}

type classMarkJSON struct {
	Scenario string `json:"scenario"`
	Coupons  int    `json:"coupons"`
	Passed   bool   `json:"passed"`
}

type classJointJSON struct {
	Scenario string   `json:"scenario"`
	Tried    int      `json:"tried"`
	Passed   float64  `json:"passed"`
	Tells    *float64 `json:"tells"` // null where all or none pass
	Finding  string   `json:"finding"`
}

type classFindingJSON struct {
	Rule    string `json:"rule"`
	Coupons int    `json:"coupons"`
}

func newClassJSON(t drill.Table) classJSON {
	out := classJSON{Drill: t.Drill, Learners: []classLearnerJSON{}, Joints: []classJointJSON{}, Findings: []classFindingJSON{}}
	for _, l := range t.Learners {
		row := classLearnerJSON{l.Learner, l.Passed, l.Coupons, round(l.Minutes, 10), l.Away, l.Done, l.Finding, []classMarkJSON{}}
		for i, m := range l.Joints {
			row.Joints = append(row.Joints, classMarkJSON{t.Joints[i].Scenario, m.Tries, m.Passed})
		}
		out.Learners = append(out.Learners, row)
	}
	for _, j := range t.Joints {
		row := classJointJSON{Scenario: j.Scenario, Tried: j.Tried, Passed: shareOf(j.Passed), Finding: j.Finding}
		if !math.IsNaN(j.Tells) {
			v := shareOf(j.Tells)
			row.Tells = &v
		}
		out.Joints = append(out.Joints, row)
	}
	for _, f := range t.Findings {
		out.Findings = append(out.Findings, classFindingJSON(f))
	}
	return out
}
