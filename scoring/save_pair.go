package scoring

import (
	"cmp"
	"math"
	"slices"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// pairTries is how many rounds of two tries a pair of settings gets.
const pairTries = 5

// sum is a rung on each of two ladders, and what they are thought to do together.
type sum struct {
	a, b    *ladder
	ra, rb  rung
	margins []float64
	rank    float64
}

// guessed reads every ladder.
func guessed(at stand, ladders []*ladder) [][]rung {
	known := make([][]rung, len(ladders))
	for k, l := range ladders {
		known[k] = l.guessed(at)
	}
	return known
}

// likeliest gives the two smallest sums of two ladders that should hold, or fewer. fits
// says of two ladders which of their rungs go together; nil for two that never do.
func likeliest(at stand, ladders []*ladder, known [][]rung, missed map[[2]*ladder][]float64, fits func(a, b *ladder) func(ra, rb rung) bool) []sum {
	var sums []sum
	for i, a := range ladders {
		for j := i + 1; j < len(ladders); j++ {
			b := ladders[j]
			together := fits(a, b)
			if together == nil {
				continue
			}
			p := sum{a: a, b: b}
			if smallestSum(&p, at, known[i], known[j], missed[[2]*ladder{a, b}], together) {
				sums = append(sums, p)
			}
		}
	}
	slices.SortStableFunc(sums, func(p, q sum) int { return cmp.Compare(p.rank, q.rank) })
	return sums[:min(2, len(sums))]
}

// pair looks for two settings that save the answer together: what each does by
// itself is added up, the smallest sum that should hold is welded, and what adding
// up missed is kept for the next try of that pair.
func (s *saver) pair(at stand, ladders []*ladder) (stand, bool) {
	known, missed := guessed(at, ladders), map[[2]*ladder][]float64{}
	for range pairTries {
		sums := likeliest(at, ladders, known, missed, func(a, b *ladder) func(ra, rb rung) bool {
			if slices.ContainsFunc(a.keys, func(k string) bool { return slices.Contains(b.keys, k) }) {
				return nil
			}
			return func(ra, rb rung) bool {
				a := withFields(ra.answer, b.keys, rb.answer)
				return !s.odd(a) && !s.tried[a]
			}
		})
		if len(sums) == 0 {
			break
		}
		answers := make([]weld.Answer, len(sums))
		var seams []pass
		for i, p := range sums {
			answers[i] = withFields(p.ra.answer, p.b.keys, p.rb.answer)
			s.tried[answers[i]] = true
			if outside(s.task, answers[i]) == "" {
				seams = append(seams, pass{answers[i], puddle.Coarse})
			}
		}
		s.weld(seams...)
		for i, p := range sums {
			got := s.margins(answers[i])
			if worst(got, nil) < 1 {
				s.weld(pass{answers[i], puddle.Fine})
				got = s.margins(answers[i])
			}
			if worst(got, nil) < 1 {
				return at.moveBoth(p, answers[i], got), true
			}
			missed[[2]*ladder{p.a, p.b}] = plus(missed[[2]*ladder{p.a, p.b}], got, p.margins)
		}
		if s.looks >= mostLooks {
			break
		}
	}
	return stand{}, false
}

// across looks for the amps that go with another travel, nearest first: where both are
// far off neither does anything by itself that could be added up.
func (s *saver) across(at stand) (stand, bool) {
	if !slices.Contains(s.fields, "amps") || !slices.Contains(s.fields, "travel") {
		return stand{}, false
	}
	s.looks = 0
	ways := s.laddersFrom(at.answer, "travel")
	for _, share := range []float64{0.125, 0.25, 0.5, 0.75} {
		for _, l := range ways {
			r := &l.rungs[int(float64(share*float64(len(l.rungs))))]
			s.look([]*rung{r})
			there := at.move(l.keys, *r)
			amps := slices.Concat(s.laddersFrom(there.answer, "amps"), s.pedalFrom(there.answer))
			amps = s.helpful(there, amps)
			s.climb(there, amps, nil, math.Inf(1))
			if found, ok := s.single(there, amps); ok {
				return found, true
			}
		}
	}
	return stand{}, false
}

// guessed gives the rungs of a ladder, with margins, as far as anything can be said of them.
func (l *ladder) guessed(at stand) []rung {
	end := l.reach()
	if l.choices {
		end = len(l.rungs) - 1
	}
	var out []rung
	for i := range end + 1 {
		if m := l.guess(at, i); m != nil && helps(at.margins, m) {
			r := l.rungs[i]
			r.margins = m
			out = append(out, r)
		}
	}
	return out
}

// helps says whether a change lowers any margin that matters.
func helps(before, after []float64) bool {
	for r := range after {
		if before[r] > 0.3 && after[r] < before[r]-0.02 {
			return true
		}
	}
	return false
}

// sureSum is the margin below which a sum should hold: adding up is not exact.
// Where no sum should hold, one hundredth over it counts as much as a step.
const sureSum, perOver = 0.98, 100.0

// smallestSum gives the smallest sum of two ladders' rungs that should hold, or the one
// that comes nearest to it for its size, of those that fit. It is false when none takes
// away half of what stands against the answer.
func smallestSum(p *sum, at stand, as, bs []rung, missed []float64, fits func(ra, rb rung) bool) bool {
	p.rank = float64(perOver / 2 * over(at.margins))
	found := false
	m := make([]float64, len(at.margins))
	for _, ra := range as {
		for _, rb := range bs {
			rank := ra.steps + rb.steps
			for r := 0; r < len(m) && rank < p.rank; r++ {
				m[r] = ra.margins[r] + rb.margins[r] - at.margins[r]
				if missed != nil {
					m[r] += missed[r]
				}
				rank += float64(perOver * max(0, m[r]-sureSum))
			}
			if rank >= p.rank {
				continue
			}
			if fits(ra, rb) {
				p.ra, p.rb, p.rank, p.margins, found = ra, rb, rank, slices.Clone(m), true
			}
		}
	}
	return found
}

// over adds up how far the margins are over sureSum.
func over(margins []float64) float64 {
	sum := 0.0
	for _, m := range margins {
		sum += max(0, m-sureSum)
	}
	return sum
}

// plus gives missed and what got has over guess.
func plus(missed, got, guess []float64) []float64 {
	out := make([]float64, len(got))
	for r := range got {
		out[r] = got[r] - guess[r]
		if missed != nil {
			out[r] += missed[r]
		}
	}
	return out
}

// withFields gives an answer with some fields as another answer has them.
func withFields(a weld.Answer, keys []string, from weld.Answer) weld.Answer {
	for _, key := range keys {
		f, _ := weld.FieldByKey(key)
		_ = f.SetStrict(&a, f.Get(from)) // what one answer holds another can
	}
	return a
}

// moveBoth is the stand after two settings were moved, the one that does more
// against the worst fault first.
func (at stand) moveBoth(p sum, a weld.Answer, margins []float64) stand {
	if r := firstFault(at.margins); p.rb.margins[r] < p.ra.margins[r] {
		p.a, p.b, p.ra, p.rb = p.b, p.a, p.rb, p.ra
	}
	to := at.move(p.a.keys, p.ra).move(p.b.keys, p.rb)
	to.answer, to.margins = a, margins
	return to
}
