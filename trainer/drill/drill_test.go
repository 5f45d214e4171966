package drill

import (
	"encoding/json"
	"errors"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/question"
)

func bank(t testing.TB) []scenarios.Scenario {
	all, err := scenarios.Bank()
	require.NoError(t, err)
	return all
}

func TestShippedDrillsHaveTheirJoints(t *testing.T) {
	all, err := Shipped()
	require.NoError(t, err)
	assert.GreaterOrEqual(t, len(all), 12)
	for _, d := range all {
		joints, err := d.Pick(bank(t), "Ann")
		require.NoError(t, err, d.ID)
		for _, sc := range joints {
			assert.NotEmpty(t, sc.Ask, "%s, %s", d.ID, sc.ID)
		}
	}
}

func TestABadDrillIsToldWhole(t *testing.T) {
	_, err := Parse("d.yaml", []byte(`title: x
joints: [B-01, b-01]
choose: {count: 3}
order: random
ask: [amps, amsp]
kinds: [weld, spto]
tries: 11
time: {joint: 4 minutes, whole: 9 h}
pass: {oxide: 101}
key: 1
`))
	require.Error(t, err)
	for _, want := range []string{
		"aim: is missing", "d.yaml:2: joints[2]: b-01 stands here twice", "choose: joints are named already", "order", "ask[2]", "did you mean amps", "kinds[2]", "did you mean spot",
		"tries", "time.joint", `time.whole: "9 h" is no time`, "pass.oxide", `no key "key"`,
	} {
		assert.Contains(t, err.Error(), want)
	}
}

func FuzzParse(f *testing.F) {
	f.Add([]byte("title: x\naim: y\njoints: [B-01]\ntime: {whole: 1 h}\n"))
	f.Add([]byte("choose: {skill: choosing amps, metal: 304, level: 2, count: 1}"))
	f.Fuzz(func(t *testing.T, b []byte) {
		d, err := Parse("x.yaml", b)
		if err == nil && (d.Tries < 1 || d.PerJoint < 0 || d.PerJoint > mostTime) {
			t.Errorf("%+v", d)
		}
	})
}

// An order of one's own is the same whenever it is asked for, and another for another.
func TestShuffledIsTheLearnersOwn(t *testing.T) {
	d, err := Parse("d.yaml", []byte("title: x\naim: y\norder: shuffled\nchoose: {count: 12}\n"))
	require.NoError(t, err)
	ids := func(name string) (out []string) {
		joints, err := d.Pick(bank(t), name)
		require.NoError(t, err)
		for _, j := range joints {
			out = append(out, j.ID)
		}
		return out
	}
	assert.Equal(t, ids("Ann"), ids("Ann"))
	assert.NotEqual(t, ids("Ann"), ids("Bo"))
	assert.ElementsMatch(t, ids("Ann"), ids("Bo"))
}

func TestADrillAsksItsOwnFields(t *testing.T) {
	d, err := Parse("d.yaml", []byte("title: x\naim: y\njoints: [B-03]\nask: [amps]\n"))
	require.NoError(t, err)
	joints, err := d.Pick(bank(t), "Ann")
	require.NoError(t, err)
	sc := d.Make(joints[0], "Ann", nil)
	assert.Equal(t, []string{"amps"}, sc.Ask)
	assert.Equal(t, sc.Model.Filler, sc.Given.Filler, "what is no longer asked is given")
	_, err = Drill{Joints: []string{"B-00"}}.Pick(bank(t), "Ann")
	assert.ErrorContains(t, err, `there is no joint "B-00"`)
	_, err = Drill{ID: "d", Choose: Choose{Metal: weld.TitaniumCP, Level: 1, Count: 50}}.Pick(bank(t), "Ann")
	assert.ErrorContains(t, err, "50 joints are asked for")
}

// class runs a drill with a fake judge and a clock that only the test moves.
type class struct {
	t     *testing.T
	drill Drill
	now   time.Time
	ids   int
	opens int
	key   []byte
	dir   string
}

