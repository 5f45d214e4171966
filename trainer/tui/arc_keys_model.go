package tui

import (
	"fmt"
	"slices"
	"strings"

	"github.com/gdamore/tcell/v2"

	"puddlewise/trainer/record"
)

// arcDeeds are the deeds at the live arc whose keys may be changed, in the order they
// are listed: how each is kept, and what it is.
var arcDeeds = []struct{ id, words string }{
	{"strike", "strike the arc, and let it go out"},
	{"ahead", "half a millimetre ahead"},
	{"dab", "dab the rod into the pool"},
	{"hotter", "pedal: two amps more"},
	{"colder", "pedal: two amps less"},
	{"longer", "a longer arc"},
	{"shorter", "a shorter arc"},
	{"rod-out", "draw the rod further out of the gas"},
	{"rod-in", "bring the rod in again"},
	{"aim-a", "aim towards member A"},
	{"aim-b", "aim towards member B"},
	{"speed", "practice speed"},
	{"numbers", "numbers on and off"},
	{"follow", "a good hand to follow, with its bell, or off"},
}

// keySets are sets for one hand: each lies in one half of the keyboard, whether its letters
// begin with qwerty, qwertz or azerty, and needs neither shift nor two keys at once.
var keySets = map[string]string{
	"left":  "strike=tab ahead=f dab=d hotter=e colder=c longer=w shorter=x rod-out=q rod-in=a aim-a=r aim-b=v speed=t numbers=g follow=s",
	"right": "strike=enter ahead=j dab=k hotter=i colder=m longer=o shorter=l rod-out=p rod-in=, aim-a=u aim-b=n speed=up numbers=h follow=down",
}

// keysOf gives the key table with the learner's keys for the arc. What was kept and
// cannot be any more, such as two deeds on one key, leaves the keys as given.
func keysOf(s record.Settings) keyMap {
	text := keySets[s.ArcKeys]
	if s.ArcKeys == "own" {
		text = s.OwnKeys
	}
	out := keyTable
	for pair := range strings.FieldsSeq(text) {
		deed, key, _ := strings.Cut(pair, "=")
		if st, ok := strokeNamed(key); ok {
			out = out.with(deed, st)
		}
	}
	for _, cmd := range out[onArc] {
		if cmd.deed != "" && out.has(cmd.keys[0], cmd.deed) != "" {
			return keyTable
		}
	}
	return out
}

// with gives the table with another key for a deed at the arc; a deed it does not know
// changes nothing.
func (k keyMap) with(deed string, key stroke) keyMap {
	out := keyMap{}
	for name, cmds := range k {
		out[name] = cmds
	}
	rows := slices.Clone(k[onArc])
	for i := range rows {
		switch {
		case rows[i].deed == deed:
			rows[i].keys, rows[i].also = []stroke{key}, ""
		case i+1 < len(rows) && rows[i+1].deed == deed && rows[i].name == "", i > 0 && rows[i-1].deed == deed && rows[i-1].name == "":
			rows[i].also = "" // of the other row of the pair
		}
	}
	for i, cmd := range rows {
		if cmd.deed != "" && cmd.name != "" {
			rows[i].name = cmd.keys[0].name()
			if i > 0 && rows[i-1].name == "" {
				rows[i].name = rows[i-1].keys[0].name() + "/" + rows[i].name
			}
		}
	}
	out[onArc] = rows
	return out
}

// has says what at the arc has a key already, but for the deed itself; empty when it is free.
func (k keyMap) has(key stroke, deed string) string {
	for _, cmd := range k[onArc] {
		if cmd.deed == deed && deed != "" || !slices.Contains(cmd.keys, key) {
			continue
		}
		if cmd.deed != "" {
			return deedWords(cmd.deed)
		}
		if cmd.does == "" {
			return cmd.help
		}
		return cmd.does
	}
	return ""
}

func deedWords(id string) string {
	for _, d := range arcDeeds {
		if d.id == id {
			return d.words
		}
	}
	return ""
}

// keyOf gives the first key of a deed at the arc.
func (k keyMap) keyOf(deed string) stroke {
	for _, cmd := range k[onArc] {
		if cmd.deed == deed {
			return cmd.keys[0]
		}
	}
	return stroke{}
}

