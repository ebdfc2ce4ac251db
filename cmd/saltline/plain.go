package main

import (
	"fmt"
	"io"
	"strings"
)

// A plainWriter hands text on with its control characters spelled out, as \u001b:
// what stands in a cell, in the name of a sheet or of a file must not move the
// cursor of a terminal, colour it or turn the reading round. It is JSON still.
type plainWriter struct{ to io.Writer }

func (w plainWriter) Write(b []byte) (int, error) {
	if _, err := io.WriteString(w.to, plain(string(b))); err != nil {
		return 0, err
	}
	return len(b), nil
}

// plain is a text with its control characters spelled out.
func plain(text string) string {
	if !strings.ContainsFunc(text, obeyed) {
		return text
	}
	var b strings.Builder
	for _, r := range text {
		if obeyed(r) {
			fmt.Fprintf(&b, `\u%04x`, r)
		} else {
			b.WriteRune(r)
		}
	}
	return b.String()
}

// obeyed reports whether a terminal would obey r or set the text around it in
// another order: the control characters but for tabs and line ends, and the marks
// of direction of UAX #9.
func obeyed(r rune) bool {
	switch {
	case r == '\n', r == '\t':
		return false
	case r < ' ', 0x7F <= r && r < 0xA0, r == 0x061C, r == 0x200E, r == 0x200F:
		return true
	}
	return 0x202A <= r && r <= 0x202E || 0x2066 <= r && r <= 0x2069
}