func newClass(t *testing.T, more string) *class {
	d, err := Parse("d.yaml", []byte("title: Amps\naim: y\njoints: [B-01, B-02]\n"+more))
	require.NoError(t, err)
	return &class{t: t, drill: d, now: time.Date(2026, 3, 4, 9, 0, 0, 0, time.UTC), key: []byte("class"), dir: t.TempDir()}
}

func (c *class) open(name string) (*Run, bool, error) {
	if _, err := os.Stat(filepath.Join(c.dir, name+".json")); err != nil { // no two learners to the same millisecond
		c.opens++
		c.now = c.now.Add(time.Duration(c.opens) * time.Millisecond)
	}
	return Open(c.drill, Sitting{Bank: bank(c.t), Learner: name, Vary: wider, Judge: judge, File: filepath.Join(c.dir, name+".json"), Key: c.key, Program: "p", Model: scoring.ModelVersion, Now: func() time.Time { return c.now }})
}

// judge accepts 50 A and more.
func judge(_ weld.Task, a weld.Answer) (scoring.Verdict, error) {
	if a.Amps >= 50 {
		return scoring.Verdict{Outcome: scoring.Accept, Scores: scoring.Scores{BurnThrough: 70, LackOfFusion: 70, Oxide: 80}}, nil
	}
	return scoring.Verdict{Outcome: scoring.Reject, Findings: []scoring.Finding{{Rule: "no_penetration", Severity: scoring.Defect}}}, nil
}

// weld welds a coupon of the joint in hand.
func (c *class) weld(r *Run, amps weld.Current) (passed bool) {
	a, begun := c.begin(r, amps)
	require.True(c.t, begun)
	a.Verdict, _ = judge(a.Task, a.Answer)
	passed, err := r.Take(a)
	require.NoError(c.t, err)
	return passed
}

// begin begins a coupon of the joint in hand.
func (c *class) begin(r *Run, amps weld.Current) (a session.Attempt, begun bool) {
	sc, ok := r.Next()
	require.True(c.t, ok)
	a = session.Attempt{ID: string(rune('a' + c.ids)), Scenario: sc.ID, Revision: sc.Revision, Seed: sc.Seed, Task: sc.Task, Answer: sc.Model, Started: c.now.Add(-time.Duration(c.ids) * time.Millisecond), At: c.now}
	a.Answer.Amps = amps
	c.ids++
	begun, err := r.Begin(a)
	require.NoError(c.t, err)
	return a, begun
}

func TestADrillIsRun(t *testing.T) {
	c := newClass(t, "tries: 2\n")
	r, resumed, err := c.open("Ann")
	require.NoError(t, err)
	assert.False(t, resumed)
	assert.False(t, c.weld(r, 30))
	sc, _ := r.Next()
	assert.Equal(t, "B-01", sc.ID, "a second try")
	c.weld(r, 55)
	c.now = c.now.Add(3 * time.Minute)
	c.weld(r, 30)
	c.weld(r, 30)
	_, more := r.Next()
	assert.False(t, more, "two tries are two")
	res, err := ReadResult(filepath.Join(c.dir, "Ann.json"))
	require.NoError(t, err)
	assert.True(t, res.Done)
	assert.True(t, res.Sealed(c.key))
	assert.Len(t, res.Attempts, 4)
	assert.Equal(t, 180.0, res.Working)
}