// text writes the keys of all deeds as they are kept.
func (k keyMap) text() string {
	var out []string
	for _, d := range arcDeeds {
		out = append(out, d.id+"="+k.keyOf(d.id).name())
	}
	return strings.Join(out, " ")
}

// spaceKey is how the space bar is written.
const spaceKey = "space"

// name is how a key is written; empty for one that no deed can have.
func (s stroke) name() string {
	if s.key == tcell.KeyRune {
		if s.r == ' ' {
			return spaceKey
		}
		return string(s.r)
	}
	for name, key := range keyNames {
		if key == s.key {
			return name
		}
	}
	return ""
}

// strokeNamed reads a key as it is written.
func strokeNamed(name string) (stroke, bool) {
	if name == spaceKey {
		return char(' '), true
	}
	if key, ok := keyNames[name]; ok {
		return named(key), true
	}
	if r := []rune(name); len(r) == 1 {
		return char(r[0]), true
	}
	return stroke{}, false
}

// arcKeysModel is the list of deeds with their keys.
type arcKeysModel struct {
	set     record.Settings
	cursor  int
	waiting bool   // for the marked deed's key
	said    string // why the last one was refused
}

func (m *arcKeysModel) move(by int) {
	m.cursor = (m.cursor + by + len(arcDeeds)) % len(arcDeeds)
}

// choices are the sets, as the setting has them.
func keyChoices() record.Setting {
	i := slices.IndexFunc(record.AllSettings, func(g record.Setting) bool { return g.Key == "arc-keys" })
	return record.AllSettings[i]
}

// step gives the change to the next set, or the one before. There are no keys of one's
// own before one has been changed.
func (m *arcKeysModel) step(by int) func(*record.Settings) {
	g := keyChoices()
	choices := g.Choices
	if m.set.OwnKeys == "" {
		choices = choices[:len(choices)-1]
	}
	at := max(0, slices.Index(choices, g.Get(m.set)))
	return m.to(choices[(at+by+len(choices))%len(choices)])
}

func (m *arcKeysModel) to(set string) func(*record.Settings) {
	return func(s *record.Settings) { _ = keyChoices().Set(s, set) } // of the choices
}

// take gives the marked deed a key; nil when it is refused, and why is said.
func (m *arcKeysModel) take(key stroke, chord bool) func(*record.Settings) {
	deed := arcDeeds[m.cursor].id
	keys := keysOf(m.set)
	name := key.name()
	switch has := keys.has(key, deed); {
	case has != "":
		m.said = fmt.Sprintf("%s is taken: %s. Press another key, or esc.", name, has)
	case chord || name == "" || strings.HasPrefix(name, "ctrl-"):
		m.said = "That cannot be a key here; a letter, a sign, tab, space or an arrow can."
	default:
		m.waiting, m.said = false, ""
		text := keys.with(deed, key).text()
		return func(s *record.Settings) { s.ArcKeys, s.OwnKeys = "own", text }
	}
	return nil
}

// lines lists the sets and the deeds.
func (m *arcKeysModel) lines(w int) []line {
	out := paragraph("Left and right are sets for one hand, each in one half of the keyboard: no shift, no two keys at once. One hand is enough while the arc burns.", w, inkFaint)
	g := keyChoices()
	sets := line{{padTo("  set", settingLabel+2), inkPlain}}
	for _, c := range g.Choices {
		switch {
		case c == g.Get(m.set):
			sets = append(sets, span{"[" + c + "]", inkStrong})
		case c != "own" || m.set.OwnKeys != "":
			sets = append(sets, span{" " + c + " ", inkFaint})
		}
	}
	out = append(out, sets, nil)
	keys := keysOf(m.set)
	for i, d := range arcDeeds {
		mark, in, key := "  ", inkPlain, keys.keyOf(d.id).name()
		if i == m.cursor {
			mark, in = "> ", inkFocus
			if m.waiting {
				key = "..."
			}
		}
		out = append(out, line{{mark + padTo(key, settingLabel), in}, {d.words, in}})
	}
	return out
}
