package strict

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"puddlewise/scoring/weld"

	"gopkg.in/yaml.v3"
)

const maxShown = 48 // longer input is cut in messages

// Map is a set of keys with values at one place of a file.
type Map struct {
	doc    *Doc
	path   string
	line   int
	keys   []string
	values map[string]Value
	broken bool            // not a map at all, which has been told
	meant  map[string]bool // keys that a misspelt one was probably meant for
}

// Value is what stands after a key, or in a list. The methods that read it
// return ok false when it is missing or wrong; what is wrong, they note.
type Value struct {
	Path string // the keys that lead here, such as joint.gap
	Line int
	doc  *Doc
	node *yaml.Node // nil when it is not in the file
	told bool       // what is wrong with it has been told where it stands
}

// Map reads the value as a map that may have the allowed keys and no others.
// What is missing or not a map gives an empty one.
func (v Value) Map(allowed ...string) Map {
	m := Map{doc: v.doc, path: v.Path, line: v.Line, values: map[string]Value{}, meant: map[string]bool{}}
	if v.node == nil {
		m.broken = v.told
		return m
	}
	if v.node.Kind != yaml.MappingNode {
		m.broken = true
		v.Fail(fmt.Sprintf("%s where keys with values belong", v.shape()), "allowed keys are "+strings.Join(allowed, ", "))
		return m
	}
	for i := 0; i+1 < len(v.node.Content); i += 2 {
		key, value := v.node.Content[i], v.node.Content[i+1]
		here := Value{Path: v.Path, Line: key.Line, doc: v.doc}
		if key.Kind != yaml.ScalarNode || !slices.Contains(allowed, key.Value) {
			hint := ""
			if near := weld.Nearest(key.Value, allowed); near != "" {
				hint = "did you mean " + near + "?"
				m.meant[near] = true
			}
			here.Fail(fmt.Sprintf("there is no key %s here, allowed are %s", quote(key.Value), strings.Join(allowed, ", ")), hint)
			continue
		}
		if first, twice := m.values[key.Value]; twice {
			here.Path = first.Path
			here.Fail(fmt.Sprintf("given twice, first on line %d", first.Line), "keep one of them")
			continue
		}
		m.keys = append(m.keys, key.Value)
		m.values[key.Value] = Value{Path: join(v.Path, key.Value), Line: key.Line, doc: v.doc, node: value}
	}
	return m
}

// Keys lists the map's keys in the order they were written.
func (m Map) Keys() []string { return m.keys }

// Get gives the value of a key, which may be missing.
func (m Map) Get(key string) Value {
	if v, ok := m.values[key]; ok {
		return v
	}
	return Value{Path: join(m.path, key), Line: m.line, doc: m.doc, told: m.broken || m.meant[key]}
}

// Need is Get for a key that must be there; hint says what would be written.
func (m Map) Need(key, hint string) Value {
	v := m.Get(key)
	if !v.Given() {
		v.Fail("is missing", hint)
	}
	return v
}

// Given says whether the value is in the file.
func (v Value) Given() bool { return v.node != nil }

// Scalar says whether the value is one text, not a map or a list.
func (v Value) Scalar() bool { return v.node != nil && v.node.Kind == yaml.ScalarNode }

// Fail notes what is wrong with the value; hint may be empty. A value that is
// missing because of something told already adds nothing.
func (v Value) Fail(message, hint string) {
	if v.told {
		return
	}
	v.doc.add(Problem{File: v.doc.Name, Line: v.Line, Field: v.Path, Message: message, Hint: hint})
}

// FailErr notes an error whose text may carry its hint after the first line.
func (v Value) FailErr(err error) {
	text := err.Error()
	var field *weld.FieldError
	if errors.As(err, &field) { // its key is in the path already
		text = field.Problem
	}
	message, hint, _ := strings.Cut(text, "\n")
	v.Fail(message, hint)
}

