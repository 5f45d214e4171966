package scenarios

import (
	"errors"
	"flag"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"puddlewise/scoring/weld"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write what is read into the .txt files beside the bad ones")

const (
	goodDir = "../testdata/scenarios"
	badDir  = "../testdata/bad"
)

func minimal(t testing.TB) Scenario {
	t.Helper()
	s, err := LoadFile(filepath.Join(goodDir, "minimal.yaml"))
	require.NoError(t, err)
	return s
}

// golden compares an error with the .txt beside the file that raised it.
func golden(t *testing.T, file string, err error) {
	t.Helper()
	require.Error(t, err, file)
	var ps Problems
	require.ErrorAs(t, err, &ps)
	got := strings.ReplaceAll(err.Error(), filepath.Dir(file)+string(filepath.Separator), "") + "\n"
	// A new field is no reason to touch these files.
	got = strings.ReplaceAll(got, strings.Join(fieldKeys(), ", "), "<the fields of an answer>")
	want := strings.TrimSuffix(file, ".yaml") + ".txt"
	if *update {
		require.NoError(t, os.WriteFile(want, []byte(got), 0o644))
	}
	text, err := os.ReadFile(want)
	require.NoError(t, err, "run go test ./scenarios -update")
	assert.Equal(t, strings.ReplaceAll(string(text), "\r\n", "\n"), got)
}

func TestBadScenarios(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(badDir, "*.yaml"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	loader := Loader{Findings: []string{"root_not_fused", "keyhole"}}
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			s, err := loader.LoadFile(file)
			golden(t, file, err)
			assert.Equal(t, Scenario{}, s, "nothing is half taken")
		})
	}
}

func TestBadAnswers(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(badDir, "answers", "*.yaml"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			a, err := LoadAnswer(file, minimal(t))
			golden(t, file, err)
			assert.Equal(t, weld.Answer{}, a, "nothing is half taken")
		})
	}
}

// Without a list of rules any well-formed id is taken; what is not one is refused.
func TestFindingForm(t *testing.T) {
	text, err := os.ReadFile(filepath.Join(goodDir, "minimal.yaml"))
	require.NoError(t, err)
	for id, ok := range map[string]bool{"some_new_rule": true, "Keyhole": false, "key hole": false} {
		_, err := Loader{}.Parse("x.yaml", []byte(strings.ReplaceAll(string(text), "root_not_fused", id)))
		assert.Equal(t, ok, err == nil, id)
	}
	_, err = Loader{Findings: []string{"keyhole"}}.Parse("x.yaml", []byte(strings.ReplaceAll(string(text), "root_not_fused", "keyhoel")))
	assert.ErrorContains(t, err, "did you mean keyhole?")
}

func TestMinimalTakesTheUsualValues(t *testing.T) {
	s := minimal(t)
	assert.Equal(t, "minimal", s.ID)
	assert.Equal(t, 1, s.Revision)
	assert.Equal(t, s.Task.A, s.Task.B)
	assert.Equal(t, 50*weld.Millimetre, s.Task.A.Width)
	assert.Equal(t, 10*weld.Millimetre, s.Task.RunOut)
	assert.Equal(t, weld.OnBench, s.Task.Chill)
	assert.Equal(t, weld.Celsius(20), s.Task.PartTemp)
	assert.Equal(t, weld.BrightMetal, s.Task.Surface)
	assert.False(t, s.Task.Drawing.FullPenetration)
	assert.Equal(t, weld.Defaults(), s.Given)
	assert.Equal(t, 84*weld.Current(1), s.Model.Amps)
	assert.Equal(t, 50*weld.Current(1), s.Mistakes[0].Answer.Amps)
}

// The usual set-up follows the joint, and no asked field takes it.
func TestUsual(t *testing.T) {
	parse := func(edit ...string) Scenario {
		text, err := os.ReadFile(filepath.Join(goodDir, "minimal.yaml"))
		require.NoError(t, err)
		s, err := Loader{}.Parse("x.yaml", []byte(strings.NewReplacer(edit...).Replace(string(text))))
		require.NoError(t, err)
		return s
	}
	s := parse("carbon steel", "304")
	assert.Equal(t, weld.ER308L, s.Given.Filler)
	assert.Equal(t, []Hazard{StainlessFume}, s.Hazards)
	s = parse("carbon steel", "6061")
	assert.Equal(t, weld.AC, s.Given.Polarity)
	assert.Equal(t, weld.ER4043, s.Given.Filler)
	s = parse("carbon steel", "6061", "[amps, travel]", "[amps, travel, polarity]", "  why:", "  polarity: AC\n  why:")
	assert.Equal(t, weld.DCEN, s.Given.Polarity, "asked: the learner finds it")
	assert.Equal(t, weld.AC, s.Model.Polarity)
	s = parse("tee fillet", "square butt", "PB", "PE")
	assert.Equal(t, weld.FreeInAir, s.Task.Chill)
	assert.True(t, s.Task.Drawing.FullPenetration)
	assert.Equal(t, 90*weld.Degree, s.Given.WorkAngle)
	assert.Equal(t, []Hazard{Overhead}, s.Hazards)
	s = parse("  seam", "  b: {metal: 304}\n  seam")
	assert.Equal(t, weld.ER309L, s.Given.Filler)
}

