package cli

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"math"
	"os"
	"os/signal"
	"runtime"
	"slices"
	"strings"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/drill"
	"puddlewise/trainer/report"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

type drillReportOptions struct {
	*app
	HTML, CSV, Drill, Joints, Units string
	JSON, Watch                     bool
}

func newDrillReport(a *app) *cobra.Command {
	o := &drillReportOptions{app: a}
	cmd := &cobra.Command{
		Use:   "report FILE|DIR... [--html FILE] [--csv FILE]|--json|--watch",
		Short: "The class's table",
		Long: `Print the class's table: each learner and joint, how hard each joint was and how well
it tells learners apart, what went wrong most, and what each learner needs next. As
a page (--html) also how each stands in each skill, and the settings of every learner
on the windows of the hardest joints, without names. Nothing is welded again but the
windows: puddlewise drill verify does that.

While the class is at it, it begins with those who are not done: which joint they are
at, how many of its tries they have used, how long they have been there and without a
coupon, and whose result was not heard of for a minute: closed, by this machine's clock.
Results are those in the folder: one that all machines share, or copied again. STUCK
is who is on the last of several tries at a joint; who has been there for 2 minutes or
more and more than twice as long as the median of three or more who are done with it;
and, where there are no three, who has worked for 8 minutes without a coupon. --watch
looks every ten seconds and prints them again when something has changed.

Names stand in it, but not beside the windows. The CSV file is for a spreadsheet: UTF-8,
commas, and a text that would be a formula has a ' before it.

With --json, one object: drill, of (its joints), learners (learner, passed, coupons,
minutes, away, done, at, finding, joints, next, skills), joints (scenario, tried,
passed, tells, finding), findings. at is null, or scenario, nth, of, tries, most_tries
(0 when the drill is not known), minutes, quiet_minutes, heard, closed, stuck.` + exitCodes(exitDone, exitError, exitUsage, exitBadFile),
		Example: "  puddlewise drill report results --html monday.html",
		Args:    someFiles("puddlewise drill report results"),
		RunE:    func(_ *cobra.Command, args []string) error { return o.run(args) },
	}
	cmd.Flags().StringVar(&o.HTML, "html", "", "write a page to `FILE`")
	cmd.Flags().StringVar(&o.CSV, "csv", "", "write a row a learner and joint to `FILE`")
	cmd.Flags().BoolVar(&o.JSON, "json", false, "print an object")
	cmd.Flags().BoolVar(&o.Watch, "watch", false, "print who is still at it again and again, until all are done")
	cmd.Flags().StringVar(&o.Drill, "drill", "", "the `DRILL` it is, for its tries; else one that ships")
	cmd.Flags().StringVar(&o.Joints, "joints", "", jointsFlagHelp)
	unitsFlag(cmd, &o.Units)
	return cmd
}

func (o *drillReportOptions) run(names []string) error {
	if o.Watch && (o.JSON || o.CSV != "" || o.HTML != "") {
		return usageError("--watch prints lines alone\nleave it out, or --html, --csv and --json")
	}
	if o.JSON && (o.CSV != "" || o.HTML != "") {
		return usageError("--json prints, --html and --csv write files\ngive one or the other")
	}
	system, err := unitsOf(o.Units, weld.Metric)
	if err != nil {
		return err
	}
	var named *drill.Drill // nil: what the results say, if it ships
	if o.Drill != "" {
		one, err := openDrill(o.Drill)
		if err != nil {
			return err
		}
		named = &one
	}
	if o.Watch {
		return o.watch(names, named)
	}
	all, err := readResults(names)
	if err != nil {
		return err
	}
	joints, err := bank(o.Joints)
	if err != nil {
		return err
	}
	d := cmp.Or(named, shippedAs(all))
	now := o.env.Now()
	c := report.Class{Table: drill.NewTable(all), Needs: drill.NewNeeds(all, joints), Titles: map[string]string{}, AtIt: drill.NewStandings(all, d, now), Now: now}
	for _, sc := range joints {
		c.Titles[sc.ID] = sc.Title
	}
	if o.JSON {
		return printJSON(o.Out, newClassJSON(c))
	}
	if o.CSV != "" {
		if err := o.toFile(o.Out, o.CSV, func(w io.Writer) error { return report.ClassCSV(w, c) }); err != nil {
			return err
		}
	}
	if o.HTML != "" {
		if c.Plots, err = plots(all, joints); err != nil {
			return err
		}
		return o.toFile(o.Out, o.HTML, func(w io.Writer) error { return report.ClassHTML(w, c, system) })
	}
	if o.CSV != "" {
		return nil
	}
	return report.ClassText(o.Out, c)
}

// watchEvery is how often the folder is looked at: results are kept every ten seconds.
const watchEvery = 10 * time.Second

