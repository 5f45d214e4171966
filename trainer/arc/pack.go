package arc

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"puddlewise/scoring/puddle"
)

// packed is a run in few bytes: its inputs are one text, words such as 25move0.5, the
// steps since the input before, what is done and, where it is not 0, the value.
type packed struct {
	Run
	Inputs string `json:"inputs"`
}

// Pack gives a run as one line of JSON, a fifth as long as its file. Unpack takes it.
func (r Run) Pack() ([]byte, error) {
	p := packed{r, packInputs(r.Inputs)}
	p.Run.Inputs = nil
	return json.Marshal(p)
}

func packInputs(inputs []puddle.Input) string {
	var b strings.Builder
	last := 0
	for i, in := range inputs {
		if i > 0 {
			b.WriteByte(' ')
		}
		b.WriteString(strconv.Itoa(in.Step - last))
		b.WriteString(string(in.Do))
		if in.Value != 0 {
			b.WriteString(strconv.FormatFloat(in.Value, 'g', -1, 64))
		}
		last = in.Step
	}
	return b.String()
}

// Unpack takes what Pack gave, and holds it to what Read holds a file to.
func Unpack(data []byte) (Run, error) {
	if len(data) > largest {
		return Run{}, fmt.Errorf("a run cannot be larger than %d MB", largest>>20)
	}
	var p packed
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(&p); err != nil {
		return Run{}, errors.New(plain(err))
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return Run{}, errors.New("something stands after the run")
	}
	r := p.Run
	last := 0
	for i, word := range strings.Fields(p.Inputs) {
		in, err := unpackInput(word)
		if err != nil || i >= mostInputs {
			return Run{}, fmt.Errorf("input %d: %.40q cannot be\nit is written like 25move0.5, at most %d of them", i+1, word, mostInputs)
		}
		in.Step += last
		last = in.Step
		r.Inputs = append(r.Inputs, in)
	}
	if packInputs(r.Inputs) != p.Inputs {
		return Run{}, errors.New("inputs: they are not written as they are packed")
	}
	return r, r.check()
}

func unpackInput(word string) (in puddle.Input, err error) {
	from := len(word) - len(strings.TrimLeft(word, "0123456789"))
	to := len(word)
	if at := strings.IndexAny(word[from:], "-.0123456789"); at >= 0 {
		to = from + at
	}
	in.Do = puddle.Deed(word[from:to])
	if in.Step, err = strconv.Atoi(word[:from]); err == nil && in.Step > puddle.LiveSteps {
		err = errors.New("too many steps")
	}
	if err == nil && to < len(word) {
		in.Value, err = strconv.ParseFloat(word[to:], 64)
	}
	return in, err
}
