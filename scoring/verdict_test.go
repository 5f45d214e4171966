package scoring

import (
	"bufio"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

const casesDir = "../testdata/verdict"

// TestVerdictFiles welds every case of testdata/verdict, which a welder can read
// and add to: see the README there.
func TestVerdictFiles(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(casesDir, "*.txt"))
	require.NoError(t, err)
	seen := map[string]map[string]bool{}
	for _, name := range files {
		if filepath.Base(name) == setupsFile {
			continue
		}
		rule := strings.TrimSuffix(filepath.Base(name), ".txt")
		seen[rule] = map[string]bool{}
		for _, c := range readCases(t, name) {
			kind, _, _ := strings.Cut(c.title, ":")
			seen[rule][strings.TrimSpace(kind)] = true
			t.Run(rule+"/"+c.title, func(t *testing.T) {
				t.Parallel()
				c.skipInBrief(t)
				v := judgeShared(t, c.task, c.answer)
				for _, problem := range c.check(v) {
					t.Errorf("%s:%d: %s\n%s", name, c.line, problem, story(v))
				}
			})
		}
	}
	for _, id := range RuleIDs() {
		for _, kind := range []string{"pass", "fail", "edge"} {
			assert.True(t, seen[id][kind], "%s: no case that starts with %q in testdata/verdict/%s.txt", id, kind, id)
		}
		delete(seen, id)
	}
	assert.Empty(t, slices.Sorted(maps.Keys(seen)), "files named after no rule")
}

// verdictCase is one weld and what has to be said of it.
type verdictCase struct {
	title    string
	line     int
	task     weld.Task
	answer   weld.Answer
	outcome  Outcome
	findings []string // "defect keyhole"
	silent   []string // rule ids that say nothing at all
	scores   map[string][2]float64
	words    []string // to be found in what the findings say
	signs    []string
	on       string // set-up it starts from
	falls    string // the score that falls most
	source   string
	note     string
}

// brief says that few seams are to be welded.
func brief() bool { return testing.Short() || raced }

// fewSeams are the set-ups that a brief run welds: the quick ones.
var fewSeams = []string{"steel butt", "stainless butt", "aluminium butt", "titanium butt"}

// skipInBrief leaves out cases that need a seam of their own.
func (c *verdictCase) skipInBrief(t *testing.T) {
	s := setups(t)[c.on]
	if brief() && (!slices.Contains(fewSeams, c.on) || heatOf(c.task, c.answer) != heatOf(s.task, s.answer)) {
		t.Skip("brief: only what can be judged on a few seams")
	}
}

