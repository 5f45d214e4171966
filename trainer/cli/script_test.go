package cli

import (
	"bytes"
	"encoding/json"
	"os"
	"strconv"

	"github.com/rogpeppe/go-internal/testscript"
)

// cmdExits runs a program and holds it to its exit code: exits 2 puddlewise jonts.
func cmdExits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE COMMAND ARGS...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		exit, ok := err.(interface{ ExitCode() int })
		if !ok {
			ts.Check(err)
		}
		got = exit.ExitCode()
	}
	if got != want {
		ts.Fatalf("%q ended with %d, want %d", args[1:], got, want)
	}
}

// cmdIsJSON holds a file (or stdout) to be JSON and nothing else.
func cmdIsJSON(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) != 1 {
		ts.Fatalf("usage: isjson FILE")
	}
	if json.Valid([]byte(ts.ReadFile(args[0]))) == neg {
		ts.Fatalf("%s is JSON: %v", args[0], !neg)
	}
}

// cmdSpoil makes files a text archive cannot hold: not UTF-8, or very large.
func cmdSpoil(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: spoil latin1|large FILE")
	}
	name := ts.MkAbs(args[1])
	content := []byte("title: K\xfchlkanal\n")
	if args[0] == "large" {
		content = bytes.Repeat([]byte("# nothing to see\n"), 10<<20/17)
	}
	ts.Check(os.WriteFile(name, content, 0o644))
}

// cmdRepeats runs a program twice and holds the outputs to be the same byte for byte.
func cmdRepeats(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 1 {
		ts.Fatalf("usage: repeats COMMAND ARGS...")
	}
	ts.Check(ts.Exec(args[0], args[1:]...))
	first := ts.ReadFile("stdout")
	ts.Check(ts.Exec(args[0], args[1:]...))
	if ts.ReadFile("stdout") != first {
		ts.Fatalf("%q printed something else the second time", args)
	}
}
