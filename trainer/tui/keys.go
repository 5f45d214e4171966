package tui

import (
	"fmt"
	"strings"

	"github.com/gdamore/tcell/v2"
)

// screenName names a screen in the key table.
type screenName string

const (
	onCautions    screenName = "cautions"
	onStart       screenName = "start"
	onChoose      screenName = "choose a joint"
	onRecord      screenName = "the record"
	onSettings    screenName = "settings"
	onFilter      screenName = "filter"
	onBench       screenName = "the joint"
	onWeld        screenName = "the weld"
	onCoupon      screenName = "the coupon"
	onCompare     screenName = "two coupons"
	onGuess       screenName = "what went wrong?"
	onVerdict     screenName = "the verdict"
	onQuestion    screenName = "look at a coupon"
	onCloser      screenName = "a closer look"
	onArc         screenName = "the arc"
	onArcKeys     screenName = "the arc's keys"
	onDebrief     screenName = "the run"
	onRuns        screenName = "two runs"
	onTalk        screenName = "the debrief"
	onShow        screenName = "before a class"
	onShowGuess   screenName = "what went wrong, by hands"
	onShowVerdict screenName = "the verdict before a class"
	onShowEnd     screenName = "the end of a drill"
	onTalkList    screenName = "the drill's joints"
	onDrill       screenName = "a drill"
	onClass       screenName = "the class"
	onBetween     screenName = "between joints"
	onLeaving     screenName = "leaving a joint"
	onOver        screenName = "the drill's end"
	onHelp        screenName = "keys"
	onAsk         screenName = "question"
)

// action is what a key does.
type action uint8

const (
	actNone action = iota
	actUp
	actDown
	actPageUp
	actPageDown
	actFirst
	actLast
	actLeft
	actRight
	actFarLeft
	actFarRight
	actWorst
	actNextDab
	actChanged
	actOpen   // go on, or take what is marked
	actSearch // begin to type a search
	actFilter
	actVary
	actClear
	actNext
	actPrev
	actWeld
	actHint
	actAll
	actAgain
	actOther
	actResume
	actPropose
	actDue
	actRecord
	actSettings
	actSkills
	actCoupons
	actAdvice
	actSources
	actWindow
	actFindings
	actPictures
	actAxes
	actSigns
	actCompare
	actNumbers
	actCautions
	actVerdict
	actSkip
	actQuestion
	actLive
	actStrike
	actPutOut
	actAhead
	actDab
	actHotter
	actColder
	actLonger
	actShorter
	actRodOut
	actRodIn
	actAimA
	actAimB
	actSlower
	actFollow
	actHappens
	actArcKeys
	actGiven
	actTake
	actNames
	actSections
	actList
	actClockStop
	actClockGo
	actJointBefore
	actJointAfter
	actGoOn
	actLeave
	actNo
	actBack
	actHelp
	actQuit
	actQuitNow
)

// stroke is a key: a named one, or a character.
type stroke struct {
	key tcell.Key
	r   rune
}

func named(k tcell.Key) stroke { return stroke{key: k} }
func char(r rune) stroke       { return stroke{key: tcell.KeyRune, r: r} }

func (s stroke) is(ev *tcell.EventKey) bool {
	return ev.Key() == s.key && (s.key != tcell.KeyRune || ev.Rune() == s.r) && ev.Modifiers()&tcell.ModAlt == 0
}

// command is a row of the key table.
type command struct {
	act  action
	keys []stroke
	name string // how the keys are written; empty: the next row speaks for both
	does string // in the footer; empty: only on the help screen
	help string // on the help screen
	also string // behind it: the row's other keys
	// typing keeps the row's characters working while the learner types.
	typing bool
	spare  bool   // leaves the footer before the others do
	deed   string // of arcDeeds: the learner may give it another key
}

// keyMap is a key table.
type keyMap map[screenName][]command

// words is what the help screen says.
func (c command) words() string {
	if c.also == "" {
		return c.help
	}
	return c.help + ", also " + c.also
}

