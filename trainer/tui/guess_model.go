package tui

import (
	"strconv"

	"puddlewise/trainer/session"
)

// guessModel is the question what went wrong, with its answers.
type guessModel struct {
	choices []session.Cause
	cursor  int
}

func (m *guessModel) move(by int) {
	m.cursor = max(0, min(len(m.choices)-1, m.cursor+by))
}

// number marks the answer with the number typed.
func (m *guessModel) number(r rune) {
	if n := int(r - '1'); n >= 0 && n < len(m.choices) {
		m.cursor = n
	}
}

func (m *guessModel) lines() []line {
	var out []line
	for i, c := range m.choices {
		in, mark := inkPlain, "  "
		if i == m.cursor {
			in, mark = inkFocus, "> "
		}
		out = append(out, line{{mark, in}, {strconv.Itoa(i+1) + "  ", inkFaint}, {c.Text, in}})
	}
	return out
}
