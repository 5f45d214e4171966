// Package weld holds the words of the trade: joints, positions, metals,
// fillers, tungstens, gases and cups, the joint a learner is given (Task), what
// the learner decides (Answer), and quantities that know their units.
//
// It computes nothing about welding. Names follow AWS A3.0, ISO 17659, ISO 6947,
// ISO 14175, ISO 6848 and AWS A5.x.
package weld
