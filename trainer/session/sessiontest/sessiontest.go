// Package sessiontest gives the front ends' tests joints and a judge they can
// predict: a stand-in that knows a few rules of thumb and no physics.
package sessiontest

import (
	"cmp"
	"errors"
	"fmt"
	"maps"
	"slices"
	"time"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/question"
)

// Time is when everything happens in tests.
var Time = time.Date(2026, 3, 2, 9, 30, 0, 0, time.UTC)

// Bank is three joints: a tee with a widening gap, a plain butt, an aluminium
// corner overhead with two hazards and many fields.
func Bank() []scenarios.Scenario {
	tee := scenarios.Scenario{
		ID: "T-01", Title: "Rail gusset, far end", Revision: 1, Level: 2, Skills: []string{"choosing amps", "dabbing on a gap"},
		Job:   "A gusset goes onto a trailer rail. The cut is not square, so the gap opens towards the far end.",
		Bench: "rods ER70S-2 1.2 and 1.6 mm, lanthanated tungsten 1.6 and 2.4 mm, cup 8 with lens",
		Task: weld.Task{
			Joint: weld.TeeFillet, Position: weld.PB,
			A:   weld.Member{Metal: weld.CarbonSteel, Thickness: 1.4 * weld.Millimetre, Width: 40 * weld.Millimetre},
			B:   weld.Member{Metal: weld.CarbonSteel, Thickness: 1.4 * weld.Millimetre, Width: 30 * weld.Millimetre},
			Gap: 0.5 * weld.Millimetre, GapEnd: 0.8 * weld.Millimetre, Seam: 60 * weld.Millimetre,
			Chill: weld.OnBench, PartTemp: weld.Celsius(20), Surface: weld.BrightMetal,
			Drawing: weld.Drawing{Leg: 2 * weld.Millimetre},
		},
		Given: weld.Defaults(), Model: with("dab", "1.5 mm"),
		Ask: []string{"amps", "travel", "dab", "direction"},
		Mistakes: []scenarios.Mistake{
			{Title: "as if there were no gap", Answer: with("dab", "3 mm"), Finding: "keyhole"},
			{Title: "timid", Answer: with("amps", "38 A"), Finding: "root_not_fused"},
			{Title: "tip pulled out of the gas", Answer: with("rod_tip", "25 mm"), Finding: "rod_tip_out"},
		},
		ModelWhy: "60 A fuses the root of 1.4 mm and the dabs come quickly enough for the gap.",
		Coaching: scenarios.Coaching{
			Look: "0.8 mm at the far end: would you do anything different there?",
			Why:  "An open gap takes metal before it takes heat.",
			Try:  "Dab more often before the gap opens, and ease the pedal as the part heats.",
		},
	}
	butt := tee
	butt.ID, butt.Title, butt.Level = "B-01", "Duct patch [flat]", 1
	butt.Skills = []string{"choosing amps", "purging a root"}
	butt.Job = "A patch is let into a duct, edge to edge."
	butt.Task.Joint, butt.Task.Position = weld.SquareButt, weld.PA
	butt.Task.A.Metal, butt.Task.B.Metal = weld.SS304, weld.SS304
	butt.Task.Gap, butt.Task.GapEnd, butt.Task.Drawing = 0, 0, weld.Drawing{FullPenetration: true, BrightRoot: true}
	butt.Ask = []string{"amps", "travel", "back"}
	butt.Hazards = []scenarios.Hazard{scenarios.StainlessFume}

	corner := tee
	corner.ID, corner.Title, corner.Level = "C-01", "Lid of a battery box", 4
	corner.Skills = []string{"choosing current type", "welding overhead"}
	corner.Job = "The lid of an aluminium box, already standing in its frame, is closed along its outer corner."
	corner.Access = "on your back under the frame, one elbow propped"
	corner.Task.Joint, corner.Task.Position = weld.OutsideCorner, weld.PE
	corner.Task.A.Metal, corner.Task.B.Metal = weld.Al5052, weld.Al5052
	corner.Task.A.Thickness, corner.Task.B.Thickness = 2*weld.Millimetre, 3*weld.Millimetre
	corner.Task.ClosedVolume, corner.Task.Gap, corner.Task.GapEnd = true, 0, 0
	corner.Task.Drawing = weld.Drawing{FullPenetration: true}
	corner.Ask = nil
	for _, f := range weld.Fields {
		corner.Ask = append(corner.Ask, f.Key)
	}
	corner.Hazards = []scenarios.Hazard{scenarios.AluminiumOzone, scenarios.ClosedSection, scenarios.Overhead}
	return []scenarios.Scenario{butt, corner, tee}
}

