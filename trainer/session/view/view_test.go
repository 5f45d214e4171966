package view

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/sessiontest"
)

func fact(t *testing.T, fs []Fact, label string) string {
	t.Helper()
	for _, f := range fs {
		if f.Label == label {
			return f.Text
		}
	}
	t.Fatalf("no fact %q in %v", label, fs)
	return ""
}

func TestJointSheet(t *testing.T) {
	tee := JointSheet(sessiontest.Joint("T-01"), weld.Metric)
	assert.Equal(t, "tee fillet, PB / 2F", tee.Position)
	assert.Equal(t, "carbon steel, 1.4 mm both members", fact(t, tee.Facts, "metal"))
	assert.Equal(t, "0.5 mm at the start, 0.8 mm at the end", fact(t, tee.Facts, "gap"))
	assert.Equal(t, "leg 2 mm at least, root fused, far sides not melted through", fact(t, tee.Facts, "drawing"))
	assert.Equal(t, "DCEN, wait for the pool at the start, slope down 2 s", fact(t, tee.Given, "machine"))
	assert.Empty(t, tee.Cautions)

	corner := JointSheet(sessiontest.Joint("C-01"), weld.Imperial)
	assert.Equal(t, "5052, flat side 0.079 in, standing side 0.118 in", fact(t, corner.Facts, "metal"))
	assert.Equal(t, "none, tight all along", fact(t, corner.Facts, "gap"))
	assert.Contains(t, fact(t, corner.Facts, "air"), "closes a hollow")
	assert.Len(t, corner.Cautions, 3)
	assert.Empty(t, corner.Given, "everything is asked")
}

func TestWhatIsAskedIsNotGiven(t *testing.T) {
	sc := sessiontest.Joint("T-01")
	sc.Ask = []string{"polarity", "filler"}
	sc.Given.Polarity, sc.Given.Filler = weld.AC, weld.NoFiller
	text := ""
	for _, f := range JointSheet(sc, weld.Metric).Given {
		text += f.Label + " " + f.Text + "; "
	}
	assert.NotContains(t, text, "none", "the given value of an asked field must not leak")
	assert.Contains(t, text, "dab every")
}

func TestAllowed(t *testing.T) {
	for _, c := range []struct {
		key  string
		sys  weld.System
		want string
	}{
		{"amps", weld.Metric, "1 to 400 A"},
		{"travel", weld.Imperial, "0.2 to 59.1 ipm"},
		{"cup", weld.Metric, "4 to 16"},
		{"direction", weld.Metric, "push, drag"},
	} {
		f, ok := weld.FieldByKey(c.key)
		require.True(t, ok)
		assert.Equal(t, c.want, Allowed(f, c.sys))
	}
}

func TestFind(t *testing.T) {
	ids := func(q string) (out []string) {
		for _, sc := range Find(sessiontest.Bank(), q, weld.Metric) {
			out = append(out, sc.ID)
		}
		return out
	}
	assert.Equal(t, []string{"B-01", "C-01", "T-01"}, ids(""))
	assert.Equal(t, []string{"T-01"}, ids("t-01"))
	assert.Equal(t, []string{"B-01"}, ids("304 butt"))
	assert.Equal(t, []string{"C-01"}, ids("2/3 mm"))
	assert.Nil(t, ids("304 tee"))
}

