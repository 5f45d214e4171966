package scoring

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const matrixDir = casesDir + "/matrix"

// TestMistakes makes one mistake on an otherwise good weld and expects exactly the
// findings it must raise, and the score it lowers to fall further than the others.
func TestMistakes(t *testing.T) {
	cases := readCases(t, filepath.Join(matrixDir, "mistakes.txt"))
	assert.GreaterOrEqual(t, len(cases), 30)
	for _, c := range cases {
		t.Run(c.title, func(t *testing.T) {
			t.Parallel()
			c.skipInBrief(t)
			v := judgeShared(t, c.task, c.answer)
			for _, problem := range c.check(v) {
				t.Errorf("mistakes.txt:%d: %s\n%s", c.line, problem, story(v))
			}
			good := setups(t)[c.on]
			before := judgeShared(t, good.task, good.answer)
			require.Equal(t, Accept, before.Outcome, "the weld it starts from\n%s", story(before))
			fell, by := "nothing", 0.0
			for _, name := range []string{burnThrough, lackOfFusion, oxide} {
				if d := *before.Scores.of(name) - *v.Scores.of(name); d > by {
					fell, by = name, d
				}
			}
			if c.falls == "nothing" {
				assert.Less(t, by, 15.0, "no score falls far\n%s", story(v))
			} else {
				assert.Equal(t, c.falls, fell, "the score that falls most\n%s", story(v))
			}
		})
	}
}

// TestGoodWelds welds published conditions and common practice: nothing above a
// remark may stand against them.
func TestGoodWelds(t *testing.T) {
	cases := readCases(t, filepath.Join(matrixDir, "good.txt"))
	assert.GreaterOrEqual(t, len(cases), 30)
	for _, c := range cases {
		t.Run(c.title, func(t *testing.T) {
			t.Parallel()
			c.skipInBrief(t)
			assert.NotEmpty(t, c.source, "good.txt:%d: say where it comes from", c.line)
			v := judgeShared(t, c.task, c.answer)
			c.outcome = Accept
			for _, problem := range c.check(v) {
				t.Errorf("good.txt:%d: %s\n%s", c.line, problem, story(v))
			}
		})
	}
}

// TestMisfits welds the published rows the model does not reach, and expects it to
// miss them the way the file says: a row that comes right is moved to good.txt.
func TestMisfits(t *testing.T) {
	for _, c := range readCases(t, filepath.Join(matrixDir, "misfits.txt")) {
		t.Run(c.title, func(t *testing.T) {
			t.Parallel()
			c.skipInBrief(t)
			assert.NotEmpty(t, c.source, "misfits.txt:%d: say where it comes from", c.line)
			assert.NotEmpty(t, c.note, "misfits.txt:%d: say what is off, with numbers", c.line)
			assert.Equal(t, Reject, c.outcome, "misfits.txt:%d: a row that is accepted belongs in good.txt", c.line)
			v := judgeShared(t, c.task, c.answer)
			for _, problem := range c.check(v) {
				t.Errorf("misfits.txt:%d: %s\n%s", c.line, problem, story(v))
			}
		})
	}
}
