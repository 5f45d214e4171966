package scenarios

import (
	"errors"
	"fmt"
	"slices"

	"puddlewise/scenarios/strict"
	"puddlewise/scoring/weld"
)

// LoadAnswer reads an answer to sc from a YAML or JSON file: a map of field
// keys to what the welder would type. Every asked field must be there; a field
// that is given may be overridden; the rest is as the joint sheet gives it.
func LoadAnswer(name string, sc Scenario) (weld.Answer, error) {
	doc, err := strict.ReadFile(name)
	if err != nil {
		return weld.Answer{}, err
	}
	return answer(doc, sc)
}

// ParseAnswer is LoadAnswer for a file's bytes; name is shown in errors.
func ParseAnswer(name string, data []byte, sc Scenario) (weld.Answer, error) {
	doc, err := strict.Parse(name, data)
	if err != nil {
		return weld.Answer{}, err
	}
	return answer(doc, sc)
}

func answer(doc *strict.Doc, sc Scenario) (weld.Answer, error) {
	a := sc.Given
	m := doc.Root(fieldKeys()...)
	for _, key := range m.Keys() {
		setField(m.Get(key), key, &a)
	}
	for _, key := range sc.Ask {
		if f, ok := weld.FieldByKey(key); ok && !slices.Contains(m.Keys(), key) {
			m.Get(key).Fail(fmt.Sprintf("%s asks for it and the file does not answer", sc.ID), "write it such as "+f.Get(weld.Defaults()))
		}
	}
	if err := sc.Within(a); err != nil {
		var field *weld.FieldError
		errors.As(err, &field)
		m.Get(field.Key).FailErr(err)
	}
	if err := doc.Err(); err != nil {
		return weld.Answer{}, err
	}
	return a, nil
}