func TestSectionIsToScaleAndHangsAsWelded(t *testing.T) {
	area := func(s Section, k Kind) (mm2 float64) {
		const d = 0.05
		for y := s.Lo.Y; y < s.Hi.Y; y += d {
			for z := s.Lo.Z; z < s.Hi.Z; z += d {
				if s.KindAt(Point{y + d/2, z + d/2}) == k {
					mm2 += d * d
				}
			}
		}
		return mm2
	}
	tee := sessiontest.Joint("T-01").Task
	s := JointSection(tee, SectionOptions{})
	assert.Equal(t, MemberA, s.KindAt(Point{1, -0.7}))
	assert.Equal(t, Air, s.KindAt(Point{1, -1.5}), "the base is 1.4 mm thick")
	assert.Equal(t, Air, s.KindAt(Point{-0.7, 0.25}), "the gap is open")
	assert.Equal(t, MemberB, s.KindAt(Point{-0.7, 0.55}))
	far := JointSection(tee, SectionOptions{At: tee.Seam})
	assert.Equal(t, Air, far.KindAt(Point{-0.7, 0.75}), "the gap has grown")
	assert.InDelta(t, area(s, MemberB), area(far, MemberB), 0.1)
	wide := JointSection(tee, SectionOptions{MinGap: 2})
	assert.Equal(t, Air, wide.KindAt(Point{-0.7, 1.9}))

	butt := sessiontest.Joint("B-01").Task
	for _, c := range []struct {
		pos    weld.Position
		toward Point
		along  bool
	}{
		{weld.PA, Point{0, 1}, false}, {weld.PC, Point{1, 0}, false}, {weld.PE, Point{0, -1}, false}, {weld.PF, Point{0, 1}, true},
	} {
		butt.Position = c.pos
		s := JointSection(butt, SectionOptions{})
		assert.InDelta(t, c.toward.Y, s.Toward.Y, 1e-9, c.pos)
		assert.InDelta(t, c.toward.Z, s.Toward.Z, 1e-9, c.pos)
		assert.Equal(t, c.along, s.AlongGravity, c.pos)
	}

	tee.Position = weld.PA
	s = JointSection(tee, SectionOptions{})
	assert.InDelta(t, 1, s.Toward.Z, 1e-9, "a flat fillet lies in a trough, torch upright")
	tee.Position = weld.PB
	s = JointSection(tee, SectionOptions{Torch: &Torch{Work: 30 * weld.Degree, Arc: 2e-3, Dia: 1.6e-3, Tip: 30 * weld.Degree}})
	assert.InDelta(t, math.Cos(math.Pi/6), s.Toward.Y, 1e-9)
	along := func(d float64) Point { return Point{d * s.Toward.Y, d * s.Toward.Z} }
	assert.Equal(t, Air, s.KindAt(along(1.9)), "the arc is 2 mm long")
	assert.Equal(t, Tungsten, s.KindAt(along(2.1)))
}

func TestTorchShowsOnlyWhatIsDecided(t *testing.T) {
	a := weld.Defaults()
	a.WorkAngle, a.ArcLength = 30*weld.Degree, 4*weld.Millimetre
	assert.Equal(t, PlainTorch, TorchOf(a, func(string) bool { return false }))
	got := TorchOf(a, func(key string) bool { return key == "work_angle" })
	assert.Equal(t, a.WorkAngle, got.Work)
	assert.Equal(t, PlainTorch.Arc, got.Arc)
	assert.Equal(t, a.ArcLength, TorchOf(a, func(string) bool { return true }).Arc)
}

func TestSectionOfEveryJoint(t *testing.T) {
	st := scoring.Station{
		FaceWidth: 5e-3, BackWidth: 2e-3, Penetration: 1, LegA: 2.5e-3, LegB: 2.5e-3, Throat: 1.7e-3, Cap: 0.3e-3,
	}
	for _, j := range weld.Joints {
		for _, pos := range weld.Positions {
			task := sessiontest.Joint("T-01").Task
			task.Joint, task.Position = j, pos
			for _, change := range []func(*scoring.Station){
				func(*scoring.Station) {}, func(s *scoring.Station) { s.Penetration = 0.4 }, func(s *scoring.Station) { s.Cap = -0.2e-3 },
				func(s *scoring.Station) { s.Hole = true }, func(s *scoring.Station) { *s = scoring.Station{} },
			} {
				st := st
				change(&st)
				s := JointSection(task, SectionOptions{Coupon: &st, Torch: &PlainTorch})
				assert.Less(t, s.Lo.Y, s.Hi.Y)
				assert.False(t, math.IsNaN(s.Lo.Y+s.Hi.Y+s.Lo.Z+s.Hi.Z+s.Toward.Y), "%s %s", j, pos)
			}
			for _, w := range SectionWords(task, weld.Metric) {
				assert.NotContains(t, w, "%!")
			}
		}
	}
	assert.NotPanics(t, func() { JointSection(weld.Task{}, SectionOptions{}) })
}

