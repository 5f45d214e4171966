package plain

import (
	"context"
	"errors"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/record"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/sessiontest"
)

// talk runs the plain mode on what a learner types, a line each.
func talk(t *testing.T, rec *sessiontest.Recorder, opt Options, typed ...string) string {
	t.Helper()
	opt.Settings.CautionsSeen, opt.Settings.Name = true, "apprentice"
	out := say(t, rec, opt, strings.NewReader(strings.Join(typed, "\n")+"\n"))
	for line := range strings.SplitSeq(out, "\n") {
		assert.LessOrEqual(t, len(line), 80, line)
	}
	for _, r := range out {
		assert.True(t, r == '\n' || r >= ' ' && r <= '~', "not ASCII: %q", r)
	}
	return out
}

func say(t *testing.T, rec *sessiontest.Recorder, opt Options, in io.Reader) string {
	t.Helper()
	var out strings.Builder
	so := sessiontest.Options(rec)
	opt.In, opt.Out, opt.Echo = in, &out, true
	if opt.Bank == nil {
		opt.Bank = sessiontest.Bank()
	}
	if opt.Vary != nil {
		opt.Bank[2].Vary = []scenarios.Span{{Key: "gap", Values: []string{"0.5 mm", "0.6 mm"}}}
	}
	opt.NewSession = func(sc scenarios.Scenario) *session.Session { return session.New(sc, so) }
	opt.Past, opt.Now = rec, so.Now
	require.NoError(t, Run(t.Context(), opt))
	return out.String()
}

func TestWholePath(t *testing.T) {
	rec := &sessiontest.Recorder{}
	out := talk(t, rec, Options{}, "T-01", "60", "120", "3", "push", "keyhole", "again", "", "", "1.5", "", "6", "quit")
	for _, want := range []string{
		"Rail gusset, far end", "The web, 1.4 mm thick, stands on the base", "What went wrong?",
		"A hole from 46 mm to 49 mm.", "REJECT x", "You said keyhole: yes, that decided it.", "burn-through      31 x",
		"fix   dab every 1.5 mm towards the far end", "Recorded.",
		"dab every 3 mm -> 1.5 mm: burn-through 84, lack of fusion 90, oxide 81", "ACCEPT +", "dab every: 3 mm -> 1.5 mm", "burn-through: 31 -> 84",
	} {
		assert.Contains(t, out, want)
	}
	require.Len(t, rec.Attempts, 2)
	assert.Equal(t, "keyhole", rec.Attempts[0].Guess)
	assert.Equal(t, session.Nothing, rec.Attempts[1].Guess)
	assert.Less(t, strings.Index(out, "What went wrong?"), strings.Index(out, "REJECT"), "the reasons must come after the question")
}

func TestWrongAnswersAreAskedAgain(t *testing.T) {
	rec := &sessiontest.Recorder{}
	out := talk(t, rec, Options{Start: "t-01"}, "6o", "", "900", "NaN", "60", "fast", "5 ipm", "1/16 in", "pull", "push", "99", "quit")
	for _, want := range []string{`unknown unit "o"`, "900 is outside what the trainer takes", "does not begin with a number", `did you mean "push"?`, "Type one of the numbers"} {
		assert.Contains(t, out, want)
	}
	require.Len(t, rec.Attempts, 1, "a welded coupon is recorded even when the learner leaves before naming the cause")
	assert.Empty(t, rec.Attempts[0].Guess)
	assert.Equal(t, "1.5875 mm", rec.Attempts[0].Answer.DabSpacing.String())
}

func TestHintsAreCounted(t *testing.T) {
	rec := &sessiontest.Recorder{}
	out := talk(t, rec, Options{Start: "T-01"}, "?", "?", "??", "60", "120", "1.5", "push", "6", "advice", "quit")
	assert.Contains(t, out, "About an amp for each thousandth")
	assert.Contains(t, out, "0.8 mm at the far end")
	assert.Contains(t, out, "ease the pedal")
	assert.Equal(t, 2, rec.Attempts[0].Hints)
}

func TestChoosing(t *testing.T) {
	out := talk(t, &sessiontest.Recorder{}, Options{}, "?", "", "99", "nothing like it", "butt 304", "back", "2", "back", "level", "back", "quit")
	for _, want := range []string{"Type the number or the id", `No joint matches "99"`, "Duct patch [flat]", "caution: Stainless fume", "Lid of a battery box", "This is where it begins"} {
		assert.Contains(t, out, want)
	}
}

func TestBackGoesOneFieldBack(t *testing.T) {
	rec := &sessiontest.Recorder{}
	talk(t, rec, Options{Start: "T-01"}, "50", "back", "60", "120", "1.5", "push", "6", "quit")
	require.Len(t, rec.Attempts, 1)
	assert.InDelta(t, 60, float64(rec.Attempts[0].Answer.Amps), 1e-9)
}