// A closed lid loses no coupon, and no time is won or lost by it.
func TestADrillGoesOnWhereItWas(t *testing.T) {
	c := newClass(t, "tries: 2\ntime: {joint: 10 min, whole: 15 min}\n")
	r, _, err := c.open("Ann")
	require.NoError(t, err)
	_, _ = r.Next() // it is shown
	c.now = c.now.Add(4 * time.Minute)
	c.weld(r, 30)
	c.now = c.now.Add(2 * time.Hour) // killed: nothing is told
	r, resumed, err := c.open("Ann")
	require.NoError(t, err)
	assert.True(t, resumed)
	used, _ := r.Tries("B-01")
	assert.Equal(t, 1, used)
	sc, _ := r.Next()
	assert.Equal(t, "B-01", sc.ID)
	left := r.Left()
	assert.Equal(t, []time.Duration{6 * time.Minute, 11 * time.Minute}, []time.Duration{left.Joint, left.Whole})
	assert.Len(t, r.Result().Away, 1)
	assert.Equal(t, 2*time.Hour, r.Result().Away[0].To.Sub(r.Result().Away[0].From))

	c.now = c.now.Add(7 * time.Minute) // the joint's time is up
	assert.False(t, r.More("B-01"))
	begun, err := r.Begin(session.Attempt{ID: "late", Scenario: "B-01"})
	require.NoError(t, err)
	assert.False(t, begun)
	sc, _ = r.Next()
	assert.Equal(t, "B-02", sc.ID)
	c.now = c.now.Add(5 * time.Minute)
	assert.True(t, r.Over())
	require.NoError(t, r.Close())
	assert.True(t, r.Result().Done)
	assert.Len(t, r.Result().Attempts, 1)

	_, _, err = c.open("Bo")
	require.NoError(t, err)
	require.NoError(t, os.Rename(filepath.Join(c.dir, "Bo.json"), filepath.Join(c.dir, "Cy.json")))
	_, _, err = c.open("Cy")
	assert.True(t, errors.Is(err, ErrResult), "%v", err)
}

// Whoever is gone while a coupon is welded has used the try: it is welded when the drill
// goes on, as it would have been.
func TestACouponBegunCounts(t *testing.T) {
	c := newClass(t, "tries: 2\ntime: {joint: 10 min, whole: 15 min}\n")
	r, _, err := c.open("Ann")
	require.NoError(t, err)
	a, begun := c.begin(r, 30)
	require.True(t, begun)
	all := c.handIn("Ann")
	require.NotNil(t, all[0].Welding)
	assert.Empty(t, c.check(all), "a result closed in the middle of a weld holds")
	all[0].Welding.Passed = true
	assert.Contains(t, strings.Join(c.check(all), "\n"), "a coupon being welded, what only a finished one has")
	all = c.handIn("Ann")
	all[0].Welding.Answer["postflow"] = "19 s"
	assert.Contains(t, strings.Join(c.check(all), "\n"), "coupon 1, B-01 sets what was not asked: post")
	all = c.handIn("Ann")
	all[0].Attempts = []Attempt{*all[0].Welding}
	assert.Contains(t, strings.Join(c.check(all), "\n"), "holds a coupon that is in Ann too")

	c.now = c.now.Add(time.Hour)
	look, resumed, err := Look(c.drill, Sitting{Bank: bank(t), Learner: "Ann", File: filepath.Join(c.dir, "Ann.json"), Key: c.key, Now: func() time.Time { return c.now }})
	require.NoError(t, err)
	assert.True(t, resumed)
	assert.Equal(t, time.Hour, look.Closed())
	assert.Nil(t, look.Owed(), "looking welds nothing")
	r, _, err = c.open("Ann")
	require.NoError(t, err)
	used, passed := r.Tries("B-01")
	assert.Equal(t, 1, used)
	assert.False(t, passed)
	require.NotNil(t, r.Owed())
	assert.Equal(t, a.ID, r.Owed().ID)
	assert.Contains(t, OwedWords(*r.Owed()), "counts: B-01, reject")
	assert.Empty(t, c.check(c.handIn("Ann")), "the same digest")

	// The time runs out while a coupon is welded: it counts, and its joint is over.
	c.now = c.now.Add(9 * time.Minute)
	a, _ = c.begin(r, 55)
	c.now = c.now.Add(10 * time.Minute)
	assert.False(t, r.Over())
	a.Verdict, _ = judge(a.Task, a.Answer)
	passed, err = r.Take(a)
	require.NoError(t, err)
	assert.True(t, passed)
	assert.True(t, c.handIn("Ann")[0].Done)

	// What the model cannot weld is no try.
	r, _, err = c.open("Bo")
	require.NoError(t, err)
	a, _ = c.begin(r, 30)
	require.NoError(t, r.Drop())
	_, err = r.Take(a)
	assert.ErrorContains(t, err, "was not begun")
	assert.Empty(t, c.handIn("Bo")[0].Attempts)
}

