package cli

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestDataFolder(t *testing.T) {
	abs, err := filepath.Abs("x") // absolute on the system the test runs on
	assert.NoError(t, err)
	for _, c := range []struct {
		name, goos string
		env        map[string]string
		want       string
	}{
		{"the specification's variable comes first", "linux", map[string]string{"XDG_DATA_HOME": abs, "HOME": "/home/ann"}, filepath.Join(abs, "puddlewise")},
		{"everywhere", "windows", map[string]string{"XDG_DATA_HOME": abs, "LocalAppData": "L"}, filepath.Join(abs, "puddlewise")},
		{"a relative one is ignored", "linux", map[string]string{"XDG_DATA_HOME": "data", "HOME": "/home/ann"}, filepath.Join("/home/ann", ".local", "share", "puddlewise")},
		{"Linux", "linux", map[string]string{"HOME": "/home/ann"}, filepath.Join("/home/ann", ".local", "share", "puddlewise")},
		{"another Unix", "freebsd", map[string]string{"HOME": "/home/ann"}, filepath.Join("/home/ann", ".local", "share", "puddlewise")},
		{"macOS", "darwin", map[string]string{"HOME": "/Users/ann"}, filepath.Join("/Users/ann", "Library", "Application Support", "puddlewise")},
		{"Windows", "windows", map[string]string{"LocalAppData": "L"}, filepath.Join("L", "puddlewise")},
		{"Windows without the usual variable", "windows", map[string]string{"UserProfile": "P"}, filepath.Join("P", "AppData", "Local", "puddlewise")},
		{"no home", "linux", nil, ""},
		{"no home on macOS", "darwin", nil, ""},
		{"no home on Windows", "windows", nil, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := Environment{GOOS: c.goos, Getenv: func(k string) string { return c.env[k] }}.dataFolder()
			assert.Equal(t, c.want, got)
			if c.want == "" {
				assert.ErrorContains(t, err, "set XDG_DATA_HOME")
			} else {
				assert.NoError(t, err)
			}
		})
	}
}

func TestTerminalFacts(t *testing.T) {
	for _, c := range []struct {
		name, goos string
		env        map[string]string
		want       terminal
	}{
		{"nothing known", "linux", nil, terminal{Kind: "dumb", Colour: true}},
		{"an ordinary one", "linux", map[string]string{"TERM": "xterm", "LANG": "de_DE.UTF-8"}, terminal{Kind: "xterm", UTF8: true, Colour: true}},
		{"the first that is set counts", "linux", map[string]string{"TERM": "xterm", "LC_ALL": "C", "LANG": "de_DE.UTF-8"}, terminal{Kind: "xterm", Colour: true}},
		{"no colour", "linux", map[string]string{"TERM": "xterm", "NO_COLOR": "1"}, terminal{Kind: "xterm"}},
		{"a Windows console", "windows", nil, terminal{UTF8: true, Colour: true}},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := app{env: Environment{GOOS: c.goos, Getenv: func(k string) string { return c.env[k] }}}
			assert.Equal(t, c.want, a.terminal())
			assert.False(t, a.terminal().usable(), "streams that are no files are no terminal")
		})
	}
}

func TestIDsAreRandom(t *testing.T) {
	a, b := randomID(), randomID()
	assert.Len(t, a, 32)
	assert.NotEqual(t, a, b)
}
