package plain

import (
	"strings"

	"puddlewise/trainer/record"
)

// set changes a setting, at once and from now on.
func (r *runner) set(change func(*record.Settings)) {
	change(&r.opt.Settings)
	if r.opt.Save != nil {
		if err := r.opt.Save(change); err != nil {
			r.say(0, "! "+err.Error())
		}
	}
}

// settings takes "units inch"; anything else is told how everything stands.
func (r *runner) settings(text string) {
	key, value, given := strings.Cut(strings.TrimSpace(text), " ")
	for _, g := range record.AllSettings {
		if g.Key != key || !given && g.Choices != nil {
			continue
		}
		var probe record.Settings
		if err := g.Set(&probe, value); err != nil {
			r.say(2, err.Error())
			return
		}
		units := r.opt.Settings.Units
		r.set(func(s *record.Settings) { _ = g.Set(s, value) })
		if r.opt.Settings.Units != units {
			clear(r.filter) // its walls were said in the other units
		}
		break
	}
	for _, g := range record.AllSettings {
		stands := g.Get(r.opt.Settings)
		if stands == "" {
			stands = "none"
		}
		if g.Choices != nil {
			stands += " (" + strings.Join(g.Choices, ", ") + ")"
		}
		r.hang(2, 10, g.Key, stands+": "+g.Help)
	}
	r.say(2, "Type settings, what to set and what to, such as: settings units inch. Theme, glyphs, motion, arc-keys, good-hand and mouse are for the screen.")
}