// Text reads one line of text as it was typed: 60 A, yes and 8 are texts, whatever YAML takes them for.
func (v Value) Text() (string, bool) {
	switch {
	case v.node == nil:
		return "", false
	case v.node.Kind != yaml.ScalarNode:
		v.Fail(fmt.Sprintf("%s where one text belongs", v.shape()), "")
		return "", false
	}
	text := strings.Join(strings.Fields(v.node.Value), " ")
	if text == "" || v.node.Tag == "!!null" {
		v.Fail("nothing is written here", "")
		return "", false
	}
	if bad := strings.IndexFunc(text, func(r rune) bool { return !unicode.IsPrint(r) }); bad >= 0 {
		v.Fail(fmt.Sprintf("%s holds a character that cannot be printed", quote(text)), "")
		return "", false
	}
	return text, true
}

// Words reads a text of at most limit characters; its line breaks become blanks.
func (v Value) Words(limit int) (string, bool) {
	text, ok := v.Text()
	if n := len([]rune(text)); ok && n > limit {
		v.Fail(fmt.Sprintf("%d characters long, allowed are %d", n, limit), "say it shorter")
		return "", false
	}
	return text, ok
}

// OneOf reads one of the words, in any case, and gives it as listed.
func (v Value) OneOf(words []string) (string, bool) {
	text, ok := v.Text()
	if !ok {
		return "", false
	}
	for _, w := range words {
		if strings.EqualFold(w, text) {
			return w, true
		}
	}
	hint := ""
	if near := weld.Nearest(text, words); near != "" {
		hint = "did you mean " + near + "?"
	}
	v.Fail(fmt.Sprintf("%s is not one of: %s", quote(text), strings.Join(words, ", ")), hint)
	return "", false
}

// YesNo reads yes or no.
func (v Value) YesNo() (yes, ok bool) {
	text, ok := v.Text()
	if !ok {
		return false, false
	}
	switch strings.ToLower(text) {
	case "yes", "true":
		return true, true
	case "no", "false":
		return false, true
	}
	v.Fail(fmt.Sprintf("%s is not yes or no", quote(text)), "")
	return false, false
}

// Whole reads a whole number from lo to hi.
func (v Value) Whole(lo, hi int) (int, bool) {
	text, ok := v.Text()
	if !ok {
		return 0, false
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < lo || n > hi {
		v.Fail(fmt.Sprintf("%s is not a whole number from %d to %d", quote(text), lo, hi), "")
		return 0, false
	}
	return n, true
}

// List reads a list of at most limit values.
func (v Value) List(limit int) (list []Value, ok bool) {
	switch {
	case v.node == nil:
		return nil, false
	case v.node.Kind != yaml.SequenceNode:
		v.Fail(fmt.Sprintf("%s where a list belongs", v.shape()), "write [a, b], or one line with a dash for each")
		return nil, false
	case len(v.node.Content) > limit:
		v.Fail(fmt.Sprintf("a list of %d, allowed are %d", len(v.node.Content), limit), "")
		return nil, false
	}
	for i, n := range v.node.Content {
		list = append(list, Value{Path: fmt.Sprintf("%s[%d]", v.Path, i+1), Line: n.Line, doc: v.doc, node: n})
	}
	return list, true
}

// Quantity reads a number with its unit, no less than lo and no more than hi.
func Quantity[T interface {
	~float64
	Show(weld.System) string
}](v Value, parse func(string) (T, error), lo, hi T) (T, bool) {
	text, ok := v.Text()
	if !ok {
		return 0, false
	}
	q, err := parse(text)
	if err != nil {
		v.FailErr(err)
		return 0, false
	}
	if q < lo || q > hi {
		v.Fail(fmt.Sprintf("%s is outside what is taken: %s to %s", text, lo.Show(weld.Metric), hi.Show(weld.Metric)), "")
		return 0, false
	}
	return q, true
}

// shape names what a value is when it should have been something else.
func (v Value) shape() string {
	switch v.node.Kind {
	case yaml.MappingNode:
		return "keys with values"
	case yaml.SequenceNode:
		return "a list"
	}
	if v.node.Tag == "!!null" {
		return "nothing"
	}
	return quote(v.node.Value)
}

// quote shows text safely and at a readable length.
func quote(text string) string {
	if r := []rune(text); len(r) > maxShown {
		text = string(r[:maxShown]) + "..."
	}
	return strconv.Quote(text)
}

func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}