// with is the answer of a good hand with one setting changed.
func with(key, text string) weld.Answer {
	a := weld.Defaults()
	a.DabSpacing = 1.5 * weld.Millimetre
	f, _ := weld.FieldByKey(key)
	if err := f.SetStrict(&a, text); err != nil {
		panic("sessiontest: " + err.Error())
	}
	return a
}

// Around is what Bank leaves out: a fixed tube butt, a leaning branch welded down after
// another run, and an edge.
func Around() []scenarios.Scenario {
	butt := Joint("B-01")
	butt.ID, butt.Title, butt.Level = "P-01", "Rinse line, fixed joint", 4
	butt.Job = "A rinse line is closed where it hangs, in two halves."
	butt.Task.Joint, butt.Task.Position, butt.Task.Diameter = weld.TubeButt, weld.PH, 38.1*weld.Millimetre
	butt.Task.RunOut, butt.Task.Chill = 0, weld.FreeInAir
	butt.Task.Seam = butt.Task.Round().Run()
	butt.Hazards = append(butt.Hazards, scenarios.Overhead)

	branch := butt
	branch.ID, branch.Title, branch.Level = "S-01", "Kart frame, diagonal", 5
	branch.Job = "A diagonal runs into the side rail."
	t := &branch.Task
	t.Joint, t.Position, t.Diameter, t.Through, t.Branch = weld.TubeSaddle, weld.PJ, 25.4*weld.Millimetre, 38.1*weld.Millimetre, 60*weld.Degree
	t.A = weld.Member{Metal: weld.Steel4130, Thickness: 2 * weld.Millimetre, Width: 50 * weld.Millimetre}
	t.B = weld.Member{Metal: weld.Steel4130, Thickness: 1.6 * weld.Millimetre, Width: 60 * weld.Millimetre}
	t.Earlier, t.Drawing = 60, weld.Drawing{Leg: 2 * weld.Millimetre}
	t.Seam = t.Round().Run()
	branch.Hazards = []scenarios.Hazard{scenarios.Overhead}

	edge := Joint("B-01")
	edge.ID, edge.Title = "E-01", "Drain pan, lips"
	edge.Job = "Two lips are melted together."
	edge.Task.Joint, edge.Task.Drawing = weld.EdgeWeld, weld.Drawing{}
	return []scenarios.Scenario{butt, branch, edge}
}

// Joint gives the joint of the test bank with the id.
func Joint(id string) scenarios.Scenario {
	for _, sc := range Bank() {
		if sc.ID == id {
			return sc
		}
	}
	panic("sessiontest: no joint " + id)
}

// Judge accepts 45 to 70 A with dabs up to 2 mm apart, finds a hole above and a
// cold root below, and a keyhole where the dabs are too far apart for the gap.
// 400 A is out of range; 399 A cannot be welded at all; 398 A panics.
func Judge(t weld.Task, a weld.Answer) (scoring.Verdict, error) { return judge(t, a, 61) }

