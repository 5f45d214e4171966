package cli

import (
	"crypto/rand"
	"encoding/hex"
	"errors"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"golang.org/x/term"
)

// Environment is what the program takes from the machine it runs on.
type Environment struct {
	Getenv func(string) string
	GOOS   string
	Now    func() time.Time
	NewID  func() string // of an attempt: unique everywhere, so that records can be merged
}

// System gives the environment of the machine.
func System() Environment {
	return Environment{Getenv: os.Getenv, GOOS: runtime.GOOS, Now: time.Now, NewID: randomID}
}

// randomID gives 128 random bits as hexadecimal digits.
func randomID() string {
	var b [16]byte
	rand.Read(b[:]) // never fails, see crypto/rand
	return hex.EncodeToString(b[:])
}

// dataFolder says where the record belongs on this system. Everywhere an
// absolute XDG_DATA_HOME comes first; a relative one is ignored, as its
// specification asks.
func (e Environment) dataFolder() (string, error) {
	const name = "puddlewise"
	if dir := e.Getenv("XDG_DATA_HOME"); filepath.IsAbs(dir) {
		return filepath.Join(dir, name), nil
	}
	home := e.Getenv("HOME")
	var base string
	switch e.GOOS {
	case "windows":
		if base = e.Getenv("LocalAppData"); base == "" && e.Getenv("UserProfile") != "" {
			base = filepath.Join(e.Getenv("UserProfile"), "AppData", "Local")
		}
	case "darwin", "ios":
		if home != "" {
			base = filepath.Join(home, "Library", "Application Support")
		}
	default:
		if home != "" {
			base = filepath.Join(home, ".local", "share")
		}
	}
	if base == "" {
		return "", errors.New("there is no home folder to keep the record in\nset XDG_DATA_HOME to a folder for it")
	}
	return filepath.Join(base, name), nil
}

// terminal is what is known of the terminal before anything is drawn.
type terminal struct {
	In, Out       bool // are a terminal
	Kind          string
	Width, Height int // 0 when not known
	UTF8, Colour  bool
}

// usable says whether the trainer can draw on it.
func (t terminal) usable() bool { return t.In && t.Out && t.Kind != "dumb" }

func (a *app) terminal() terminal {
	t := terminal{Kind: a.env.Getenv("TERM"), Colour: a.env.Getenv("NO_COLOR") == ""}
	if t.Kind == "" && a.env.GOOS != "windows" { // the Windows console has no kind
		t.Kind = "dumb"
	}
	t.UTF8 = a.env.GOOS == "windows"
	for _, name := range []string{"LC_ALL", "LC_CTYPE", "LANG"} { // the first that is set counts
		if v := strings.ToUpper(a.env.Getenv(name)); v != "" {
			t.UTF8 = strings.Contains(v, "UTF-8") || strings.Contains(v, "UTF8")
			break
		}
	}
	_, t.In = terminalOf(a.In)
	var fd int
	if fd, t.Out = terminalOf(a.Out); t.Out {
		if w, h, err := term.GetSize(fd); err == nil {
			t.Width, t.Height = w, h
		}
	}
	return t
}

func terminalOf(stream any) (fd int, ok bool) {
	if s, wrapped := stream.(*sink); wrapped {
		stream = s.w
	}
	f, ok := stream.(interface {
		io.Closer
		Fd() uintptr
	})
	if !ok {
		return 0, false
	}
	return int(f.Fd()), term.IsTerminal(int(f.Fd()))
}
