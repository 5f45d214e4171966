package view_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session/view"
)

func TestTheRunGlowsBehindThePool(t *testing.T) {
	c := scoring.Coupon{PoolLength: 6 * weld.Millimetre}
	task := weld.Task{A: weld.Member{Metal: weld.CarbonSteel}, PartTemp: weld.Celsius(20)}
	last := -1
	for mm := 6.0; mm < view.GlowLength(task, c).MM(); mm++ {
		step, ok := view.Glow(task, c, weld.Length(mm)*weld.Millimetre)
		assert.True(t, ok, "%g mm", mm)
		assert.GreaterOrEqual(t, step, last, "colder further back: %g mm", mm)
		last = step
	}
	assert.Equal(t, len(view.GlowSteps)-1, last)
	_, ok := view.Glow(task, c, view.GlowLength(task, c)+weld.Millimetre)
	assert.False(t, ok)
	_, ok = view.Glow(task, scoring.Coupon{}, weld.Millimetre)
	assert.False(t, ok, "no pool")

	task.A.Metal = weld.Al5052
	_, ok = view.Glow(task, c, 6*weld.Millimetre)
	assert.False(t, ok, "aluminium melts before it glows")
	assert.Zero(t, view.GlowLength(task, c))
}