// An answer on its way is kept with its run, of the joint in hand alone.
func TestWhatIsTypedIsKept(t *testing.T) {
	c := newClass(t, "tries: 2\n")
	r, _, err := c.open("Ann")
	require.NoError(t, err)
	sc, _ := r.Next()
	typed := session.Draft{Learner: "Ann", Scenario: sc.ID, System: weld.Imperial, Typed: map[string]string{"amps": "60", "travel": "5"}, Hinted: []string{"amps"}}
	require.NoError(t, r.KeepDraft(typed))
	other := typed
	other.Scenario, other.Typed = "B-02", nil
	require.NoError(t, r.KeepDraft(other))
	require.NoError(t, r.DropDraft("Ann", "B-02", 0))
	assert.Empty(t, c.check(c.handIn("Ann")))
	r, _, err = c.open("Ann")
	require.NoError(t, err)
	_, _ = r.Next()
	assert.Equal(t, typed, r.Draft())
	require.NoError(t, r.Leave())
	_, _ = r.Next()
	assert.Empty(t, r.Draft().Typed)
	require.NoError(t, r.DropDraft("Ann", "B-02", 0))
	assert.Nil(t, c.handIn("Ann")[0].Typed)
}

// A machine that slept has not used the learner's time.
func TestASleepIsTimeAway(t *testing.T) {
	c := newClass(t, "time: {joint: 10 min}\n")
	r, _, err := c.open("Ann")
	require.NoError(t, err)
	_, _ = r.Next()
	for range 30 {
		c.now = c.now.Add(time.Second)
		require.NoError(t, r.Tick())
	}
	assert.Equal(t, 30.0, c.handIn("Ann")[0].Working, "kept without being asked")
	c.now = c.now.Add(time.Hour)
	require.NoError(t, r.Tick())
	assert.Equal(t, 9*time.Minute+30*time.Second, r.Left().Joint)
	all := c.handIn("Ann")
	require.Len(t, all[0].Away, 1)
	sum, away := all[0].EndWords()
	assert.Equal(t, "So far: 0 of 2 joints passed, 0 coupons, 30 s.", sum)
	assert.Equal(t, "Away in the middle 1 time, 60 min 0 s in all.", away)
}

func (c *class) handIn(names ...string) (out []Checked) {
	for _, n := range names {
		file := filepath.Join(c.dir, n+".json")
		r, err := ReadResult(file)
		require.NoError(c.t, err)
		out = append(out, Checked{n, r})
	}
	return out
}

func (c *class) against() Against {
	return Against{Drill: &c.drill, Key: c.key, Bank: bank(c.t), Vary: wider, Judge: judge, Par: scoring.InOrder}
}

// wider varies a joint without welding: a tenth of a millimetre to a seed.
func wider(sc scenarios.Scenario, seed int64) scenarios.Scenario {
	sc.Seed = seed
	sc.Task.A.Thickness += weld.Length(seed) * 1e-4
	return sc
}

func (c *class) check(all []Checked) (out []string) {
	doubts, _, err := Check(c.t.Context(), all, c.against())
	require.NoError(c.t, err)
	for _, d := range doubts {
		out = append(out, d.File+": "+d.What)
	}
	return out
}

