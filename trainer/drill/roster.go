package drill

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// LongestName is how many bytes a learner's name may have.
const LongestName = 80

// mostLearners is how many names of a roster are read.
const mostLearners = 500

// ReadRoster reads the names of a class: CSV with a head, separated by commas,
// semicolons or tabs; the column called name counts, empty rows do not. The error has file and line.
func ReadRoster(file string, in io.Reader) ([]string, error) {
	br := bufio.NewReader(io.LimitReader(in, 1<<20))
	if r, _, err := br.ReadRune(); err == nil && r != '\ufeff' {
		_ = br.UnreadRune() // it was just read
	}
	c := csv.NewReader(br)
	c.FieldsPerRecord, c.TrimLeadingSpace = -1, true
	peek, _ := br.Peek(1024)
	head, _, _ := strings.Cut(string(peek), "\n")
	if at := strings.IndexAny(head, ";\t"); at >= 0 {
		c.Comma = rune(head[at])
	}
	var names []string
	lines := map[string]int{}
	column := -1
	for {
		row, err := c.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		var syntax *csv.ParseError
		if errors.As(err, &syntax) {
			return nil, fmt.Errorf("%s:%d: %w", file, syntax.StartLine, syntax.Err)
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", file, err)
		}
		line, _ := c.FieldPos(0)
		if bad := slices.IndexFunc(row, func(s string) bool { return !utf8.ValidString(s) || strings.Contains(s, "\x00") }); bad >= 0 {
			return nil, fmt.Errorf("%s:%d: letters that are not UTF-8: %.40q\nsave it again from the spreadsheet as CSV UTF-8", file, line, row[bad])
		}
		if column < 0 {
			column = slices.IndexFunc(row, func(s string) bool { return strings.EqualFold(strings.TrimSpace(s), "name") })
			if column < 0 {
				return nil, fmt.Errorf("%s:%d: no column is called name\nthe first line names the columns, one of them name", file, line)
			}
			continue
		}
		if column >= len(row) {
			continue
		}
		name := strings.Join(strings.Fields(row[column]), " ")
		before, twice := lines[strings.ToLower(name)]
		switch {
		case name == "":
			continue
		case twice:
			return nil, fmt.Errorf("%s:%d: %s stands on line %d too\ntell them apart: a second name, a bench", file, line, name, before)
		case len(name) > LongestName:
			return nil, fmt.Errorf("%s:%d: a name too long, at most %d letters are taken\nan umlaut or accented letter counts as two", file, line, LongestName)
		case strings.ContainsFunc(name, unicode.IsControl):
			return nil, fmt.Errorf("%s:%d: a name holds a control character: %.40q", file, line, name)
		case len(names) == mostLearners:
			return nil, fmt.Errorf("%s:%d: more than %d names", file, line, mostLearners)
		}
		lines[strings.ToLower(name)] = line
		names = append(names, name)
	}
	if names == nil {
		return nil, fmt.Errorf("%s: names nobody\na first line that says name, then a name a line", file)
	}
	return names, nil
}