// check says where the verdict differs from what the case expects. Findings
// above a remark have to be the ones listed and no others.
func (c *verdictCase) check(v Verdict) []string {
	var out []string
	if v.Outcome != c.outcome {
		out = append(out, fmt.Sprintf("outcome %s, expected %s", v.Outcome, c.outcome))
	}
	var said []string
	var words strings.Builder
	words.WriteString(v.Reason)
	for _, f := range v.Findings {
		said = append(said, string(f.Severity)+" "+f.Rule)
		fmt.Fprintln(&words, f.Got, f.Want, f.Why, f.Fix)
		if slices.Contains(c.silent, f.Rule) {
			out = append(out, f.Rule+" speaks")
		}
		if p := unclear(f); p != "" {
			out = append(out, f.Rule+" "+p)
		}
	}
	for _, f := range c.findings {
		if !slices.Contains(said, f) {
			out = append(out, "missing: "+f)
		}
	}
	for _, f := range said {
		if !strings.HasPrefix(f, string(Remark)) && !slices.Contains(c.findings, f) {
			out = append(out, "not expected: "+f)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(c.scores)) {
		bounds, got := c.scores[name], *v.Scores.of(name)
		if got < bounds[0] || got > bounds[1] {
			out = append(out, fmt.Sprintf("%s %g, expected %g to %g", name, got, bounds[0], bounds[1]))
		}
	}
	for _, id := range c.signs {
		if !slices.ContainsFunc(v.Signs, func(s Sign) bool { return s.ID == id && s.Strength >= 0.5 }) {
			out = append(out, fmt.Sprintf("the sign %s is not to be seen: %v", id, v.Signs))
		}
	}
	for _, w := range c.words {
		if !strings.Contains(words.String(), w) {
			out = append(out, fmt.Sprintf("nothing says %q", w))
		}
	}
	return out
}

// unclear says what is missing for a learner to make something of a finding, or "".
func unclear(f Finding) string {
	quantity := regexp.MustCompile(`[0-9.]+ (mm|C|%|ppm)`)
	got, want := quantity.FindString(f.Got), quantity.FindString(f.Want)
	switch {
	case f.Got == "" || f.Want == "" || f.Why == "" || f.Fix == "" || f.Source == "":
		return "leaves got, want, why, fix or source out"
	case f.Severity == Defect && got != "" && got == want && !strings.HasPrefix(f.Want, "under"):
		return fmt.Sprintf("got %q where %q is wanted: the two read alike", f.Got, f.Want)
	case len(f.Why) > 230:
		return "needs more than three lines for its reason: " + f.Why
	}
	return ""
}

// story tells a verdict in a few lines.
func story(v Verdict) string {
	var b strings.Builder
	w := v.Coupon.Worst
	fmt.Fprintf(&b, "%s: %s\nburn-through %g, lack of fusion %g, oxide %g\n", v.Outcome, v.Reason, v.Scores.BurnThrough, v.Scores.LackOfFusion, v.Scores.Oxide)
	fmt.Fprintf(&b, "face %.2f mm, back %.2f mm, penetration %.2f, leg %.2f mm, cap %.2f mm, pool %.1f mm long\n",
		w.FaceWidth.MM(), w.BackWidth.MM(), w.Penetration, w.LegA.MM(), w.Cap.MM(), v.Coupon.PoolLength.MM())
	for _, f := range v.Findings {
		fmt.Fprintf(&b, "  %s %s: got %s, want %s: %s\n", f.Severity, f.Rule, f.Got, f.Want, f.Why)
	}
	return b.String()
}

// readCases reads a file of cases. Its form stands in testdata/verdict/README.md.
func readCases(t testing.TB, name string) []verdictCase {
	t.Helper()
	var cases []verdictCase
	setups := setups(t)
	readBlocks(t, name, "case", func(line int, title string) {
		cases = append(cases, verdictCase{title: title, line: line, answer: weld.Defaults(), scores: map[string][2]float64{}})
	}, func(key, value string) error {
		c := &cases[len(cases)-1]
		switch key {
		case "on":
			s, ok := setups[value]
			if !ok {
				return fmt.Errorf("there is no set-up %q in %s", value, setupsFile)
			}
			c.on, c.task, c.answer = value, s.task, s.answer
		case "outcome":
			c.outcome = Outcome(value)
			if !slices.Contains([]Outcome{Accept, Reject, OutOfRange}, c.outcome) {
				return fmt.Errorf("outcome is accept, reject or out-of-range")
			}
		case "finding":
			_, id, _ := strings.Cut(value, " ")
			if !slices.Contains(RuleIDs(), id) {
				return fmt.Errorf("%q: write a severity and a rule's id, such as defect keyhole", value)
			}
			c.findings = append(c.findings, value)
		case "silent":
			c.silent = append(c.silent, strings.Fields(value)...)
		case burnThrough, lackOfFusion, oxide:
			// A score and its bounds.
			m := regexp.MustCompile(`^([0-9.]+) to ([0-9.]+)$`).FindStringSubmatch(value)
			if m == nil {
				return fmt.Errorf("a score is written as 0 to 50")
			}
			lo, _ := strconv.ParseFloat(m[1], 64)
			hi, _ := strconv.ParseFloat(m[2], 64)
			c.scores[key] = [2]float64{lo, hi}
		case "says":
			c.words = append(c.words, value)
		case "sign":
			if !slices.ContainsFunc(SignIDs(), func(s Sign) bool { return s.ID == value }) {
				return fmt.Errorf("there is no sign %q", value)
			}
			c.signs = append(c.signs, value)
		case "falls":
			c.falls = value
		case "source":
			c.source = value
		case "note":
			c.note = value
		default:
			return set(&c.task, &c.answer, key, value)
		}
		return nil
	})
	return cases
}

const setupsFile = "setups.txt"

// setup is a joint and a plain good answer that cases start from.
type setup struct {
	task   weld.Task
	answer weld.Answer
	ease   float64 // where current is varied: its share left at the end; 0 is the same all along
}

var (
	setupsOnce sync.Once
	setupsRead map[string]setup
)

func setups(t testing.TB) map[string]setup {
	setupsOnce.Do(func() {
		setupsRead = map[string]setup{}
		var name string
		var s setup
		readBlocks(t, filepath.Join(casesDir, setupsFile), "setup", func(_ int, title string) {
			name = title
			s = setup{task: weld.Task{PartTemp: weld.Celsius(20), RunOut: 10e-3}, answer: weld.Defaults()}
			setupsRead[name] = s
		}, func(key, value string) error {
			if key == "like" {
				other, ok := setupsRead[value]
				if !ok {
					return fmt.Errorf("no set-up %q above", value)
				}
				s = other
			} else if err := set(&s.task, &s.answer, key, value); err != nil {
				return err
			}
			setupsRead[name] = s
			return nil
		})
	})
	return setupsRead
}

// readBlocks reads "key: value" lines in blocks that a head line opens. A # starts a comment.
func readBlocks(t testing.TB, name, head string, open func(line int, title string), line func(key, value string) error) {
	t.Helper()
	f, err := os.Open(name)
	require.NoError(t, err)
	defer f.Close()
	opened := false
	sc := bufio.NewScanner(f)
	for n := 1; sc.Scan(); n++ {
		text := sc.Text()
		if strings.HasPrefix(strings.TrimSpace(text), "#") || strings.TrimSpace(text) == "" {
			continue
		}
		key, value, ok := strings.Cut(text, ":")
		key, value = strings.TrimSpace(key), strings.TrimSpace(value)
		switch {
		case !ok:
			require.Failf(t, "not a line", "%s:%d: %q has no colon", name, n, text)
		case key == head:
			opened = true
			open(n, value)
		case !opened:
			require.Failf(t, "not a line", "%s:%d: a %s: line comes first", name, n, head)
		default:
			if err := line(key, value); err != nil {
				require.Failf(t, "not a line", "%s:%d: %s: %v", name, n, key, err)
			}
		}
	}
	require.NoError(t, sc.Err())
}

// set reads one line of a joint or an answer.
func set(task *weld.Task, a *weld.Answer, key, value string) error {
	if f, ok := weld.FieldByKey(key); ok {
		return f.SetStrict(a, value)
	}
	if f, ok := taskKeys[key]; ok {
		err := f(task, value)
		if task.Joint.Tube() { // as the loader does
			task.RunOut, task.Seam = 0, task.Round().Run()
		}
		return err
	}
	return fmt.Errorf("not a key of a joint or an answer")
}

func taskLength(at ...func(*weld.Task) *weld.Length) func(*weld.Task, string) error {
	return func(t *weld.Task, s string) error {
		v, err := weld.ParseLength(s)
		for _, p := range at {
			*p(t) = v
		}
		return err
	}
}

func taskWord[T ~string](known []T, at ...func(*weld.Task) *T) func(*weld.Task, string) error {
	return func(t *weld.Task, s string) error {
		if !slices.Contains(known, T(s)) {
			return fmt.Errorf("%q is not one of %v", s, known)
		}
		for _, p := range at {
			*p(t) = T(s)
		}
		return nil
	}
}

func taskYes(at func(*weld.Task) *bool) func(*weld.Task, string) error {
	return func(t *weld.Task, s string) error {
		if s != "yes" && s != "no" {
			return fmt.Errorf("%q is not yes or no", s)
		}
		*at(t) = s == "yes"
		return nil
	}
}

func metalA(t *weld.Task) *weld.Metal   { return &t.A.Metal }
func metalB(t *weld.Task) *weld.Metal   { return &t.B.Metal }
func wallA(t *weld.Task) *weld.Length   { return &t.A.Thickness }
func wallB(t *weld.Task) *weld.Length   { return &t.B.Thickness }
func widthA(t *weld.Task) *weld.Length  { return &t.A.Width }
func widthB(t *weld.Task) *weld.Length  { return &t.B.Width }
func gapFrom(t *weld.Task) *weld.Length { return &t.Gap }
func gapTo(t *weld.Task) *weld.Length   { return &t.GapEnd }

// taskKeys are the lines of a joint: the keys of a scenario's joint and drawing, laid flat.
var taskKeys = map[string]func(*weld.Task, string) error{
	"joint":    taskWord(weld.Joints, func(t *weld.Task) *weld.Joint { return &t.Joint }),
	"position": taskWord(weld.Positions, func(t *weld.Task) *weld.Position { return &t.Position }),
	"metal":    taskWord(weld.Metals, metalA, metalB), "metal_a": taskWord(weld.Metals, metalA), "metal_b": taskWord(weld.Metals, metalB),
	"wall": taskLength(wallA, wallB), "wall_a": taskLength(wallA), "wall_b": taskLength(wallB),
	"width": taskLength(widthA, widthB), "width_a": taskLength(widthA), "width_b": taskLength(widthB),
	"gap": taskLength(gapFrom, gapTo), "gap_end": taskLength(gapTo),
	"seam":     taskLength(func(t *weld.Task) *weld.Length { return &t.Seam }),
	"run_out":  taskLength(func(t *weld.Task) *weld.Length { return &t.RunOut }),
	"overlap":  taskLength(func(t *weld.Task) *weld.Length { return &t.Overlap }),
	"diameter": taskLength(func(t *weld.Task) *weld.Length { return &t.Diameter }),
	"through":  taskLength(func(t *weld.Task) *weld.Length { return &t.Through }),
	"branch": func(t *weld.Task, s string) (err error) {
		t.Branch, err = weld.ParseAngle(s)
		return err
	},
	"earlier_run": func(t *weld.Task, s string) (err error) {
		t.Earlier, err = weld.ParseDuration(s)
		return err
	},
	"leg":     taskLength(func(t *weld.Task) *weld.Length { return &t.Drawing.Leg }),
	"chill":   taskWord(weld.Chills, func(t *weld.Task) *weld.Chill { return &t.Chill }),
	"surface": taskWord(weld.Surfaces, func(t *weld.Task) *weld.Surface { return &t.Surface }),
	"wps":     taskWord(weld.Fillers, func(t *weld.Task) *weld.Filler { return &t.Drawing.FillerFixed }),
	"part_temp": func(t *weld.Task, s string) (err error) {
		t.PartTemp, err = weld.ParseTemperature(s)
		return err
	},
	"draught": func(t *weld.Task, s string) (err error) {
		t.Draught, err = weld.ParseSpeed(s)
		return err
	},
	"closed":      taskYes(func(t *weld.Task) *bool { return &t.ClosedVolume }),
	"throat":      taskYes(func(t *weld.Task) *bool { return &t.Throat }),
	"blocked":     taskYes(func(t *weld.Task) *bool { return &t.Blocked }),
	"bright_root": taskYes(func(t *weld.Task) *bool { return &t.Drawing.BrightRoot }),
}

// judgeShared is Judge, but welds a seam once for all answers that differ only in
// what leaves the heat alone.
func judgeShared(t testing.TB, task weld.Task, a weld.Answer) Verdict {
	t.Helper()
	if reason := outside(task, a); reason != "" {
		return Verdict{Outcome: OutOfRange, Reason: reason}
	}
	return judgeBead(task, a, beadOf(t, task, a))
}

type sharedBead struct {
	once sync.Once
	bead *puddle.Bead
	err  error
}

var shared sync.Map // heat -> *sharedBead

// heat is what the metal feels of a joint and an answer.
type heat struct {
	task   weld.Task
	answer weld.Answer
}

func heatOf(task weld.Task, a weld.Answer) heat {
	task.Surface, task.Draught, task.ClosedVolume, task.Throat, task.Blocked = "", 0, false, false, false
	task.Drawing.BrightRoot, task.Drawing.FillerFixed = false, ""
	return heat{task, felt(a)}
}

func beadOf(t testing.TB, task weld.Task, a weld.Answer) *puddle.Bead {
	t.Helper()
	v, _ := shared.LoadOrStore(heatOf(task, a), &sharedBead{})
	s := v.(*sharedBead)
	s.once.Do(func() { s.bead, s.err = puddle.Weld(task, a) })
	require.NoError(t, s.err)
	return s.bead
}
