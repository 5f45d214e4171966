//go:build race

package tui

// Raced is true under the race detector, where a screen takes ten times as long to draw.
const Raced = true