var (
	rowUp       = command{act: actUp, keys: []stroke{named(tcell.KeyUp), char('k')}}
	rowDown     = command{act: actDown, keys: []stroke{named(tcell.KeyDown), char('j')}, name: "up/down", does: "move", help: "one line up or down, also k and j"}
	rowRead     = command{act: actDown, keys: []stroke{named(tcell.KeyDown), char('j')}, name: "up/down", does: "read", help: "one line up or down, also k and j"}
	rowPageUp   = command{act: actPageUp, keys: []stroke{named(tcell.KeyPgUp), named(tcell.KeyCtrlB)}}
	rowPageDown = command{act: actPageDown, keys: []stroke{named(tcell.KeyPgDn), named(tcell.KeyCtrlF)}, name: "pgup/pgdn", help: "a page up or down, also ctrl-b and ctrl-f"}
	rowFirst    = command{act: actFirst, keys: []stroke{named(tcell.KeyHome), char('g')}}
	rowLast     = command{act: actLast, keys: []stroke{named(tcell.KeyEnd), char('G')}, name: "home/end", help: "to the first or the last line, also g and G"}
	rowBack     = command{act: actBack, keys: []stroke{named(tcell.KeyEsc)}, name: "esc", does: "back", help: "one step back; nothing typed is lost"}
	rowLeave    = command{act: actLeave, keys: []stroke{named(tcell.KeyEsc)}, name: "esc", does: "leave", help: "in a drill: leave the joint, or the drill; it asks first"}
	rowGoOn     = command{act: actGoOn, keys: []stroke{named(tcell.KeyEnter)}, name: "enter", does: "go on", help: "in a drill: on to the next joint"}
	rowHelp     = command{act: actHelp, keys: []stroke{char('?'), named(tcell.KeyF1)}, name: "?", does: "keys", help: "this list, also f1"}
	rowQuitNow  = command{act: actQuitNow, keys: []stroke{named(tcell.KeyCtrlC)}, name: "ctrl-c", help: "leave at once, from anywhere", typing: true}
)

