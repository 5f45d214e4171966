package scoring

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scoring/weld"
)

// mapped maps two settings of a set-up.
func mapped(t *testing.T, s setup, x, y string) *Window {
	t.Helper()
	w, err := MapWindow(s.task, s.answer, x, y, InOrder)
	require.NoError(t, err)
	require.Len(t, w.Xs, WindowX)
	require.Len(t, w.Ys, WindowY)
	return w
}

// point is the answer at a point of the window, and what a verdict makes of it.
func (w *Window) point(t *testing.T, s setup, c, r int) (weld.Answer, Region) {
	t.Helper()
	a := s.answer
	w.X.SetValue(&a, w.Xs[c])
	w.Y.SetValue(&a, w.Ys[r])
	if w.Y.Key != "amps_end" {
		easeWith(&a, s.answer)
	}
	if outside(s.task, a) != "" {
		return a, Unknown
	}
	return a, region(margins(s.task, a, beadOf(t, s.task, a)))
}

// inland says whether all points around one are as it is: across, up and down a tenth
// of what the answer has.
func (w *Window) inland(c, r int) bool {
	const columns, rows = 4, 3
	for i := max(0, r-rows); i <= min(WindowY-1, r+rows); i++ {
		for k := max(0, c-columns); k <= min(WindowX-1, c+columns); k++ {
			if w.Regions[i][k] != w.Regions[r][c] {
				return false
			}
		}
	}
	return true
}

// Away from a border by a tenth of a setting the map says what verdicts say, and at the
// answer itself. Of 420 verdicts on six joints of the bank (T-01, T-02, B-02, B-05, L-01,
// C-03, a tenth of each map's points) 17 differed from the map, 8 of them on L-01, a
// thin lap with a narrow window; of the 216 away from a border none.
func TestWindowSaysWhatVerdictsSay(t *testing.T) {
	for on, amps := range map[string]string{"steel butt": "", "steel tee": "70 A", "aluminium butt": "", "gap tee": ""} {
		t.Run(on, func(t *testing.T) {
			t.Parallel()
			if brief() && on != "steel butt" {
				t.Skip("brief: one joint")
			}
			s := setups(t)[on]
			if amps != "" {
				require.NoError(t, set(&s.task, &s.answer, "amps", amps))
			}
			w := mapped(t, s, "amps", "travel")
			regions, checked := map[Region]bool{}, 0
			rows := []int{1, 11, 22}
			if brief() {
				rows = rows[1:2]
			}
			for _, r := range rows {
				for _, c := range []int{3, 10, 17, 24, 31, 38} {
					own := w.Xs[c] == w.X0 && w.Ys[r] == w.Y0
					if !own && !w.inland(c, r) {
						continue
					}
					a, want := w.point(t, s, c, r)
					assert.Equal(t, want, w.Regions[r][c], "at %s and %s", a.Amps.Show(weld.Metric), a.Travel.Show(weld.Metric))
					regions[want] = true
					checked++
				}
			}
			assert.Greater(t, checked, 2*len(rows)-1)
			assert.GreaterOrEqual(t, len(regions), 2, "a map of one region checks nothing")
			assert.LessOrEqual(t, w.Welds, 30)
		})
	}
}

func TestWhatLeavesTheHeatAloneIsJudgedAtEveryPoint(t *testing.T) {
	s := setups(t)["steel butt"]
	require.NoError(t, set(&s.task, &s.answer, "flow", "4 L/min"))
	for _, keys := range [][2]string{{"flow", "stick_out"}, {"stick_out", "flow"}} {
		w := mapped(t, s, keys[0], keys[1])
		assert.Equal(t, 1, w.Welds)
		regions := map[Region]bool{}
		for r := 0; r < WindowY; r += 6 {
			for c := 0; c < WindowX; c += 6 {
				_, want := w.point(t, s, c, r)
				assert.Equal(t, want, w.Regions[r][c], "%s, %d, %d", keys, c, r)
				regions[w.Regions[r][c]] = true
			}
		}
		assert.True(t, regions[Good] && regions[OtherBad], "%v", regions)
	}
}

func TestWindowOfOneSettingThatHeatsAndOneThatDoesNot(t *testing.T) {
	s := setups(t)["steel butt"]
	w := mapped(t, s, "flow", "amps")
	assert.LessOrEqual(t, w.Welds, 14)
	seen := map[Region]bool{}
	for _, row := range w.Regions {
		for _, r := range row {
			seen[r] = true
		}
	}
	assert.True(t, seen[Good] && seen[Cold] && seen[Through], "%v", seen)
}

func TestWindowEndsWithTheModel(t *testing.T) {
	s := setups(t)["steel butt"]
	require.NoError(t, set(&s.task, &s.answer, "amps", "200 A"))
	w := mapped(t, s, "amps", "flow")
	for c, x := range w.Xs {
		assert.Equal(t, x > 250, w.Regions[0][c] == Unknown, "%g A", x)
	}
	require.NoError(t, set(&s.task, &s.answer, "amps", "390 A"))
	w = mapped(t, s, "amps", "flow")
	assert.Equal(t, Unknown, w.Regions[12][WindowX-1])
	assert.Equal(t, Through, w.Regions[12][0])
	assert.LessOrEqual(t, w.Xs[WindowX-1], 400.0, "the field ends there")
}

func TestThePedalIsAnAxis(t *testing.T) {
	s := setups(t)["steel butt"]
	require.NoError(t, set(&s.task, &s.answer, "amps_end", "50 A"))
	m := &mapper{task: s.task, answer: s.answer}
	var err error
	m.along, err = newAxis(s.answer, "amps", WindowX)
	require.NoError(t, err)
	m.other, err = newAxis(s.answer, "amps_end", WindowY)
	require.NoError(t, err)
	assert.InDelta(t, 40, float64(m.at(70, 40).AmpsEnd), 1e-9, "both are moved")
	m.other, err = newAxis(s.answer, "travel", WindowY)
	require.NoError(t, err)
	a := m.at(2*float64(s.answer.Amps), m.other.at)
	assert.InDelta(t, 100, float64(a.AmpsEnd), 1e-9, "the pedal keeps its share")
}

func TestWhatCannotBeAnAxis(t *testing.T) {
	s := setups(t)["steel butt"]
	for key, want := range map[string]string{"gas": "not a numeric setting", "cup": "not a numeric setting", "amsp": "not a numeric setting", "amps_end": "amps_end is 0"} {
		_, err := MapWindow(s.task, s.answer, "amps", key, InOrder)
		assert.ErrorContains(t, err, want)
		assert.False(t, Mappable(s.answer, key))
	}
	s.answer.Aim = 0
	a, err := newAxis(s.answer, "aim", WindowY)
	require.NoError(t, err, "the aim goes to either side of nought")
	assert.InDelta(t, -2e-3, a.vs[0], 1e-4)
	s.answer.TorchAngle = 85 * weld.Degree
	a, err = newAxis(s.answer, "torch_angle", WindowX)
	require.NoError(t, err)
	assert.InDelta(t, float64(90*weld.Degree), a.vs[WindowX-1], 1e-6, "as far as the field goes")
	assert.Contains(t, a.vs, a.at)
}
