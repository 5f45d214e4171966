package scenarios

import (
	"cmp"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"

	"puddlewise/scenarios/strict"
	"puddlewise/scoring/weld"
)

// Problem is one thing wrong with a file.
type Problem = strict.Problem

// Problems is everything wrong with a file or folder; the errors of this package are of this type.
type Problems = strict.Problems

// MaxFileSize is the largest file that is read, in bytes.
const MaxFileSize = strict.MaxSize

// maxFiles is how many files of a folder are read: several times any bank.
const maxFiles = 2000

// Loader reads scenario files. The zero Loader takes any well-formed finding id.
type Loader struct {
	Findings []string // rule ids a mistake may name; empty: any
}

// Load reads one scenario from fsys.
func Load(fsys fs.FS, name string) (Scenario, error) { return Loader{}.Load(fsys, name) }

// LoadFile reads one scenario from a file of the system.
func LoadFile(name string) (Scenario, error) { return Loader{}.LoadFile(name) }

// LoadDir reads every scenario in a folder of the system; see Loader.LoadDir.
func LoadDir(dir string) ([]Scenario, error) { return Loader{}.LoadDir(dir) }

// Load reads one scenario from fsys.
func (l Loader) Load(fsys fs.FS, name string) (Scenario, error) {
	return l.read(path.Base(name), name, func() (*strict.Doc, error) { return strict.Read(fsys, name) })
}

// LoadFile reads one scenario from a file of the system.
func (l Loader) LoadFile(name string) (Scenario, error) {
	return l.read(filepath.Base(name), name, func() (*strict.Doc, error) { return strict.ReadFile(name) })
}

// Parse reads one scenario from a file's bytes; its id comes from name.
func (l Loader) Parse(name string, data []byte) (Scenario, error) {
	return l.read(path.Base(name), name, func() (*strict.Doc, error) { return strict.Parse(name, data) })
}

// LoadDir reads every .yaml and .yml file in a folder, not those in folders
// below it, sorted by id. When some are wrong, the scenarios of the others are
// returned beside the error, which holds the problems of all files.
func (l Loader) LoadDir(dir string) ([]Scenario, error) {
	// A path that does not end in the folder itself is told apart before DirFS hides it.
	if info, err := os.Stat(dir); err == nil && !info.IsDir() {
		return nil, Problems{{File: dir, Message: "is a file, not a folder"}}
	}
	return l.all(os.DirFS(dir), ".", func(name string) string { return filepath.Join(dir, name) })
}

// LoadFS is LoadDir for a folder of fsys.
func (l Loader) LoadFS(fsys fs.FS, dir string) ([]Scenario, error) {
	return l.all(fsys, dir, func(name string) string { return name })
}

func (l Loader) all(fsys fs.FS, dir string, shown func(string) string) ([]Scenario, error) {
	fail := func(message string) ([]Scenario, error) {
		return nil, Problems{{File: shown(dir), Message: message}}
	}
	entries, err := fs.ReadDir(fsys, dir)
	if err != nil {
		return fail(strict.Cause(err))
	}
	var names []string
	for _, e := range entries {
		if _, ok := idOf(e.Name()); ok && !e.IsDir() && !strings.HasPrefix(e.Name(), ".") {
			names = append(names, e.Name())
		}
	}
	switch {
	case len(names) == 0:
		return fail("there is no scenario here: no file ends in .yaml or .yml")
	case len(names) > maxFiles:
		return fail(fmt.Sprintf("holds %d scenarios, the most that are read from one folder is %d", len(names), maxFiles))
	}
	var (
		all      []Scenario
		problems Problems
		seen     = map[string]string{}
	)
	for _, name := range names {
		file := path.Join(dir, name)
		s, err := l.read(name, shown(file), func() (*strict.Doc, error) { return strict.ReadAs(fsys, file, shown(file)) })
		if id, _ := idOf(name); seen[strings.ToLower(id)] != "" {
			problems = append(problems, Problem{File: shown(file), Message: "has the same id as " + seen[strings.ToLower(id)], Hint: "rename one of them"})
			continue
		} else {
			seen[strings.ToLower(id)] = name
		}
		var ps Problems
		switch {
		case errors.As(err, &ps):
			problems = append(problems, ps...)
		default:
			all = append(all, s)
		}
	}
	slices.SortFunc(all, func(a, b Scenario) int { return cmp.Compare(a.ID, b.ID) })
	if len(problems) > 0 {
		return all, problems
	}
	return all, nil
}

// idRE keeps ids short and safe to print, type and name files with.
var idRE = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9_-]{0,39}$`)

// idOf takes the ending off a file's name; ok is false when it is not a scenario's ending.
func idOf(base string) (id string, ok bool) {
	for _, ext := range []string{".yaml", ".yml"} {
		if id, ok := strings.CutSuffix(base, ext); ok {
			return id, true
		}
	}
	return base, false
}

func (l Loader) read(base, shown string, open func() (*strict.Doc, error)) (Scenario, error) {
	doc, err := open()
	if err != nil {
		return Scenario{}, err
	}
	id, ok := idOf(base)
	if !ok || !idRE.MatchString(id) {
		return Scenario{}, Problems{{File: shown,
			Message: "the file's name is the scenario's id: letters, digits, - and _, at most 40, then .yaml",
			Hint:    "rename it, for example T-07.yaml"}}
	}
	return l.scenario(doc, id)
}

//go:embed bank/*.yaml
var bankFS embed.FS

var bank = sync.OnceValues(func() ([]Scenario, error) {
	all, err := Loader{}.LoadFS(bankFS, "bank")
	slices.SortStableFunc(all, func(a, b Scenario) int {
		return cmp.Or(cmp.Compare(a.Level, b.Level), cmp.Compare(deepest(a), deepest(b)))
	})
	return all, err
})

// Bank gives the scenarios that ship with the program, in the order to learn them: by
// level, within it by how much lies below their skills, then by id. The slice
// is the caller's; what the scenarios point at is shared and stays as it is.
func Bank() ([]Scenario, error) {
	all, err := bank()
	return slices.Clone(all), err
}

// Find gives the scenario with the id, in any case; the error names the nearest.
func Find(bank []Scenario, id string) (Scenario, error) {
	ids := make([]string, len(bank))
	for i, s := range bank {
		if strings.EqualFold(s.ID, id) {
			return s, nil
		}
		ids[i] = s.ID
	}
	err := fmt.Sprintf("there is no joint %.40q", id)
	if near := weld.Nearest(id, ids); near != "" {
		err += "\ndid you mean " + near + "?"
	}
	return Scenario{}, errors.New(err)
}
