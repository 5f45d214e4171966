package question

import (
	"slices"
	"strings"

	"puddlewise/scenarios"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
)

// Paper is a written procedure, as far as a question reads it.
type Paper struct {
	ID, Title string
	Held      func(weld.Task, weld.Answer, weld.System) []Line // a set-up against it, variable by variable
}

// Line is one variable of a set-up held against a paper.
type Line struct {
	Variable  string
	Have, May string
	Then      Then
}

// Then is what follows from a line.
type Then string

// What can follow.
const (
	Allowed Then = "allowed" // weld it
	Outside Then = "outside" // come back into the range
	NewOne  Then = "new"     // it needs a procedure of its own
)

// None is the option that no variable breaks the paper.
const None = "none"

// paper shows a procedure and a set-up on a joint, a mistake's or the model answer, and
// asks which variable the procedure does not allow, and what follows.
func paper(b *bench, q *Question) error {
	held := func(p Paper, a weld.Answer) []Line { return p.Held(b.sc.Task, a, weld.Metric) }
	var papers []Paper
	for _, p := range b.desk.Papers {
		if broken(held(p, b.sc.Model)) == nil {
			papers = append(papers, p)
		}
	}
	ways := append(b.mistakes(), scenarios.Mistake{})
	if b.rng.IntN(4) == 0 {
		slices.Reverse(ways) // the good answer first
	}
	for _, p := range shuffled(b.rng, papers) {
		for _, m := range ways {
			if m.Answer == (weld.Answer{}) {
				m.Answer = b.sc.Model
			}
			out := broken(held(p, m.Answer))
			if len(out) > 1 || out == nil && m.Answer != b.sc.Model {
				continue
			}
			right, then := None, Allowed
			if out != nil {
				right, then = out[0].Variable, out[0].Then
			}
			names := []Option{{Variable: right}}
			if right != None {
				names = append(names, Option{Variable: None})
			}
			play := b.play(held(p, m.Answer), right)
			for _, name := range shuffled(b.rng, play) {
				if name != right && len(names) <= mostOptions {
					names = append(names, Option{Variable: name})
				}
			}
			if len(names) < leastOptions {
				continue
			}
			c, err := b.shown(m.Answer)
			if err == errNone {
				continue
			} else if err != nil {
				return err
			}
			q.Paper, q.Setup, q.Title = &p, c.Answer, m.Title
			if chief := session.Chief(c.Verdict); chief != "" {
				q.Rules = []string{chief}
			}
			q.Play = play
			q.add(b, Variable, names)
			thens := []Option{{Then: then}}
			for _, t := range []Then{Allowed, Outside, NewOne} {
				if t != then {
					thens = append(thens, Option{Then: t})
				}
			}
			q.add(b, Follows, thens)
			q.Parts[0].beyond = c
			return nil
		}
	}
	return errNone
}

// broken gives the lines that are not allowed. The current at the end says no more than
// the current.
func broken(lines []Line) []Line {
	var out []Line
	for _, l := range lines {
		if l.Then != Allowed && (len(out) == 0 || !strings.HasPrefix(l.Variable, out[0].Variable)) {
			out = append(out, l)
		}
	}
	return out
}

// always are the variables that are shown of every paper. With others they come to no
// more lines than are read at a glance, but so many others at least.
var always = []string{"joint", "position", "metal", "wall", "gap"}

const mostLines, leastOthers = 10, 4

// basic says whether a variable is one of those.
func basic(variable string) bool {
	return slices.ContainsFunc(always, func(name string) bool { return variable == name || strings.HasPrefix(variable, name+" of") })
}

// play names the settings shown of a paper: the one that counts, those that the joint
// asks for or its mistakes change, and others.
func (b *bench) play(lines []Line, right string) []string {
	likely := []string{right}
	for _, key := range b.sc.Ask {
		if f, ok := weld.FieldByKey(key); ok {
			likely = append(likely, f.Label)
		}
	}
	for _, m := range b.sc.Mistakes {
		for _, f := range changed(b.sc.Model, m.Answer) {
			likely = append(likely, f.Label)
		}
	}
	for _, l := range shuffled(b.rng, lines) {
		if !basic(l.Variable) {
			likely = append(likely, l.Variable)
		}
	}
	most := mostLines
	for _, l := range lines {
		if basic(l.Variable) {
			most--
		}
	}
	var out []string
	for _, name := range likely {
		if len(out) < max(most, leastOthers) && !slices.Contains(out, name) && slices.ContainsFunc(lines, func(l Line) bool { return l.Variable == name }) {
			out = append(out, name)
		}
	}
	return out
}

// Lines holds the set-up of the question against its paper: the variables in play.
func (q *Question) Lines(sys weld.System) []Line {
	return slices.DeleteFunc(q.Paper.Held(q.Scenario.Task, q.Setup, sys), func(l Line) bool {
		return !basic(l.Variable) && !slices.Contains(q.Play, l.Variable)
	})
}
