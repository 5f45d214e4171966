package scoring

import (
	"slices"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// saver is one search for the smallest change, with what it has welded.
type saver struct {
	task   weld.Task
	fields []string // what may be moved
	sys    weld.System
	par    Parallel
	beads  map[pass]*puddle.Bead // by what the metal feels; nil where the weld failed
	looks  int                   // seams welded coarsely

	coarse   []float64            // by rule: the fine margin for a coarse one, where both were welded last
	compared bool                 // whether that has been done
	rise     weld.Current         // of the answer's pedal along the seam; 0 where it falls
	tried    map[weld.Answer]bool // of two settings
}

// pass is what is welded: an answer at a grade.
type pass struct {
	answer weld.Answer
	grade  puddle.Grade
}

// weld welds what has not been welded yet, all at once.
func (s *saver) weld(seams ...pass) {
	var need []pass
	for _, w := range seams {
		key := pass{felt(w.answer), w.grade}
		if _, done := s.beads[key]; done {
			continue
		}
		s.beads[key] = nil
		need = append(need, w)
		if w.grade == puddle.Coarse {
			s.looks++
		}
	}
	beads := make([]*puddle.Bead, len(need))
	s.par(len(need), func(i int) {
		if b, err := puddle.WeldAt(s.task, need[i].answer, need[i].grade); err == nil {
			beads[i] = b
		}
	})
	for i, w := range need {
		s.beads[pass{felt(w.answer), w.grade}] = beads[i]
	}
}

func (s *saver) bead(a weld.Answer, g puddle.Grade) *puddle.Bead { return s.beads[pass{felt(a), g}] }

// verdict judges an answer that has been welded at the full grade.
func (s *saver) verdict(a weld.Answer) Verdict {
	b := s.bead(a, puddle.Fine)
	if b == nil {
		return Verdict{}
	}
	return judgeBead(s.task, a, b)
}

// calibrate compares the two grades at an answer welded at both, for what is read
// coarsely after it.
func (s *saver) calibrate(a weld.Answer) {
	fine, coarse := s.bead(a, puddle.Fine), s.bead(a, puddle.Coarse)
	if fine == nil || coarse == nil {
		return
	}
	s.compared = true
	s.coarse = fineFor(rejecting(s.task, a, fine), rejecting(s.task, a, coarse))
}

// fineFor gives, by rule, the fine margin for a coarse one.
func fineFor(fine, coarse []float64) []float64 {
	out := slices.Repeat([]float64{1}, len(fine))
	for i, m := range fine {
		if coarse[i] > 0.2 {
			out[i] = min(1.4, max(0.7, m/coarse[i]))
		}
	}
	return out
}

// margins reads an answer that has been welded: the full grade where there is one,
// else the coarse one, corrected.
func (s *saver) margins(a weld.Answer) []float64 {
	if b := s.bead(a, puddle.Fine); b != nil {
		return rejecting(s.task, a, b)
	}
	b := s.bead(a, puddle.Coarse)
	if b == nil {
		return slices.Repeat([]float64{worstMargin}, len(rules))
	}
	m := rejecting(s.task, a, b)
	for i := range m {
		m[i] = float64(m[i] * s.coarse[i])
	}
	return m
}

const worstMargin = 10 // as quantised gives it

// rejecting reads the rules that can reject, worst kind first; the others give zero.
func rejecting(task weld.Task, a weld.Answer, b *puddle.Bead) []float64 {
	e := gather(task, a, b)
	out := make([]float64, len(rules))
	for i, r := range rules {
		if r.over != Defect && len(b.Touched) == 0 { // a hand's tungsten alone makes more of a fault
			continue
		}
		if rd := r.read(e); rd.as == Defect || rd.as == "" && r.over == Defect {
			out[i] = quantised(rd.margin)
		}
	}
	return out
}
