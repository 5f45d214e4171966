package arc

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"puddlewise/scoring/puddle"
)

func TestAPathCountsFromTheStrike(t *testing.T) {
	run := Run{Steps: 12, Inputs: []puddle.Input{
		{Step: 2, Do: puddle.Arc, Value: 1}, {Step: 5, Do: puddle.Dab}, {Step: 6, Do: puddle.Move, Value: 0.5},
		{Step: 8, Do: puddle.Move, Value: 1}, {Step: 8, Do: puddle.Dab}, {Step: 10, Do: puddle.Arc},
	}}
	p := run.path()
	assert.Equal(t, Path{At: []float64{0, 0, 0, 0, 0.5e-3, 0.5e-3, 1.5e-3, 1.5e-3, 1.5e-3, 1.5e-3}, Dabs: []int{3, 6}}, p)
	for _, c := range []struct {
		step       int
		at         float64
		gone, over bool
	}{{-1, 0, false, false}, {3, 0, false, false}, {4, 0.5e-3, true, false}, {6, 1.5e-3, true, true}, {99, 1.5e-3, true, true}} {
		at, gone, over := p.Place(c.step)
		assert.Equal(t, c, struct {
			step       int
			at         float64
			gone, over bool
		}{c.step, at, gone, over})
	}
	for step, want := range []bool{false, false, false, true, true, false, true, true, false} {
		assert.Equal(t, want, p.Dabbed(step, 2), step)
	}
	assert.Equal(t, Path{}, Run{Steps: 3}.path(), "never struck")
	_, gone, over := Path{}.Place(1)
	assert.False(t, gone)
	assert.True(t, over)
}
