package scenarios

import (
	"slices"
	"strconv"

	"puddlewise/scoring/weld"

	"gopkg.in/yaml.v3"
)

// YAML writes the scenario as a file that reads back to the same scenario.
// Values that are as usual are left out. The comments of a file that was read
// are not kept.
func (s Scenario) YAML() ([]byte, error) {
	root := newMap()
	root.text("title", s.Title)
	root.whole("revision", s.Revision)
	root.whole("level", s.Level)
	root.list("skills", s.Skills)
	root.list("topics", words(s.Topics))
	root.text("job", s.Job)
	root.text("bench", s.Bench)
	root.text("access", s.Access)
	root.add("joint", jointMap(s.Task))
	root.add("drawing", drawingMap(s.Task))
	root.add("given", changes(startOf(s.Task, s.Ask), s.Given, nil))
	root.list("ask", s.Ask)
	model := changes(s.Given, s.Model, s.Ask)
	model.text("why", s.ModelWhy)
	root.add("model", model)
	worked := newMap()
	for _, key := range s.Ask {
		worked.text(key, s.Worked[key])
	}
	root.add("worked", worked)

	mistakes := &yaml.Node{Kind: yaml.SequenceNode}
	for _, m := range s.Mistakes {
		one := newMap()
		one.text("title", m.Title)
		one.add("change", changes(s.Model, m.Answer, nil))
		one.text("finding", m.Finding)
		mistakes.Content = append(mistakes.Content, one.node)
	}
	if len(mistakes.Content) > 0 {
		root.node.Content = append(root.node.Content, scalar("mistakes"), mistakes)
	}
	coaching := newMap()
	coaching.text("look", s.Coaching.Look)
	coaching.text("why", s.Coaching.Why)
	coaching.text("try", s.Coaching.Try)
	root.add("coaching", coaching)
	var hazards []string
	for _, h := range s.Hazards {
		if !slices.Contains(implied(s.Task), h) {
			hazards = append(hazards, string(h))
		}
	}
	root.list("hazards", hazards)
	if s.MostAmps != 0 {
		root.text("most_amps", s.MostAmps.String())
	}
	vary := newMap()
	for _, span := range s.Vary {
		if span.Key == "chill" || span.Key == "position" {
			vary.list(span.Key, span.Values)
			continue
		}
		ends := newMap()
		ends.text("from", span.Values[0])
		ends.text("to", span.Values[len(span.Values)-1])
		vary.add(span.Key, ends)
	}
	root.add("vary", vary)
	things := &yaml.Node{Kind: yaml.SequenceNode}
	for _, t := range s.Happens {
		things.Content = append(things.Content, t.yaml().node)
	}
	if len(things.Content) > 0 {
		root.node.Content = append(root.node.Content, scalar("happens"), things)
	}
	return yaml.Marshal(root.node)
}

func jointMap(t weld.Task) mapNode {
	m := newMap()
	m.text("kind", string(t.Joint))
	m.text("position", string(t.Position))
	m.add("a", memberMap(t.A, weld.Member{Width: defaultWidth}))
	m.add("b", memberMap(t.B, t.A))
	if t.GapEnd == t.Gap {
		m.quantity("gap", t.Gap, 0)
	} else {
		ends := newMap()
		ends.text("start", t.Gap.String())
		ends.text("end", t.GapEnd.String())
		m.add("gap", ends)
	}
	if t.Joint.Tube() { // the seam follows from the tubes
		m.quantity("diameter", t.Diameter, 0)
		m.quantity("through", t.Through, 0)
		if t.Branch != 0 {
			m.text("branch", t.Branch.String())
		}
	} else {
		m.text("seam", t.Seam.String())
		m.quantity("run_out", t.RunOut, defaultRunOut)
	}
	m.quantity("overlap", t.Overlap, 0)
	m.text("chill", string(t.Chill))
	if t.PartTemp != defaultPart {
		m.text("part_temp", t.PartTemp.String())
	}
	if t.Earlier != 0 {
		m.text("earlier_run", t.Earlier.String())
	}
	if t.Surface != weld.BrightMetal {
		m.text("surface", string(t.Surface))
	}
	if t.Draught != 0 {
		m.text("draught", t.Draught.String())
	}
	m.yes("closed", t.ClosedVolume)
	m.yes("throat", t.Throat)
	m.yes("blocked", t.Blocked)
	return m
}

func memberMap(p, like weld.Member) mapNode {
	m := newMap()
	if p.Metal != like.Metal {
		m.text("metal", string(p.Metal))
	}
	m.quantity("thickness", p.Thickness, like.Thickness)
	m.quantity("width", p.Width, like.Width)
	return m
}

func drawingMap(t weld.Task) mapNode {
	m := newMap()
	m.quantity("leg", t.Drawing.Leg, 0)
	if t.Joint == weld.OutsideCorner || t.Joint == weld.EdgeWeld { // a butt always is
		m.yes("full_penetration", t.Drawing.FullPenetration)
	}
	m.yes("bright_root", t.Drawing.BrightRoot)
	m.text("filler", string(t.Drawing.FillerFixed))
	return m
}

// changes lists the fields in which b differs from a, and those of always.
func changes(a, b weld.Answer, always []string) mapNode {
	m := newMap()
	for _, f := range weld.Fields {
		if text := f.Get(b); text != f.Get(a) || slices.Contains(always, f.Key) {
			m.text(f.Key, text)
		}
	}
	return m
}

// mapNode builds a YAML map; what is empty is left out.
type mapNode struct{ node *yaml.Node }

func newMap() mapNode { return mapNode{&yaml.Node{Kind: yaml.MappingNode}} }

// scalar is a text; yaml quotes those it would take for something else.
func scalar(text string) *yaml.Node {
	return &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: text}
}

func (m mapNode) text(key, value string) {
	if value != "" {
		m.node.Content = append(m.node.Content, scalar(key), scalar(value))
	}
}

func (m mapNode) whole(key string, n int) {
	m.node.Content = append(m.node.Content, scalar(key), &yaml.Node{Kind: yaml.ScalarNode, Value: strconv.Itoa(n)})
}

func (m mapNode) yes(key string, v bool) {
	if v {
		m.text(key, "yes")
	}
}

func (m mapNode) quantity(key string, v, usual weld.Length) {
	if v != usual {
		m.text(key, v.String())
	}
}

func (m mapNode) list(key string, values []string) {
	if len(values) == 0 {
		return
	}
	n := &yaml.Node{Kind: yaml.SequenceNode, Style: yaml.FlowStyle}
	for _, v := range values {
		n.Content = append(n.Content, scalar(v))
	}
	m.node.Content = append(m.node.Content, scalar(key), n)
}

func (m mapNode) add(key string, sub mapNode) {
	if len(sub.node.Content) > 0 {
		m.node.Content = append(m.node.Content, scalar(key), sub.node)
	}
}
