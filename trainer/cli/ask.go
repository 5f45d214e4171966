package cli

import (
	"strings"

	"github.com/spf13/cobra"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/plain"
	"puddlewise/trainer/precert"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/question"
	"puddlewise/trainer/session/view"
)

type askOptions struct {
	*app
	Kind     string
	Scenario string
	Joints   string
	Seed     int64
	Answer   []string
	Units    string
	JSON     bool
}

func newAsk(a *app) *cobra.Command {
	o := &askOptions{app: a}
	cmd := &cobra.Command{
		Use:   "ask [--kind KIND] [--scenario ID|FILE] [--seed N] [--answer REPLY,...]",
		Short: "Print a question about a coupon, or check an answer to it",
		Long: `Print a question about a welded coupon. The same seed, kind and joint give the
same question; without --seed, --kind or --scenario they are chosen, and said.
Nothing is recorded: the trainer itself asks and records.

` + kindsHelp() + `
With --answer it checks a reply to each part, in order: the number of an option, or
what is typed. The model decides what is right.

With --json, one object: kind, scenario, seed, head, coupons (what is to be seen of
each), paper (what a procedure allows and what is set up), parts (about, text,
options) and, with --answer, result (right: share of the parts; parts: right and text
of each; reasons).` +
			exitCodes(exitDone, exitError, exitUsage, exitBadFile),
		Example: "  puddlewise ask --kind spot --seed 7\n  puddlewise ask --kind spot --seed 7 --answer 2,1,3",
		Args:    noArguments,
		RunE:    func(cmd *cobra.Command, _ []string) error { return o.run(cmd.Flags().Changed("seed")) },
	}
	cmd.Flags().StringVar(&o.Kind, "kind", "", "what is asked: `KIND`")
	offer(cmd, "kind", kindNames)
	cmd.Flags().StringVar(&o.Scenario, "scenario", "", "the joint: its `ID`, or a file")
	offer(cmd, "scenario", jointIDs)
	cmd.Flags().StringVar(&o.Joints, "joints", "", jointsFlagHelp)
	cmd.Flags().Int64Var(&o.Seed, "seed", 0, "the question of seed `N`")
	cmd.Flags().StringSliceVar(&o.Answer, "answer", nil, "a `REPLY` to each part, with commas between")
	cmd.Flags().BoolVar(&o.JSON, "json", false, "print an object for scripts")
	unitsFlag(cmd, &o.Units)
	return cmd
}

func kindNames() []string {
	var out []string
	for _, k := range question.Kinds() {
		out = append(out, string(k))
	}
	return out
}

// kindsHelp lists the kinds of question.
func kindsHelp() string {
	var b strings.Builder
	for _, k := range question.Kinds() {
		_, about := view.KindWords(k)
		b.WriteString("  " + string(k) + strings.Repeat(" ", 8-len(k)) + wrap(about, 69, 10) + "\n")
	}
	return b.String()
}

// desk makes questions of the joints; answers may be nil.
func (a *app) desk(joints []scenarios.Scenario, answers session.Answers) *question.Desk {
	return &question.Desk{Bank: joints, Papers: papers(), Judge: scoring.Judge, Estimate: scoring.Estimate, Save: scoring.Save, Answers: answers, Now: a.env.Now, NewID: a.env.NewID}
}

// papers gives the practice procedures that ship, for questions to read; none if they
// cannot be read, which a test rules out.
func papers() []question.Paper {
	all, _ := precert.Procedures()
	then := map[precert.Result]question.Then{precert.Allowed: question.Allowed, precert.Outside: question.Outside, precert.NewOne: question.NewOne}
	var out []question.Paper
	for _, p := range all {
		out = append(out, question.Paper{ID: p.ID, Title: p.Title, Held: func(t weld.Task, a weld.Answer, sys weld.System) []question.Line {
			var lines []question.Line
			for _, l := range p.Check(t, a, sys) {
				lines = append(lines, question.Line{Variable: l.Variable, Have: l.Have, May: l.May, Then: then[l.Result]})
			}
			return lines
		}})
	}
	return out
}

