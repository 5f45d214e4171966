package strict

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
)

// Problem is one thing wrong with a file: where, what was read and what is
// allowed, and a hint for the hand that wrote it.
type Problem struct {
	File    string
	Line    int    // 0 when it is about the whole file
	Field   string // path of keys, such as joint.a.thickness; empty for the whole file
	Message string
	Hint    string // what to write instead; may be empty
}

// Error prints the problem as file:line: field: message, with the hint on its own line.
func (p Problem) Error() string {
	var b strings.Builder
	b.WriteString(printable(p.File))
	if p.Line > 0 {
		fmt.Fprintf(&b, ":%d", p.Line)
	}
	b.WriteString(": ")
	if p.Field != "" {
		b.WriteString(p.Field + ": ")
	}
	b.WriteString(p.Message)
	if p.Hint != "" {
		b.WriteString("\n    " + p.Hint)
	}
	return b.String()
}

// Problems is everything wrong with one or more files, in reading order.
type Problems []Problem

// Error prints one problem after the other, each on lines of its own.
func (ps Problems) Error() string {
	texts := make([]string, len(ps))
	for i, p := range ps {
		texts[i] = p.Error()
	}
	return strings.Join(texts, "\n")
}

// sorted gives the problems in the order of the lines they are about.
func (ps Problems) sorted() Problems {
	slices.SortStableFunc(ps, func(a, b Problem) int { return a.Line - b.Line })
	return ps
}

// printable keeps a hostile file name from steering the terminal it is printed on.
func printable(name string) string {
	if strings.ContainsFunc(name, func(r rune) bool { return !unicode.IsPrint(r) }) {
		return fmt.Sprintf("%q", name)
	}
	return name
}