// welded gives a verdict of the test judge.
func welded(t *testing.T, amps, dab string) (weld.Task, scoring.Verdict) {
	t.Helper()
	task := sessiontest.Joint("T-01").Task
	a := weld.Defaults()
	for key, text := range map[string]string{"amps": amps, "dab": dab} {
		f, _ := weld.FieldByKey(key)
		require.NoError(t, f.Set(&a, text, weld.Metric))
	}
	v, err := sessiontest.Judge(task, a)
	require.NoError(t, err)
	return task, v
}

func TestHolesNeverFallBetweenSamples(t *testing.T) {
	task, v := welded(t, "60", "3")
	for _, n := range []int{3, 7, 20, 68, 190} {
		var holes int
		for _, c := range Columns(v.Coupon, task.Seam, n) {
			if c.Hole {
				holes++
			}
		}
		assert.Positive(t, holes, n)
	}
	rows := Table(task, v.Coupon, 5, weld.Metric)
	require.Len(t, rows, 5)
	assert.Equal(t, TableRow{"0 mm", "4.25 mm", "0 mm", "85 %", "bright", ""}, rows[0])
	assert.Equal(t, "hole near", rows[3].Note)
	assert.Equal(t, "hole", Table(task, v.Coupon, 61, weld.Metric)[47].Face)
	assert.InDelta(t, 47.5, WorstPlace(v, task.Seam).MM(), 1e-9)
	assert.Nil(t, Columns(scoring.Coupon{}, task.Seam, 10))
	assert.Nil(t, Table(task, scoring.Coupon{}, 10, weld.Metric))
}

func TestCouponWords(t *testing.T) {
	task, v := welded(t, "60", "3")
	text := strings.Join(CouponWords(task, v, weld.Metric), "\n")
	for _, want := range []string{
		"Face width: 4.25 mm at the least (at 0 mm) to 5.75 mm at the most (at 60 mm).",
		"Leg on the base", "Root fused: at least 85 %, at 0 mm.", "A hole from 46 mm to 49 mm.", "The face is grey from 46 mm to 49 mm.", "Hottest: 2100 C.",
	} {
		assert.Contains(t, text, want)
	}
	assert.NotContains(t, text, "keyhole", "the coupon is looked at before it is explained")
	assert.Equal(t, []string{"There is no coupon to look at."}, CouponWords(task, scoring.Verdict{}, weld.Metric))
}

func TestMeasuresKeepTheirNames(t *testing.T) {
	for _, j := range weld.Joints {
		a, b := Measures(j, scoring.Station{}, weld.Metric), Measures(j, scoring.Station{Hole: true, LegA: 1, PeakFace: 2000, Cap: -1}, weld.Imperial)
		require.Len(t, b, len(a))
		for i := range a {
			assert.Equal(t, a[i].Name, b[i].Name)
		}
	}
}

func TestScores(t *testing.T) {
	v := scoring.Verdict{Outcome: scoring.Reject, Scores: scoring.Scores{BurnThrough: 49.999, LackOfFusion: 50, Oxide: 140}}
	assert.Equal(t, []Score{{"burn-through", 49, false}, {"lack of fusion", 50, true}, {"oxide", 100, true}}, Scores(v))
	v.Outcome = scoring.OutOfRange
	assert.Nil(t, Scores(v))
}

func TestFindings(t *testing.T) {
	_, v := welded(t, "60", "3")
	few, more := Findings(v, false)
	assert.Len(t, few, 3)
	assert.Equal(t, 1, more)
	all, more := Findings(v, true)
	assert.Len(t, all, 4)
	assert.Zero(t, more)
	assert.Equal(t, "keyhole, 46 to 49 mm", FindingHead(weld.Task{Seam: 60 * weld.Millimetre}, v.Findings[0], weld.Metric))
	assert.Equal(t, "air at the back", FindingHead(weld.Task{Seam: 60 * weld.Millimetre}, v.Findings[2], weld.Metric))
}

