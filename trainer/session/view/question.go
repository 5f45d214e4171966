package view

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/question"
)

// kindWords says for each kind of question what it is called and what it asks.
var kindWords = map[question.Kind][2]string{
	question.Spot:  {"what is wrong with it", "a spoilt coupon: what is wrong, which setting did it, and where"},
	question.One:   {"one change", "a rejected coupon: one setting and its new value, welded again"},
	question.Limit: {"how far can it go", "a good coupon: how far one number can go before it is rejected"},
	question.Order: {"in which order", "the steps of a joint, from cleaning to the crater, to be put in order"},
	question.Read:  {"what the paper allows", "a set-up and a written procedure: which variable breaks it, and what then"},
	question.Which: {"which is which", "two or three coupons of one joint: which settings made which"},
}

// KindWords says what a kind of question is called, and what it asks.
func KindWords(k question.Kind) (name, about string) { return kindWords[k][0], kindWords[k][1] }

// QuestionHead says which joint a question is about.
func QuestionHead(q *question.Question, sys weld.System) string {
	row := JointRow(q.Scenario, sys)
	gap := "gap " + row.Gap
	if row.Gap == "tight" {
		gap = "no gap"
	}
	return strings.Join([]string{row.ID + " " + row.Joint, row.Metal, row.Thickness, gap, row.Position}, ", ")
}

// PartText asks a part of a question.
func PartText(q *question.Question, part int, sys weld.System) string {
	switch q.Parts[part].About {
	case question.Finding:
		return "What is wrong with this coupon?"
	case question.Setting:
		return "Which setting did it?"
	case question.Along:
		return "Where along the seam?"
	case question.Made:
		return "Which settings made coupon " + CouponLetter(q.Parts[part].Coupon) + "?"
	case question.Change:
		return "It is rejected. Which one setting would you change?"
	case question.HowFar:
		f, _ := q.Field(nil)
		way := "down"
		if q.Parts[part].Up {
			way = "up"
		}
		text := "It is accepted, welded with " + asked(q, sys) + ". "
		if f.Key == "gap" {
			return text + "How far can the gap open, all along, before it is rejected?"
		}
		if a := q.Scenario.Model; f.Key == "amps" && a.AmpsEnd > 0 {
			text += "Those at the end go along. "
		}
		return text + "How far " + way + " can one of these go, all else as it is, before it is rejected: " + f.Label + "?"
	case question.InOrder:
		return "In which order? Some orders are as good as others. Type the numbers, first to last."
	case question.Variable:
		return "Which variable does practice procedure " + q.Paper.ID + " (" + q.Paper.Title + ") not allow?"
	case question.Follows:
		return "What then?"
	case question.Value:
		return "What shall it be instead?"
	}
	return ""
}

// asked says the settings of a joint's model answer that the joint asks for.
func asked(q *question.Question, sys weld.System) string {
	var out []string
	f, _ := q.Field(nil)
	for _, key := range append([]string{f.Key}, q.Scenario.Ask...) {
		if f, ok := weld.FieldByKey(key); ok && !slices.Contains(out, f.Label+" "+f.Show(q.Scenario.Model, sys)) {
			out = append(out, f.Label+" "+f.Show(q.Scenario.Model, sys))
		}
	}
	return strings.Join(out, ", ")
}

// CouponLetter names a coupon among others.
func CouponLetter(i int) string { return string(rune('A' + i)) }

// partLabel names a part in an answer.
func partLabel(p question.Part) string {
	if p.About == question.Made {
		return "coupon " + CouponLetter(p.Coupon)
	}
	return map[question.About]string{question.Finding: "wrong", question.Setting: "setting", question.Along: "where", question.Variable: "variable", question.Follows: "then"}[p.About]
}

// OptionTexts says the options of a part.
func OptionTexts(q *question.Question, part int, sys weld.System) []string {
	var out []string
	for _, o := range q.Parts[part].Options {
		out = append(out, optionText(q, q.Parts[part], o, sys))
	}
	return out
}