// judge gives the verdict with as many places along the seam.
func judge(t weld.Task, a weld.Answer, places int) (scoring.Verdict, error) {
	switch a.Amps {
	case 399:
		return scoring.Verdict{}, errors.New("the heat balance did not close: 2.0 % of the heat is lost")
	case 398:
		panic("the judge's own fault")
	}
	v := scoring.Verdict{
		Outcome: scoring.Accept, Reason: "sound along the whole seam",
		Scores: scoring.Scores{BurnThrough: 84, LackOfFusion: 90, Oxide: 81},
	}
	hot := float64(a.Amps) / 60
	c := &v.Coupon
	for i := range places {
		share := float64(i) / 60
		heat := hot * (0.85 + 0.3*share)
		c.Stations = append(c.Stations, scoring.Station{
			At:        weld.Length(float64(t.Seam) * share),
			FaceWidth: weld.Length(5e-3 * heat), BackWidth: weld.Length(max(0, 3e-3*(heat-0.9))), Penetration: heat,
			LegA: weld.Length(2.6e-3 * heat), LegB: weld.Length(2.3e-3 * heat), Throat: weld.Length(1.7e-3 * heat),
			Cap: 0.3 * weld.Millimetre, PeakFace: weld.Celsius(1900 * heat), PeakBack: weld.Celsius(1400 * heat),
			Colour: "bright", BackColour: "blue",
		})
	}
	c.Worst = c.Stations[0]
	end := c.Stations[places-1]
	c.Worst.BackWidth, c.Worst.PeakFace, c.Worst.PeakBack = end.BackWidth, end.PeakFace, end.PeakBack
	c.PeakTemperature, c.HeatInput, c.PoolLength = weld.Celsius(2100), 0.18, 6*weld.Millimetre
	sign := func(id string, from, to weld.Length) {
		for _, s := range scoring.SignIDs() {
			if s.ID == id {
				s.Strength, s.From, s.To = 1, from, to
				v.Signs = append(v.Signs, s)
			}
		}
	}
	sign("pool_shiny", 0, t.Seam)
	hole := func(from, to weld.Length) {
		c.Holes = append(c.Holes, scoring.Span{From: from, To: to})
		for i := range c.Stations {
			if s := &c.Stations[i]; s.At >= from && s.At <= to {
				s.Hole, s.Colour = true, "grey"
			}
		}
	}
	at := t.Seam * 47 / 60
	oxide := scoring.Finding{
		Rule: "back_air", Severity: scoring.Remark, Score: "oxide", Got: "the back saw air above 600 C", Want: "argon or tape on the back",
		Why: "Where the back melts it takes up oxygen unless something keeps the air away.", Fix: "purge or tape the back", Source: "model",
	}
	switch {
	case a.Amps >= 400:
		return scoring.Verdict{Outcome: scoring.OutOfRange, Reason: "400 A on 1.4 mm is outside what the model has been checked for"}, nil
	case a.Amps > 70:
		hole(at-4e-3, at+2e-3)
		v.Outcome, v.Reason, v.Scores.BurnThrough = scoring.Reject, "burnt through at 43 to 49 mm", 12
		sign("pool_sunken", at-8e-3, at-4e-3)
		sign("hole", at-4e-3, at+2e-3)
		v.Findings = []scoring.Finding{{
			Rule: "collapse", Severity: scoring.Defect, From: at - 4e-3, To: at + 2e-3, Score: "burn-through",
			Got: fmt.Sprintf("pool 6.3 mm wide at the back of a 1.4 mm wall at %s", a.Amps.Show(weld.Metric)), Want: "3.5 walls, 4.9 mm, at the most",
			Why: "The pool hung through further than its skin can carry.", Fix: "fewer amps, or travel faster", Source: "model",
		}, oxide}
	case a.Amps < 45:
		v.Outcome, v.Reason, v.Scores.LackOfFusion = scoring.Reject, "the root is not fused", 20
		sign("root_dark", 0, t.Seam)
		v.Findings = []scoring.Finding{{
			Rule: "root_not_fused", Severity: scoring.Defect, From: 0, To: t.Seam, Score: "lack of fusion",
			Got: "root fused 55 %", Want: "100 % all along", Why: "The corner drew the heat away faster than the arc gave it.", Fix: "more amps", Source: "model",
		}}
	case !a.Cleaned || a.Start == weld.GoAtOnce || a.PostFlow == 0:
		rule, why := "post_flow_short", "The crater was hot when the gas stopped."
		if a.Start == weld.GoAtOnce {
			rule, why = "cold_start", "There was no pool yet."
		}
		if !a.Cleaned {
			rule, why = "dirty_metal", "What was on the metal went into the pool."
		}
		v.Outcome, v.Reason, v.Scores.Oxide = scoring.Reject, why, 20
		v.Findings = []scoring.Finding{{Rule: rule, Severity: scoring.Defect, To: t.Seam, Why: why, Source: "model"}}
	case a.RodWithdrawn > 20*weld.Millimetre:
		v.Outcome, v.Reason, v.Scores.Oxide = scoring.Reject, "the rod's hot tip left the gas", 16
		sign("rod_black", 0, t.Seam)
		v.Findings = []scoring.Finding{{
			Rule: "rod_tip_out", Severity: scoring.Defect, From: 0, To: t.Seam, Score: "oxide",
			Got: "25 mm out", Want: "13 mm or less", Why: "The hot tip took up air between the dabs.", Fix: "keep the tip in the gas", Source: "model",
		}}
	case a.DabSpacing > 2*weld.Millimetre && t.GapEnd > 0:
		hole(at-1e-3, at+2e-3)
		v.Outcome, v.Reason, v.Scores.BurnThrough = scoring.Reject, "a keyhole opened at 47 mm and was not closed", 31
		sign("keyhole", at-3e-3, at-1e-3)
		sign("hole", at-1e-3, at+2e-3)
		sign("crater_hollow", t.Seam, t.Seam)
		v.Findings = []scoring.Finding{{
			Rule: "keyhole", Severity: scoring.Defect, From: at - 1e-3, To: at + 2e-3, Score: "burn-through",
			Got: "gap 0.8 mm, " + a.DabSpacing.Show(weld.Metric) + " since the last dab", Want: "1.5 mm or less at this gap",
			Why: "A molten slot longer than the wall can bridge rounds into a hole.", Fix: "dab every 1.5 mm towards the far end", Source: "model",
		}, {
			Rule: "crater", Severity: scoring.Fault, From: t.Seam - 2e-3, To: t.Seam,
			Got: "0.4 mm deep", Want: "filled", Why: "The last of the pool shrank with nothing to feed it.", Fix: "one more dab and a longer slope down", Source: "model",
		}, oxide, {
			Rule: "distortion", Severity: scoring.Remark, Got: "0.6 mm over the seam", Want: "less than the drawing's 1 mm",
			Why: "The web pulls towards the bead as it shrinks.", Fix: "tack both sides", Source: "common practice, no source",
		}}
	}
	return v, nil
}