// keyTable says which keys do what on which screen. Footer, help screen and the
// dispatch of keys all read it, in this order.
var keyTable = keyMap{
	onCautions: {
		{act: actOpen, keys: []stroke{named(tcell.KeyEnter)}, name: "enter", does: "I have read this", help: "go on to the joints"},
		rowUp, rowRead, rowPageUp, rowPageDown, rowFirst, rowLast, rowBack, rowHelp, rowQuitNow,
	},
	onStart: {
		{act: actOpen, keys: []stroke{named(tcell.KeyEnter), named(tcell.KeyRight), char('l')}, name: "enter", does: "do it", help: "do what is marked, also right and l"},
		rowUp, rowDown, rowFirst, rowLast,
		{act: actOther, keys: []stroke{char('n')}, name: "n", help: "a new joint: choose it from the bank"},
		{act: actRecord, keys: []stroke{char('r')}, name: "r", help: "the record: the coupons welded so far, and what you have practised"},
		{act: actQuestion, keys: []stroke{char('a')}, name: "a", help: "questions: look at a coupon and say what is wrong"},
		{act: actSettings, keys: []stroke{char('s')}, name: "s", help: "settings: units, theme, glyphs, motion, mouse, name"},
		{act: actCautions, keys: []stroke{char('c')}, name: "c", does: "cautions", help: "read the cautions again"},
		{act: actQuit, keys: []stroke{char('q')}, name: "q", does: "quit", help: "leave the trainer; what you have typed is kept"},
		rowHelp, rowQuitNow,
	},
	onChoose: {
		{act: actOpen, keys: []stroke{named(tcell.KeyEnter)}, name: "enter", does: "open", help: "open the joint"},
		rowUp, rowDown, rowPageUp, rowPageDown, rowFirst, rowLast,
		{act: actSearch, keys: []stroke{char('/')}, name: "/", does: "search", help: "type words that must all stand in a joint's line"},
		{act: actFilter, keys: []stroke{char('f')}, name: "f", does: "filter", help: "by metal, joint, position, wall, level and skill"},
		{act: actVary, keys: []stroke{char('v')}, name: "v", does: "vary", help: "the same job with other numbers, new to you; drawn so that it can be welded and takes thought"},
		{act: actClear, keys: []stroke{named(tcell.KeyEsc)}, name: "esc", does: "all joints", help: "end search and filter and show all joints"},
		{act: actCautions, keys: []stroke{char('c')}, name: "c", help: "read the cautions again"},
		rowBack,
		{act: actQuit, keys: []stroke{char('q')}, name: "q", does: "quit", help: "leave the trainer; what you have typed is kept"},
		{act: actQuestion, keys: []stroke{char('a')}, name: "a", does: "ask", help: "questions: look at a coupon of the marked joint and say what is wrong"},
		rowHelp, rowQuitNow,
	},
	onRecord: {
		{act: actOpen, keys: []stroke{named(tcell.KeyEnter)}, name: "enter", does: "look at it", help: "the coupon and its verdict again, as they were"},
		rowUp, rowDown, rowPageUp, rowPageDown, rowFirst, rowLast,
		{act: actCoupons, keys: []stroke{named(tcell.KeyTab), named(tcell.KeyBacktab)}, name: "tab", does: "coupons"},
		{act: actSkills, keys: []stroke{named(tcell.KeyTab), named(tcell.KeyBacktab)}, name: "tab", does: "skills", help: "turn from the coupons to the skills and back; wide screens show both"},
		rowBack, rowHelp, rowQuitNow,
	},
	onSettings: {
		{act: actUp, keys: []stroke{named(tcell.KeyUp), char('k'), named(tcell.KeyBacktab)}},
		{act: actDown, keys: []stroke{named(tcell.KeyDown), char('j'), named(tcell.KeyTab)}, name: "up/down", does: "move", help: "the setting above or below, also k and j, tab and shift-tab"},
		{act: actLeft, keys: []stroke{named(tcell.KeyLeft), char('h')}},
		{act: actRight, keys: []stroke{named(tcell.KeyRight), char('l'), char(' ')}, name: "left/right", does: "change", help: "the value before or after, also h and l; it holds at once and at the next start"},
		{act: actOpen, keys: []stroke{named(tcell.KeyEnter)}, name: "enter", does: "next", spare: true, help: "on to the next setting"},
		{act: actArcKeys, keys: []stroke{named(tcell.KeyF2)}, name: "f2", does: "arc's keys", help: "the live arc's keys, one by one"},
		rowBack, rowHelp, rowQuitNow,
	},
	onFilter: {
		{act: actOpen, keys: []stroke{named(tcell.KeyEnter)}, name: "enter", does: "show", help: "back to the list with what is left"},
		rowUp, rowDown,
		{act: actLeft, keys: []stroke{named(tcell.KeyLeft), char('h')}},
		{act: actRight, keys: []stroke{named(tcell.KeyRight), char('l')}, name: "left/right", does: "change", help: "the value before or after, also h and l"},
		{act: actClear, keys: []stroke{char('a'), named(tcell.KeyDelete), named(tcell.KeyBackspace), named(tcell.KeyBackspace2)}, name: "a", does: "any", help: "any value here, also delete and backspace"},
		{act: actAll, keys: []stroke{char('A')}, name: "A", does: "all any", help: "take the whole filter away"},
		{act: actBack, keys: []stroke{named(tcell.KeyEsc)}, name: "esc", help: "back to the list; what is set stays set"},
		rowHelp, rowQuitNow,
	},
	onBench: {
		{act: actWeld, keys: []stroke{named(tcell.KeyEnter)}, name: "enter", does: "weld", help: "weld, once every field holds a value", typing: true},
		{act: actOpen, keys: []stroke{named(tcell.KeyEnter)}, name: "enter", does: "next", help: "on to the next field that is still to decide", typing: true},
		{act: actPrev, keys: []stroke{named(tcell.KeyUp), named(tcell.KeyBacktab)}},
		{act: actNext, keys: []stroke{named(tcell.KeyDown), named(tcell.KeyTab)}, name: "up/down", does: "field", spare: true, help: "the field before or after, also tab and shift-tab", typing: true},
		{act: actLeft, keys: []stroke{named(tcell.KeyLeft)}},
		{act: actRight, keys: []stroke{named(tcell.KeyRight)}, name: "left/right", does: "change", help: "step through what a field offers, where it offers words", typing: true},
		{act: actHint, keys: []stroke{char('?')}, name: "?", does: "hint", help: "a hint for this field; again: what to look at; again: a worked choice", typing: true},
		rowLeave,
		rowBack,
		{act: actLive, keys: []stroke{named(tcell.KeyF2)}, name: "f2", does: "live arc", help: "weld it by hand, live, with what is set", typing: true},
		rowPageUp,
		{act: actPageDown, keys: []stroke{named(tcell.KeyPgDn), named(tcell.KeyCtrlF)}, name: "pgdn", does: "more", spare: true, help: "read on in the joint sheet; pgup goes back, also ctrl-f and ctrl-b"},
		{act: actHelp, keys: []stroke{named(tcell.KeyF1)}, name: "f1", does: "keys", help: "this list"},
		rowQuitNow,
	},
	onWeld: {
		{act: actBack, keys: []stroke{named(tcell.KeyEsc)}, name: "esc", does: "stop", help: "stop the weld and go back to the answers"},
		{act: actSkip, keys: nil, name: "any key", does: "to the coupon", help: "leave the replay for the finished coupon"},
		rowQuitNow,
	},
	onArc: {
		{act: actStrike, deed: "strike", keys: []stroke{named(tcell.KeyEnter)}, name: "enter", does: "strike", help: "strike the arc"},
		{act: actPutOut, deed: "strike", keys: []stroke{named(tcell.KeyEnter)}, name: "enter", does: "arc out", help: "let the arc go out: the run is over and is judged"},
		{act: actAhead, deed: "ahead", keys: []stroke{named(tcell.KeyRight), char('l')}, name: "right", does: "ahead", help: "half a millimetre ahead; how often you tap is your travel", also: "l"},
		{act: actDab, deed: "dab", keys: []stroke{char(' '), char('d')}, name: "space", does: "dab", help: "dab the rod into the pool once", also: "d"},
		{act: actHotter, deed: "hotter", keys: []stroke{named(tcell.KeyUp), char('k')}},
		{act: actColder, deed: "colder", keys: []stroke{named(tcell.KeyDown), char('j')}, name: "up/down", does: "pedal", help: "two amps more or less", also: "k and j"},
		{act: actSlower, deed: "speed", keys: []stroke{char('s')}, name: "s", does: "speed", spare: true, help: "practise at half and a quarter of real speed; it is said with the verdict"},
		{act: actNumbers, deed: "numbers", keys: []stroke{char('n')}, name: "n", does: "numbers", spare: true, help: "show the numbers a welder does not have, or hide them"},
		{act: actFollow, deed: "follow", keys: []stroke{char('g')}, name: "g", does: "good hand", spare: true, help: "where a good hand's torch would be by now, struck with yours, and when it dabs; again: with a soft bell at its dabs; again: off"},
		{act: actLonger, deed: "longer", keys: []stroke{char('+'), char('=')}},
		{act: actShorter, deed: "shorter", keys: []stroke{char('-')}, name: "+/-", help: "a quarter of a millimetre more or less of arc"},
		{act: actRodOut, deed: "rod-out", keys: []stroke{char('o')}},
		{act: actRodIn, deed: "rod-in", keys: []stroke{char('i')}, name: "o/i", help: "draw the rod two millimetres further out of the gas, or in again"},
		{act: actAimA, deed: "aim-a", keys: []stroke{char('a')}},
		{act: actAimB, deed: "aim-b", keys: []stroke{char('b')}, name: "a/b", help: "aim a quarter of a millimetre towards member A or B; a fillet alone feels it"},
		{name: "mouse", help: "not needed; where the settings have it on, a click dabs and the wheel is the pedal"},
		{act: actArcKeys, keys: []stroke{named(tcell.KeyF2)}, name: "f2", does: "own keys", help: "give these deeds other keys, or a set for one hand; before the arc is struck"},
		{act: actHappens, keys: []stroke{named(tcell.KeyF3)}, name: "f3", does: "things happen", spare: true, help: "let things happen meanwhile, or not: what the joint's file says may, drawn anew each time and told by its signs alone; before the arc is struck"},
		{act: actBack, keys: []stroke{named(tcell.KeyEsc)}, name: "esc", does: "stop", help: "back to the joint; with the arc lit it goes out, and what is welded is judged as it stands"},
		rowHelp, rowQuitNow,
	},
	onArcKeys: {
		{act: actTake, name: "any key", does: "is its key", help: "once a deed is chosen: the key it shall have; one that has a deed is refused"},
		{act: actOpen, keys: []stroke{named(tcell.KeyEnter)}, name: "enter", does: "change", help: "give the marked deed another key: press it; esc leaves it"},
		{act: actUp, keys: []stroke{named(tcell.KeyUp), char('k')}},
		{act: actDown, keys: []stroke{named(tcell.KeyDown), char('j')}, name: "up/down", does: "move", help: "the deed above or below, also k and j"},
		{act: actLeft, keys: []stroke{named(tcell.KeyLeft), char('h')}},
		{act: actRight, keys: []stroke{named(tcell.KeyRight), char('l')}, name: "left/right", does: "set", help: "the keys as given, a set for the left or the right hand, or your own; also h and l"},
		{act: actGiven, keys: []stroke{char('g')}, name: "g", does: "given", help: "back to the keys as given; your own are found again with left and right"},
		rowBack, rowHelp, rowQuitNow,
	},
	onDebrief: {
		{act: actLeft, keys: []stroke{named(tcell.KeyLeft), char('h')}},
		{act: actRight, keys: []stroke{named(tcell.KeyRight), char('l')}, name: "left/right", does: "move", help: "a moment of the run back or on, also h and l"},
		{act: actFarLeft, keys: []stroke{named(tcell.KeyPgUp), char('H')}},
		{act: actFarRight, keys: []stroke{named(tcell.KeyPgDn), char('L')}, name: "pgup/pgdn", help: "a tenth of the run at a time, also H and L"},
		{act: actWorst, keys: []stroke{char('x')}, name: "x", does: "next finding", help: "to the moment at which the next finding begins"},
		{act: actNextDab, keys: []stroke{char('d')}, name: "d", does: "next dab", help: "to the next dab, and how long there was for the one after it: a bar among the dabs, x where it is too late"},
		{act: actFirst, keys: []stroke{named(tcell.KeyHome), char('g')}},
		{act: actLast, keys: []stroke{named(tcell.KeyEnd), char('G')}, name: "home/end", help: "to the start or the end of the run, also g and G"},
		{act: actAgain, keys: []stroke{char('w'), named(tcell.KeyEnter)}, name: "w", does: "weld again", help: "take the torch up again, with the same settings, also enter"},
		rowGoOn,
		{act: actChanged, keys: []stroke{char('v')}, name: "v", does: "as changed", help: "beside itself with the smallest change made"},
		{act: actCompare, keys: []stroke{char('c')}, name: "c", does: "compare", help: "beside the run of this joint before it, of this day or another"},
		{act: actPictures, keys: []stroke{named(tcell.KeyEsc)}, name: "esc", does: "coupon", help: "back to the coupon: face, back and section"},
		rowBack, rowHelp, rowQuitNow,
	},
	onRuns: {
		{act: actLeft, keys: []stroke{named(tcell.KeyLeft), char('h')}},
		{act: actRight, keys: []stroke{named(tcell.KeyRight), char('l')}, name: "left/right", does: "move", help: "a moment of both runs back or on, also h and l"},
		{act: actFarLeft, keys: []stroke{named(tcell.KeyPgUp), char('H')}},
		{act: actFarRight, keys: []stroke{named(tcell.KeyPgDn), char('L')}, name: "pgup/pgdn", help: "a tenth of the longer run at a time, also H and L"},
		{act: actFirst, keys: []stroke{named(tcell.KeyHome), char('g')}},
		{act: actLast, keys: []stroke{named(tcell.KeyEnd), char('G')}, name: "home/end", help: "to the start or the end, also g and G"},
		{act: actWorst, keys: []stroke{char('x')}, name: "x", does: "next finding", help: "to the moment at which the next finding of either run begins"},
		rowBack, rowHelp, rowQuitNow,
	},
	onCoupon: {
		{act: actOpen, keys: []stroke{named(tcell.KeyEnter)}, name: "enter", does: "what went wrong?", help: "say what went wrong, then see the verdict"},
		{act: actVerdict, keys: []stroke{named(tcell.KeyEnter)}, name: "enter", does: "verdict", help: "back to the verdict, once you have said what went wrong"},
		{act: actLeft, keys: []stroke{named(tcell.KeyLeft), char('h')}},
		{act: actRight, keys: []stroke{named(tcell.KeyRight), char('l')}, name: "left/right", does: "move", help: "move along the seam, also h and l"},
		{act: actFarLeft, keys: []stroke{named(tcell.KeyPgUp), char('H')}},
		{act: actFarRight, keys: []stroke{named(tcell.KeyPgDn), char('L')}, name: "pgup/pgdn", help: "a tenth of the seam at a time, also H and L"},
		{act: actFirst, keys: []stroke{named(tcell.KeyHome), char('g')}},
		{act: actLast, keys: []stroke{named(tcell.KeyEnd), char('G')}, name: "home/end", help: "to the start or the end of the seam, also g and G"},
		{act: actNumbers, keys: []stroke{char('s')}, name: "s", does: "numbers"},
		{act: actSigns, keys: []stroke{char('s')}, name: "s", does: "signs", help: "what was to be seen while it ran and after, or the numbers where you look"},
		{act: actCompare, keys: []stroke{char('c')}, name: "c", does: "compare", help: "beside the coupon of this joint before it, of this day or another"},
		{act: actWorst, keys: []stroke{char('x')}, name: "x", does: "worst place", help: "to where the coupon looks worst"},
		{act: actAgain, keys: []stroke{char('w')}, name: "w", does: "weld again", help: "back to the answers, which are kept"},
		rowBack, rowHelp, rowQuitNow,
	},
	onCompare: {
		{act: actLeft, keys: []stroke{named(tcell.KeyLeft), char('h')}},
		{act: actRight, keys: []stroke{named(tcell.KeyRight), char('l')}, name: "left/right", does: "move", help: "move along both seams, also h and l"},
		{act: actFarLeft, keys: []stroke{named(tcell.KeyPgUp), char('H')}},
		{act: actFarRight, keys: []stroke{named(tcell.KeyPgDn), char('L')}, name: "pgup/pgdn", help: "a tenth of the seam at a time, also H and L"},
		{act: actFirst, keys: []stroke{named(tcell.KeyHome), char('g')}},
		{act: actLast, keys: []stroke{named(tcell.KeyEnd), char('G')}, name: "home/end", help: "to the start or the end of the seam, also g and G"},
		{act: actWorst, keys: []stroke{char('x')}, name: "x", does: "worst place", help: "to where the later coupon looks worst"},
		{act: actBack, keys: []stroke{named(tcell.KeyEsc), named(tcell.KeyEnter), char('c')}, name: "esc", does: "coupon", help: "back to the coupon, also enter and c"},
		rowHelp, rowQuitNow,
	},
	onGuess: {
		{act: actOpen, keys: []stroke{named(tcell.KeyEnter)}, name: "enter", does: "say so", help: "take the marked line as your answer; a number marks its line"},
		rowUp, rowDown, rowBack, rowHelp, rowQuitNow,
	},
	onQuestion: {
		{act: actOpen, keys: []stroke{named(tcell.KeyEnter)}, name: "enter", does: "say so", help: "take the marked line; a number marks its line", typing: true},
		{act: actOther, keys: []stroke{char('n')}, name: "n", does: "next question", help: "another question of this kind"},
		rowGoOn,
		rowUp, rowDown,
		{act: actCompare, keys: []stroke{named(tcell.KeyTab)}, name: "tab", does: "other", help: "the next of the coupons"},
		{act: actWorst, keys: []stroke{char('c')}, name: "c", does: "closer", help: "look along the coupon: face, back, section and numbers"},
		rowLeave,
		{act: actBack, keys: []stroke{named(tcell.KeyEsc)}, name: "esc", does: "back", help: "take the last answer back, leave the question, or stop the weld"},
		rowHelp, rowQuitNow,
	},
	onCloser: {
		{act: actLeft, keys: []stroke{named(tcell.KeyLeft), char('h')}},
		{act: actRight, keys: []stroke{named(tcell.KeyRight), char('l')}, name: "left/right", does: "move", help: "move along the seam, also h and l"},
		{act: actFarLeft, keys: []stroke{named(tcell.KeyPgUp), char('H')}},
		{act: actFarRight, keys: []stroke{named(tcell.KeyPgDn), char('L')}, name: "pgup/pgdn", help: "a tenth of the seam at a time, also H and L"},
		{act: actFirst, keys: []stroke{named(tcell.KeyHome), char('g')}},
		{act: actLast, keys: []stroke{named(tcell.KeyEnd), char('G')}, name: "home/end", help: "to the start or the end of the seam, also g and G"},
		{act: actNumbers, keys: []stroke{char('s')}, name: "s", does: "numbers"},
		{act: actSigns, keys: []stroke{char('s')}, name: "s", does: "signs", help: "what is to be seen, or the numbers where you look"},
		{act: actBack, keys: []stroke{named(tcell.KeyEsc), named(tcell.KeyEnter), char('c')}, name: "esc", does: "question", help: "back to the question, also enter and c"},
		rowHelp, rowQuitNow,
	},
	onVerdict: {
		{act: actAgain, keys: []stroke{char('w'), named(tcell.KeyEnter)}, name: "w", does: "weld again", help: "weld this joint again with your answers kept, also enter"},
		{act: actOther, keys: []stroke{char('n')}, name: "n", does: "other joint", help: "choose another joint"},
		rowGoOn,
		{act: actWindow, keys: []stroke{named(tcell.KeyTab)}, name: "tab", does: "window", help: "the settings window, where two settings hold, and back"},
		{act: actFindings, keys: []stroke{named(tcell.KeyTab), named(tcell.KeyEsc)}, name: "tab", does: "findings"},
		{act: actPictures, keys: []stroke{named(tcell.KeyTab)}, name: "tab", does: "coupon"},
		{act: actAxes, keys: []stroke{char('a')}, name: "a", does: "other settings", help: "two other settings in the window"},
		{act: actAll, keys: []stroke{char('m')}, name: "m", does: "all", help: "tell every finding, or only the first again"},
		{act: actAdvice, keys: []stroke{char('t')}, name: "t", does: "advice", help: "what a good hand would try; counts as a hint"},
		{act: actSources, keys: []stroke{char('s')}, name: "s", does: "sources", help: "where each finding comes from: a standard, a handbook, the model or common practice"},
		rowUp, rowRead, rowPageUp, rowPageDown, rowFirst, rowLast,
		{act: actBack, keys: []stroke{named(tcell.KeyEsc)}, name: "esc", does: "coupon", help: "back to the coupon"},
		rowHelp, rowQuitNow,
	},
	onShow:        showKeys,
	onShowGuess:   showGuessKeys,
	onShowVerdict: showVerdictKeys,
	onShowEnd:     showEndKeys,
	onTalk:        talkKeys,
	onTalkList:    talkListKeys,
	onDrill:       drillKeys,
	onClass:       classKeys,
	onBetween:     betweenKeys,
	onLeaving:     leavingKeys,
	onOver:        overKeys,
	onHelp: {
		{act: actBack, keys: []stroke{named(tcell.KeyEsc), named(tcell.KeyEnter), char('?'), named(tcell.KeyF1), char('q')}, name: "esc", does: "close", help: "close this list"},
		rowUp, rowRead, rowPageUp, rowPageDown, rowFirst, rowLast, rowQuitNow,
	},
	onAsk: {
		{act: actOpen, keys: []stroke{char('y'), named(tcell.KeyEnter)}, name: "y", does: "yes", help: "yes, also enter"},
		{act: actNo, keys: []stroke{char('n'), named(tcell.KeyEsc)}, name: "n", does: "no", help: "no, also esc"},
		rowQuitNow,
	},
}

