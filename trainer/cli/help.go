package cli

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"puddlewise/scoring/weld"
)

const helpTemplate = `{{trim (or .Long .Short)}}
{{if or .Runnable .HasSubCommands}}
{{.UsageString}}{{end}}`

const usageTemplate = `Usage:
{{- if .Runnable}}
  {{.UseLine}}{{end}}{{if .HasAvailableSubCommands}}
  {{.CommandPath}} COMMAND

Commands:{{range .Commands}}{{if .IsAvailableCommand}}
  {{rpad .Name 12}}{{.Short}}{{end}}{{end}}{{end}}{{if .HasExample}}

Examples:
{{.Example}}{{end}}{{if .HasAvailableLocalFlags}}

Flags:
{{.LocalFlags.FlagUsages | trimTrailingWhitespaces}}{{end}}{{if .HasHelpSubCommands}}

Help on:{{range .Commands}}{{if .IsAdditionalHelpTopicCommand}}
  {{rpad .Name 12}}{{.Short}}{{end}}{{end}}{{end}}
`

// newHelp is help on a command or topic, strict about what is asked for.
func newHelp() *cobra.Command {
	return &cobra.Command{
		Use:   "help [COMMAND|TOPIC]",
		Short: "Show help on a command or topic",
		RunE: func(cmd *cobra.Command, args []string) error {
			found, rest, err := cmd.Root().Find(args)
			if err != nil || len(rest) > 0 {
				var known []string
				for _, c := range cmd.Root().Commands() {
					known = append(known, c.Name())
				}
				return usageError("there is no help on %.40q%s", strings.Join(args, " "), nearest(args[0], known))
			}
			return found.Help()
		},
	}
}

// newTopics are pages of help that are not commands.
func newTopics() []*cobra.Command {
	return []*cobra.Command{
		{Use: "json", Short: "What weld --json prints", Long: jsonHelp},
		{Use: "answer", Short: "How an answer file is written", Long: answerHelp()},
	}
}

// jsonHelp names every key weld --json prints; a test compares.
const jsonHelp = `puddlewise weld --json prints one object. Its keys stay; later versions may add
some. Numbers are rounded to what the model means: 0.01 mm, 0.1 of a score, 1 C,
0.001 kJ/mm, 1 deg, 0.1 s and 0.001 of a share.

  scenario                     id of the joint
  seed                         of the variation; 0: the joint as it is written
  model_version                changes whenever a verdict can change
  outcome                      accept, reject or out-of-range
  reason                       one line: what decided
  scores.burn_through          0 to 100, 50 is the limit; null when out-of-range
  scores.lack_of_fusion        the same
  scores.oxide                 the same
  findings[].rule              stable id, such as keyhole; worst finding first
  findings[].severity          defect, fault or remark
  findings[].from_mm           where along the seam; from and to 0: everywhere
  findings[].to_mm
  findings[].score             the score it lowers, or empty
  findings[].got               the number that decided
  findings[].want              what would have been right
  findings[].why               the cause, in one sentence
  findings[].fix               what to do
  findings[].source            standard, handbook, model or common practice
  signs[].id                   stable id, such as pool_shiny; strongest sign first
  signs[].place                pool, rod, arc, tungsten, bead or back
  signs[].words                what is to be seen there
  signs[].means                what it says of the weld
  signs[].strength             0 hardly there, 1 nobody misses it
  signs[].from_mm              where along the seam
  signs[].to_mm
  coupon.along_mm[]            the stations, from start to end; the arrays below
                               have one value for each
  coupon.face_width_mm[]       melted width on the face
  coupon.back_width_mm[]       melted width on the back
  coupon.penetration[]         butt: share of the wall; fillet: 1 is a fused root
  coupon.leg_a_mm[]            fillets: from the corner to the toe on member A
  coupon.leg_b_mm[]            the same on member B
  coupon.throat_mm[]           fillets: from the corner to the face, bulge left out
  coupon.cap_mm[]              bead above the face, on a fillet beyond the line
                               from toe to toe; negative: sunk or hollow
  coupon.root_mm[]             melted back standing out; negative: drawn in
  coupon.undercut_mm[]         the deeper groove along a toe
  coupon.toe_deg[]             between bead and plate, through the metal; 180: flush
  coupon.peak_face_c[]         hottest on the face
  coupon.peak_back_c[]         hottest on the back
  coupon.hole[]                true where it is burnt through
  coupon.colour[]              of the face
  coupon.back_colour[]         of the back
  coupon.cold_lap[]            true where the filler only lies on
  coupon.worst.face_width_mm   the extreme of each that speaks against the weld
  coupon.worst.back_width_mm
  coupon.worst.penetration
  coupon.worst.leg_a_mm
  coupon.worst.leg_b_mm
  coupon.worst.throat_mm
  coupon.worst.cap_mm
  coupon.worst.root_mm
  coupon.worst.undercut_mm
  coupon.worst.toe_deg
  coupon.worst.peak_face_c
  coupon.worst.peak_back_c
  coupon.worst.hole
  coupon.worst.colour
  coupon.worst.back_colour
  coupon.worst.cold_lap
  coupon.holes[].from_mm       burnt through from here
  coupon.holes[].to_mm         to here
  coupon.peak_temperature_c    hottest anywhere
  coupon.heat_input_kj_per_mm  arc energy times 0.6, as EN 1011-1 has it for TIG
  coupon.pool_length_mm        longest
  coupon.crater_mm             hollow where the arc went out
  coupon.cooling_s             from 800 to 500 C, EN 1011-2; 0: not ferritic
  coupon.back_sample           AWS D18.2 sample number of a stainless back; 0: none
  coupon.porosity              0 sound, 1 pores all along; an estimate
  answer.FIELD                 each field of the answer, as exact text
  rescue.changes[].field       with --rescue: the smallest change that saves a
                               rejected answer; rescue is null when none was
                               looked for or found
  rescue.changes[].from        as exact text
  rescue.changes[].to          a round number of the units chosen
  rescue.scores.burn_through   of the changed answer, which is accepted
  rescue.scores.lack_of_fusion
  rescue.scores.oxide`

// answerHelp lists the fields of an answer from the one table of them.
func answerHelp() string {
	var b strings.Builder
	b.WriteString(`An answer file is YAML or JSON: fields and what the welder decides. Every field
the joint asks for must be there; others may be, and then replace what the joint
sheet gives. Numbers have their unit: 1.4 mm, 0.055 in, 55 thou, 25 cfh, 12 L/min,
6 ipm, 150 mm/min.

  amps: 55 A
  dab: 1/8 in
  lens: yes

The fields:
`)
	for _, f := range weld.Fields {
		allowed := f.Min + " to " + f.Max
		if f.Choices != nil {
			allowed = strings.Join(f.Choices, ", ")
		}
		fmt.Fprintf(&b, "\n  %-18s %s", f.Key, wrap(f.Label+": "+allowed, 79, 21))
	}
	return b.String()
}

// wrap breaks text into lines of at most width columns, the later ones set in.
func wrap(text string, width, indent int) string {
	var b strings.Builder
	column := indent
	for i, word := range strings.Fields(text) {
		if i > 0 && column+1+len(word) > width {
			b.WriteString("\n" + strings.Repeat(" ", indent))
			column = indent
		} else if i > 0 {
			b.WriteByte(' ')
			column++
		}
		b.WriteString(word)
		column += len(word)
	}
	return b.String()
}