func TestRescueWords(t *testing.T) {
	r := &scoring.Rescue{Answer: weld.Defaults(), Verdict: scoring.Verdict{Outcome: scoring.Accept, Scores: scoring.Scores{BurnThrough: 61.9, LackOfFusion: 55, Oxide: 80}}}
	move := func(key, from, to string) {
		f, ok := weld.FieldByKey(key)
		require.True(t, ok)
		require.NoError(t, f.SetStrict(&r.Answer, to))
		r.Changes = append(r.Changes, scoring.Change{Field: f, From: from, To: to})
	}
	move("dab", "0.125 in", "0.0625 in")
	assert.Equal(t, []string{"dab every 0.125 in (1/8) -> 0.063 in (1/16): burn-through 61, lack of fusion 55, oxide 80"}, RescueWords(r, weld.Imperial))
	move("flow", "4 L/min", "8 L/min")
	assert.Equal(t, []string{"dab every 3.18 mm -> 1.59 mm; gas flow 4 L/min -> 8 L/min: burn-through 61, lack of fusion 55, oxide 80"}, RescueWords(r, weld.Metric))
	move("cleaned", "no", "yes")
	assert.Equal(t, []string{
		"three things at once, the worst fault's first; no one or two were found:",
		"1. dab every 3.18 mm -> 1.59 mm", "2. gas flow 4 L/min -> 8 L/min", "3. cleaned no -> yes",
		"then burn-through 61, lack of fusion 55, oxide 80",
	}, RescueWords(r, weld.Metric))
	assert.Contains(t, strings.Join(RescueWords(nil, weld.Metric), ""), "no change of what was asked")
}

func TestGuessWords(t *testing.T) {
	say := func(rule, truth string, hit session.Hit) string {
		return GuessWords(session.Guess{Cause: session.Cause{Rule: rule}, Hit: hit, Truth: truth})
	}
	assert.Equal(t, "You said keyhole: yes, that decided it.", say("keyhole", "keyhole", session.Decisive))
	assert.Equal(t, "You said it is good, and it is.", say(session.Nothing, session.Nothing, session.Decisive))
	assert.Equal(t, "You said oxide: it is there too, but keyhole decided it.", say("oxide", "keyhole", session.Present))
	assert.Equal(t, "You said oxide: it is there, but the coupon is accepted all the same.", say("oxide", session.Nothing, session.Present))
	assert.Equal(t, "You said it is good, but keyhole rejects it.", say(session.Nothing, "keyhole", session.Missed))
	assert.Equal(t, "You said undercut: close, it was long arc.", say("undercut", "long_arc", session.Close))
	mend := session.Guess{Cause: session.Cause{Rule: session.Nothing}, Hit: session.Decisive, Truth: session.Nothing, Mend: "crater"}
	assert.Equal(t, "You said it is good. It is accepted; what to mend all the same: crater.", GuessWords(mend))
	mend.Cause.Rule, mend.Hit = "crater", session.Present
	assert.Equal(t, "You said crater: yes, that is what to mend. The coupon is accepted all the same.", GuessWords(mend))
	assert.Equal(t, "You said oxide, but this coupon is good.", say("oxide", session.Nothing, session.Missed))
	assert.Equal(t, "You said undercut: no sign of it; it was keyhole.", say("undercut", "keyhole", session.Missed))
}

func TestTheModelsSentencesInTheLearnersUnits(t *testing.T) {
	const s = "keyhole: gap 1 mm, 3 mm bare at 1500 C; 25 to 50 mm, 9 L/min, 120 mm/min, 0.7 m/s; ER70S-2, 60 A, 12 s"
	assert.Equal(t, s, Said(s, weld.Metric))
	assert.Equal(t, "keyhole: gap 0.039 in, 0.118 in bare at 2732 F; 0.984 to 1.969 in, 19 cfh, 4.7 ipm, 138 ft/min; ER70S-2, 60 A, 12 s", Said(s, weld.Imperial))
}

func TestNumbersKeepTheirUnits(t *testing.T) {
	assert.Equal(t, []string{"gap", "0.8 mm,", "3 mm", "since", "60", "then", "(1500 C);", "50 %"}, Words("gap 0.8 mm, 3 mm since 60 then (1500 C); 50 %"))
	assert.Nil(t, Words("  "))
}

