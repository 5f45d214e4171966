package question

import (
	"context"
	"iter"
	"math/rand/v2"
	"slices"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
)

// bench is where one question is made: the joint, the model, the seed's choices.
type bench struct {
	ctx  context.Context
	desk Desk
	sc   scenarios.Scenario
	rng  *rand.Rand
}

// weld judges an answer on a joint; an answer that cannot be welded is no question.
func (b *bench) weld(judge session.Judge, t weld.Task, a weld.Answer) (scoring.Verdict, error) {
	if err := b.ctx.Err(); err != nil {
		return scoring.Verdict{}, err
	}
	v, err := judge(t, a)
	if err != nil || v.Outcome == scoring.OutOfRange {
		return v, errNone
	}
	return v, nil
}

// shown welds an answer on the question's joint as it is shown.
func (b *bench) shown(a weld.Answer) (Coupon, error) {
	v, err := b.weld(b.desk.Judge, b.sc.Task, a)
	return Coupon{a, v}, err
}

// mistakes gives the joint's mistakes in the seed's order.
func (b *bench) mistakes() []scenarios.Mistake { return shuffled(b.rng, b.sc.Mistakes) }

// shuffled gives the items in the seed's order.
func shuffled[T any](rng *rand.Rand, items []T) []T {
	out := slices.Clone(items)
	rng.Shuffle(len(out), func(i, j int) { out[i], out[j] = out[j], out[i] })
	return out
}

// wrong is a real mistake to make wrong options of.
type wrong struct {
	fields []weld.Field
	chief  string // what the model finds
	signs  []string
	own    bool // of the question's joint
}

// wrongs gives what the model says of other mistakes: those of the joint, then of
// joints of its kind and metal, in the seed's order; at most so many, for each is welded.
func (b *bench) wrongs(but scenarios.Mistake) iter.Seq2[wrong, error] {
	const most = 9
	return func(yield func(wrong, error) bool) {
		n := 0
		for _, sc := range append([]scenarios.Scenario{b.sc}, shuffled(b.rng, b.desk.Bank)...) {
			own := sc.ID == b.sc.ID
			if !own && (sc.Task.Joint != b.sc.Task.Joint || sc.Task.A.Metal.Family() != b.sc.Task.A.Metal.Family()) || own && n > 0 {
				continue
			}
			for _, m := range shuffled(b.rng, sc.Mistakes) {
				if own && m.Answer == but.Answer {
					continue
				}
				if n++; n > most {
					return
				}
				v, err := b.weld(b.desk.Estimate, sc.Task, m.Answer)
				if err == errNone {
					continue
				}
				if !yield(wrong{changed(sc.Model, m.Answer), session.Chief(v), signs(v), own}, err) || err != nil {
					return
				}
			}
		}
	}
}

// changed lists the settings in which two answers differ. The current at the end goes
// with the current.
func changed(a, b weld.Answer) []weld.Field {
	var out []weld.Field
	for _, f := range weld.Fields {
		if !same(f, a, b) && (f.Key != "amps_end" || len(out) == 0 || out[0].Key != "amps") {
			out = append(out, f)
		}
	}
	return out
}

// same says whether two answers agree in a setting.
func same(f weld.Field, a, b weld.Answer) bool {
	if x, numeric := f.Value(a); numeric {
		y, _ := f.Value(b)
		return x == y
	}
	return f.Get(a) == f.Get(b)
}

// touch says whether two lists of settings have one in common.
func touch(a, b []weld.Field) bool {
	return slices.ContainsFunc(a, func(x weld.Field) bool {
		return slices.ContainsFunc(b, func(y weld.Field) bool { return x.Key == y.Key })
	})
}

// signs lists what is to be seen, by id.
func signs(v scoring.Verdict) []string {
	var out []string
	for _, s := range v.Signs {
		out = append(out, s.ID)
	}
	slices.Sort(out)
	return out
}