func TestEditsAreFound(t *testing.T) {
	c := newClass(t, "")
	for _, n := range []string{"Ann", "Bo"} {
		r, _, err := c.open(n)
		require.NoError(t, err)
		c.weld(r, 55)
		c.weld(r, 30)
	}
	assert.Empty(t, c.check(c.handIn("Ann", "Bo")))

	has := func(all []Checked, want string) {
		t.Helper()
		got := c.check(all)
		assert.True(t, slices.ContainsFunc(got, func(s string) bool { return strings.Contains(s, want) }), "%q not in %q", want, got)
	}
	all := c.handIn("Ann")
	all[0].Attempts[1].Outcome = scoring.Accept
	has(all, "was changed after it was sealed")
	has(all, "says other scores than its verdict has")
	all = c.handIn("Ann")
	all[0].Attempts[1].Answer["amps"] = "80 A"
	has(all, "comes out otherwise: handed in as reject, welded again accept")
	all = c.handIn("Ann")
	all[0].Attempts[1].Task.A.Thickness *= 2
	has(all, "coupon 2, B-02 is of a joint that was changed")
	all = c.handIn("Ann")
	all[0].Attempts[1].Answer["postflow"] = "19 s"
	has(all, "coupon 2, B-02 sets what was not asked: post")
	all = c.handIn("Ann")
	all[0].Attempts[1].Passed = true
	has(all, "is said to be passed: true")
	all = c.handIn("Ann")
	all[0].Attempts[1].Findings = nil
	has(all, "says other findings")
	all = c.handIn("Ann")
	all[0].Attempts[1].Scenario = "T-01"
	has(all, "coupon 2, T-01 is of a joint that is not in the drill")
	all = c.handIn("Ann")
	all[0].Attempts = append(all[0].Attempts, all[0].Attempts[1])
	has(all, "coupon 3, B-02 is one more than the drill gives")
	all = c.handIn("Ann")
	all[0].Attempts[1].Revision = 99
	has(all, "is of revision 99 of its joint")
	all = c.handIn("Ann")
	all[0].Attempts[1].Answer["amps"] = "many"
	has(all, "coupon 2, B-02: ")
	all = c.handIn("Ann")
	all[0].Seal = ""
	has(all, "is not sealed")
	all = c.handIn("Ann", "Bo")
	all[1].Attempts[0].ID = all[0].Attempts[0].ID
	has(all, "holds a coupon that is in Ann too")
	all = append(c.handIn("Ann"), c.handIn("Ann")...)
	has(all, "is a second result of Ann")
	all = c.handIn("Ann")
	c.drill.Hash = "another"
	has(all, "another drill, or the drill's file was changed")
}

// A variation is the drill's or the learner's, and nobody's choice.
func TestVariationsAreDrawnByTheDrill(t *testing.T) {
	seeds := func(varied string, names ...string) (out []int64, c *class) {
		c = newClass(t, "variations: "+varied+"\n")
		for _, n := range names {
			r, _, err := c.open(n)
			require.NoError(t, err)
			c.weld(r, 55)
			out = append(out, r.Result().Attempts[0].Seed)
		}
		assert.Empty(t, c.check(c.handIn(names...)))
		return out, c
	}
	none, _ := seeds("none", "Ann")
	assert.Zero(t, none[0])
	same, _ := seeds("same", "Ann", "Bo")
	assert.NotZero(t, same[0])
	assert.Equal(t, same[0], same[1])
	own, c := seeds("own", "Ann", "Bo")
	assert.NotEqual(t, own[0], own[1])
	all := c.handIn("Ann")
	all[0].Attempts[0].Seed++
	assert.Contains(t, strings.Join(c.check(all), "\n"), "is another variation than the drill gives")
	all = c.handIn("Ann")
	all[0].Attempts[0].Seed = 0
	all[0].Attempts[0].Task = bank(t)[0].Task
	assert.Contains(t, strings.Join(c.check(all), "\n"), "is of a joint that was changed")
}