// watch prints who is still at it, again when it changes, until all are done or it is
// stopped. What cannot be read now is told, and read again.
func (o *drillReportOptions) watch(names []string, named *drill.Drill) error {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	defer stop()
	tick := time.NewTicker(watchEvery)
	defer tick.Stop()
	last := ""
	for {
		now := o.env.Now()
		var b strings.Builder
		all, err := readResults(names)
		c := report.Class{AtIt: drill.NewStandings(all, cmp.Or(named, shippedAs(all)), now), Now: now}
		stuck := 0
		for _, s := range c.AtIt {
			if s.Stuck != "" {
				stuck++
			}
		}
		if err != nil {
			fmt.Fprintln(&b, oneLine(err.Error()))
		} else {
			fmt.Fprintf(&b, "%s: %d of %s done, %d stuck\n", all[0].Drill, len(all)-len(c.AtIt), counted(len(all), "learner"), stuck)
			if len(c.AtIt) > 0 {
				err = report.AtItText(&b, c)
			}
		}
		if text := b.String(); text != last {
			if last != "" {
				fmt.Fprintln(o.Out)
			}
			fmt.Fprintf(o.Out, "%s  %s", now.Format("15:04"), text)
			last = text
		}
		if err == nil && len(c.AtIt) == 0 {
			return nil
		}
		select {
		case <-ctx.Done():
			return nil
		case <-tick.C:
		}
	}
}

// mostPlots is how many windows a page holds, of the joints passed least: each takes a
// second or two.
const mostPlots = 4

// plots maps the joints that gave most trouble, around the best coupon, over the two
// settings that the most common fault hangs on.
func plots(all []drill.Checked, joints []scenarios.Scenario) ([]report.ClassPlot, error) {
	talks := drill.Talks(all)
	slices.SortStableFunc(talks, func(a, b drill.Talk) int { return cmp.Compare(a.Passed, b.Passed) })
	var out []report.ClassPlot
	for _, t := range talks {
		around, pairs := t.Windows()
		if len(pairs) == 0 || len(out) == mostPlots {
			continue
		}
		w, err := scoring.MapWindow(t.Task, around, pairs[0].X, pairs[0].Y, session.Cores(context.Background(), runtime.GOMAXPROCS(0)))
		if err != nil {
			continue // a task that cannot be welded; verify tells of it
		}
		p := report.ClassPlot{Scenario: t.Scenario, Window: w, Others: t.Others}
		for _, a := range t.Answers {
			answer, err := a.Settings()
			if err != nil {
				continue
			}
			x, _ := w.X.Value(answer)
			y, _ := w.Y.Value(answer)
			p.Points = append(p.Points, view.ChartPoint{X: x, Y: y, Passed: a.Passed})
		}
		out = append(out, p)
	}
	return out, nil
}

type classJSON struct {
	Drill    string             `json:"drill"`
	Of       int                `json:"of"` // joints of the drill; joints has those somebody has come to
	Learners []classLearnerJSON `json:"learners"`
	Joints   []classJointJSON   `json:"joints"`
	Findings []classFindingJSON `json:"findings"`
}

type classLearnerJSON struct {
	Learner string           `json:"learner"`
	Passed  int              `json:"passed"`
	Coupons int              `json:"coupons"`
	Minutes float64          `json:"minutes"`
	Away    int              `json:"away"`
	Done    bool             `json:"done"`
	At      *classAtJSON     `json:"at"` // null when done
	Finding string           `json:"finding"`
	Joints  []classMarkJSON  `json:"joints"`
	Next    []string         `json:"next"` // skills
	Skills  []classSkillJSON `json:"skills"`
}

type classSkillJSON struct {
	Skill  string `json:"skill"`
	Passed int    `json:"passed"`
	Of     int    `json:"of"`
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

type classAtJSON struct {
	Scenario string  `json:"scenario"`
	Nth      int     `json:"nth"`
	Of       int     `json:"of"`
	Tries    int     `json:"tries"`
	Most     int     `json:"most_tries"`
	Minutes  float64 `json:"minutes"`
	Quiet    float64 `json:"quiet_minutes"`
	Heard    string  `json:"heard"`
	Closed   bool    `json:"closed"`
	Stuck    string  `json:"stuck"`
}

func atJSON(s drill.Standing) *classAtJSON {
	return &classAtJSON{
		s.Joint, s.Nth, s.Of, s.Tries, s.Most, round(s.Here.Minutes(), 10), round(s.Quiet.Minutes(), 10),
		s.Heard.UTC().Format(time.RFC3339), s.Closed, string(s.Stuck),
	}
}

func newClassJSON(c report.Class) classJSON {
	t, n := c.Table, c.Needs
	out := classJSON{Drill: t.Drill, Of: t.Of, Learners: []classLearnerJSON{}, Joints: []classJointJSON{}, Findings: []classFindingJSON{}}
	for k, l := range t.Learners {
		row := classLearnerJSON{l.Learner, l.Passed, l.Coupons, round(l.Minutes, 10), l.Away, l.Done, nil, l.Finding, []classMarkJSON{}, append([]string{}, n.Learners[k].Next...), []classSkillJSON{}}
		if i := slices.IndexFunc(c.AtIt, func(s drill.Standing) bool { return s.Learner == l.Learner }); i >= 0 {
			row.At = atJSON(c.AtIt[i])
		}
		for i, m := range l.Joints {
			row.Joints = append(row.Joints, classMarkJSON{t.Joints[i].Scenario, m.Tries, m.Passed})
		}
		for i, m := range n.Learners[k].Marks {
			if m.Of > 0 {
				row.Skills = append(row.Skills, classSkillJSON{n.Skills[i], m.Passed, m.Of})
			}
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