// Save finds that 60 A with a dab every 1.5 mm, and no faster than 400 mm/min, is
// accepted, for joints that ask for all three and only there.
func Save(t weld.Task, a weld.Answer, fields []string, _ weld.System, par scoring.Parallel) (scoring.Rescue, bool) {
	r := scoring.Rescue{Answer: a}
	for _, good := range [][2]string{{"amps", "60 A"}, {"travel", "120 mm/min"}, {"dab", "1.5 mm"}} {
		key, text := good[0], good[1]
		f, _ := weld.FieldByKey(key)
		if !slices.Contains(fields, key) {
			return scoring.Rescue{}, false
		}
		if key == "amps" && a.Amps >= 45 && a.Amps <= 70 || key == "travel" && a.Travel <= 400*weld.MillimetrePerMin || f.Get(a) == text {
			continue
		}
		if err := f.SetStrict(&r.Answer, text); err != nil {
			return scoring.Rescue{}, false
		}
		r.Changes = append(r.Changes, scoring.Change{Field: f, From: f.Get(a), To: text})
	}
	var err error
	par(1, func(int) { r.Verdict, err = Judge(t, r.Answer) })
	return r, err == nil
}

// SaveRun finds that a hand should hold two amps less.
func SaveRun(r scoring.HandRun, _ weld.System, _ scoring.Parallel) (scoring.HandRescue, bool) {
	c := scoring.HandChange{Move: scoring.HandPedal, From: 3e-3, Second: 3.2, Was: float64(r.Set.Amps), Now: float64(r.Set.Amps) - 2}
	return scoring.HandRescue{Changes: []scoring.HandChange{c}, Inputs: r.Inputs, Steps: r.Steps, Verdict: scoring.Verdict{Outcome: scoring.Accept, Scores: scoring.Scores{BurnThrough: 60, LackOfFusion: 70, Oxide: 80}}}, true
}