// A joint's kind goes by its place in the drill, whatever order a learner has.
func TestKindsComeJointByJoint(t *testing.T) {
	c := newClass(t, "kinds: [weld, spot]\norder: shuffled\n")
	assert.Equal(t, Weld, c.drill.KindOf(bank(t), "B-01"))
	assert.Equal(t, question.Spot, c.drill.KindOf(bank(t), "B-02"))
	r, _, err := c.open("Ann")
	require.NoError(t, err)
	q := &question.Question{Kind: question.Spot, Seed: r.QuestionSeed("B-02"), Scenario: scenarios.Scenario{ID: "B-02"}, Rules: []string{"keyhole"}}
	for range 2 {
		sc, _ := r.Next()
		if sc.ID == "B-01" {
			c.weld(r, 55)
			continue
		}
		taken, err := r.TakeAnswer(q, []string{"1", "2"}, weld.Metric, question.Result{Right: []bool{true, false}})
		require.NoError(t, err)
		assert.True(t, taken)
	}
	all := c.handIn("Ann")
	assert.True(t, all[0].Done)
	assert.Empty(t, c.check(all))
	assert.Equal(t, []Count{{"keyhole", 1}}, NewTable(all).Findings)
	all[0].Answers[0].Seed++
	assert.Contains(t, strings.Join(c.check(all), "\n"), "question 1, B-02 is another than the drill asks")
	all[0].Answers = append(all[0].Answers, all[0].Answers[0])
	assert.Contains(t, strings.Join(c.check(all), "\n"), "question 2, B-02 is answered twice")
}

func TestAResultThatIsNoneIsRefused(t *testing.T) {
	for in, want := range map[string]string{
		"":                                 "is not a result",
		"{}":                               "does not begin with puddlewise_drill_result",
		`{"puddlewise_drill_result": 2}`:   "use a newer puddlewise",
		`{"puddlewise_drill_result": 1}{}`: "more than one",
		`{"puddlewise_drill_result": 1, "mark": 1}`:                  "unknown field",
		`{"puddlewise_drill_result": 1, "learner": "A\u001b[2J"}`:    "which no result of this program does",
		`{"puddlewise_drill_result": 1, "learner": "A\\\nB"}`:        "which no result of this program does",
		"{\"puddlewise_drill_result\": 1, \"learner\": \"A\u009b\"}": "which no result of this program does",
	} {
		_, err := parseResult([]byte(in))
		assert.ErrorContains(t, err, want, in)
	}
}

// What is typed is kept as it was typed: no result is refused for that.
func TestNamesAreTakenAsTheyAre(t *testing.T) {
	raw, err := json.Marshal(Result{Format: 1, Typed: &Typed{Fields: map[string]string{"amps": "\x1b[A"}}, Answers: []Answer{{Replies: []string{"\t"}}}})
	require.NoError(t, err)
	_, err = parseResult(raw)
	require.NoError(t, err)
	for _, name := range []string{`Ann \n "Berg" <b>`, "Åse, 李", "=1+1", `C:\\u001b`} {
		raw, err := json.MarshalIndent(Result{Format: 1, Learner: name}, "", " ")
		require.NoError(t, err)
		r, err := parseResult(raw)
		require.NoError(t, err, name)
		assert.Equal(t, name, r.Learner)
	}
}

func FuzzParseResult(f *testing.F) {
	joints := bank(f)
	f.Add([]byte(`{"puddlewise_drill_result": 1, "attempts": [{"answer": {"amps": "60 A"}}]}`))
	run := hand(f, joints[0], 1)
	live, err := json.Marshal(Result{Format: 1, Attempts: []Attempt{newAttempt(session.Attempt{Scenario: run.Scenario, Task: joints[0].Task, Run: &run})}})
	require.NoError(f, err)
	f.Add(live)
	f.Add([]byte(`{"puddlewise_drill_result": 1, "drill_hash": "", "started": "2026-03-04T09:00:00Z", "ended": "2026-03-04T09:10:00Z", "away": [{"from": "2026-03-04T09:01:00Z", "to": "2026-03-04T09:02:00Z"}], "here": "B-01", "here_s": 3e300, "working_s": -1e300, "attempts": [{"scenario": "B-01", "at": "2026-03-04T09:01:30Z"}], "answers": [{"scenario": "B-02", "at": "2026-03-04T09:05:00Z", "replies": ["1"]}]}`))
	f.Fuzz(func(t *testing.T, b []byte) {
		r, err := parseResult(b)
		if err != nil {
			return
		}
		NewTable([]Checked{{"x", r}})
		NewStandings([]Checked{{"x", r}, {"y", r}}, &Drill{Tries: 2}, time.Now())
		_, _, _ = Check(t.Context(), []Checked{{"x", r}}, Against{Drill: &Drill{Joints: []string{"B-01", "B-02"}, Tries: 1, Whole: time.Hour, PerJoint: time.Minute}, Key: []byte("k"), Bank: joints, Judge: judge, Par: scoring.InOrder})
		if raw, err := json.Marshal(r); err == nil {
			if _, err := parseResult(raw); err != nil {
				t.Error(err)
			}
		}
	})
}

