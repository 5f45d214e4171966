package scenarios

import (
	"fmt"
	"hash/fnv"
	"math"
	"strconv"

	"puddlewise/scenarios/strict"
	"puddlewise/scoring/weld"
)

// Thing is something that may happen while the joint is welded live, and what it may be:
// texts as the file would have them.
type Thing struct {
	What  weld.Event
	At    []string // where along the seam it begins
	Much  []string // how much of it
	Over  weld.Length
	Lasts weld.Duration
}

// events says in which steps the strength of each is drawn, and the most of it. Common
// practice, no source.
var events = map[weld.Event]struct {
	unit        string
	step        float64
	parse       func(string) (float64, error) // in SI
	least, most string
	of          func(si float64) float64 // in the unit
}{
	weld.GustComes:  {"m/s", 0.1, speed, "0.1 m/s", "10 m/s", func(v float64) float64 { return v }},
	weld.GapOpens:   {"mm", 0.1, length, "0.1 mm", "2 mm", inMM},
	weld.DirtySpot:  {"s", 0.5, duration, "0.5 s", "10 s", func(v float64) float64 { return v }},
	weld.SheetLifts: {"mm", 0.1, length, "0.1 mm", "3 mm", inMM},
}

func inMM(v float64) float64 { return v / 1e-3 }

func speed(s string) (float64, error)    { v, err := weld.ParseSpeed(s); return float64(v), err }
func length(s string) (float64, error)   { v, err := weld.ParseLength(s); return float64(v), err }
func duration(s string) (float64, error) { v, err := weld.ParseDuration(s); return float64(v), err }

const (
	minOver, maxOver = weld.Millimetre, 100 * weld.Millimetre
	minLast, maxLast = weld.Duration(0.5), weld.Duration(20)
)

// happens reads what may happen while the joint is welded live.
func (r *reader) happens(v strict.Value) {
	list, _ := v.List(weld.MostHappenings)
	if r.s.Task.Joint == "" || r.s.Task.Seam == 0 { // wrong already
		return
	}
	for _, one := range list {
		if t, ok := r.thing(one); ok {
			r.s.Happens = append(r.s.Happens, t)
		}
	}
}

func (r *reader) thing(v strict.Value) (t Thing, ok bool) {
	task := r.s.Task
	m := v.Map("what", "at", "much", "over", "lasts")
	what := m.Need("what", "write one of: "+listed(weld.Events))
	if t.What, ok = word(what, weld.Events); !ok {
		return t, false
	}
	switch {
	case t.What == weld.GapOpens && task.Gap == 0 && task.GapEnd == 0:
		what.Fail("the joint has no gap that could open", "give the joint a gap, or leave this out")
		return t, false
	case t.What == weld.SheetLifts && task.Joint.Tube():
		what.Fail("a tube does not lift as a sheet does", "leave this out")
		return t, false
	}
	e := events[t.What]
	var ok1, ok2, ok3 bool
	t.At, ok1 = drawn(m.Need("at", "say where along the seam: 20 mm, or {from: 15 mm, to: 30 mm}"), "mm", 1, inMM, func(v strict.Value) (float64, bool) {
		q, ok := strict.Quantity(v, weld.ParseLength, 0, task.Seam)
		return float64(q), ok
	})
	t.Much, ok2 = drawn(m.Need("much", "say how much: 1 "+e.unit+", or a range {from: ..., to: ...}"), e.unit, e.step, e.of, func(v strict.Value) (float64, bool) {
		text, ok := v.Text()
		if !ok {
			return 0, false
		}
		q, err := e.parse(text)
		if err != nil {
			v.FailErr(err)
			return 0, false
		}
		lo, _ := e.parse(e.least)
		hi, _ := e.parse(e.most)
		if q < lo || q > hi {
			v.Fail(fmt.Sprintf("%s is outside what is taken: %s to %s", text, e.least, e.most), "")
			return 0, false
		}
		return q, true
	})
	if t.What == weld.GustComes {
		t.Lasts, ok3 = strict.Quantity(m.Need("lasts", "say how long it blows, such as 3 s"), weld.ParseDuration, minLast, maxLast)
		if over := m.Get("over"); over.Given() {
			over.Fail("a draught goes by time", "say lasts instead")
		}
	} else {
		over := m.Need("over", "say how long the stretch is, such as 10 mm")
		t.Over, ok3 = strict.Quantity(over, weld.ParseLength, minOver, maxOver)
		if lasts := m.Get("lasts"); lasts.Given() {
			lasts.Fail("only a draught goes by time", "say over instead")
		}
		if ok1 && ok3 {
			if last, _ := weld.ParseLength(t.At[len(t.At)-1]); last+t.Over > task.Seam+1e-9 {
				over.Fail(fmt.Sprintf("from %s over %s goes beyond the seam of %s", last, t.Over, task.Seam.Show(weld.Metric)), "")
				return t, false
			}
		}
	}
	return t, ok1 && ok2 && ok3
}

