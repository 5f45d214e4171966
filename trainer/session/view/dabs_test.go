package view_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"puddlewise/scoring"
	"puddlewise/trainer/session/view"
)

func TestDabTableFoldsWhatIsAlike(t *testing.T) {
	calm := func(ready int) scoring.DabTime { return scoring.DabTime{Ready: ready, Late: -1} }
	times := []scoring.DabTime{
		calm(10), calm(45), calm(70), // in no hurry, met after the pool was ready
		{Ready: 90, Late: 100, Sign: "keyhole"},
		calm(200), calm(200), // two are told one by one
		calm(-1), calm(-1), calm(-1),
		calm(300), calm(300), calm(300), // before it is
		calm(400),
	}
	dabs := []int{10, 50, 75, 110, 150, 160, 170, 180, 190, 250, 275, 280, -1}
	assert.Equal(t, [][2]string{
		{"0.4 s", "to 3.0 s, 3 dabs: no hurry to dab, nothing opens within 5 s; yours came 0.0 to 0.2 s after the pool was ready"},
		{"4.4 s", "here you had 0.4 s to dab: the pool is ready at 3.6 s, at 4.0 s a keyhole opens; yours came 0.4 s too late"},
		{"6.0 s", "no hurry to dab: the pool is ready at 8.0 s, and nothing opens within 5 s; yours came 2.0 s before that"},
		{"6.4 s", "no hurry to dab: the pool is ready at 8.0 s, and nothing opens within 5 s; yours came 1.6 s before that"},
		{"6.8 s", "to 7.6 s, 3 dabs: the pool is not ready for the rod within 5 s of the dab before"},
		{"10.0 s", "to 11.2 s, 3 dabs: no hurry to dab, nothing opens within 5 s; yours came 0.8 to 2.0 s before the pool is ready"},
		{"no more", "no hurry to dab: the pool is ready at 16.0 s, and nothing opens within 5 s; no dab came"},
	}, view.DabTable(times, dabs))
}
