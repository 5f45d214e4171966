package tui

import (
	"slices"
	"strings"
	"time"

	"puddlewise/trainer/drill"
	"puddlewise/trainer/session/view"
)

// lastMinute is how much time is left when the clock is marked: common practice, no source.
const lastMinute = time.Minute

// turnLine says which joint and coupon it is, and the time left.
func turnLine(run *drill.Run, joint string, deciding bool) line {
	d, place, all := run.Drill(), run.Place(joint), run.Result().Joints
	out := line{{" joint " + itoa(place) + " of " + itoa(all), inkPlain}}
	if !drill.Asks(run.Kind(joint)) {
		n, _ := run.Tries(joint)
		if deciding || run.Result().Welding != nil {
			n++
		}
		out = append(out, span{"  coupon " + itoa(n) + " of " + itoa(d.Tries), inkPlain})
	} else {
		out = append(out, span{"  a question", inkPlain})
	}
	left := run.Left()
	for _, c := range []struct {
		where   string
		left    time.Duration
		limited bool
	}{{"here", left.Joint, left.JointLimited}, {"in all", left.Whole, left.WholeLimited}} {
		if !c.limited {
			continue
		}
		mark, in := "  ", inkPlain
		if c.left < lastMinute {
			mark, in = "  ! ", inkWarn
		}
		out = append(out, span{mark + "left " + c.where + " " + view.Spell(c.left), in})
	}
	return append(out, span{" ", inkPlain})
}

// timeUpWords says what time is up, and whether that was the end.
func timeUpWords(left drill.Left, over bool) string {
	what := "The time at this joint is up."
	if left.WholeLimited && left.Whole <= 0 {
		what = "The time for the drill is up."
	}
	if over {
		what += " The drill is over."
	}
	return what
}

// drillModel is what a learner reads before a drill.
type drillModel struct {
	d           drill.Drill
	learner     string
	done, all   int
	resumed     bool
	closed      time.Duration
	interrupted bool // in the middle of a weld
}

func newDrillModel(run *drill.Run, resumed bool) drillModel {
	m := drillModel{d: run.Drill(), learner: run.Result().Learner, resumed: resumed, closed: run.Closed(), interrupted: run.Result().Welding != nil}
	m.done, m.all = run.Done()
	return m
}

// lines is the first page.
func (m drillModel) lines(file string, w int) []line {
	d := m.d
	out := append([]line{{{d.Title, inkStrong}}}, paragraph(d.Aim, w, inkPlain)...)
	out = append(out, nil)
	order := "in a fixed order"
	if d.Shuffled {
		order = "in an order of your own"
	}
	switch d.Varied {
	case drill.VariedSame:
		order += ", with other numbers than in the bank, the same for all"
	case drill.VariedOwn:
		order += ", with numbers of your own"
	}
	hints := "on request: ? at a field"
	if !d.Hints {
		hints = "none; no advice, no smallest change, no settings window"
	}
	fact := func(label, text string) { out = append(out, labelled(label, text, 9, w, inkPlain)...) }
	fact("learner", m.learner)
	fact("joints", itoa(m.all)+", "+order)
	fact("coupons", itoa(d.Tries)+" at a joint at most; one that passes is enough")
	if slices.Contains(d.Kinds, drill.Live) {
		fact("", "by hand where the drill has it so, "+map[int]string{1: "at real speed", 2: "at half speed or more", 4: "at a quarter of the speed or more"}[d.Slowest])
		if d.Happens {
			fact("", "there something may happen that only its signs tell: a draught, a gap that opens")
		}
	}
	if slices.ContainsFunc(d.Kinds, drill.Asks) {
		fact("", "where a question is asked in place of a weld it is answered once")
	}
	fact("time", m.time())
	fact("hints", hints)
	fact("to pass", "accepted, and at least "+d.Marks())
	fact("result", file)
	out = append(out, nil)
	if m.resumed {
		out = append(out, paragraph("Goes on: "+standing(true, false, m.done, m.all)+". Closed for "+view.Spell(m.closed)+"; that is not working time, and it stands in the result.", w, inkStrong)...)
	}
	if m.interrupted {
		out = append(out, paragraph("! A coupon was being welded when this was closed. It is welded now, and counts.", w, inkWarn)...)
	}
	return append(out, paragraph("The clock starts with enter. esc at a joint leaves the joint or the drill; left or closed, the drill goes on another time where it was.", w, inkPlain)...)
}

// time says the limits.
func (m drillModel) time() string {
	var parts []string
	if m.d.PerJoint > 0 {
		parts = append(parts, view.Spell(m.d.PerJoint)+" at each joint")
	}
	if m.d.Whole > 0 {
		parts = append(parts, view.Spell(m.d.Whole)+" in all")
	}
	if parts == nil {
		return "no limit"
	}
	return strings.Join(parts, ", ")
}

// standing says how a learner stands.
func standing(begun, over bool, done, all int) string {
	switch {
	case !begun:
		return "not begun"
	case over:
		return "over"
	}
	return itoa(done) + " of " + view.Counted(all, "joint") + " done"
}

// overLines is the last page.
func overLines(run *drill.Run, file string, w int) []line {
	sum, away := run.Result().EndWords()
	out := append(paragraph(sum, w, inkStrong), paragraph(away, w, inkPlain)...)
	out = append(append(out, paragraph("The result is in "+file+".", w, inkPlain)...), nil)
	for _, sc := range run.Joints() {
		n, passed := run.Tries(sc.ID)
		what := "coupon"
		if drill.Asks(run.Kind(sc.ID)) {
			what = "question"
		}
		mark, in, words := "x", inkBad, "not passed, "+view.Counted(n, what)
		switch {
		case passed:
			mark, in, words = "+", inkGood, "passed, "+view.Counted(n, what)
		case n == 0:
			mark, in, words = "-", inkFaint, "not tried"
		}
		out = append(out, line{{mark + " ", in}, {padTo(sc.ID, 8), inkFaint}, {padTo(shorten(sc.Title, 40, "..."), 42), inkPlain}, {words, in}})
	}
	return out
}

// classModel is the learners of a class that takes turns, and how each stands.
type classModel struct {
	names  []string
	stands []stand
	cursor int
}

// stand is how a learner stands.
type stand struct {
	words string
	over  bool
	open  bool   // a turn may be taken
	why   string // it may not, where the drill is not over
}

func newClassModel(names []string) classModel {
	return classModel{names: names, stands: make([]stand, len(names))}
}

func (m *classModel) move(by int) { m.cursor = max(0, min(len(m.names)-1, m.cursor+by)) }

// next marks the first learner who may take a turn, from so many behind the marked one on.
func (m *classModel) next(from int) {
	for i := range m.names {
		if at := (m.cursor + from + i) % len(m.names); m.stands[at].open {
			m.cursor = at
			return
		}
	}
}

// lines lists as many learners as there are rows, the marked one among them.
func (m *classModel) lines(rows, w int, dots string) []line {
	long := 0
	for _, n := range m.names {
		long = max(long, min(width(n), w/2))
	}
	top := max(0, min(m.cursor-rows/2, len(m.names)-rows))
	var out []line
	for i := top; i < min(len(m.names), top+rows); i++ {
		mark, in := "  ", inkPlain
		if i == m.cursor {
			mark, in = "> ", inkFocus
		}
		out = append(out, line{{mark + padTo(shorten(m.names[i], long, dots), long+3), in}, {m.stands[i].words, inkFaint}})
	}
	return out
}
