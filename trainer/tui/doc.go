// Package tui is the full-screen trainer, the only user of tview and tcell.
//
// Each screen is two files: name_model.go says what is shown, in lines and
// numbers, and knows no terminal; name.go puts it on the screen and takes keys.
// What a key does on a screen, what the footer says and what the help screen
// lists all come from the one table in keys.go.
//
// Pictures are primitives of their own (section.go, seam.go) and can be drawn
// and tested without an application.
package tui
