package tui_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/trainer/tui"
	"puddlewise/trainer/tui/tuitest"
)

func TestACouponIsLookedAtAndSaid(t *testing.T) {
	l := tuitest.Sit(t, 80, 24, nil)
	l.Sees("questions").Press("a").Sees("What shall it be about?", "what is wrong with it")
	l.Press("enter").Sees("What is wrong with this coupon?", "> 1", "face").SeesNot("REJECT", "Which setting did it?")
	l.Press("9", "3").Sees("> 3").Press("1", "up").Sees("> 1")
	l.Press("c").Sees("heat input", "pool").SeesNot("worst").Press("end", "right", "s").Sees("root fused").Press("s", "esc").Sees("What is wrong with this coupon?")
	l.Press("enter").Sees("Which setting did it?").Press("esc").Sees("What is wrong with this coupon?", "> 1")
	l.Press("enter", "enter").Sees("Where along the seam?").Press("enter").Sees("ight", "done", "found", "n next question")
	require.Len(t, l.Record.Asked, 1)
	a := l.Record.Asked[0]
	assert.Equal(t, []string{"1", "1", "1"}, a.Replies)
	assert.Equal(t, "apprentice", a.Learner)
	assert.Empty(t, l.Record.Attempts, "a question is no coupon")
	before := l.Screen()
	l.Press("n").Sees("What is wrong with this coupon?")
	assert.NotEqual(t, before, l.Screen())
	l.Press("esc").Sees("What shall it be about?").Press("esc").Sees("a new joint")
	assert.Len(t, l.Record.Asked, 1)
}

func TestQuestionsOfOneJoint(t *testing.T) {
	l := tuitest.Sit(t, 80, 24, nil)
	l.Press("n", "end", "a").Sees("look at a coupon of T-01").Press("enter").Sees("What is wrong").Press("esc", "esc").Sees("choose a joint")
}

func TestScreensOfQuestions(t *testing.T) {
	for _, size := range sizes {
		if size.name == "200x60" || tui.Raced && size.name != "80x24" {
			continue
		}
		t.Run(size.name, func(t *testing.T) {
			l := tuitest.Sit(t, size.w, size.h, func(o *tui.Options) {
				if size.change != nil {
					size.change(o)
				}
			})
			name := func(s string) string { return s + "-" + size.name }
			l.Press("a").Golden(name("question-kinds"))
			l.Press("enter").Golden(name("question-spot"))
			l.Press("c").Golden(name("question-closer")).Press("esc")
			l.Press("enter", "down", "enter", "enter").Golden(name("question-spot-told"))
			l.Press("esc", "down", "enter").Golden(name("question-which"))
			l.Press("tab", "enter")
			for l.Sees("coupon"); strings.Contains(l.Screen(), "Which settings made"); {
				l.Press("enter")
			}
			l.Golden(name("question-which-told"))
			l.Press("esc", "down", "enter").Golden(name("question-one"))
			l.Press("enter").Type("n0").Press("enter").Golden(name("question-one-wrong"))
			l.Press("ctrl-u").Type("55").Press("enter").Golden(name("question-one-told"))
			l.Press("esc", "down", "enter").Golden(name("question-limit"))
			l.Type("2").Press("enter").Golden(name("question-limit-told"))
			l.Press("esc", "down", "enter").Golden(name("question-order"))
			l.Type("123456").Press("enter").Golden(name("question-order-told"))
			l.Press("esc", "down", "enter").Golden(name("question-paper"))
			l.Press("enter", "enter").Golden(name("question-paper-told"))
		})
	}
}
