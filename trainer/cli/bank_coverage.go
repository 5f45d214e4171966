package cli

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"puddlewise/scenarios"
)

type bankOptions struct {
	*app
	JSON   bool
	Audit  bool
	Brief  bool
	Joints string
	Which  []string
}

func newBank(a *app) *cobra.Command {
	o := &bankOptions{app: a}
	cmd := &cobra.Command{
		Use:   "bank [--json] | bank --audit [ID|FILE...]",
		Short: "What ground the joints cover; --audit welds them all",
		Long: `Print what ground the joints cover: joint types by position, metals by wall,
gaps, levels, skills, and what else a shop meets.

With --json, one object: joints and skills as lists, and the same counts under
coverage.

With --audit, weld the model answer and every mistake of each joint, or of those
named, and print what is off: a model answer that is not accepted, a mistake that
does not raise its finding. After each joint stands how near its limit the model
answer is (1 is the limit) and how many of its numbers may be 10 % less and 10 %
more; --brief leaves that out. A minute or two for the whole bank.` +
			exitCodes(exitDone, exitError, exitUsage, exitBadFile),
		Example: "  puddlewise bank\n  puddlewise bank --audit T-07 my-joints/T-99.yaml",
		RunE:    func(_ *cobra.Command, args []string) error { o.Which = args; return o.run() },
	}
	cmd.Flags().BoolVar(&o.JSON, "json", false, "print an object for scripts")
	cmd.Flags().BoolVar(&o.Audit, "audit", false, "weld every model answer and mistake")
	cmd.Flags().BoolVar(&o.Brief, "brief", false, "with --audit: not how much the numbers may be off")
	cmd.Flags().StringVar(&o.Joints, "joints", "", jointsFlagHelp)
	cmd.ValidArgsFunction = func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return jointIDs(), cobra.ShellCompDirectiveDefault
	}
	return cmd
}

func (o *bankOptions) run() error {
	switch {
	case o.Audit && o.JSON:
		return usageError("--json goes with the counts, not with --audit\npuddlewise bank --json")
	case o.Brief && !o.Audit:
		return usageError("--brief goes with --audit\npuddlewise bank --audit --brief")
	case !o.Audit && len(o.Which) > 0:
		return usageError("bank takes joints only with --audit, it was given %.40q\npuddlewise bank --audit %.40s", o.Which[0], oneLine(o.Which[0]))
	}
	all, err := o.scenarios()
	if err != nil {
		return err
	}
	switch {
	case o.Audit:
		return o.audit(all)
	case o.JSON:
		return printJSON(o.Out, newBankJSON(all))
	}
	return writeCoverage(o.Out, scenarios.Cover(all))
}

// scenarios are those named, each from the bank or a file, or all.
func (o *bankOptions) scenarios() ([]scenarios.Scenario, error) {
	if len(o.Which) == 0 {
		return bank(o.Joints)
	}
	var all []scenarios.Scenario
	for _, name := range o.Which {
		s, err := scenario(name, o.Joints)
		if err != nil {
			return nil, err
		}
		all = append(all, s)
	}
	return all, nil
}

// bankJSON is what bank --json prints.
type bankJSON struct {
	Joints   []bankJointJSON `json:"joints"`
	Skills   []bankSkillJSON `json:"skills"`
	Coverage coverageJSON    `json:"coverage"`
}

type bankJointJSON struct {
	jointJSON
	Skills []string          `json:"skills"`
	Topics []scenarios.Topic `json:"topics"`
}

type bankSkillJSON struct {
	Name     string   `json:"name"`
	BuildsOn []string `json:"builds_on"`
	Joints   int      `json:"joints"`
}

// coverageJSON holds counts of joints by name.
type coverageJSON struct {
	Joints         int                       `json:"joints"`
	JointPosition  map[string]map[string]int `json:"joint_position"`
	MetalThickness map[string]map[string]int `json:"metal_thickness_mm"`
	Gaps           map[string]int            `json:"gaps"`
	Levels         map[string]int            `json:"levels"`
	Skills         map[string]int            `json:"skills"`
	Topics         map[string]int            `json:"topics"`
}

func newBankJSON(all []scenarios.Scenario) bankJSON {
	c := scenarios.Cover(all)
	out := bankJSON{Joints: []bankJointJSON{}, Coverage: coverageJSON{
		Joints: c.Joints, JointPosition: rowsJSON(c.Positions), MetalThickness: rowsJSON(c.Metals),
		Gaps: countsJSON(c.Gaps), Levels: countsJSON(c.Levels), Skills: countsJSON(c.Skills), Topics: countsJSON(c.Topics),
	}}
	for _, s := range all {
		out.Joints = append(out.Joints, bankJointJSON{newJointJSON(s), s.Skills, scenarios.TopicsOf(s)})
	}
	for _, s := range c.Skills {
		out.Skills = append(out.Skills, bankSkillJSON{s.Name, append([]string{}, scenarios.Needs(s.Name)...), s.Joints})
	}
	return out
}

func rowsJSON(rows []scenarios.Row) map[string]map[string]int {
	out := map[string]map[string]int{}
	for _, r := range rows {
		out[r.Name] = countsJSON(r.Counts)
	}
	return out
}

// countsJSON leaves out what there cannot be.
func countsJSON(counts []scenarios.Count) map[string]int {
	out := map[string]int{}
	for _, c := range counts {
		if c.Joints >= 0 {
			out[c.Name] = c.Joints
		}
	}
	return out
}

// coverageWidth is the width of the printed table, as a screen of 80 columns holds it.
const coverageWidth = 79

// writeCoverage prints the counts as the README shows them.
func writeCoverage(out io.Writer, c scenarios.Coverage) error {
	var b strings.Builder
	table := func(rows []scenarios.Row, width int, after func(scenarios.Row) string) {
		for _, r := range rows {
			fmt.Fprintf(&b, "%-16s", r.Name)
			for _, n := range r.Counts {
				text := fmt.Sprint(n.Joints)
				if n.Joints < 0 {
					text = "-"
				}
				fmt.Fprintf(&b, "%*s", width, text)
			}
			b.WriteString(after(r) + "\n")
		}
	}
	head := func(title string, row scenarios.Row, width int, last string) {
		fmt.Fprintf(&b, "%-16s", title)
		for _, n := range row.Counts {
			fmt.Fprintf(&b, "%*s", width, n.Name)
		}
		b.WriteString(last + "\n")
	}
	list := func(title string, counts []scenarios.Count) {
		parts := make([]string, len(counts))
		for i, n := range counts {
			parts[i] = strings.ReplaceAll(fmt.Sprintf("%s %d", n.Name, n.Joints), " ", "\x00") // not broken within
			if i < len(counts)-1 {
				parts[i] += ","
			}
		}
		text := wrap(strings.Join(parts, " "), coverageWidth, 8)
		fmt.Fprintf(&b, "%-8s%s\n", title, strings.ReplaceAll(text, "\x00", " "))
	}
	head(counted(c.Joints, "joint"), c.Positions[0], 5, "")
	table(c.Positions, 5, func(scenarios.Row) string { return "" })
	head("wall, mm", c.Metals[0], 11, "  walls")
	table(c.Metals, 11, func(r scenarios.Row) string { return fmt.Sprintf("%7d", r.Kinds) })
	list("gaps", c.Gaps)
	list("levels", c.Levels)
	list("skills", c.Skills)
	list("topics", c.Topics)
	_, err := io.WriteString(out, b.String())
	return err
}
