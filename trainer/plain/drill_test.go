package plain

import (
	"io"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scenarios"
	"puddlewise/trainer/drill"
	"puddlewise/trainer/record"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/sessiontest"
)

// While a learner thinks the clock speaks and the time is kept, so that a kill wins little.
func TestThinkingTimeIsKept(t *testing.T) {
	d, err := drill.Parse("d.yaml", []byte("title: x\naim: y\njoints: [T-01]\ntime: {joint: 2 min}\n"))
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "ann.json")
	start, gone := time.Date(2026, 3, 4, 9, 0, 0, 0, time.UTC), atomic.Int64{}
	so := sessiontest.Options(&sessiontest.Recorder{})
	in, typed := io.Pipe()
	tick, ended := make(chan time.Time), make(chan error)
	var out strings.Builder
	opt := Options{
		In: in, Out: &out, Settings: record.Settings{CautionsSeen: true}, Now: func() time.Time { return start.Add(time.Duration(gone.Load())) },
		NewSession: func(sc scenarios.Scenario) *session.Session { return session.New(sc, so) },
	}
	go func() {
		ended <- RunDrill(t.Context(), opt, []string{"Ann"}, func(learner string) (*drill.Run, bool, error) {
			return drill.Open(d, drill.Sitting{Bank: sessiontest.Bank(), Learner: learner, File: file, Now: opt.Now})
		}, tick)
	}()
	wait := func(d time.Duration) {
		tick <- start // a question waits
		gone.Add(int64(d))
		tick <- start
		tick <- start // the one before has been heard
	}
	wait(40 * time.Second)
	wait(30 * time.Second)
	r, err := drill.ReadResult(file)
	require.NoError(t, err)
	assert.Equal(t, 70.0, r.Working)
	wait(time.Hour) // the machine slept
	require.NoError(t, typed.Close())
	require.NoError(t, <-ended)
	assert.Contains(t, out.String(), "50 s left here.")
	assert.NotContains(t, out.String(), "The time is up")
	r, err = drill.ReadResult(file)
	require.NoError(t, err)
	assert.Equal(t, 70.0, r.Working)
	require.Len(t, r.Away, 1)
	assert.Equal(t, time.Hour, r.Away[0].To.Sub(r.Away[0].From))
}