// DabTime gives eight tenths of a second, one second after the dab before.
func DabTime(_ scoring.HandRun, after int) (scoring.DabTime, error) {
	return scoring.DabTime{Ready: after + 25, Late: after + 45, Sign: "keyhole"}, nil
}

// Map judges every point of a window of two settings.
func Map(t weld.Task, a weld.Answer, x, y string, par scoring.Parallel) (*scoring.Window, error) {
	if !scoring.Mappable(a, x) || !scoring.Mappable(a, y) {
		return nil, errors.New("there is no window around that")
	}
	w := &scoring.Window{}
	w.X, _ = weld.FieldByKey(x)
	w.Y, _ = weld.FieldByKey(y)
	w.X0, _ = w.X.Value(a)
	w.Y0, _ = w.Y.Value(a)
	for i := range scoring.WindowX {
		w.Xs = append(w.Xs, w.X0*(1+0.9*float64(i-17)/(scoring.WindowX-1)))
	}
	w.Regions = make([][]scoring.Region, scoring.WindowY)
	for i := range w.Regions {
		w.Ys = append(w.Ys, w.Y0*(1+0.9*float64(i-11)/(scoring.WindowY-1)))
		w.Regions[i] = make([]scoring.Region, scoring.WindowX)
	}
	par(scoring.WindowY, func(r int) {
		for c := range w.Xs {
			b := a
			w.X.SetValue(&b, w.Xs[c])
			w.Y.SetValue(&b, w.Ys[r])
			w.Regions[r][c] = region(t, b)
		}
	})
	return w, nil
}

func region(t weld.Task, a weld.Answer) scoring.Region {
	switch v, err := judge(t, a, 1); {
	case err != nil || v.Outcome == scoring.OutOfRange:
		return scoring.Unknown
	case v.Outcome == scoring.Accept:
		return scoring.Good
	case v.Scores.LackOfFusion < scoring.Limit:
		return scoring.Cold
	}
	return scoring.Through
}

// Recorder keeps attempts and drafts in memory, or fails with Err.
type Recorder struct {
	Attempts []session.Attempt
	Asked    []session.Answered
	Typed    map[string]session.Draft // by learner/joint
	Err      error
}

// Add keeps the attempt.
func (r *Recorder) Add(a session.Attempt) error {
	if r.Err != nil {
		return r.Err
	}
	r.Attempts = append(r.Attempts, a)
	return nil
}

// AddAnswered keeps the answered question.
func (r *Recorder) AddAnswered(a session.Answered) error {
	if r.Err != nil {
		return r.Err
	}
	r.Asked = append(r.Asked, a)
	return nil
}

// Answered gives the learner's last answered questions.
func (r *Recorder) Answered(learner string, n int) (out []session.Answered, err error) {
	for _, a := range r.Asked {
		if a.Learner == learner {
			out = append(out, a)
		}
	}
	return out[max(0, len(out)-n):], nil
}

// KeepDraft keeps the draft.
func (r *Recorder) KeepDraft(d session.Draft) error {
	if r.Err != nil {
		return r.Err
	}
	if r.Typed == nil {
		r.Typed = map[string]session.Draft{}
	}
	r.Typed[d.Learner+"/"+scenarios.Name(d.Scenario, d.Seed)] = d
	return nil
}

// DropDraft forgets the draft.
func (r *Recorder) DropDraft(learner, scenario string, seed int64) error {
	delete(r.Typed, learner+"/"+scenarios.Name(scenario, seed))
	return r.Err
}

// Drafts gives the learner's drafts, newest first.
func (r *Recorder) Drafts(learner string) ([]session.Draft, error) {
	all := slices.SortedFunc(maps.Values(r.Typed), func(a, b session.Draft) int {
		return cmp.Or(b.At.Compare(a.At), cmp.Compare(a.Scenario, b.Scenario))
	})
	return slices.DeleteFunc(all, func(d session.Draft) bool { return d.Learner != learner }), nil
}

