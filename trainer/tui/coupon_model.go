package tui

import (
	"fmt"
	"math"

	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

// couponModel is a welded coupon and where along the seam the learner looks.
type couponModel struct {
	task weld.Task
	try  session.Attempt
	sys  weld.System
	at   weld.Length
	mm   float64 // height of the face's strip; 0 for as wide as the coupon is
	// blind does not say where it is worst: that is what is asked.
	blind bool
}

func newCouponModel(s *session.Session) couponModel {
	try, _ := s.Last()
	m := couponModel{task: s.Scenario().Task, try: try, sys: s.System()}
	m.worst()
	return m
}

// worst looks at where the coupon is worst.
func (m *couponModel) worst() { m.at = view.WorstPlace(m.try.Verdict, m.task.Seam) }

// move looks further along by a share of the seam and stops at its ends.
func (m *couponModel) move(share float64) {
	m.at = min(m.task.Seam, max(0, m.at+weld.Length(share*float64(m.task.Seam))))
}

// column gives the column of a strip of w cells that is looked at.
func (m *couponModel) column(w int) int {
	if m.task.Seam <= 0 {
		return 0
	}
	return min(w-1, int(math.Floor(float64(m.at)/float64(m.task.Seam)*float64(w))))
}

// signs gives what was to be seen.
func (m *couponModel) signs() []view.Seen { return view.Signs(m.task, m.try.Verdict, m.sys) }

// measures gives the numbers of where the learner looks.
func (m *couponModel) measures() []view.Measure {
	st, _ := view.StationAt(m.try.Verdict.Coupon, m.at)
	st.Hole = view.HoleAt(m.try.Verdict.Coupon, st.At)
	return view.Measures(m.task.Joint, st, m.sys)
}

// measureLines sets the numbers in columns of h lines; worst adds the extreme
// of each beside it.
func (m *couponModel) measureLines(h int, worst bool) []line {
	ms := m.measures()
	bad := view.Measures(m.task.Joint, m.try.Verdict.Coupon.Worst, m.sys)
	out := make([]line, h)
	if worst {
		out = append(out, nil)
		out[0] = line{{padTo("", 15) + padTo("here", 13) + "worst", inkFaint}}
		for i, x := range ms {
			if i+1 < len(out) {
				out[i+1] = line{{padTo(x.Name, 15), inkFaint}, {padTo(x.Text, 13), inkPlain}, {bad[i].Text, inkFaint}}
			}
		}
		return out
	}
	for i, x := range ms {
		if at := i % h; i/h < 2 {
			out[at] = append(out[at], span{padTo(x.Name, 15), inkFaint}, span{padTo(x.Text, 12), inkPlain})
		}
	}
	return out
}

// head says where the learner looks, and what the whole seam took, where w cells hold it.
func (m *couponModel) head(w int) line {
	c := m.try.Verdict.Coupon
	out := line{{"at " + view.Along(m.at, m.sys), inkFocus}}
	if where := m.task.Where(m.at); where != "" {
		out = append(out, span{", " + where, inkFocus})
	}
	if !m.blind && m.at == view.WorstPlace(m.try.Verdict, m.task.Seam) {
		out = append(out, span{", worst", inkFaint})
	}
	if heat := "   heat input " + view.HeatInput(c.HeatInput, m.sys); c.HeatInput > 0 && width(out.String())+width(heat) <= w {
		out = append(out, span{heat, inkFaint})
	}
	return out
}

// tableLines is the numbers along the seam, h lines with the head.
func (m *couponModel) tableLines(h int) []line {
	rows := view.Table(m.task, m.try.Verdict.Coupon, h-1, m.sys)
	if rows == nil {
		return nil
	}
	pen := "penetration"
	if m.task.Joint.Fillet() {
		pen = "root fused"
	}
	form := "%-10s %-11s %-11s %-12s %-7s %s"
	out := []line{{{fmt.Sprintf(form, "at", "face", "back", pen, "colour", ""), inkFaint}}}
	for _, r := range rows {
		out = append(out, plainLine(fmt.Sprintf(form, r.At, r.Face, r.Back, r.Pen, r.Colour, r.Note)))
	}
	return out
}
