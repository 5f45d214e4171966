package tui

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"puddlewise/trainer/record"
)

// Each set for one hand has every deed at the arc within its half of the keyboard.
func TestOneHandIsEnough(t *testing.T) {
	// Letters that lie in this half of qwerty, qwertz and azerty, and what stands around them.
	halves := map[string][]string{
		"left":  append(strings.Split("qwertasdfgxcv", ""), "tab", spaceKey),
		"right": append(strings.Split("uiophjklmn,", ""), "enter", "up", "down", "left", "right", spaceKey),
	}
	assert.Equal(t, len(halves), len(keySets))
	for set, half := range halves {
		keys := keysOf(record.Settings{ArcKeys: set})
		seen := map[string]string{}
		for _, cmd := range keys[onArc] {
			if cmd.deed == "" {
				assert.Contains(t, []action{actNone, actArcKeys, actHappens, actBack, actHelp, actQuitNow}, cmd.act, "not needed while the arc burns")
				continue
			}
			assert.Len(t, cmd.keys, 1)
			name := cmd.keys[0].name()
			assert.Contains(t, half, name, "%s: %s", set, cmd.deed)
			if other, ok := seen[name]; ok {
				assert.Equal(t, other, cmd.deed, "%s: %s", set, name)
			}
			seen[name] = cmd.deed
		}
		assert.Len(t, seen, len(arcDeeds))
	}
}

func TestOwnKeys(t *testing.T) {
	given := keyTable.text()
	for _, c := range []struct{ own, want string }{
		{"", given},
		{"dab=x", strings.Replace(given, "dab=space", "dab=x", 1)},
		{"dab=x longer== ahead=tab", strings.NewReplacer("dab=space", "dab=x", "longer=+", "longer==", "ahead=right", "ahead=tab").Replace(given)},
		{"dab=i", given},           // the rod's
		{"dab=x ahead=x", given},   // two on one
		{"dab=? speed=esc", given}, // fixed
		{"dab= = weave=w dab=none such", given},
	} {
		keys := keysOf(record.Settings{ArcKeys: "own", OwnKeys: c.own})
		assert.Equal(t, c.want, keys.text(), c.own)
		assert.Equal(t, given, keysOf(record.Settings{OwnKeys: c.own}).text(), "kept, not in force")
		assert.Equal(t, keyTable[onBench], keys[onBench])
	}
	all := func(action) bool { return true }
	keys := keysOf(record.Settings{ArcKeys: "own", OwnKeys: "hotter=u dab=x"})
	assert.Contains(t, keys.footer(onArc, 200, all).String(), "x dab   u/down pedal")
	help := strings.Join(texts(keys.help(onArc, 70)), "\n")
	assert.Contains(t, help, "x             dab the rod into the pool once\n")
	assert.Contains(t, help, "how often you tap is your\n              travel, also l\n", "others keep theirs")
	assert.NotContains(t, help, "k and j")
	for _, cmd := range keyTable[onArc] { // what is written in the table is what its keys are called
		if cmd.deed != "" && cmd.name != "" {
			i := slices.IndexFunc(keysOf(record.Settings{ArcKeys: "own", OwnKeys: "strike=enter"})[onArc], func(o command) bool { return o.act == cmd.act })
			assert.Equal(t, cmd.name, keyTable.with("strike", keyTable.keyOf("strike"))[onArc][i].name)
		}
	}
}
