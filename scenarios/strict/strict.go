// Package strict reads the files a hand writes for the trainer: YAML, or JSON,
// which is YAML. It takes nothing on trust and nothing by halves: unknown keys,
// keys given twice, anchors, tags and a second document are errors, all errors
// of a file are told at once, and each has its line and the keys that lead to it.
//
// A reader asks a Map for its values and each Value for what it should be; both
// remember what was wrong, and Doc.Err gives it all back at the end.
package strict

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"
)

// MaxSize is the largest file that is read, in bytes: some thirty times the
// longest scenario a person would write.
const MaxSize = 256 << 10

const (
	maxDepth    = 8  // of maps and lists in each other; a scenario needs four
	maxProblems = 50 // told about one file; nobody reads more
)

// Doc is a file being read; it collects what is wrong with it.
type Doc struct {
	Name     string // as it is shown in errors
	root     *yaml.Node
	problems Problems
}

// Read reads a file from fsys. It fails when the file cannot be read as one
// YAML document; the error is of type Problems.
func Read(fsys fs.FS, name string) (*Doc, error) { return ReadAs(fsys, name, name) }

// ReadFile is Read for a file of the system, named as a user types it.
func ReadFile(name string) (*Doc, error) {
	clean := filepath.Clean(name)
	dir, base := filepath.Split(clean)
	if dir == "" {
		dir = "."
	}
	if !fs.ValidPath(base) || base == "." { // the root, or a path that ends in ..
		return nil, whole(name, "is a folder, not a file", "name one file in it")
	}
	return ReadAs(os.DirFS(dir), base, name)
}

// ReadAs is Read with another name for the file in errors.
func ReadAs(fsys fs.FS, name, shown string) (*Doc, error) {
	data, err := Bytes(fsys, name, shown)
	if err != nil {
		return nil, err
	}
	return Parse(shown, data)
}

// Bytes reads a file that need not be YAML with the same caution: an ordinary
// file, no larger than MaxSize. The error is of type Problems.
func Bytes(fsys fs.FS, name, shown string) ([]byte, error) {
	// Look before opening: opening a pipe or a device could wait for ever.
	info, err := fs.Stat(fsys, name)
	if err != nil {
		return nil, whole(shown, Cause(err), "")
	}
	switch {
	case info.IsDir():
		return nil, whole(shown, "is a folder, not a file", "name one file in it")
	case !info.Mode().IsRegular():
		return nil, whole(shown, "is not an ordinary file", "pipes and devices are not read")
	case info.Size() > MaxSize:
		return nil, tooLarge(shown)
	}
	f, err := fsys.Open(name)
	if err != nil {
		return nil, whole(shown, Cause(err), "")
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, MaxSize+1)) // the size may have changed since
	switch {
	case err != nil:
		return nil, whole(shown, Cause(err), "")
	case len(data) > MaxSize:
		return nil, tooLarge(shown)
	}
	return data, nil
}

// Parse reads a file's bytes; name is shown in errors.
func Parse(name string, data []byte) (doc *Doc, err error) {
	if len(data) > MaxSize {
		return nil, tooLarge(name)
	}
	if !utf8.Valid(data) {
		return nil, whole(name, "is not UTF-8 text", "save it as UTF-8 in the editor")
	}
	// The parser is not ours; a file must never be able to stop the trainer.
	defer func() {
		if r := recover(); r != nil {
			doc, err = nil, whole(name, "cannot be read as YAML", "")
		}
	}()
	dec := yaml.NewDecoder(bytes.NewReader(data))
	var node, second yaml.Node
	switch err := dec.Decode(&node); {
	case errors.Is(err, io.EOF):
		return nil, whole(name, "is empty", "")
	case err != nil:
		return nil, syntax(name, err)
	}
	switch err := dec.Decode(&second); {
	case err == nil:
		return nil, Problems{{File: name, Line: second.Line, Message: "a second document begins here; a file holds one", Hint: "remove the line ---, or make two files"}}
	case !errors.Is(err, io.EOF):
		return nil, syntax(name, err)
	}
	if len(node.Content) == 0 { // nothing but comments
		return nil, whole(name, "is empty", "")
	}
	d := &Doc{Name: name, root: node.Content[0]}
	if d.root.Tag == "!!null" && d.root.Value == "" {
		return nil, whole(name, "is empty", "")
	}
	d.refuse(d.root, 0)
	if len(d.problems) > 0 {
		return nil, d.problems
	}
	return d, nil
}

