package cli

import (
	"fmt"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"puddlewise/scenarios"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
)

type jointsOptions struct {
	*app
	JSON   bool
	Joints string
}

func newJoints(a *app) *cobra.Command {
	o := &jointsOptions{app: a}
	cmd := &cobra.Command{
		Use:   "joints [--json] [--joints DIR]",
		Short: "List the joints to practise",
		Long: `List the joints to practise, one line a joint: id, level, joint, position,
metal, thickness, gap and title.

With --json, one array of objects with id, title, joint, metal, thickness_mm
(the thinner wall), gap_mm (the wider end), position and level.` +
			exitCodes(exitDone, exitError, exitUsage, exitBadFile),
		Example: "  puddlewise joints\n  puddlewise joints --joints my-joints --json",
		Args:    noArguments,
		RunE:    func(*cobra.Command, []string) error { return o.run() },
	}
	cmd.Flags().BoolVar(&o.JSON, "json", false, "print an array of objects")
	cmd.Flags().StringVar(&o.Joints, "joints", "", jointsFlagHelp)
	return cmd
}

// jointJSON is one joint of joints --json.
type jointJSON struct {
	ID          string  `json:"id"`
	Title       string  `json:"title"`
	Joint       string  `json:"joint"`
	Metal       string  `json:"metal"`
	ThicknessMM float64 `json:"thickness_mm"`
	GapMM       float64 `json:"gap_mm"`
	Position    string  `json:"position"`
	Level       int     `json:"level"`
}

func (o *jointsOptions) run() error {
	all, err := bank(o.Joints)
	if err != nil {
		return err
	}
	if o.JSON {
		list := make([]jointJSON, 0, len(all))
		for _, s := range all {
			list = append(list, newJointJSON(s))
		}
		return printJSON(o.Out, list)
	}
	w := tabwriter.NewWriter(o.Out, 0, 0, 2, ' ', 0)
	for _, s := range all {
		fmt.Fprintf(w, "%s\tlevel %d\t%s\t%s\t%s\t%s\tgap %s\t%s\n", s.ID, s.Level, s.Task.Joint, position(s), session.Metals(s.Task),
			s.Task.Thinner().Show(weld.Metric), widestGap(s.Task).Show(weld.Metric), s.Title)
	}
	return w.Flush()
}

func newJointJSON(s scenarios.Scenario) jointJSON {
	return jointJSON{
		ID: s.ID, Title: s.Title, Joint: string(s.Task.Joint), Metal: session.Metals(s.Task),
		ThicknessMM: mm(s.Task.Thinner()), GapMM: mm(widestGap(s.Task)),
		Position: string(s.Task.Position), Level: s.Level,
	}
}

func position(s scenarios.Scenario) string {
	if aws := s.Task.Position.AWS(s.Task.Joint); aws != "" {
		return string(s.Task.Position) + " / " + aws
	}
	return string(s.Task.Position)
}

func widestGap(t weld.Task) weld.Length { return max(t.Gap, t.GapEnd) }
