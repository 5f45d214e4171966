package record

import (
	"fmt"
	"slices"
	"strings"

	"puddlewise/scoring/weld"
)

// Settings are what the trainer remembers about its learner. The zero value is
// what a first start has.
type Settings struct {
	CautionsSeen bool
	Units        weld.System
	Theme        string // empty is the first of its choices
	ASCII        bool   // draw with ASCII characters only
	Still        bool   // no motion on the screen
	Mouse        bool   // the wheel and the words at the foot of the screen can be used
	ArcKeys      string // the live arc's: empty as given, left, right, or own
	OwnKeys      string // deed=key, with blanks between; a screen makes and reads it
	GoodHand     string // to follow at the live arc: empty for none, on, or bell
	Name         string
}

// Setting is one thing a learner can set: how it is kept, typed and shown.
type Setting struct {
	Key     string
	Choices []string // nil where it takes any text
	Help    string

	get func(*Settings) string
	set func(*Settings, string)
}

// unitNames says how a system of units is kept and typed.
var unitNames = map[weld.System]string{weld.Metric: "metric", weld.Imperial: "inch"}

// AllSettings is everything that can be set, in the order it is shown.
var AllSettings = []Setting{
	{
		Key: "units", Choices: []string{"metric", "inch"}, Help: "what is shown, and what a number typed without a unit is taken in",
		get: func(s *Settings) string { return unitNames[s.Units] },
		set: func(s *Settings, v string) {
			for sys, name := range unitNames {
				if name == v {
					s.Units = sys
				}
			}
		},
	},
	{
		Key: "theme", Choices: []string{"dark", "light", "mono"}, Help: "what the terminal is: dark or light paper; mono draws without colour",
		get: func(s *Settings) string { return s.Theme },
		set: func(s *Settings, v string) { s.Theme = oneOf(v == "dark", "", v) },
	},
	{
		Key: "glyphs", Choices: []string{"unicode", "ascii"}, Help: "what pictures are drawn with; ascii where blocks and lines come out wrong",
		get: func(s *Settings) string { return oneOf(s.ASCII, "ascii", "unicode") },
		set: func(s *Settings, v string) { s.ASCII = v == "ascii" },
	},
	{
		Key: "motion", Choices: []string{"on", "off"}, Help: "the weld is run once more before your eyes, or its coupon shown at once",
		get: func(s *Settings) string { return oneOf(s.Still, "off", "on") },
		set: func(s *Settings, v string) { s.Still = v == "off" },
	},
	{
		Key: "arc-keys", Choices: []string{"given", "left", "right", "own"}, Help: "the live arc's keys: left and right lie in one half of the keyboard each, for one hand",
		get: func(s *Settings) string { return s.ArcKeys },
		set: func(s *Settings, v string) { s.ArcKeys = oneOf(v == "given", "", v) },
	},
	{
		Key: "good-hand", Choices: []string{"off", "on", "bell"}, Help: "the live arc: where a good hand would be by now, and when it dabs; bell: heard as well",
		get: func(s *Settings) string { return s.GoodHand },
		set: func(s *Settings, v string) { s.GoodHand = oneOf(v == "off", "", v) },
	},
	{
		Key: "mouse", Choices: []string{"off", "on"}, Help: "on: the wheel moves, a click on a word at the foot does it; the terminal no longer marks text",
		get: func(s *Settings) string { return oneOf(s.Mouse, "on", "off") },
		set: func(s *Settings, v string) { s.Mouse = v == "on" },
	},
	{
		Key: "name", Help: "stands with your coupons in the record; may be empty",
		get: func(s *Settings) string { return s.Name },
		set: func(s *Settings, v string) { s.Name = v },
	},
}

func oneOf(yes bool, a, b string) string {
	if yes {
		return a
	}
	return b
}

// Get gives how it stands.
func (g Setting) Get(s Settings) string {
	if v := g.get(&s); v != "" || g.Choices == nil {
		return v
	}
	return g.Choices[0]
}

// Set changes it; the error says what it may be.
func (g Setting) Set(s *Settings, value string) error {
	if g.Choices != nil && !slices.Contains(g.Choices, value) {
		return fmt.Errorf("%s: %q is not among %s", g.Key, value, strings.Join(g.Choices, ", "))
	}
	g.set(s, value)
	return nil
}

// Settings gives what was saved last; nothing saved gives the zero value. What
// this program does not know, or no longer, is left out.
func (s *Store) Settings() (Settings, error) {
	var out Settings
	rows, err := s.db.Query("SELECT key, value FROM setting")
	if err != nil {
		return out, s.wrap(err)
	}
	defer rows.Close()
	for rows.Next() {
		var key, value string
		if err := rows.Scan(&key, &value); err != nil {
			return out, s.wrap(err)
		}
		if key == cautionsSeen {
			out.CautionsSeen = value == "yes"
		}
		if key == ownKeys {
			out.OwnKeys = value
		}
		for _, g := range AllSettings {
			if g.Key == key {
				_ = g.Set(&out, value)
			}
		}
	}
	return out, s.wrap(rows.Err())
}

// What is kept beside what is set by name.
const (
	cautionsSeen = "cautions_seen"
	ownKeys      = "own_keys"
)

// SaveSettings keeps the settings, all of them or, on error, none.
func (s *Store) SaveSettings(v Settings) error {
	keep := [][2]string{{cautionsSeen, oneOf(v.CautionsSeen, "yes", "no")}, {ownKeys, v.OwnKeys}}
	for _, g := range AllSettings {
		value := g.Get(v)
		if g.Choices != nil && !slices.Contains(g.Choices, value) {
			return fmt.Errorf("%s: %q cannot be kept", g.Key, value)
		}
		keep = append(keep, [2]string{g.Key, value})
	}
	tx, err := s.db.Begin()
	if err != nil {
		return s.wrap(err)
	}
	defer tx.Rollback()
	for _, kv := range keep {
		if _, err := tx.Exec(`INSERT INTO setting (key, value) VALUES ($1, $2)
			ON CONFLICT (key) DO UPDATE SET value = excluded.value`, kv[0], kv[1]); err != nil {
			return s.wrap(err)
		}
	}
	return s.wrap(tx.Commit())
}