func optionText(q *question.Question, p question.Part, o question.Option, sys weld.System) string {
	switch p.About {
	case question.Finding:
		return session.CauseOf(o.Rule).Text
	case question.Setting:
		return fieldWords(o.Fields)
	case question.Change:
		f, a := o.Fields[0], q.Coupons[0].Answer
		text := f.Label + ", now " + f.Show(a, sys)
		if f.Key == "amps" && a.AmpsEnd > 0 {
			text += " (" + a.AmpsEnd.Show(sys) + " at the end goes with it)"
		}
		return text
	case question.Variable:
		if o.Variable == question.None {
			return "none of them"
		}
		return o.Variable
	case question.Follows:
		return map[question.Then]string{
			question.Allowed: "weld it so", question.Outside: "come back into the range", question.NewOne: "it takes a procedure of its own",
		}[o.Then]
	case question.InOrder:
		return stepWords[o.Step]
	case question.Made:
		return made(p, o.Made, sys)
	case question.Along:
		return map[question.Place]string{question.Start: "near the start", question.Middle: "about the middle", question.End: "near the end", question.AllAlong: "all along it"}[o.Place]
	}
	return ""
}

// stepWords says what is done in a step.
var stepWords = map[question.Step]string{
	question.Clean:      "degrease and brush the joint",
	question.Tack:       "tack it",
	question.BrushTacks: "brush the tacks bright",
	question.Purge:      "let argon run behind the seam until the air is out",
	question.GasOn:      "let the shielding gas run a moment",
	question.Strike:     "strike the arc",
	question.Wait:       "stand still until there is a pool",
	question.Move:       "move off along the seam",
	question.Ease:       "ease the current out over the crater",
	question.Hold:       "hold the torch over the end until the gas stops",
	question.First:      "weld the first third of the seam",
	question.Second:     "weld the middle third",
	question.Third:      "weld the last third",
}

// stepsWords says an order of steps.
func stepsWords(steps []question.Step) string {
	var out []string
	for _, s := range steps {
		out = append(out, stepWords[s])
	}
	return strings.Join(out, "; ")
}

// made says the settings in which the answers on offer differ, the same of each.
func made(p question.Part, a weld.Answer, sys weld.System) string {
	var out []string
	for _, f := range p.Differing() {
		out = append(out, f.Label+" "+f.Show(a, sys))
	}
	return strings.Join(out, ", ")
}

// fieldWords names settings: amps and travel.
func fieldWords(fs []weld.Field) string {
	var out []string
	for _, f := range fs {
		out = append(out, f.Label)
	}
	return strings.Join(out, " and ")
}

// Paper says the procedure a question shows, and the set-up held against it, a line for
// each variable in play; nil without one.
func Paper(q *question.Question, sys weld.System) []Fact {
	if q.Paper == nil {
		return nil
	}
	var out []Fact
	for _, l := range q.Lines(sys) {
		out = append(out, Fact{l.Variable, l.May + "; set up: " + l.Have})
	}
	return out
}

// Wanted says what may be typed for the part that follows these replies; empty where an
// option is chosen.
func Wanted(q *question.Question, replies []string, sys weld.System) string {
	if f, ok := q.Field(replies); ok {
		return f.Label + " (" + Allowed(f, sys) + ")"
	}
	if p := q.Parts[len(replies)]; p.About == question.InOrder {
		return "order (" + strconv.Itoa(len(p.Options)) + " numbers)"
	}
	return ""
}

// ReplyText says what was answered to a part.
func ReplyText(q *question.Question, part int, reply string, sys weld.System) string {
	if q.Parts[part].Typed {
		return reply
	}
	texts := OptionTexts(q, part, sys)
	if n, err := strconv.Atoi(reply); err == nil && n >= 1 && n <= len(texts) {
		return texts[n-1]
	}
	return reply
}

// PickOption finds the option meant by a number or by words that stand in only one of
// them, and gives its number from 1 as text; what it cannot find comes back as it is.
func PickOption(q *question.Question, part int, reply string, sys weld.System) string {
	found := ""
	if q.Parts[part].Typed {
		return reply
	}
	for i, text := range OptionTexts(q, part, sys) {
		n := fmt.Sprint(i + 1)
		if reply == n {
			return n
		}
		if reply != "" && strings.Contains(strings.ToLower(text), strings.ToLower(reply)) {
			if found != "" {
				return reply
			}
			found = n
		}
	}
	if found != "" {
		return found
	}
	return reply
}