// drawn reads one value or a range, and gives what can be drawn of it in steps of a unit.
func drawn(v strict.Value, unit string, step float64, of func(si float64) float64, read func(strict.Value) (float64, bool)) ([]string, bool) {
	if !v.Given() {
		return nil, false
	}
	from, to := v, v
	if !v.Scalar() {
		m := v.Map("from", "to")
		from = m.Need("from", "write a range as {from: ..., to: ...}")
		to = m.Need("to", "write a range as {from: ..., to: ...}")
	}
	lo, ok := read(from)
	if !ok {
		return nil, false
	}
	hi := lo
	if !v.Scalar() {
		if hi, ok = read(to); !ok {
			return nil, false
		}
	}
	out := texts(of(lo), of(hi), step, unit)
	if len(out) == 0 {
		v.Fail("holds no whole step of "+strconv.FormatFloat(step, 'f', -1, 64)+" "+unit, "from is the least, to the most")
	}
	return out, len(out) > 0
}

// Befall gives the scenario with what happens at a seed when it is welded live; 0 for
// nothing. Pure whole-number arithmetic, the same everywhere: which of the things happen,
// at least one, where and how much of each stand in one row of cases, and seeds walk
// through it so that none comes twice before each has come once. A gap that a variation
// has closed does not open.
func (s Scenario) Befall(seed int64) Scenario {
	s.Happened, s.Task.Happens = seed, weld.Happenings{}
	if seed == 0 || len(s.Happens) == 0 {
		return s
	}
	which := uint64(1)<<len(s.Happens) - 1
	n := which
	for _, t := range s.Happens {
		n *= uint64(len(t.At)) * uint64(len(t.Much))
	}
	h := fnv.New64a()
	h.Write([]byte(s.ID + " happens"))
	at := (h.Sum64()%n + mulMod(uint64(seed)%n, coprime(n, 0.618), n)) % n
	next := func(of uint64) (i uint64) {
		n /= of
		i, at = at/n, at%n
		return i
	}
	which = 1 + next(which)
	k := 0
	for i, t := range s.Happens {
		place, much := t.At[next(uint64(len(t.At)))], t.Much[next(uint64(len(t.Much)))]
		if which>>i&1 == 0 || t.What == weld.GapOpens && s.Task.Gap == 0 && s.Task.GapEnd == 0 {
			continue
		}
		where, _ := weld.ParseLength(place) // every value was read once when the file was
		strength, _ := events[t.What].parse(much)
		s.Task.Happens[k] = weld.Happening{What: t.What, At: where, Over: t.Over, Lasts: t.Lasts, Much: strength}
		k++
	}
	return s
}

// WhatHappens tells what happens in a live run, exactly, a line for each thing.
func (s Scenario) WhatHappens() []string {
	var out []string
	for _, h := range s.Task.Happens {
		if h.What != "" {
			out = append(out, h.String())
		}
	}
	return out
}

// yaml writes a thing as a file has it.
func (t Thing) yaml() mapNode {
	m := newMap()
	m.text("what", string(t.What))
	for _, one := range []struct {
		key    string
		values []string
	}{{"at", t.At}, {"much", t.Much}} {
		if len(one.values) == 1 {
			m.text(one.key, one.values[0])
			continue
		}
		ends := newMap()
		ends.text("from", one.values[0])
		ends.text("to", one.values[len(one.values)-1])
		m.add(one.key, ends)
	}
	m.quantity("over", t.Over, 0)
	if t.Lasts != 0 {
		m.text("lasts", t.Lasts.String())
	}
	return m
}

// texts writes the whole steps between two values, both in the unit.
func texts(lo, hi, step float64, unit string) (out []string) {
	const slip = 1e-6 // of a step: what a limit loses on its way through SI
	for k := math.Ceil(lo/step - slip); k <= hi/step+slip; k++ {
		out = append(out, strconv.FormatFloat(math.Round(k*step*1000)/1000+0, 'f', -1, 64)+" "+unit)
	}
	return out
}
