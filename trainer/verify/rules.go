package verify

import (
	"fmt"
	"math"
	"slices"

	"puddlewise/scoring"
	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// Rules is what the trade's rules of thumb come out at when the model is asked: none of
// them is written into it.
type Rules struct {
	Amps      []AmpsRow
	Dabs      []DabsRow
	Published []PublishedRow
	Constants []Constant
}

// AmpsRow is the window of current of one metal on one joint, by wall.
type AmpsRow struct {
	Joint   weld.Joint
	Metal   weld.Metal
	Windows []Window // by wall, as ruleWalls
}

// Window is the current at which a coupon fuses and holds.
type Window struct {
	Wall   weld.Length
	Travel weld.Speed
	Range  scoring.HeatRange
	Err    error // why there is no answer
}

// Open says whether any current both fuses and holds.
func (w Window) Open() bool { return w.Err == nil && w.Range.Open() }

// Middle of the window.
func (w Window) Middle() weld.Current { return (w.Range.Low + w.Range.High) / 2 }

// PerThou gives the middle in A for each thousandth of an inch of the wall.
func (w Window) PerThou() float64 { return float64(w.Middle()) / (w.Wall.MM() / 0.0254) }

// DabsRow is the widest dab spacing of a joint, by gap.
type DabsRow struct {
	Joint weld.Joint
	Wall  weld.Length
	Dabs  []Dab // by gap, as ruleGaps
}

// Dab is the widest spacing that holds a gap.
type Dab struct {
	Gap     weld.Length
	Spacing weld.Length // zero: none does
	Stop    string      // id of the rule that stops a wider one; empty: none up to scoring.MostDab
	Err     error
}

// The walls and gaps of the tables.
var (
	ruleWalls = mms(0.9, 1.2, 1.6, 2.0, 2.5, 3.2)
	ruleGaps  = mms(0, 0.25, 0.5, 0.75, 1, 1.5)
	dabWalls  = mms(0.9, 1.6, 3.2)
)

func mms(mm ...float64) []weld.Length {
	out := make([]weld.Length, len(mm))
	for i, v := range mm {
		out[i] = weld.Length(v) * weld.Millimetre
	}
	return out
}

// The hand's pace: a butt of 1 mm at 180 mm/min, other walls with the root of the wall
// (common practice, no source); a fillet at four fifths of that, for the published
// stainless conditions have a T joint at 0.67 to 0.83 of a butt (rows C7 to C17).
const (
	paceAt1mm  = 180.0 // mm/min
	filletPace = 0.8
)

// handPace gives the travel at which a joint of the wall is welded, to 5 mm/min.
func handPace(j weld.Joint, wall weld.Length) weld.Speed {
	v := paceAt1mm / math.Sqrt(wall.MM())
	if j.Fillet() {
		v *= filletPace
	}
	return weld.Speed(5*math.Round(v/5)) * weld.MillimetrePerMin
}

// The coupon is the same for all: sheets 50 mm wide, a seam of 40 mm with 30 mm of metal
// beyond its ends, flat on the bench but an outside corner, which stands free.
const (
	couponWidth   = 50 * weld.Millimetre
	couponSeam    = 40 * weld.Millimetre
	couponRunOut  = 30 * weld.Millimetre
	couponOverlap = 15 * weld.Millimetre
)

// eased is what the foot leaves of the current by the end on aluminium, which heats
// through; other metals are welded at one current.
const eased = 0.8

// coupon gives a joint of the table, and a plain answer for it: the usual set-up, a rod
// of 0.8 wall but 1 to 2.4 mm, a fillet's arc 0.3 wall onto the base.
func coupon(j weld.Joint, m weld.Metal, wall weld.Length) (weld.Task, weld.Answer) {
	member := weld.Member{Metal: m, Thickness: wall, Width: couponWidth}
	t := weld.Task{
		Joint: j, Position: weld.PA, A: member, B: member, Seam: couponSeam, RunOut: couponRunOut,
		PartTemp: weld.Celsius(20), Chill: weld.OnBench, Surface: weld.BrightMetal,
	}
	a := weld.Defaults()
	a.Travel = handPace(j, wall)
	a.Rod = min(max(weld.Millimetre, wall*0.8), 2.4*weld.Millimetre)
	a.Aim = 0
	switch {
	case j.Fillet():
		t.Position, a.Aim = weld.PB, 0.3*wall
		if j == weld.LapFillet {
			t.Overlap = couponOverlap
		}
	case j == weld.OutsideCorner:
		t.Chill = weld.FreeInAir
	}
	if m.Family() == weld.Aluminium {
		a.Polarity = weld.AC
		a.AmpsEnd = eased * a.Amps
	}
	return t, a
}

func findWindow(t weld.Task, a weld.Answer, grade puddle.Grade, near scoring.HeatRange) Window {
	w := Window{Wall: t.Thinner(), Travel: a.Travel}
	w.Range, w.Err = scoring.FindHeatRange(t, a, grade, near)
	return w
}

// ruleJoints are the joints of the tables.
var ruleJoints = []weld.Joint{weld.SquareButt, weld.TeeFillet}

// ComputeRules asks the model for all of it: more than a thousand seams, half a minute
// on two cores.
func ComputeRules() (Rules, error) { return computeRules(func(string) bool { return true }) }

// computeRules welds only the wanted rows, named as they are printed: "tee fillet 304",
// "tee fillet 1.6 mm", "C7".
func computeRules(wanted func(row string) bool) (Rules, error) {
	r := Rules{Constants: constants()}
	var jobs []func()
	for _, j := range ruleJoints {
		for _, wall := range dabWalls {
			if wanted(fmt.Sprintf("%s %.1f mm", j, wall.MM())) {
				row := DabsRow{j, wall, make([]Dab, len(ruleGaps))}
				r.Dabs = append(r.Dabs, row)
				jobs = append(jobs, row.fill)
			}
		}
	}
	published, err := readPublished()
	if err != nil {
		return Rules{}, err
	}
	r.Published = slices.DeleteFunc(published, func(p PublishedRow) bool { return !wanted(p.ID) })
	for i := range r.Published {
		jobs = append(jobs, r.Published[i].weld)
	}
	for _, j := range ruleJoints {
		for _, m := range weld.Metals {
			if !wanted(fmt.Sprintf("%s %s", j, m)) {
				continue
			}
			row := AmpsRow{j, m, make([]Window, len(ruleWalls))}
			r.Amps = append(r.Amps, row)
			jobs = append(jobs, row.fill)
		}
	}
	parallel(len(jobs), func(i int) { jobs[i]() })
	return r, nil
}

// fill finds the row's windows, each looked for near the one before.
func (r AmpsRow) fill() {
	var near scoring.HeatRange
	for i, wall := range ruleWalls {
		t, a := coupon(r.Joint, r.Metal, wall)
		r.Windows[i] = findWindow(t, a, puddle.Coarse, near)
		if near = r.Windows[i].Range; i+1 < len(ruleWalls) {
			thicker := weld.Current(ruleWalls[i+1] / wall)
			near.Low, near.High = thicker*near.Low, thicker*near.High
		}
	}
}

// fill finds the row's dab spacings on carbon steel, at the middle of the tight joint's window.
func (r DabsRow) fill() {
	t, a := coupon(r.Joint, weld.CarbonSteel, r.Wall)
	w := findWindow(t, a, puddle.Coarse, scoring.HeatRange{})
	a.Amps = w.Middle()
	for i, gap := range ruleGaps {
		d := Dab{Gap: gap, Err: w.Err}
		if d.Err == nil {
			t.Gap, t.GapEnd = gap, gap
			d.Spacing, d.Stop, d.Err = scoring.FindDabSpacing(t, a)
		}
		if d.Spacing > 0 {
			a.DabSpacing = d.Spacing // a wider gap wants them closer: look on from here
		}
		r.Dabs[i] = d
	}
}
