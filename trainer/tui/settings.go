package tui

import (
	"github.com/gdamore/tcell/v2"
	"github.com/rivo/tview"

	"puddlewise/trainer/record"
	"puddlewise/trainer/session/view"
)

// settingsPage changes what the trainer remembers, with a joint drawn under it as
// all pictures will be.
type settingsPage struct {
	basePage
	settingsModel
	input *tview.InputField // the name
}

func newSettingsPage(a *app) *settingsPage {
	p := &settingsPage{basePage: basePage{a}, settingsModel: newSettingsModel(a.opt.Settings), input: newInput(a.look)}
	p.input.SetText(p.set.Name)
	return p
}

func (p *settingsPage) name() screenName      { return onSettings }
func (p *settingsPage) title() (string, line) { return "puddlewise: settings", nil }
func (p *settingsPage) typing() bool          { return p.marked().Choices == nil }

func (p *settingsPage) status() line {
	if p.app.opt.Save == nil {
		return line{{"these hold for this run: no record is kept", inkFaint}}
	}
	return nil
}

func (p *settingsPage) draw(c canvas) {
	p.set = p.app.opt.Settings // the page of the arc's keys changes them too
	const box = 30
	ls := p.lines()
	c.lines(1, ls)
	y := len(ls) // the row of the name, which is the last
	x := c.put(2+settingLabel, y, "[ ", inkPlain)
	focus(p.input, p.typing())
	p.input.SetRect(c.x+x, c.y+y, box, 1)
	p.input.Draw(c.screen)
	c.put(x+box, y, " ]", inkPlain)
	help := paragraph(p.marked().Help, c.w-2, inkFaint)
	if limit := p.limit(); limit != "" {
		help = append(help, paragraph(limit, c.w-2, inkWarn)...)
	}
	c.lines(y+2, help)
	p.drawSample(c.sub(0, y+4, c.w, c.h-y-4))
}

// limit says what of the marked setting this terminal cannot show.
func (p *settingsPage) limit() string {
	switch look := p.app.look; {
	case p.marked().Key == "theme" && look.theme.Name == Mono.Name && p.set.Theme != Mono.Name:
		return "This terminal shows too few colours: drawn as mono."
	case p.marked().Key == "theme" && look.theme.plain && p.set.Theme != Mono.Name:
		return "This terminal shows few colours: pictures are drawn in letters."
	case p.marked().Key == "glyphs" && look.glyph.ascii && !p.set.ASCII:
		return "This terminal shows too few characters or colours: drawn as ascii."
	}
	return ""
}

// drawSample draws a joint and the marks as they look now.
func (p *settingsPage) drawSample(c canvas) {
	if len(p.app.opt.Bank) == 0 || c.h < 6 {
		return
	}
	c.rule(0)
	task := p.app.opt.Bank[0].Task
	pic := newSectionPicture(c.look, task, p.app.opt.Settings.Units)
	pic.torch = &view.PlainTorch
	pic.SetRect(c.x, c.y+1, min(c.w/2, 50), min(c.h-1, 16))
	pic.Draw(c.screen)
	at := c.sub(min(c.w/2, 50)+3, 2, c.w, c.h)
	at.lines(0, []line{
		{{"ACCEPT +", inkGood}, {"   a sound weld", inkPlain}},
		{{"REJECT x", inkBad}, {"   a keyhole opened", inkPlain}},
		{{"! fault", inkWarn}, {"    said beside the verdict", inkFaint}},
		nil,
		{{"metal     ", inkFaint}, {view.Metal(task, p.set.Units), inkPlain}},
		{{"seam      ", inkFaint}, {task.Seam.Show(p.set.Units), inkPlain}},
	})
}

func (p *settingsPage) can(act action) bool {
	switch act {
	case actLeft, actRight:
		return !p.typing()
	}
	return true
}

func (p *settingsPage) do(act action) {
	switch act {
	case actUp:
		p.move(-1)
	case actDown, actOpen:
		p.move(1)
	case actLeft:
		p.change(p.step(-1))
	case actRight:
		p.change(p.step(1))
	case actArcKeys:
		p.keepName()
		p.app.show(newArcKeysPage(p.app, p))
	case actBack:
		p.keepName()
		p.app.toStart()
	}
}

// move keeps a name that has been typed.
func (p *settingsPage) move(by int) {
	p.keepName()
	p.settingsModel.move(by)
}

func (p *settingsPage) keepName() {
	if name := text(p.input.GetText()); p.typing() && name != p.set.Name {
		p.change(p.to(name))
	}
}

func (p *settingsPage) change(change func(*record.Settings)) {
	p.app.set(change)
	p.set = p.app.opt.Settings
}

func (p *settingsPage) key(ev *tcell.EventKey) {
	if p.typing() {
		feed(p.input, ev)
	}
}

func (p *settingsPage) paste(s string) {
	if p.typing() {
		p.input.PasteHandler()(text(s), func(tview.Primitive) {})
	}
}
