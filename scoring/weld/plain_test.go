package weld_test

import (
	"bufio"
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scoring/weld"
)

// quantitiesDir holds cases a welder can read and add to; see its README.
var quantitiesDir = filepath.Join("..", "..", "testdata", "quantities")

type plainCase struct {
	line  int
	input string
	want  string
}

// plainCases reads a file of cases: a line as it is typed, then indented what comes of it.
func plainCases(t testing.TB, name string) []plainCase {
	t.Helper()
	f, err := os.Open(filepath.Join(quantitiesDir, name))
	require.NoError(t, err)
	defer f.Close()
	var cases []plainCase
	open := false
	sc := bufio.NewScanner(f)
	for n := 1; sc.Scan(); n++ {
		line := sc.Text()
		switch {
		case strings.HasPrefix(line, "#"):
		case !open && strings.TrimSpace(line) == "":
		case strings.HasPrefix(line, "    "):
			require.True(t, open, "%s:%d: a result without an input", name, n)
			cases[len(cases)-1].want = strings.TrimSpace(line)
			open = false
		default:
			require.False(t, open, "%s:%d: an input without a result before it", name, n)
			cases = append(cases, plainCase{line: n, input: expand(line)})
			open = true
		}
	}
	require.NoError(t, sc.Err())
	require.False(t, open, "%s: the last input has no result", name)
	return cases
}

// expand stands in for what an editor would hide.
func expand(line string) string {
	switch line {
	case "(nothing)":
		return ""
	case "(spaces)":
		return "   "
	case "(a thousand nines) mm":
		return strings.Repeat("9", 1000) + " mm"
	case "(not text)":
		return "1.4 \xff\xfe mm"
	}
	return line
}

func TestQuantitiesAsPlainFiles(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(quantitiesDir, "*.txt"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		name := filepath.Base(file)
		if name == "fields.txt" {
			continue
		}
		t.Run(name, func(t *testing.T) {
			k := kindByName(t, strings.TrimSuffix(name, ".txt"))
			for _, c := range plainCases(t, name) {
				got, err := k.parse(c.input)
				if want, ok := strings.CutPrefix(c.want, "refused: "); ok {
					if assert.Error(t, err, "%s:%d: %q", name, c.line, c.input) {
						assert.Contains(t, err.Error(), want, "%s:%d", name, c.line)
						checkMessage(t, err)
					}
					continue
				}
				if !assert.NoError(t, err, "%s:%d", name, c.line) {
					continue
				}
				if want, ok := strings.CutPrefix(c.want, "about "); ok {
					assert.Contains(t, []string{k.show(got, weld.Metric), k.show(got, weld.Imperial)}, want, "%s:%d", name, c.line)
					continue
				}
				want, err := k.parse(c.want)
				require.NoError(t, err, "%s:%d", name, c.line)
				assert.Equal(t, want, got, "%s:%d: %q is not exactly %s", name, c.line, c.input, c.want)
			}
		})
	}
}

func readCSV(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join(quantitiesDir, name))
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(rows), 1)
	var out []map[string]string
	for _, row := range rows[1:] {
		m := map[string]string{}
		for i, key := range rows[0] {
			m[key] = row[i]
		}
		out = append(out, m)
	}
	return out
}

func TestCupBores(t *testing.T) {
	for _, row := range readCSV(t, "cups.csv") {
		n, err := strconv.Atoi(row["number"])
		require.NoError(t, err)
		bore, err := strconv.ParseFloat(row["bore_mm"], 64)
		require.NoError(t, err)
		// The published bores are rounded to 0.01 mm.
		assert.LessOrEqual(t, math.Abs(weld.Cup(n).Bore().MM()-bore), 0.005+1e-9, "cup %d", n)
		assert.NotEmpty(t, row["source"], "cup %d", n)
	}
}

func TestPositionsAgainstTheTable(t *testing.T) {
	seen := map[weld.Position]bool{}
	for _, row := range readCSV(t, "positions.csv") {
		p := weld.Position(row["iso"])
		seen[p] = true
		assert.Equal(t, row["aws_groove"], p.AWS(weld.SquareButt), "%s groove", p)
		assert.Equal(t, row["aws_fillet"], p.AWS(weld.TeeFillet), "%s fillet", p)
		assert.NotEmpty(t, p.Words(weld.SquareButt), p)
	}
	for _, p := range weld.Positions {
		assert.True(t, seen[p], "%s is not in positions.csv", p)
	}
	assert.Len(t, seen, len(weld.Positions))
}

func TestEveryJointHasAPosition(t *testing.T) {
	for _, j := range weld.Joints {
		var suits []weld.Position
		for _, p := range weld.Positions {
			if p.Suits(j) {
				suits = append(suits, p)
				assert.NotEmpty(t, p.AWS(j), "%s %s", p, j)
			}
		}
		assert.Contains(t, suits, weld.PA, j)
		assert.NotContains(t, suits, map[bool]weld.Position{true: weld.PC, false: weld.PB}[j.Fillet()], "%s", j)
	}
}