func TestUnreadable(t *testing.T) {
	dir := t.TempDir()
	file := func(name string, data []byte) string {
		path := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(path, data, 0o600))
		return path
	}
	for name, c := range map[string]struct{ path, want string }{
		"missing":      {filepath.Join(dir, "none.yaml"), "no such file"},
		"folder":       {dir, "is a folder, not a file"},
		"here":         {".", "is a folder, not a file"},
		"above":        {"..", "is a folder, not a file"},
		"root":         {"/", "is a folder, not a file"},
		"none":         {"", "is a folder, not a file"},
		"null byte":    {"a\x00b.yaml", `"a\x00b.yaml": `},
		"large":        {file("large.yaml", make([]byte, 10<<20)), "is larger than 256 KB"},
		"just a blank": {file("blank.yaml", []byte(" \n\n")), "is empty"},
		"bad name":     {file("T 1.yaml", []byte("title: x")), "the file's name is the scenario's id"},
		"not yaml":     {file("T-1.txt", []byte("title: x")), "the file's name is the scenario's id"},
		"device":       {os.DevNull, "is not an ordinary file"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := LoadFile(c.path)
			require.ErrorContains(t, err, c.want)
			var ps Problems
			require.ErrorAs(t, err, &ps)
		})
	}
	locked := file("locked.yaml", []byte("title: x"))
	require.NoError(t, os.Chmod(locked, 0))
	if f, err := os.Open(locked); err == nil { // an administrator reads everything
		f.Close()
	} else {
		_, err := LoadFile(locked)
		assert.ErrorContains(t, err, "no permission to read it")
	}
	_, err := Load(denied{}, "x.yaml")
	assert.ErrorContains(t, err, "x.yaml: no permission to read it")
}

type denied struct{}

func (denied) Open(name string) (fs.File, error) {
	return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrPermission}
}

// Files made to break a reader end in an error, soon.
func TestHostile(t *testing.T) {
	fill := func(s string) []byte { return []byte(strings.Repeat(s, MaxFileSize/len(s))) }
	for name, data := range map[string][]byte{
		"brackets": fill("["), "braces": fill("{"), "dashes": fill("- "), "questions": fill("? "), "maps": fill("a: "),
		"colons": fill(":"), "quotes": fill("'"), "bars": fill("|\n"), "tabs": fill("\t"), "comments": fill("#\n"),
		"anchors": fill("&a "), "aliases": fill("- *a\n"), "tags": fill("! "), "documents": fill("---\n"), "keys": fill("a: b\n"),
		"items": fill("- a\n"), "returns": fill("\r"), "percent": fill("%"), "nested": fill("[{a: "),
	} {
		t.Run(name, func(t *testing.T) {
			_, err := Loader{}.Parse("x.yaml", data)
			require.Error(t, err)
			assert.Less(t, len(err.Error()), 64<<10, "an error a person can read")
		})
	}
}

func TestLoadDir(t *testing.T) {
	good, err := os.ReadFile(filepath.Join(goodDir, "minimal.yaml"))
	require.NoError(t, err)
	fsys := fstest.MapFS{
		"shop/T-02.yaml":     {Data: good},
		"shop/T-01.yml":      {Data: good},
		"shop/notes.txt":     {Data: []byte("not read")},
		"shop/.hidden.yaml":  {Data: []byte("not read")},
		"shop/old/T-09.yaml": {Data: []byte("not read")},
	}
	all, err := Loader{}.LoadFS(fsys, "shop")
	require.NoError(t, err)
	require.Len(t, all, 2)
	assert.Equal(t, "T-01", all[0].ID)

	fsys["shop/t-02.yml"] = &fstest.MapFile{Data: good}
	fsys["shop/T-03.yaml"] = &fstest.MapFile{Data: []byte("title: [")}
	all, err = Loader{}.LoadFS(fsys, "shop")
	assert.Len(t, all, 2, "the right ones can still be used")
	assert.ErrorContains(t, err, "shop/T-03.yaml:")
	assert.ErrorContains(t, err, "shop/t-02.yml: has the same id as T-02.yaml")

	_, err = LoadDir(t.TempDir())
	assert.ErrorContains(t, err, "there is no scenario here")
	_, err = LoadDir(filepath.Join(goodDir, "minimal.yaml"))
	assert.ErrorContains(t, err, "is a file, not a folder")
	_, err = LoadDir(filepath.Join(goodDir, "none"))
	assert.ErrorContains(t, err, "no such f")
	all, err = LoadDir(goodDir)
	require.NoError(t, err)
	assert.NotEmpty(t, all)
}

