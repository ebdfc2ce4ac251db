package table

import (
	"bytes"
	"fmt"
	"strings"
	"sync/atomic"
	"unicode"
	"unicode/utf8"
	"unsafe"

	"golang.org/x/text/encoding/charmap"
	enc "golang.org/x/text/encoding/unicode"

	"saltline/internal/crew"
)

// The encodings by name, as Sheet.Encoding spells them.
const (
	nameUTF8        = "UTF-8"
	nameUTF16       = "UTF-16"
	nameWindows1252 = "Windows-1252"
)

const (
	bomUTF8    = "\xEF\xBB\xBF"
	bomUTF16LE = "\xFF\xFE"
	bomUTF16BE = "\xFE\xFF"
)

// encodingOf names the encoding of a text file. What is neither marked nor valid
// UTF-8 is taken as Windows-1252, in which nearly every byte means something.
func encodingOf(data []byte) string {
	switch {
	case detectUTF16(data) != noUTF16:
		return nameUTF16
	case validUTF8(data):
		return nameUTF8
	}
	return nameWindows1252
}

// validUTF8 is utf8.Valid, which looks at stretches of a long text side by side.
// They are cut before a byte that begins a character.
func validUTF8(data []byte) bool {
	var parts [][]byte
	for len(data) > 0 {
		n := min(stretchBytes, len(data))
		for n < len(data) && !utf8.RuneStart(data[n]) {
			n++
		}
		parts, data = append(parts, data[:n]), data[n:]
	}
	var invalid atomic.Bool
	crew.Do(len(parts), func(k int) {
		if !utf8.Valid(parts[k]) {
			invalid.Store(true)
		}
	})
	return !invalid.Load()
}

// decodeText turns the bytes of a text file in an encoding into UTF-8 without a
// byte order mark; lost counts the characters that have no meaning there, which
// read as U+FFFD.
func decodeText(data []byte, encoding string) (text string, lost int) {
	switch encoding {
	case nameUTF16:
		order := enc.LittleEndian
		if detectUTF16(data) == bigEndian {
			order = enc.BigEndian
		}
		b, _ := enc.UTF16(order, enc.UseBOM).NewDecoder().Bytes(data) // what it cannot spell becomes U+FFFD
		return asString(b), bytes.Count(b, []byte(string(utf8.RuneError)))
	case nameUTF8:
		for bytes.HasPrefix(data, []byte(bomUTF8)) { // of a file that was marked twice, too
			data = data[len(bomUTF8):]
		}
		return asString(data), 0
	}
	b, _ := charmap.Windows1252.NewDecoder().Bytes(data) // every byte decodes
	return asString(b), bytes.Count(b, []byte(string(utf8.RuneError)))
}

// asString is a text without a copy of it: a long log would not fit twice. Nobody
// changes the bytes of a file once it is read.
func asString(b []byte) string { return unsafe.String(unsafe.SliceData(b), len(b)) }

// A byteOrder is that of UTF-16, if it is UTF-16.
type byteOrder int

const (
	noUTF16 byteOrder = iota
	littleEndian
	bigEndian
)

// detectUTF16 goes by the byte order mark, and without one by where the zero
// bytes are: in a log written in a Latin script nearly every other byte of
// UTF-16 is zero, while no other encoding of a text has any.
func detectUTF16(data []byte) byteOrder {
	switch {
	case bytes.HasPrefix(data, []byte(bomUTF16LE)):
		return littleEndian
	case bytes.HasPrefix(data, []byte(bomUTF16BE)):
		return bigEndian
	}
	head := data[:min(len(data), 4096)&^1]
	if len(head) < 8 {
		return noUTF16
	}
	var zeros [2]int // at even and at odd offsets
	for i, c := range head {
		if c == 0 {
			zeros[i%2]++
		}
	}
	pairs := len(head) / 2
	switch even, odd := zeros[0], zeros[1]; {
	case odd*10 > pairs*7 && even*20 < pairs:
		return littleEndian
	case even*10 > pairs*7 && odd*20 < pairs:
		return bigEndian
	}
	return noUTF16
}

// clean is a stored text as it is shown: outer white space and invisible
// marks off, line ends as "\n", and control characters spelled out so that
// they can be seen.
func clean(s string) string {
	if s == "" {
		return s
	}
	if !visible(s[0]) || !visible(s[len(s)-1]) {
		s = strings.TrimFunc(s, outer)
	}
	plain := true
	for i := range len(s) {
		if c := s[i]; c < ' ' && c != '\t' && c != '\n' || c == 0x7F {
			plain = false
			break
		}
	}
	if plain {
		return s
	}
	var b strings.Builder
	s = strings.ReplaceAll(s, "\r\n", "\n")
	for _, r := range s {
		switch {
		case r == '\r':
			b.WriteByte('\n')
		case r == '\t' || r == '\n':
			b.WriteRune(r)
		case r < ' ' || r == 0x7F:
			fmt.Fprintf(&b, `\x%02X`, r)
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// visible reports whether c is a sign of ASCII.
func visible(c byte) bool { return ' ' < c && c < 0x7F }

// outer reports whether r is kept out at the ends of a cell: white space, the
// no-break spaces among it, and characters that take no room at all.
func outer(r rune) bool {
	switch r {
	case '\u200B', '\u2060', '\uFEFF': // zero-width space, word joiner, byte order mark
		return true
	}
	return unicode.IsSpace(r) // has U+00A0, U+2007 and U+202F
}