// screenOrder is the order of the screens in the key list of the README.
var screenOrder = []screenName{onCautions, onStart, onRecord, onSettings, onChoose, onFilter, onBench, onArc, onArcKeys, onDebrief, onRuns, onWeld, onCoupon, onCompare, onGuess, onVerdict, onQuestion, onCloser, onShow, onShowGuess, onShowVerdict, onShowEnd, onTalk, onTalkList, onDrill, onClass, onBetween, onLeaving, onOver, onHelp, onAsk}

// find gives what a key does on a screen: the first row that has it and is possible now.
func (k keyMap) find(name screenName, ev *tcell.EventKey, typing bool, can func(action) bool) action {
	for _, cmd := range k[name] {
		for _, s := range cmd.keys {
			if s.is(ev) && (s.key != tcell.KeyRune || !typing || cmd.typing) && can(cmd.act) {
				return cmd.act
			}
		}
	}
	return actNone
}

// shown is what can be done now, as much of it as fits; the help key, where
// there is one, always fits.
func (k keyMap) shown(name screenName, w int, can func(action) bool) []command {
	var all []command
	for _, cmd := range k[name] {
		if cmd.does != "" && can(cmd.act) {
			all = append(all, cmd)
		}
	}
	size := func(cs []command) (n int) {
		for _, cmd := range cs {
			n += width(cmd.name) + 1 + width(cmd.does) + 3
		}
		return n - 3
	}
	for size(all) > w && len(all) > 1 {
		drop := len(all) - 1
		if all[drop].act == actHelp {
			drop--
		}
		for i, cmd := range all {
			if cmd.spare {
				drop = i
			}
		}
		all = append(all[:drop:drop], all[drop+1:]...)
	}
	return all
}

