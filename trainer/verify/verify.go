// Package verify holds the trainer's heat model to problems whose answer was
// found by other means: closed forms, and finite elements by software that knows
// nothing of this program. It reads such problems from files, welds them with the
// very solver that welds a learner's coupon, and compares.
//
// The files are described in cases/README.md.
//
// It also asks the model what the trade's rules of thumb come out at (rules.go).
package verify

import (
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"

	"puddlewise/scenarios/strict"
	"puddlewise/scoring/puddle"
)

//go:embed cases
var cases embed.FS

// Case is a heat problem and what is known of its answer.
type Case struct {
	File      string // as shown
	ID        string
	Kind      puddle.CaseKind
	Reference string // how the answer was found
	Probes    []Probe
	History   *History // nil without one

	heat puddle.Case
}

// Probe is one number the reference gives.
type Probe struct {
	Quantity    string // as the file names it, such as melt_width_mm
	Where       string // in words
	Temperature bool   // Value in C, else in mm
	Value       float64
	Uncertainty float64 // of the reference itself
	Line        int     // of the file

	probe puddle.Probe
}

// Peak gives the highest rise of temperature, C, among the case's probes.
func (c *Case) Peak() float64 {
	peak := 0.0
	for _, p := range c.Probes {
		if p.Temperature {
			peak = max(peak, p.Value-c.heat.Spec.Start)
		}
	}
	return peak
}

// Cases gives the cases that come with the program.
func Cases() ([]*Case, error) {
	return folder(cases, "cases", func(name string) string { return name })
}

// Read gives the cases of a file, or of every .yaml and .yml file in a folder.
// When anything is wrong there are none, and the error is of type strict.Problems.
func Read(name string) ([]*Case, error) {
	if info, err := os.Stat(name); err == nil && info.IsDir() {
		return folder(os.DirFS(name), ".", func(file string) string { return filepath.Join(name, file) })
	}
	dir, base := filepath.Split(filepath.Clean(name))
	if dir == "" {
		dir = "."
	}
	if !fs.ValidPath(base) {
		return nil, strict.Problems{{File: name, Message: "is not a file or a folder"}}
	}
	c, err := read(os.DirFS(dir), base, func(file string) string {
		if file == base {
			return name
		}
		return filepath.Join(dir, file)
	})
	if err != nil {
		return nil, err
	}
	return []*Case{c}, nil
}

// maxFiles is how many cases are read from one folder.
const maxFiles = 500

func folder(fsys fs.FS, dir string, shown func(string) string) ([]*Case, error) {
	sub, err := fs.Sub(fsys, dir)
	if err != nil {
		return nil, strict.Problems{{File: shown("."), Message: strict.Cause(err)}}
	}
	entries, err := fs.ReadDir(sub, ".")
	if err != nil {
		return nil, strict.Problems{{File: shown("."), Message: strict.Cause(err)}}
	}
	var names []string
	for _, e := range entries {
		ext := strings.ToLower(filepath.Ext(e.Name()))
		if (ext == ".yaml" || ext == ".yml") && !e.IsDir() && !strings.HasPrefix(e.Name(), ".") {
			names = append(names, e.Name())
		}
	}
	switch {
	case len(names) == 0:
		return nil, strict.Problems{{File: shown("."), Message: "there is no case here: no file ends in .yaml or .yml"}}
	case len(names) > maxFiles:
		return nil, strict.Problems{{File: shown("."), Message: fmt.Sprintf("holds %d cases, the most that are read from one folder is %d", len(names), maxFiles)}}
	}
	var all []*Case
	var problems strict.Problems
	for _, name := range names {
		c, err := read(sub, name, shown)
		var ps strict.Problems
		switch {
		case errors.As(err, &ps):
			problems = append(problems, ps...)
		case err != nil:
			return nil, err
		default:
			all = append(all, c)
		}
	}
	if len(problems) > 0 {
		return nil, problems
	}
	return all, nil
}

// Run welds the cases and gives their results in the same order.
func Run(all []*Case) []Result {
	results := make([]Result, len(all))
	parallel(len(all), func(i int) { results[i] = all[i].Run() })
	return results
}

// parallel runs n pieces of work, as many at a time as there are processors.
func parallel(n int, work func(i int)) {
	next := make(chan int)
	var workers sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), n) {
		workers.Go(func() {
			for i := range next {
				work(i)
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	workers.Wait()
}