// What was to be seen is told in the order a welder looks, with its place; what it
// means is told with the finding it is evidence of, and otherwise by itself.
func TestSigns(t *testing.T) {
	sign := func(id string, strength float64, from, to weld.Length) scoring.Sign {
		for _, s := range scoring.SignIDs() {
			if s.ID == id {
				s.Strength, s.From, s.To = strength, from, to
				return s
			}
		}
		t.Fatalf("no sign %s", id)
		return scoring.Sign{}
	}
	const seam = 50 * weld.Millimetre
	v := scoring.Verdict{
		Outcome: scoring.Reject, Reason: "root not fused: at 10 mm the corner reached 1200 C",
		Findings: []scoring.Finding{{Rule: "root_not_fused", Severity: scoring.Defect, From: 2e-3, To: 20e-3,
			Got: "root at 1200 C", Want: "1500 C", Why: "root not fused: at 10 mm the corner reached 1200 C", Fix: "more current", Source: "model"}},
		Signs: []scoring.Sign{
			sign("cold_toes", 1, 2e-3, 20e-3), sign("pool_shiny", 0.9, 0, seam),
			sign("root_dark", 0.4, 2e-3, 20e-3), sign("far_side_glow", 1, 30e-3, 30e-3),
		},
	}
	task := weld.Task{Seam: seam}
	told := func(ss []Seen) (out []string) {
		for _, s := range ss {
			for _, sign := range s.Signs {
				out = append(out, s.Place+": "+sign.Text)
			}
		}
		return out
	}
	assert.Equal(t, []string{
		"pool: bright as a mirror, flows out to both edges",
		"pool: a dark line stays in the corner under the arc, a little, 2 to 20 mm",
		"bead: lies on the metal with round toes, 2 to 20 mm",
		"back: glows, at 30 mm",
	}, told(Signs(task, v, weld.Metric)))
	assert.Equal(t, []string{
		"pool: bright as a mirror, flows out to both edges", "pool: a dark line stays in the corner under the arc, a little",
	}, told(SignsAt(task, v, 19e-3, weld.Metric)), "where the arc is, and no bead before it is made")
	assert.Len(t, told(SignsAt(task, v, 30e-3, weld.Metric)), 1)

	e := Explain(task, v, false, weld.Imperial)
	require.Len(t, e.Findings, 1)
	assert.Equal(t, []Fact{
		{"got", "root at 2192 F"}, {"want", "2732 F"}, {"fix", "more current"},
		{"seen", "pool: a dark line stays in the corner under the arc, a little, 0.079 to 0.787 in (the faces are molten, the root is not)"},
		{"seen", "bead: lies on the metal with round toes, 0.079 to 0.787 in (the rod was melted onto the metal, not into it)"},
	}, e.Findings[0].Facts, "the reason stands over them already")
	assert.Equal(t, "model", e.Findings[0].Source)
	assert.Equal(t, []string{"pool: bright as a mirror, flows out to both edges", "back: glows, at 1.181 in"}, told(e.Signs))
}

func TestCompare(t *testing.T) {
	s := session.New(sessiontest.Joint("T-01"), sessiontest.Options(nil))
	for _, dab := range []string{"3", "1.5"} {
		for key, text := range map[string]string{"amps": "60", "travel": "120", "dab": dab, "direction": "push"} {
			require.NoError(t, s.Set(key, text))
		}
		_, err := s.Weld(t.Context())
		require.NoError(t, err)
	}
	tries := s.Tries()
	c := Compare(tries[0], tries[1], s.Entries(), weld.Metric)
	assert.Equal(t, Comparison{
		Changes: []Change{{"dab every", "3 mm", "1.5 mm"}},
		Outcome: Change{"outcome", "REJECT", "ACCEPT"},
		Scores:  []Change{{"burn-through", "31", "84"}, {"lack of fusion", "90", "90"}, {"oxide", "81", "81"}},
	}, c)
}

func TestEveryHazardSpeaks(t *testing.T) {
	sc := sessiontest.Joint("T-01")
	sc.Hazards = scenarios.Hazards
	assert.Len(t, JointSheet(sc, weld.Metric).Cautions, len(scenarios.Hazards))
}
