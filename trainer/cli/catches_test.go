package cli

import (
	"flag"
	"fmt"
	"os"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

var update = flag.Bool("update", false, "write the README's tables anew")

const (
	readme  = "../../README.md"
	catches = "../../testdata/catches.txt"
)

// TestCatches holds the README's table of mistakes to what the program says of them.
func TestCatches(t *testing.T) {
	if testing.Short() || raced {
		t.Skip("it welds and searches as the trainer does")
	}
	inReadme(t, "what it catches", catchesTable(t))
}

// TestVariationsShown holds the README's variations to what the program draws.
func TestVariationsShown(t *testing.T) {
	if testing.Short() || raced {
		t.Skip("it welds as the trainer does")
	}
	var out, errs strings.Builder
	code := Main([]string{"show", "P-04", "--seed", "1,2,3"}, Streams{Out: &out, Err: &errs}, System())
	require.Equal(t, exitDone, code, errs.String())
	inReadme(t, "variations", "```\n"+out.String()+"```\n")
}

// TestCoverageShown holds the README's table of the bank to the bank.
func TestCoverageShown(t *testing.T) {
	joints, err := scenarios.Bank()
	require.NoError(t, err)
	var b strings.Builder
	require.NoError(t, writeCoverage(&b, scenarios.Cover(joints)))
	for line := range strings.Lines(b.String()) {
		assert.LessOrEqual(t, len(line), 80, line)
	}
	inReadme(t, "the bank", "```\n"+b.String()+"```\n")
}

// inReadme holds what stands under a mark in the README to a table, or writes it there.
func inReadme(t *testing.T, mark, table string) {
	t.Helper()
	begin, end := "<!-- "+mark+" -->\n", "<!-- end -->\n"
	raw, err := os.ReadFile(readme)
	require.NoError(t, err)
	text := strings.ReplaceAll(string(raw), "\r\n", "\n")
	before, rest, ok := strings.Cut(text, begin)
	require.True(t, ok, "the README has no %q", begin)
	old, after, ok := strings.Cut(rest, end)
	require.True(t, ok, "the README has no end of %q", begin)
	if *update {
		require.NoError(t, os.WriteFile(readme, []byte(before+begin+table+end+after), 0o644))
		return
	}
	assert.Equal(t, table, old, "go test ./trainer/cli -run '%s' -update writes it anew", t.Name())
}

// catchesTable welds the mistakes and writes them down side by side.
func catchesTable(t *testing.T) string {
	list, err := os.ReadFile(catches)
	require.NoError(t, err)
	joints, err := scenarios.Bank()
	require.NoError(t, err)
	var b strings.Builder
	b.WriteString("| one mistake on a good answer | verdict | burn-through | lack of fusion | oxide | what decided, in its own words | smallest change that saves it |\n|---|---|---|---|---|---|---|\n")
	for row := range strings.Lines(string(list)) {
		row = strings.TrimSpace(row)
		if row == "" || strings.HasPrefix(row, "#") {
			continue
		}
		sc, m := mistakeNamed(t, joints, row)
		good, err := scoring.Judge(sc.Task, sc.Model)
		require.NoError(t, err)
		v, err := scoring.Judge(sc.Task, m.Answer)
		require.NoError(t, err)
		word, _ := view.Outcome(v.Outcome)
		fmt.Fprintf(&b, "| %s: %s; **%s** | %s", sc.ID, place(sc), changed(t, sc.Model, m.Answer), word)
		fell, most := "", 0.0
		was, is := view.Scores(good), view.Scores(v)
		for i := range is {
			if fall := float64(was[i].Value - is[i].Value); fall > most {
				fell, most = is[i].Name, fall
			}
		}
		for _, s := range is {
			mark := ""
			if s.Name == fell {
				mark = "**"
			}
			fmt.Fprintf(&b, " | %s%d%s", mark, s.Value, mark)
		}
		require.NotEmpty(t, v.Findings, "%s raises nothing", row)
		saved := "none needed: " + v.Findings[0].Fix
		if v.Outcome == scoring.Reject {
			r, ok := scoring.Save(sc.Task, m.Answer, sc.Ask, weld.Metric, session.Cores(t.Context(), runtime.GOMAXPROCS(0)))
			saved = "none found among the settings asked: " + v.Findings[0].Fix
			if ok {
				saved = strings.Join(r.Words(weld.Metric), "; ")
			}
		}
		fmt.Fprintf(&b, " | %s | %s |\n", v.Findings[0].Why, saved)
	}
	return b.String()
}

// mistakeNamed finds "B-01 Afraid of a hole" in the bank.
func mistakeNamed(t *testing.T, joints []scenarios.Scenario, row string) (scenarios.Scenario, scenarios.Mistake) {
	t.Helper()
	id, title, _ := strings.Cut(row, " ")
	for _, sc := range joints {
		for _, m := range sc.Mistakes {
			if sc.ID == id && m.Title == title {
				return sc, m
			}
		}
	}
	require.Fail(t, "testdata/catches.txt: the bank has no such mistake", row)
	return scenarios.Scenario{}, scenarios.Mistake{}
}

// place says what is welded in a few words.
func place(sc scenarios.Scenario) string {
	row := view.JointRow(sc, weld.Metric)
	return row.Joint + ", " + row.Metal + " " + row.Thickness
}

// changed says the one setting that differs from the good answer.
func changed(t *testing.T, good, bad weld.Answer) string {
	t.Helper()
	var out []string
	for _, f := range weld.Fields {
		if f.Get(good) != f.Get(bad) {
			out = append(out, f.Label+" "+f.Show(good, weld.Metric)+" -> "+f.Show(bad, weld.Metric))
		}
	}
	require.Len(t, out, 1, "one mistake each")
	return out[0]
}