// PartOutcome says how a part of an answer came out.
type PartOutcome struct {
	Right bool
	Mark  string // + or x
	Label string
	Text  string
}

// Outcomes says part by part what is right, and what was said where that was not.
func Outcomes(q *question.Question, replies []string, r question.Result, sys weld.System) []PartOutcome {
	var out []PartOutcome
	if q.Kind == question.Limit {
		turn, off := limitWords(q, r, sys)
		o := PartOutcome{Right: r.Right[0], Mark: "+", Label: "limit", Text: turn}
		if !o.Right {
			o.Mark = "x"
		}
		o.Text += " (you said: " + replies[0] + "; " + off + " off counts as right)"
		return append(out, o)
	}
	if q.Kind == question.Order {
		o := PartOutcome{Right: r.Right[0], Mark: "+", Label: "order", Text: replies[0] + ": nothing against it"}
		if !o.Right {
			o.Mark, o.Text = "x", replies[0]+": no arc burns when you move off, or it is welded before it is tacked"
		}
		for i, f := range r.Worse {
			o.Text = map[bool]string{true: replies[0] + ": ", false: o.Text + "; "}[i == 0] + Said(f.Why, sys)
		}
		return append(out, o)
	}
	if q.Kind == question.One {
		o := PartOutcome{Right: r.Right[0], Mark: "+", Label: "change", Text: MadeBy(q.Coupons[0].Answer, r.Tried.Answer, sys) + ": accepted"}
		if !o.Right {
			o.Mark, o.Text = "x", strings.TrimSuffix(o.Text, "accepted")+Said(r.Tried.Verdict.Reason, sys)
		}
		return append(out, o)
	}
	for i, p := range q.Parts {
		o := PartOutcome{Right: r.Right[i], Mark: "+", Label: partLabel(p)}
		texts := OptionTexts(q, i, sys)
		if r.Truth[i] >= 0 {
			o.Text = texts[r.Truth[i]]
		}
		if !o.Right {
			o.Mark = "x"
			o.Text += " (you said: " + ReplyText(q, i, replies[i], sys) + ")"
		}
		out = append(out, o)
	}
	return out
}

// limitWords says where the verdict turns, and how far off an answer may be.
func limitWords(q *question.Question, r question.Result, sys weld.System) (turn, off string) {
	f, _ := q.Field(nil)
	return shown(f, r.Turn, sys), shown(f, r.Off, sys)
}

// shown shows a number of a setting, SI.
func shown(f weld.Field, v float64, sys weld.System) string {
	var a weld.Answer
	f.SetValue(&a, v)
	return f.Show(a, sys)
}

// PartTally says what a class answered to a part of a question.
type PartTally struct {
	Ask   string
	Steps []string // InOrder: what the numbers mean
	Said  []Tallied
	Truth string // what is right, where no option says it; may be empty
}

// Tallied is an option, or what was typed, and who chose it.
type Tallied struct {
	Text  string
	Right bool
	Who   []string
}

// Tally counts what a class answered to a question, part by part: every option in its
// order, or what was typed, the most common first. r is of any of the answers. What cannot
// be read is left out; verify tells of it.
func Tally(q *question.Question, r question.Result, said []question.Said, sys weld.System) []PartTally {
	var out []PartTally
	for i, p := range q.Parts {
		t := PartTally{Ask: PartText(q, i, sys)}
		texts := OptionTexts(q, i, sys)
		if p.Typed {
			t.Steps = texts
		} else {
			for k, text := range texts {
				t.Said = append(t.Said, Tallied{Text: text, Right: k == r.Truth[i]})
			}
		}
		if p.About == question.HowFar {
			turn, off := limitWords(q, r, sys)
			t.Truth = turn + "; " + off + " off counts as right"
		}
		for _, s := range said {
			if q.Taken(s) {
				t.add(q, i, s, sys)
			}
		}
		if p.Typed {
			slices.SortStableFunc(t.Said, func(a, b Tallied) int { return len(b.Who) - len(a.Who) })
		}
		out = append(out, t)
	}
	return out
}

