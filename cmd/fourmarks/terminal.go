package main

import (
	"io"
	"strconv"

	"golang.org/x/term"
)

// terminalOf returns the terminal that a stream goes to, if it goes to one.
func terminalOf(w any) (descriptor int, ok bool) {
	file, ok := w.(interface{ Fd() uintptr })
	if !ok || !term.IsTerminal(int(file.Fd())) {
		return 0, false
	}
	return int(file.Fd()), true
}

// width is how many columns the results may take: those of the terminal, or of
// the variable COLUMNS, otherwise 80.
func (p *program) width() int {
	if fd, ok := terminalOf(p.Out); ok {
		if columns, _, err := term.GetSize(fd); err == nil && columns > 0 {
			return columns
		}
	}
	if columns, err := strconv.Atoi(p.env("COLUMNS")); err == nil && columns > 0 {
		return columns
	}
	return 80
}

// colour reports whether results may be coloured: on a terminal, unless NO_COLOR
// is set or the terminal is a plain one.
func (p *program) colour() bool {
	_, ok := terminalOf(p.Out)
	return ok && p.env("NO_COLOR") == "" && p.env("TERM") != "dumb"
}

// isTerminal reports whether a stream goes to a terminal.
func isTerminal(w io.Writer) bool {
	_, ok := terminalOf(w)
	return ok
}
