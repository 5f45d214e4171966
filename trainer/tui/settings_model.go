package tui

import (
	"slices"
	"strings"

	"puddlewise/trainer/record"
)

// settingsModel is the settings in force, a row each.
type settingsModel struct {
	set    record.Settings
	cursor int
}

func newSettingsModel(set record.Settings) settingsModel { return settingsModel{set: set} }

// marked gives the setting the cursor is on.
func (m *settingsModel) marked() record.Setting { return record.AllSettings[m.cursor] }

// move steps the cursor, around the ends.
func (m *settingsModel) move(by int) {
	n := len(record.AllSettings)
	m.cursor = ((m.cursor+by)%n + n) % n
}

// step gives the change to the next of the marked setting's choices, or the one
// before; nil where it takes any text.
func (m *settingsModel) step(by int) func(*record.Settings) {
	g := m.marked()
	if n := len(g.Choices); n > 0 {
		at := slices.Index(g.Choices, g.Get(m.set))
		return m.to(g.Choices[((at+by)%n+n)%n])
	}
	return nil
}

// to gives the change of the marked setting to a value.
func (m *settingsModel) to(value string) func(*record.Settings) {
	g := m.marked()
	return func(s *record.Settings) { _ = g.Set(s, value) } // of the choices, or any text
}

// settingLabel is the width of the names.
const settingLabel = 10

// lines is the rows: every choice, the one in force in brackets.
func (m *settingsModel) lines() []line {
	var out []line
	for i, g := range record.AllSettings {
		mark, in := "  ", inkPlain
		if i == m.cursor {
			mark, in = "> ", inkFocus
		}
		l := line{{mark + padTo(g.Key, settingLabel), in}}
		for _, c := range g.Choices {
			if c == g.Get(m.set) {
				l = append(l, span{"[" + c + "]", inkStrong})
			} else {
				l = append(l, span{" " + c + " ", inkFaint})
			}
		}
		out = append(out, l)
	}
	return out
}

// standLines says how everything stands.
func (m settingsModel) standLines() []line {
	var out []line
	for _, g := range record.AllSettings {
		out = append(out, line{{padTo(g.Key, settingLabel), inkFaint}, {orNone(g.Get(m.set)), inkPlain}})
	}
	return out
}

// settingWords says in a line how everything stands.
func settingWords(set record.Settings) string {
	var out []string
	for _, g := range record.AllSettings {
		switch v := g.Get(set); {
		case g.Key == "motion":
			out = append(out, "motion "+v)
		case g.Key == "mouse":
			if set.Mouse {
				out = append(out, "mouse on")
			}
		case g.Key == "arc-keys" || g.Key == "good-hand": // said where the arc is
		case v != "":
			out = append(out, v)
		}
	}
	return strings.Join(out, ", ")
}

func orNone(s string) string {
	if s == "" {
		return "none"
	}
	return s
}
