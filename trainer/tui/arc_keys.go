package tui

import (
	"github.com/gdamore/tcell/v2"

	"puddlewise/trainer/record"
)

// arcKeysPage gives the deeds at the live arc other keys.
type arcKeysPage struct {
	basePage
	arcKeysModel
	under page // gone back to
}

func newArcKeysPage(a *app, under page) *arcKeysPage {
	return &arcKeysPage{basePage{a}, arcKeysModel{set: a.opt.Settings}, under}
}

func (p *arcKeysPage) name() screenName      { return onArcKeys }
func (p *arcKeysPage) title() (string, line) { return "puddlewise: the arc's keys", nil }

func (p *arcKeysPage) status() line {
	switch {
	case p.said != "":
		return line{{p.said, inkWarn}}
	case p.waiting:
		return plainLine("The key for: " + arcDeeds[p.cursor].words + ". Press it; esc leaves it as it is.")
	case p.app.opt.Save == nil:
		return line{{"these hold for this run: no record is kept", inkFaint}}
	}
	return nil
}

func (p *arcKeysPage) draw(c canvas) {
	ls := p.lines(min(c.w, readable))
	// On a low screen the list follows the cursor.
	c.scroll(ls, max(0, len(ls)-len(arcDeeds)+p.cursor+2-c.h))
}

func (p *arcKeysPage) can(act action) bool { return p.waiting == (act == actTake) }

func (p *arcKeysPage) do(act action) {
	switch act {
	case actUp:
		p.move(-1)
	case actDown:
		p.move(1)
	case actLeft:
		p.change(p.step(-1))
	case actRight:
		p.change(p.step(1))
	case actGiven:
		p.change(p.to("given"))
	case actOpen:
		p.waiting = true
	case actBack:
		p.app.show(p.under)
	}
}

func (p *arcKeysPage) change(change func(*record.Settings)) {
	p.app.set(change)
	p.set = p.app.opt.Settings
}

// key takes the key a deed shall have.
func (p *arcKeysPage) key(ev *tcell.EventKey) {
	switch {
	case !p.waiting:
	case ev.Key() == tcell.KeyEsc:
		p.waiting, p.said = false, ""
	default:
		key := named(ev.Key())
		if ev.Key() == tcell.KeyRune {
			key = char(ev.Rune())
		}
		const chords = tcell.ModAlt | tcell.ModCtrl | tcell.ModMeta
		if change := p.take(key, ev.Modifiers()&chords != 0); change != nil {
			p.change(change)
		}
	}
}