// made is a result without welding: "+" passed, "-" did not, " " not tried.
func made(name, marks string) Checked {
	r := Result{Learner: name, Drill: "Amps", Working: 600, Done: true}
	for i, m := range marks {
		if m == ' ' {
			continue
		}
		a := Attempt{Scenario: string(rune('A' + i)), Passed: m == '+'}
		if !a.Passed {
			a.Findings = []string{"cold_lap"}
		}
		r.Attempts = append(r.Attempts, a)
	}
	return Checked{name, r}
}

func TestTable(t *testing.T) {
	got := NewTable([]Checked{made("Di", "--- "), made("Ann", "+++-"), made("Bo", "++-+"), made("Cy", "+--+")})
	assert.Equal(t, []string{"Ann", "Bo", "Cy", "Di"}, []string{got.Learners[0].Learner, got.Learners[1].Learner, got.Learners[2].Learner, got.Learners[3].Learner})
	assert.Equal(t, 3, got.Learners[0].Passed)
	assert.Equal(t, 10.0, got.Learners[0].Minutes)
	assert.Equal(t, []Count{{"cold_lap", 7}}, got.Findings)
	a := got.Joints[0]
	assert.Equal(t, 0.75, a.Passed)
	// Worked by hand: passing A is 1 1 1 0, the share of the rest 2/3 2/3 1/3 0.
	assert.InDelta(t, 0.870, a.Tells, 0.001)
	assert.Equal(t, 3, got.Joints[3].Tried)
	assert.Equal(t, 4, got.Of)
	early := made("Ann", "+")
	early.Joints = 6
	assert.Equal(t, 6, NewTable([]Checked{early}).Of, "those nobody has come to are the drill's too")
	all := NewTable([]Checked{made("Ann", "++"), made("Bo", "+-")})
	assert.True(t, math.IsNaN(all.Joints[0].Tells), "everybody passes: it tells nobody apart")
	assert.Empty(t, NewTable(nil).Learners)
}

func TestRoster(t *testing.T) {
	names, err := ReadRoster("c.csv", strings.NewReader("\ufeffbench;Name\n1;Ann  Berg\n2;Bo\n;\n"))
	require.NoError(t, err)
	assert.Equal(t, []string{"Ann Berg", "Bo"}, names)
	names, err = ReadRoster("c.csv", strings.NewReader("bench\tname\r\n1\tBerg, Ann\r\n"))
	require.NoError(t, err)
	assert.Equal(t, []string{"Berg, Ann"}, names)
	for in, want := range map[string]string{
		"":                                      "c.csv: names nobody",
		"bench\n1\n":                            "c.csv:1: no column is called name",
		"name\nAnn\nann\n":                      "c.csv:3: ann stands on line 2 too",
		"name\n\"Ann\n":                         "c.csv:2: ",
		"name\n":                                "c.csv: names nobody",
		"name\nA\x1b[2J\n":                      "c.csv:2: a name holds a control character",
		"name\nM\xfcller\n":                     "c.csv:2: letters that are not UTF-8",
		"\xff\xfen\x00a\x00m\x00e\x00\n\x00":    "c.csv:1: letters that are not UTF-8",
		"name\n" + strings.Repeat("\u00fc", 41): "c.csv:2: a name too long, at most 80 letters",
	} {
		_, err := ReadRoster("c.csv", strings.NewReader(in))
		require.Error(t, err, in)
		assert.Contains(t, err.Error(), want)
	}
}