// footer says what can be done now.
func (k keyMap) footer(name screenName, w int, can func(action) bool) line {
	var out line
	for i, cmd := range k.shown(name, w, can) {
		if i > 0 {
			out = append(out, span{"   ", inkPlain})
		}
		out = append(out, span{cmd.name, inkFocus}, span{" " + cmd.does, inkFaint})
	}
	return out
}

// clicked gives what stands at a cell of the footer.
func (k keyMap) clicked(name screenName, w, x int, can func(action) bool) action {
	for _, cmd := range k.shown(name, w, can) {
		long := width(cmd.name) + 1 + width(cmd.does)
		if x >= 0 && x < long {
			return cmd.act
		}
		x -= long + 3
	}
	return actNone
}

// help lists the keys of a screen.
func (k keyMap) help(name screenName, w int) []line {
	out := []line{{{"Keys on this screen: " + string(name), inkStrong}}, nil}
	for _, cmd := range k[name] {
		if cmd.name != "" && cmd.help != "" {
			out = append(out, labelled(cmd.name, cmd.words(), 14, w, inkPlain)...)
		}
	}
	return out
}

// KeyTable gives the keys of all screens as a Markdown table, for the README.
func KeyTable() string {
	var b strings.Builder
	b.WriteString("| screen | key | what it does |\n|---|---|---|\n")
	for _, name := range screenOrder {
		for _, cmd := range keyTable[name] {
			if cmd.name != "" && cmd.help != "" && cmd.act != actQuitNow {
				fmt.Fprintf(&b, "| %s | %s | %s |\n", name, cmd.name, cmd.words())
			}
		}
	}
	b.WriteString("| everywhere | ctrl-c | leave at once |\n")
	return b.String()
}