func (t *PartTally) add(q *question.Question, part int, s question.Said, sys weld.System) {
	reply := s.Replies[part]
	if !q.Parts[part].Typed {
		if n, err := strconv.Atoi(strings.TrimSpace(reply)); err == nil {
			t.Said[n-1].Who = append(t.Said[n-1].Who, s.Learner)
		}
		return
	}
	text := strings.TrimSpace(reply)
	if q.Parts[part].About == question.InOrder { // 1, 2, 3 is 123
		text = strings.Map(func(r rune) rune {
			if r < '1' || r > '9' {
				return -1
			}
			return r
		}, reply)
	}
	if f, ok := q.Field(s.Replies[:part]); ok {
		var a weld.Answer
		_ = f.Set(&a, reply, s.System) // it has been taken
		if text = f.Show(a, sys); q.Parts[part].About == question.Value {
			text = f.Label + " " + text
		}
	}
	k := slices.IndexFunc(t.Said, func(o Tallied) bool { return o.Text == text && o.Right == s.Right })
	if k < 0 {
		k = len(t.Said)
		t.Said = append(t.Said, Tallied{Text: text, Right: s.Right})
	}
	t.Said[k].Who = append(t.Said[k].Who, s.Learner)
}

// RightWords counts what was right.
func RightWords(r question.Result) string {
	n := 0
	for _, ok := range r.Right {
		if ok {
			n++
		}
	}
	switch {
	case n == len(r.Right):
		return "Right."
	case n == 0:
		return "Not right."
	}
	return fmt.Sprintf("%d of %d right.", n, len(r.Right))
}

// Reasons says why: what the model found on the coupons, and what was done.
func Reasons(q *question.Question, r question.Result, sys weld.System) []Fact {
	var out []Fact
	if r.Rescue != nil {
		for i, text := range RescueWords(r.Rescue, sys) {
			out = append(out, Fact{[]string{"smallest", ""}[min(i, 1)], text})
		}
	}
	if q.Kind == question.Read {
		for _, l := range q.Lines(sys) {
			if l.Then != question.Allowed {
				out = append(out, Fact{"paper", l.Variable + " " + l.Have + "; it allows " + l.May})
			}
		}
		word, mark := Outcome(r.Tried.Verdict.Outcome)
		text := word + " " + mark + ", " + Said(r.Tried.Verdict.Reason, sys)
		if out != nil && r.Tried.Verdict.Outcome == scoring.Accept {
			text += ": it holds, and is not allowed all the same"
		}
		return append(out, Fact{"welded", text})
	}
	if q.Kind == question.Order {
		return []Fact{{"one way", stepsWords(r.Good)}}
	}
	if q.Kind == question.Limit {
		f, v := r.Tried.Verdict.Findings[0], r.Tried.Verdict
		return append(out, Fact{"beyond", Said(v.Reason, sys)}, Fact{"fix", Said(f.Fix, sys)})
	}
	if q.Title != "" {
		done := q.Title
		if len(q.Coupons) > 0 {
			done += ": " + MadeBy(q.Scenario.Model, q.Coupons[0].Answer, sys)
		}
		out = append(out, Fact{"done", done})
	}
	for i, c := range q.Coupons {
		if len(q.Coupons) > 1 {
			out = append(out, Fact{CouponLetter(i), MadeBy(q.Scenario.Model, c.Answer, sys)}, Fact{"", Said(c.Verdict.Reason, sys)})
			if out[len(out)-2].Text == "" {
				out[len(out)-2].Text = "as a good hand would"
			}
		} else if len(c.Verdict.Findings) > 0 {
			f := c.Verdict.Findings[0]
			out = append(out, Fact{"found", Said(f.Why, sys)}, Fact{"fix", Said(f.Fix, sys)})
		}
	}
	return out
}

// MadeBy says in which settings an answer differs from another: amps 86 A -> 50 A.
func MadeBy(from, to weld.Answer, sys weld.System) string {
	var parts []string
	for _, f := range weld.Fields {
		if f.Get(from) != f.Get(to) {
			parts = append(parts, f.Label+" "+f.Show(from, sys)+" -> "+f.Show(to, sys))
		}
	}
	return strings.Join(parts, ", ")
}