func TestGoingOnWhereItWasLeft(t *testing.T) {
	rec := &sessiontest.Recorder{}
	out := talk(t, rec, Options{}, "T-01", "60", "120") // and the input ends
	assert.NotContains(t, out, "go on")
	out = talk(t, rec, Options{}, "go on", "", "", "3", "push", "keyhole", "list", "due", "quit")
	assert.Contains(t, out, "go on     goes on with T-01 Rail gusset, far end: 2 of 4 filled in, left\n            today 09:30")
	assert.Contains(t, out, "[60]")
	assert.Contains(t, out, "due       lists 1 joint rejected last time")
	assert.Contains(t, out, "3 T-01 Rail gusset, far end, today 09:30: keyhole")
	assert.Empty(t, rec.Typed)
	require.Len(t, rec.Attempts, 1)
}

func TestRecord(t *testing.T) {
	rec := &sessiontest.Recorder{}
	out := talk(t, rec, Options{}, "record", "T-01", "60", "120", "3", "push", "keyhole", "list", "record", "record 1", "record 1 window", "record 9", "quit")
	for _, want := range []string{
		"No coupon has been welded yet.", "record    lists 1 coupon, 0 accepted",
		"1 today 09:30 T-01, REJECT x, burn-through 31, lack of fusion 90, oxide 81:\n  keyhole",
		"dabbing on a gap: perhaps weak, seen once, today", "T-01 Rail gusset, far end, welded today 09:30",
		"Mapping amps and dab every ...", "(record 1 window 2: amps and travel)",
	} {
		assert.Contains(t, out, want)
	}
	assert.Equal(t, 2, strings.Count(out, "You said keyhole: yes, that decided it."))
	assert.Equal(t, 2, strings.Count(out, "Smallest change that holds"))
	assert.Len(t, rec.Attempts, 1)
}

func TestTheNextJointIsProposed(t *testing.T) {
	rec := &sessiontest.Recorder{}
	out := talk(t, rec, Options{}, "next", "60", "120", "open air", "1", "list", "settings name Ann", "record", "next", "back", "quit")
	require.Len(t, rec.Attempts, 1)
	assert.Equal(t, "B-01", rec.Attempts[0].Scenario)
	var proposed []string
	for line := range strings.SplitSeq(out, "\n") {
		if rest, ok := strings.CutPrefix(line, "  next      welds "); ok {
			proposed = append(proposed, rest[:4])
		}
	}
	require.Len(t, proposed, 4, "at every start of the list, and for another learner")
	assert.Equal(t, []string{"B-01", "B-01", "B-01"}, []string{proposed[0], proposed[2], proposed[3]}, "Ann has welded nothing")
	assert.NotEqual(t, "B-01", proposed[1], "never the joint welded last")
	assert.Contains(t, out, "No coupon has been welded yet.")
}

func TestFilter(t *testing.T) {
	out := talk(t, &sessiontest.Recorder{}, Options{}, "filter", "filter metal", "filter level 4", "filter off", "filter joint tee", "list", "quit")
	for _, want := range []string{"metal     304 (1), 5052 (1), carbon steel (1)", "Only level 4. filter off takes it away.", "Only tee fillet."} {
		assert.Contains(t, out, want)
	}
	last := out[strings.LastIndex(out, "list\n"):]
	assert.Contains(t, last, "Rail gusset")
	assert.NotContains(t, last, "Duct patch")
}

func TestSettings(t *testing.T) {
	var kept record.Settings
	rec := &sessiontest.Recorder{}
	out := talk(t, rec, Options{Save: func(change func(*record.Settings)) error { change(&kept); return nil }},
		"settings", "settings theme purple", "settings units inch", "settings name Ann", "T-01", "60", "5", "0.06", "push", "6", "quit")
	for _, want := range []string{"units     metric (metric, inch):", `"purple" is not among dark, light, mono`, "units     inch (", "0.055 in both members", "travel (0.2 to 59.1 ipm)"} {
		assert.Contains(t, out, want)
	}
	assert.Equal(t, record.Settings{Units: weld.Imperial, Name: "Ann"}, kept)
	assert.Equal(t, "Ann", rec.Attempts[0].Learner)
}

func TestEndOfInputAnywhere(t *testing.T) {
	script := []string{"T-01", "60", "120", "3", "push", "2", "again", ""}
	for n := range len(script) + 1 {
		rec := &sessiontest.Recorder{}
		say(t, rec, Options{}, strings.NewReader(strings.Join(script[:n], "\n")))
		if n > 4 {
			assert.Len(t, rec.Attempts, 1)
		}
	}
}

func TestNotScoredAndNotWelded(t *testing.T) {
	rec := &sessiontest.Recorder{}
	out := talk(t, rec, Options{Start: "T-01"}, "399", "120", "1.5", "push", "400", "", "", "", "next", "quit")
	assert.Contains(t, out, "could not be welded: the heat balance did not close")
	assert.Contains(t, out, "NOT SCORED - 400 A on 1.4 mm")
	assert.NotContains(t, out, "What went wrong?")
	assert.Len(t, rec.Attempts, 1)
}