func (o *askOptions) run(seeded bool) error {
	sys, err := unitsOf(o.Units, weld.Metric)
	if err != nil {
		return err
	}
	if o.Kind != "" {
		if err := oneOf("kind", o.Kind, kindNames()...); err != nil {
			return err
		}
	}
	joints, start, err := (&practiceOptions{app: o.app, Scenario: o.Scenario, Joints: o.Joints}).choose()
	if err != nil {
		return err
	}
	desk := o.desk(joints, nil)
	if !seeded {
		if o.Answer != nil {
			return usageError("--answer needs --seed: which question was it\nthe question says its number")
		}
		o.Seed = desk.Seed()
	}
	ctx, stop := interruptible()
	defer stop()
	q, err := desk.Compose(ctx, question.Kind(o.Kind), start, o.Seed)
	if err != nil {
		return err
	}
	var r *question.Result
	if o.Answer != nil {
		for i := range o.Answer {
			if i < len(q.Parts) {
				o.Answer[i] = view.PickOption(q, i, strings.TrimSpace(o.Answer[i]), sys)
			}
		}
		res, err := desk.Check(ctx, q, o.Answer, sys)
		if err != nil {
			return usageError("--answer: %s", err)
		}
		r = &res
	}
	switch {
	case o.JSON:
		return printJSON(o.Out, newQuestionJSON(q, o.Answer, r, sys))
	case r != nil:
		return plain.TellResult(o.Out, q, o.Answer, *r, sys)
	}
	return plain.Tell(o.Out, q, sys)
}

// questionJSON is what ask --json prints.
type questionJSON struct {
	Kind     question.Kind `json:"kind"`
	Scenario string        `json:"scenario"`
	Seed     int64         `json:"seed"`
	Head     string        `json:"head"`
	Coupons  [][]string    `json:"coupons"`
	Paper    []string      `json:"paper,omitempty"`
	Parts    []partJSON    `json:"parts"`
	Result   *resultJSON   `json:"result,omitempty"`
}

type partJSON struct {
	About   question.About `json:"about"`
	Text    string         `json:"text"`
	Options []string       `json:"options"`
}

type resultJSON struct {
	Right   float64       `json:"right"`
	Parts   []outcomeJSON `json:"parts"`
	Reasons []string      `json:"reasons"`
}

type outcomeJSON struct {
	Right bool   `json:"right"`
	Text  string `json:"text"`
}

func newQuestionJSON(q *question.Question, replies []string, r *question.Result, sys weld.System) questionJSON {
	out := questionJSON{Kind: q.Kind, Scenario: q.Scenario.ID, Seed: q.Seed, Head: view.QuestionHead(q, sys), Coupons: [][]string{}}
	for _, c := range q.Coupons {
		words := view.CouponWords(q.Scenario.Task, c.Verdict, sys)
		for _, at := range view.Signs(q.Scenario.Task, c.Verdict, sys) {
			for _, s := range at.Signs {
				words = append(words, at.Place+": "+s.Text)
			}
		}
		out.Coupons = append(out.Coupons, words)
	}
	for _, f := range view.Paper(q, sys) {
		out.Paper = append(out.Paper, f.Label+": "+f.Text)
	}
	for i, p := range q.Parts {
		options := view.OptionTexts(q, i, sys)
		if options == nil {
			options = []string{}
		}
		out.Parts = append(out.Parts, partJSON{p.About, view.PartText(q, i, sys), options})
	}
	if r != nil {
		out.Result = &resultJSON{Right: shareOf(r.Share())}
		for _, x := range view.Outcomes(q, replies, *r, sys) {
			out.Result.Parts = append(out.Result.Parts, outcomeJSON{x.Right, x.Label + ": " + x.Text})
		}
		for _, f := range view.Reasons(q, *r, sys) {
			out.Result.Reasons = append(out.Result.Reasons, f.Label+": "+f.Text)
		}
	}
	return out
}