// Standings says how the learner's joints stand.
func (r *Recorder) Standings(learner string) ([]session.Standing, error) {
	return Standings(r.briefs(learner)), nil
}

// Recent gives the learner's last attempts in brief.
func (r *Recorder) Recent(learner string, n int) ([]session.Brief, error) {
	all := r.briefs(learner)
	return all[max(0, len(all)-n):], nil
}

func (r *Recorder) briefs(learner string) (out []session.Brief) {
	for _, a := range r.Attempts {
		if a.Learner == learner {
			out = append(out, session.NewBrief(a))
		}
	}
	return out
}

// Standings counts coupons, oldest first, by joint, in the order of ids.
func Standings(coupons []session.Brief) (out []session.Standing) {
	all := map[string]session.Standing{}
	for _, b := range coupons {
		st := all[b.Scenario]
		st.Tried, st.Last = st.Tried+1, b
		if b.Outcome == scoring.Accept {
			st.Accepted++
		}
		all[b.Scenario] = st
	}
	for _, id := range slices.Sorted(maps.Keys(all)) {
		out = append(out, all[id])
	}
	return out
}

// Before gives the last attempt at a joint before a time.
func (r *Recorder) Before(learner, scenario string, at time.Time) (a session.Attempt, ok bool, err error) {
	for _, x := range r.Attempts {
		if x.Learner == learner && x.Scenario == scenario && x.At.Before(at) {
			a, ok = x, true
		}
	}
	return a, ok, nil
}

// Attempt gives an attempt by its id.
func (r *Recorder) Attempt(id string) (session.Attempt, error) {
	for _, a := range r.Attempts {
		if a.ID == id {
			return a, nil
		}
	}
	return session.Attempt{}, fmt.Errorf("no attempt %q", id)
}

// Desk makes questions of Bank under the stand-in judge, and records into rec unless it is nil.
func Desk(rec *Recorder) *question.Desk {
	n := 0
	d := &question.Desk{
		Bank: Bank(), Judge: Judge, Estimate: Judge, Save: Save, Papers: []question.Paper{Paper()},
		Now:   func() time.Time { return Time },
		NewID: func() string { n++; return fmt.Sprintf("answer-%d", n) },
	}
	if rec != nil {
		d.Answers = rec
	}
	return d
}

// Paper is a procedure that allows 45 to 70 A, dabs up to 2 mm apart and pushing; other
// dabs need a procedure of their own.
func Paper() question.Paper {
	return question.Paper{ID: "PX-01", Title: "thin sheet", Held: func(t weld.Task, a weld.Answer, sys weld.System) []question.Line {
		then := func(ok bool, not question.Then) question.Then {
			if ok {
				return question.Allowed
			}
			return not
		}
		return []question.Line{
			{Variable: "joint", Have: string(t.Joint), May: string(t.Joint), Then: question.Allowed},
			{Variable: "amps", Have: a.Amps.Show(sys), May: "45 A to 70 A", Then: then(a.Amps >= 45 && a.Amps <= 70, question.Outside)},
			{Variable: "dab every", Have: a.DabSpacing.Show(sys), May: "1 mm to 2 mm", Then: then(a.DabSpacing <= 2*weld.Millimetre, question.NewOne)},
			{Variable: "lean", Have: string(a.Direction), May: "push", Then: then(a.Direction == weld.Push, question.Outside)},
		}
	}}
}

// Options is a session's surroundings with a fixed clock and counted ids. A
// recorder that keeps drafts is given them too.
func Options(rec session.Recorder) session.Options {
	n := 0
	drafts, _ := rec.(session.Drafts)
	return session.Options{
		Judge: Judge, Save: Save, SaveRun: SaveRun, DabTime: DabTime, Map: Map, Recorder: rec, Drafts: drafts, System: weld.Metric, Learner: "apprentice", Mode: "self-study",
		Now:   func() time.Time { return Time },
		NewID: func() string { n++; return fmt.Sprintf("test-%d", n) },
	}
}
