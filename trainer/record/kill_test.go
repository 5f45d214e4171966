package record_test

import (
	"bufio"
	"context"
	"database/sql"
	"fmt"
	"math/rand/v2"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scoring"
	"puddlewise/trainer/record"
)

// The test binary doubles as a trainer that does nothing but record: this names
// the record, the first word of its ids and how many to record.
const recorderEnv = "PUDDLEWISE_TEST_RECORDER"

func TestMain(m *testing.M) {
	if os.Getenv(recorderEnv) != "" {
		if err := recordAndSay(os.Args[1], os.Args[2], os.Args[3]); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// recordAndSay records attempts and says the id of each that Add returned for.
func recordAndSay(path, name, count string) error {
	n, err := strconv.Atoi(count)
	if err != nil {
		return err
	}
	s, err := record.Open(path)
	if err != nil {
		return err
	}
	if aside := s.SetAside(); aside != "" {
		return fmt.Errorf("the record was found damaged and put aside as %s", aside)
	}
	for i := range n {
		a := attempt(fmt.Sprintf("%s-%d", name, i), noon.Add(time.Duration(i)*time.Second))
		// Of many sizes, so that a write ends at many places in a page.
		a.Verdict.Coupon.Stations = slices.Repeat(a.Verdict.Coupon.Stations, 1+i*7%50)
		if err := s.Add(a); err != nil {
			return err
		}
		fmt.Println(a.ID)
	}
	return s.Close()
}

func recorder(t *testing.T, path, name string, count int) *exec.Cmd {
	t.Helper()
	self, err := os.Executable()
	require.NoError(t, err)
	cmd := exec.CommandContext(context.WithoutCancel(t.Context()), self, path, name, strconv.Itoa(count))
	cmd.Env = append(os.Environ(), recorderEnv+"=1")
	cmd.Stderr = os.Stderr
	return cmd
}

// A trainer is killed in the middle of recording, again and again, at a moment
// drawn with a fixed seed: after so many attempts were said to be recorded, the
// next one on its way. It never has a chance to put anything in order, and the
// next trainer starts from what the last one left. Killed is the process: power
// loss is what SQLite's own tests are for.
func TestKilledWhileRecording(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("the journal of a killed process is held open for a while there")
	}
	kills, perRecord := 500, 50
	if testing.Short() || raced {
		kills, perRecord = 40, 20
	}
	draw := rand.New(rand.NewPCG(7, 500))
	var path string
	var said []string
	for n := range kills {
		if n%perRecord == 0 { // also the making of a record is killed
			path, said = filepath.Join(t.TempDir(), record.FileName), nil
		}
		cmd := recorder(t, path, fmt.Sprint(n), 1<<30)
		out, err := cmd.StdoutPipe()
		require.NoError(t, err)
		require.NoError(t, cmd.Start())
		lines := bufio.NewScanner(out)
		for range draw.IntN(10) {
			require.True(t, lines.Scan(), "the recorder ended by itself")
			said = append(said, lines.Text())
		}
		require.NoError(t, cmd.Process.Kill())
		for lines.Scan() { // said before it died
			said = append(said, lines.Text())
		}
		require.Error(t, cmd.Wait())

		assertSound(t, path)
		if n%perRecord < perRecord-1 {
			continue
		}
		s := open(t, path)
		require.Empty(t, s.SetAside())
		attempts, err := s.Attempts(record.Filter{})
		require.NoError(t, err)
		kept := map[string]bool{}
		for _, a := range attempts {
			kept[a.ID] = true
			require.Equal(t, scoring.Reject, a.Verdict.Outcome)
		}
		for _, id := range said {
			assert.True(t, kept[id], "%s was said to be recorded and is lost", id)
		}
		require.NoError(t, s.Close())
	}
}

// assertSound reads the record as it was left, without changing it: the journal
// stays for the next trainer to find.
func assertSound(t *testing.T, path string) {
	t.Helper()
	if info, err := os.Stat(path); err != nil || info.Size() == 0 {
		return // killed before there was anything
	}
	db, err := sql.Open("sqlite", (&url.URL{Scheme: "file", Path: path, RawQuery: "mode=ro"}).String())
	require.NoError(t, err)
	defer db.Close()
	var result string
	require.NoError(t, db.QueryRow("PRAGMA integrity_check").Scan(&result))
	require.Equal(t, "ok", result)
}

// Two programs, not only two stores: locks between processes are another matter.
func TestTwoProcessesAtOnce(t *testing.T) {
	const each = 40
	path := filepath.Join(t.TempDir(), record.FileName)
	var wg sync.WaitGroup
	for _, name := range []string{"one", "other"} {
		cmd := recorder(t, path, name, each)
		wg.Go(func() { assert.NoError(t, cmd.Run(), name) })
	}
	wg.Wait()
	got, err := open(t, path).Briefs(record.Filter{})
	require.NoError(t, err)
	assert.Len(t, got, 2*each)
}