// refuse finds what no file of ours needs and an attacker would like.
func (d *Doc) refuse(n *yaml.Node, depth int) {
	add := func(message, hint string) {
		d.add(Problem{File: d.Name, Line: n.Line, Message: message, Hint: hint})
	}
	if n.Anchor != "" {
		add("an anchor (&name) is not taken here", "write the value out where it is needed; quote a text that begins with &")
	}
	if n.Kind == yaml.AliasNode {
		add("an alias (*name) is not taken here", "write the value out; quote a text that begins with *")
		return // what it points at is refused where it stands
	}
	if n.Style&yaml.TaggedStyle != 0 {
		add("a tag (!name) is not taken here", "remove it; quote a text that begins with !")
	}
	if depth > maxDepth {
		add(fmt.Sprintf("nested deeper than %d levels", maxDepth), "")
		return
	}
	for _, c := range n.Content {
		d.refuse(c, depth+1)
	}
}

func (d *Doc) add(p Problem) {
	if n := len(d.problems); n > 0 && d.problems[n-1] == p { // one line of a bomb says it often
		return
	}
	if len(d.problems) == maxProblems {
		d.problems = append(d.problems, Problem{File: d.Name, Message: "and more; these come first"})
	}
	if len(d.problems) < maxProblems {
		d.problems = append(d.problems, p)
	}
}

// Root gives the file's outermost map; allowed names every key it may have.
func (d *Doc) Root(allowed ...string) Map {
	return Value{doc: d, node: d.root, Line: d.root.Line}.Map(allowed...)
}

// Err gives everything found wrong so far, as Problems, or nil.
func (d *Doc) Err() error {
	if len(d.problems) == 0 {
		return nil
	}
	return d.problems.sorted()
}

// whole is one problem about the file itself.
func whole(name, message, hint string) Problems {
	return Problems{{File: name, Message: message, Hint: hint}}
}

func tooLarge(name string) Problems {
	return whole(name, fmt.Sprintf("is larger than %d KB, the most that is read", MaxSize>>10), "")
}

// Cause says why the system refused, without the path, which is shown already.
func Cause(err error) string {
	var path *fs.PathError
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "no such file"
	case errors.Is(err, fs.ErrPermission):
		return "no permission to read it"
	case errors.As(err, &path):
		return "cannot be read: " + path.Err.Error()
	}
	return "cannot be read: " + err.Error()
}

var yamlLineRE = regexp.MustCompile(`^yaml: (?:line (\d+): )?(.*)$`)

// countsFromNoughtRE matches what the parser, not its scanner, complains of: there yaml.v3 counts lines from 0.
var countsFromNoughtRE = regexp.MustCompile(`^did not find expected (<|node|'-'|key|',')|^found (undefined tag|duplicate|incompatible)`)

// syntax turns the parser's words into a problem with a line and, for the usual slips, a hint.
func syntax(name string, err error) Problems {
	p := Problem{File: name, Message: "cannot be read as YAML: " + err.Error()}
	if m := yamlLineRE.FindStringSubmatch(err.Error()); m != nil {
		p.Line, _ = strconv.Atoi(m[1])
		if p.Line > 0 && countsFromNoughtRE.MatchString(m[2]) {
			p.Line++
		}
		p.Message = "cannot be read as YAML: " + m[2]
	}
	for _, slip := range slips {
		if strings.Contains(p.Message, slip.part) {
			p.Hint = slip.hint
			break
		}
	}
	return Problems{p}
}

// slips are the parser's words for what hands usually get wrong, and what helps.
var slips = []struct{ part, hint string }{
	{"mapping values are not allowed", "quote a text that holds a colon and a blank; keys that belong together start in the same column"},
	{"cannot start any token", "indent with blanks, not tabs; quote a text that begins with a sign such as % or @"},
	{"did not find expected key", "keys that belong together start in the same column"},
	{"could not find expected ':'", "each line reads key: value, with a blank after the colon"},
	{"control characters are not", "is this a text file?"},
	{"did not find expected ','", "a list in one line is [a, b], a map in one line {a: 1, b: 2}"},
}