func TestFind(t *testing.T) {
	bank, err := Bank()
	require.NoError(t, err)
	s, err := Find(bank, "t-02")
	require.NoError(t, err)
	assert.Equal(t, "T-02", s.ID)
	_, err = Find(bank, "T02")
	assert.EqualError(t, err, "there is no joint \"T02\"\ndid you mean T-02?")
	_, err = Find(nil, strings.Repeat("x", 10000))
	assert.Less(t, len(err.Error()), 200)
}

func TestLoadAnswer(t *testing.T) {
	s := minimal(t)
	for name, text := range map[string]string{
		"yaml":   "amps: 62 A\ntravel: 5 ipm\nlens: no\ncup: 6\nfiller: er70s-6\n",
		"quoted": "amps: \"62 A\"\ntravel: '5 ipm'\nlens: \"no\"\ncup: \"6\"\nfiller: ER70S-6\n",
		"json":   `{"amps": "62 A", "travel": "5 ipm", "lens": false, "cup": 6, "filler": "ER70S-6"}`,
	} {
		t.Run(name, func(t *testing.T) {
			a, err := ParseAnswer("answer", []byte(text), s)
			require.NoError(t, err)
			want := s.Given
			want.Amps, want.Travel, want.Lens, want.Cup, want.Filler = 62, 5*weld.InchPerMin, false, 6, weld.ER70S6
			assert.Equal(t, want, a)
		})
	}
	file := filepath.Join(t.TempDir(), "answer.json")
	require.NoError(t, os.WriteFile(file, []byte(`{"amps": "62 A", "travel": "5 ipm"}`), 0o600))
	_, err := LoadAnswer(file, s)
	require.NoError(t, err)
	_, err = LoadAnswer(file+"x", s)
	assert.ErrorContains(t, err, "no such file")
}

// A scenario written by YAML reads back the same.
func TestRoundTrip(t *testing.T) {
	all, err := Bank()
	require.NoError(t, err)
	own, err := LoadDir(goodDir)
	require.NoError(t, err)
	for _, s := range append(all, own...) {
		text, err := s.YAML()
		require.NoError(t, err)
		back, err := Loader{}.Parse(s.ID+".yaml", text)
		require.NoError(t, err, "%s", text)
		assert.Equal(t, s, back)
	}
}

// The example an author starts from is a whole scenario, and every key it may have stands in the README.
func TestReadmeExample(t *testing.T) {
	readme, err := os.ReadFile("README.md")
	require.NoError(t, err)
	block := regexp.MustCompile("(?s)```yaml\n(# T-99.yaml.*?)```").FindSubmatch(readme)
	require.NotNil(t, block)
	s, err := Loader{}.Parse("T-99.yaml", block[1])
	require.NoError(t, err)
	assert.GreaterOrEqual(t, len(s.Mistakes), 3)
	for _, word := range append(fieldKeys(), Skills...) {
		assert.True(t, strings.Contains(string(readme), word), "the README does not name %s", word)
	}
	for _, h := range Hazards {
		assert.True(t, strings.Contains(string(readme), string(h)), "the README does not name %s", h)
		assert.NotEmpty(t, h.Caution())
	}
	assert.Empty(t, Hazard("none").Caution())
}

func FuzzLoad(f *testing.F) {
	for _, pattern := range []string{"bank/*.yaml", goodDir + "/*.yaml", badDir + "/*.yaml", badDir + "/answers/*.yaml"} {
		files, err := filepath.Glob(pattern)
		require.NoError(f, err)
		for _, file := range files {
			data, err := os.ReadFile(file)
			require.NoError(f, err)
			f.Add(data)
		}
	}
	task := minimal(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		if _, err := ParseAnswer("answer", data, task); err != nil {
			requireProblems(t, err)
		}
		s, err := Loader{}.Parse("x.yaml", data)
		if err != nil {
			requireProblems(t, err)
			return
		}
		text, err := s.YAML()
		require.NoError(t, err)
		back, err := Loader{}.Parse("x.yaml", text)
		require.NoError(t, err, "%s", text)
		require.Equal(t, s, back)
	})
}

func requireProblems(t *testing.T, err error) {
	t.Helper()
	var ps Problems
	require.True(t, errors.As(err, &ps) && len(ps) > 0)
	for _, p := range ps {
		require.NotEmpty(t, p.Message)
		require.NotContains(t, p.Error(), "\x1b")
	}
}
