package plain

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scoring/weld"
	"puddlewise/trainer/arc"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/sessiontest"
)

// A recorded run of the hand is looked through in lines as on the screen.
func TestARunInLines(t *testing.T) {
	sc := sessiontest.Joint("B-01")
	sc.Task.Seam = 12 * weld.Millimetre
	rec := &sessiontest.Recorder{}
	s := session.New(sc, sessiontest.Options(rec))
	run, ok := arc.Scripted(sc, "hasty")
	require.True(t, ok)
	l := s.Hold(run)
	got, err := session.Await(t.Context(), l.Start())
	require.NoError(t, err)
	_, err = s.TakeRun(l, got)
	require.NoError(t, err)
	_, err = s.Say("no_penetration")
	require.NoError(t, err)
	out := talk(t, rec, Options{}, "record", "record 1", "quit")
	_, out, _ = strings.Cut(out, "The run\n")
	for _, want := range []string{
		"        s  at        amps   travel       pool      back      dabs\n", "           x air at the back, 1 to 12 mm\n", "travel, mean    316 mm/min",
		"Where it begins, air at the back, 1 to 12 mm, 0.2 s\n  here you had 0.8 s to dab",
		"Smallest change of the hand that holds\n  pedal 2 A lower from 3.2 s on, 3 mm along: 58 A in place of 60 A\n  then burn-through 60,",
	} {
		assert.Contains(t, out, want)
	}
}
