package plain

import (
	"bufio"
	"context"
	"errors"
	"io"
	"strings"
	"time"
	"unicode/utf8"

	"puddlewise/trainer/session/view"
)

const (
	columns    = 80
	answerRoom = 20   // columns kept free behind a question
	maxLine    = 4096 // longer input is no answer to any question
)

// console reads lines and writes wrapped ASCII.
type console struct {
	ctx   context.Context
	lines <-chan input
	out   *sink
	echo  bool
	blank bool // the last line written was empty

	tick   <-chan time.Time // nil: nothing is said while a question waits
	ticked func() []string  // what to say at a tick
}

type input struct {
	text string
	err  error
}

var errTooLong = errors.New("line too long")

func newConsole(ctx context.Context, in io.Reader, out io.Writer, echo bool) *console {
	lines := make(chan input)
	// A read from a terminal cannot be interrupted, so it waits on its own
	// goroutine; the learner's Ctrl-C ends Run through ctx all the same.
	go func() {
		defer close(lines)
		br := bufio.NewReaderSize(in, maxLine)
		for {
			text, err := readLine(br)
			select {
			case lines <- input{text, err}:
			case <-ctx.Done():
				return
			}
			if err != nil && !errors.Is(err, errTooLong) {
				return
			}
		}
	}()
	return &console{ctx: ctx, lines: lines, out: &sink{w: out}, echo: echo}
}

// readLine reads a line without its end. An over-long line is read to its end
// and refused; a last line without a newline counts.
func readLine(br *bufio.Reader) (string, error) {
	b, err := br.ReadSlice('\n')
	if errors.Is(err, bufio.ErrBufferFull) {
		for errors.Is(err, bufio.ErrBufferFull) {
			_, err = br.ReadSlice('\n')
		}
		if err == nil {
			err = errTooLong
		}
		return "", err
	}
	if errors.Is(err, io.EOF) && len(b) > 0 {
		err = nil
	}
	return strings.TrimSpace(strings.ToValidUTF8(string(b), "?")), err
}

// ask writes the prompt and reads an answer. "quit" and "back" come as errors,
// and so does the end of the input.
func (c *console) ask(prompt string) (string, error) {
	for again := true; ; {
		if again { // a silent tick leaves the question as it stands
			c.prompt(prompt)
		}
		again = false
		if c.out.err != nil {
			return "", errLeave
		}
		select {
		case <-c.ctx.Done():
			c.line("")
			return "", c.ctx.Err()
		case <-c.tick:
			if said := c.ticked(); said != nil {
				c.line("")
				for _, text := range said {
					c.say(0, text)
				}
				again = true
			}
			continue
		case in, ok := <-c.lines:
			switch {
			case !ok || errors.Is(in.err, io.EOF):
				c.line("")
				return "", io.EOF
			case errors.Is(in.err, errTooLong):
				if c.echo {
					c.line("...")
				}
				c.say(0, "That line is too long to be an answer.")
				again = true
				continue
			case in.err != nil:
				return "", in.err
			}
			if c.echo {
				c.line(cut(in.text, answerRoom-4))
			}
			c.blank = false
			switch strings.ToLower(in.text) {
			case "quit", "exit", "q":
				return "", errLeave
			case "back":
				return "", errBack
			}
			return in.text, nil
		}
	}
}

// prompt writes a question, wrapped, and leaves the cursor behind it.
func (c *console) prompt(q string) {
	lines := wrap(ascii(q), columns-answerRoom)
	for _, l := range lines[:len(lines)-1] {
		c.line(l)
	}
	c.out.write(lines[len(lines)-1] + " ")
	c.blank = false
}

// say writes a paragraph with an indent; its own line ends are kept.
func (c *console) say(indent int, text string) {
	for para := range strings.SplitSeq(strings.TrimRight(text, "\n"), "\n") {
		for _, l := range wrap(ascii(para), columns-1-indent) {
			c.line(strings.Repeat(" ", indent) + l)
		}
	}
}

// hang writes a label and a text beside it that keeps its left edge.
func (c *console) hang(indent, labelWidth int, label, text string) {
	left := indent + labelWidth
	for i, l := range wrap(ascii(text), columns-1-left) {
		if i > 0 {
			label = ""
		}
		c.line(strings.Repeat(" ", indent) + pad(ascii(label), labelWidth) + l)
	}
}

// gap writes an empty line unless there is one already.
func (c *console) gap() {
	if !c.blank {
		c.line("")
	}
}

func (c *console) line(text string) {
	text = strings.TrimRight(ascii(text), " ")
	c.blank = text == ""
	c.out.write(text + "\n")
}

// sink remembers the first error of its writer and is silent after it: a reader
// that has gone away ends the run at the next question.
type sink struct {
	w   io.Writer
	err error
}

func (s *sink) write(text string) {
	if s.err == nil {
		_, s.err = io.WriteString(s.w, text)
	}
}

// wrap breaks text between words; a word longer than the line is broken.
func wrap(text string, width int) []string {
	var lines []string
	line := ""
	for _, word := range view.Words(text) {
		for len(word) > width {
			if line != "" {
				lines, line = append(lines, line), ""
			}
			lines, word = append(lines, word[:width]), word[width:]
		}
		switch {
		case line == "":
			line = word
		case len(line)+1+len(word) > width:
			lines, line = append(lines, line), word
		default:
			line += " " + word
		}
	}
	return append(lines, line)
}

func pad(s string, width int) string {
	if n := width - len(s); n > 0 {
		return s + strings.Repeat(" ", n)
	}
	return s + " "
}

var spelled = map[rune]string{
	'\u00b0': " deg", '\u00b5': "u", '\u03bc': "u", '\u00b1': "+-", '\u00d7': "x", '\u2013': "-", '\u2014': "-",
	'\u2018': "'", '\u2019': "'", '\u201c': "\"", '\u201d': "\"", '\u2026': "...", '\u00a0': " ", '\t': " ",
}

// ascii spells text in ASCII and takes control characters out: what comes from a
// file or the learner must not move the cursor.
func ascii(s string) string {
	var b strings.Builder
	for _, r := range s {
		switch {
		case r >= ' ' && r <= '~':
			b.WriteRune(r)
		case spelled[r] != "":
			b.WriteString(spelled[r])
		case r >= utf8.RuneSelf && r > 0x9f:
			b.WriteByte('?')
		}
	}
	return b.String()
}

// cut shortens what the learner typed for use in a message.
func cut(s string, most int) string {
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "..."
	}
	return s
}