func TestNotRecordedIsSaid(t *testing.T) {
	out := talk(t, &sessiontest.Recorder{Err: errors.New("the disk is full")}, Options{Start: "T-01"}, "60", "120", "1.5", "push", "6", "quit")
	assert.Contains(t, out, "NOT recorded: the disk is full")
	assert.NotContains(t, out, "\nRecorded.")
}

func TestHostileInput(t *testing.T) {
	long := strings.Repeat("9", 100000)
	out := talk(t, &sessiontest.Recorder{}, Options{}, "\x1b[2J\x00\xff", long, "T-01", "\xff\xfe", "1e308", long, "quit")
	assert.Contains(t, out, "too long to be an answer")
	assert.Contains(t, out, "far too large")
}

func TestCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	in, w := io.Pipe()
	defer w.Close()
	opt := Options{In: in, Out: io.Discard, Bank: sessiontest.Bank()}
	assert.ErrorIs(t, Run(ctx, opt), context.Canceled)
}

func TestUnknownStart(t *testing.T) {
	err := Run(t.Context(), Options{In: strings.NewReader(""), Out: io.Discard, Start: "X-99"})
	assert.ErrorIs(t, err, ErrNoJoint)
}

func TestGoneReader(t *testing.T) {
	opt := Options{In: strings.NewReader("list\nlist\n"), Out: broken{}, Bank: sessiontest.Bank()}
	assert.ErrorIs(t, Run(t.Context(), opt), io.ErrClosedPipe)
}

type broken struct{}

func (broken) Write([]byte) (int, error) { return 0, io.ErrClosedPipe }

func TestTheWindowInLines(t *testing.T) {
	out := talk(t, &sessiontest.Recorder{}, Options{Start: "T-01"}, "80", "120", "1.5", "push", "1", "window", "window", "window", "window", "quit")
	for _, want := range []string{
		"Mapping amps and travel ...", "18 A less (62 A) puts you in it; travel alone does not.", ">++++++++++++xxxxxo",
		"o your point   + good   x burns through", "(window once more: amps and dab every)", "dab every, mm", "(window once more: amps and travel)",
	} {
		assert.Contains(t, out, want)
	}
	assert.Equal(t, 2, strings.Count(out, "Mapping amps and travel ..."), "it goes around")
	out = talk(t, &sessiontest.Recorder{}, Options{Start: "T-01"}, "80", "120", "1.5", "push", "back", "window", "quit")
	assert.Contains(t, out, "once you have said what went wrong")
}

func TestAWorkedFieldIsAskedFor(t *testing.T) {
	bank := sessiontest.Bank()
	bank[0].Worked = map[string]string{"amps": "about an amp for each thousandth."}
	out := talk(t, &sessiontest.Recorder{}, Options{Bank: bank}, bank[0].ID, "?", "???", "quit")
	assert.Contains(t, out, "(??? asks what a good hand sets here, and why)")
	assert.Contains(t, out, "A good hand sets 60 A: about an amp for each thousandth.")
}

func TestVariations(t *testing.T) {
	rec := &sessiontest.Recorder{}
	var drawn []int64
	opt := Options{Vary: func(sc scenarios.Scenario, seed int64, _ scoring.Parallel) (scenarios.Scenario, bool) {
		drawn = append(drawn, seed)
		if seed == 9 {
			return sc, false
		}
		sc.Seed = seed
		return sc, true
	}}
	out := talk(t, rec, opt, "vary", "vary B-01", "vary T-01 x", "vary T-01", "60", "120", "1.5", "push", "6", "list", "vary t-01 4", "back", "vary T-01 9", "back", "vary T-01", "70", "quit")
	for _, want := range []string{
		"vary      and a joint welds it", "such as: vary T-02", "There are no variations of B-01.", `"x" is not the number of a variation`,
		"Drawing T-01, variation 1", "T-01, variation 1 Rail gusset", "T-01, variation 4 Rail gusset", "T-01, variation 9: none found", "T-01, variation 10 Rail",
	} {
		assert.Contains(t, out, want)
	}
	assert.Equal(t, []int64{1, 4, 9, 10}, drawn)
	require.Len(t, rec.Attempts, 1)
	assert.Equal(t, int64(1), rec.Attempts[0].Seed)
	out = talk(t, rec, opt, "go on", "quit")
	assert.Contains(t, out, "goes on with T-01, variation 10")
	assert.Contains(t, out, "[70]")
}

func TestArcIsNotForLines(t *testing.T) {
	rec, opt := &sessiontest.Recorder{}, Options{}
	assert.Contains(t, talk(t, rec, opt, "arc", "quit"), "puddlewise arc --replay FILE")
}
