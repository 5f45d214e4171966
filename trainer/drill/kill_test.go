package drill

import (
	"bufio"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
)

// The test binary doubles as a learner who does nothing but weld: this names it.
const learnerEnv = "PUDDLEWISE_TEST_DRILL"

func TestMain(m *testing.M) {
	if os.Getenv(learnerEnv) != "" {
		if err := weldAndSay(os.Args[1], os.Args[2]); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// goOn goes on with a drill whose judge rejects all.
func goOn(file string) (*Run, error) {
	d, err := Parse("d.yaml", []byte("title: x\naim: y\nchoose: {count: 40}\ntries: 10\n"))
	if err != nil {
		return nil, err
	}
	var all []scenarios.Scenario // the bank's own take longer to read than to kill
	for i := range 40 {
		all = append(all, scenarios.Scenario{ID: fmt.Sprintf("J-%02d", i), Ask: []string{"amps"}})
	}
	r, _, err := Open(d, Sitting{Bank: all, Learner: "Ann", File: file, Key: []byte("class"), Judge: rejects, Now: time.Now})
	return r, err
}

func rejects(weld.Task, weld.Answer) (scoring.Verdict, error) {
	return scoring.Verdict{Outcome: scoring.Reject}, nil
}

// weldAndSay goes on with a drill and says the id of each coupon that Begin returned for.
func weldAndSay(file, name string) error {
	r, err := goOn(file)
	if err != nil {
		return err
	}
	for i := 0; ; i++ {
		sc, ok := r.Next()
		if !ok {
			return fmt.Errorf("the drill is over")
		}
		a := session.Attempt{ID: fmt.Sprintf("%s-%d", name, i), Scenario: sc.ID, Task: sc.Task, Answer: weld.Defaults()}
		if _, err := r.Begin(a); err != nil {
			return err
		}
		fmt.Println(a.ID)
		a.Verdict, _ = rejects(a.Task, a.Answer)
		if _, err := r.Take(a); err != nil {
			return err
		}
	}
}

// A learner's machine dies in the middle of a drill, again and again, at a moment drawn
// with a fixed seed. The result is whole each time and holds every coupon that was begun,
// seen or not; the one in the middle of its weld is welded when the drill goes on.
func TestKilledInADrill(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("a file of a killed process is held open for a while there")
	}
	self, err := os.Executable()
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "ann.json")
	draw := rand.New(rand.NewPCG(7, 20))
	said := map[string]bool{}
	kills := 20
	if raced { // a process takes a second to begin
		kills = 5
	}
	for n := range kills {
		cmd := exec.CommandContext(context.WithoutCancel(t.Context()), self, file, fmt.Sprint(n))
		cmd.Env = append(os.Environ(), learnerEnv+"=1")
		cmd.Stderr = os.Stderr
		out, err := cmd.StdoutPipe()
		require.NoError(t, err)
		require.NoError(t, cmd.Start())
		lines := bufio.NewScanner(out)
		for range 1 + draw.IntN(12) {
			require.True(t, lines.Scan(), "the drill ended by itself")
			said[lines.Text()] = true
		}
		require.NoError(t, cmd.Process.Kill())
		for lines.Scan() { // begun before it died
			said[lines.Text()] = true
		}
		require.Error(t, cmd.Wait())

		r, err := ReadResult(file)
		require.NoError(t, err)
		require.True(t, r.Sealed([]byte("class")))
		kept := map[string]bool{}
		for _, a := range r.begun() {
			assert.False(t, kept[a.ID], "%s is kept twice", a.ID)
			kept[a.ID] = true
		}
		for id := range said {
			assert.True(t, kept[id], "%s was said to be begun", id)
		}
		assert.Len(t, r.Away, n, "each time away is told")
	}
	r, err := goOn(file)
	require.NoError(t, err)
	assert.Nil(t, r.Result().Welding)
	taken := map[string]bool{}
	for _, a := range r.Result().Attempts {
		taken[a.ID] = a.Digest != ""
	}
	for id := range said {
		assert.True(t, taken[id], "%s used a try", id)
	}
}
