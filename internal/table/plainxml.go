package table

import (
	"bytes"
	"errors"
	"io"
	"unicode/utf8"
)

// errNotPlain says that a part is not the plain XML that programs write. An
// xmlWalker reads it from its start, and says what is wrong with it if something is.
var errNotPlain = errors.New("not plain XML")

// A plainWalker is the walker for nearly every part that programs write: UTF-8
// without comments and marked sections, tags that close what is open, and tokens
// that are not overly long. It agrees with an xmlWalker on all that it reads to
// its end; where it is not certain to, it gives up.
type plainWalker struct {
	trail
	in      io.Reader
	err     error // of in
	buf     []byte
	at, end int    // what of buf is not yet read
	text    []byte // the characters since the last start
	attrs   []plainAttr
	element element
	closes  bool // the last start was an end too: <c/>
	names   map[string]string
}

// A plainAttr is an attribute as it stands in the buffer.
type plainAttr struct {
	name, value []byte
	colon       int // where the last colon of the name is; -1 for none
	colons      int
	odd         bool // the value is not to be taken as it stands
}

const (
	plainBuffer = 32 << 10
	// longestPlain bounds a token, in bytes. Longer ones are for the xmlWalker,
	// which has a bound of its own.
	longestPlain = maxToken / 4
)

func newPlainWalker(part io.Reader) *plainWalker {
	return &plainWalker{in: part, buf: make([]byte, plainBuffer), names: map[string]string{}}
}

func (w *plainWalker) content() []byte { return w.text }

// more reads on, and reports whether there was more. What is not yet read moves to
// the front of the buffer.
func (w *plainWalker) more() bool {
	if w.at > 0 {
		w.end = copy(w.buf, w.buf[w.at:w.end])
		w.at = 0
	}
	if w.end == len(w.buf) {
		if len(w.buf) > longestPlain {
			return false
		}
		w.buf = append(w.buf, make([]byte, len(w.buf))...)
	}
	for w.err == nil {
		n, err := w.in.Read(w.buf[w.end:])
		w.end, w.err = w.end+n, err
		if n > 0 {
			return true
		}
	}
	return false
}

func (w *plainWalker) next() (start *element, end string, err error) {
	if w.closes {
		w.closes = false
		return nil, w.pop(), nil
	}
	for {
		i := bytes.IndexByte(w.buf[w.at:w.end], '<')
		if i < 0 {
			if w.more() {
				continue
			}
			if w.err == io.EOF && len(w.trail) == 0 && len(bytes.Trim(w.buf[w.at:w.end], " \t\r\n")) == 0 {
				return nil, "", io.EOF
			}
			return nil, "", errNotPlain
		}
		n := w.close(w.buf[w.at+i : w.end])
		closes := n > 0
		if !closes {
			n = w.tag(w.buf[w.at+i : w.end])
		}
		if n == 0 {
			if w.more() {
				continue
			}
			return nil, "", errNotPlain
		}
		if n < 0 || !w.characters(w.buf[w.at:w.at+i]) {
			return nil, "", errNotPlain
		}
		tag := w.buf[w.at+i : w.at+i+n]
		w.at += i + n
		switch tag[1] {
		case '?':
			continue
		case '/':
			if !closes && (len(w.trail) == 0 || string(w.attrs[0].local()) != w.trail[len(w.trail)-1]) {
				return nil, "", errNotPlain
			}
			return nil, w.pop(), nil
		}
		if !w.open() {
			return nil, "", errNotPlain
		}
		w.text = w.text[:0]
		w.closes = tag[n-2] == '/'
		return &w.element, "", nil
	}
}

// close is the length of the tag that s begins with, if that is the usual one to
// close the element that is open, and 0 if not.
func (w *plainWalker) close(s []byte) int {
	if len(w.trail) == 0 || len(s) < 4 || s[1] != '/' {
		return 0
	}
	name := w.trail[len(w.trail)-1]
	if n := len(name) + 3; len(s) >= n && s[n-1] == '>' && string(s[2:n-1]) == name {
		return n
	}
	return 0
}

// Classes of bytes.
const (
	nameByte  = 1 << iota // of a name, behind its first byte
	nameStart             // the first of a name
	spaceByte
	oddText  // not to be taken from a text as it stands
	oddValue // not to be taken from the value of an attribute as it stands
)

var classOf = func() (class [256]byte) {
	for c := range class {
		b := byte(c)
		switch {
		case isLetter(b) || b == '_':
			class[c] = nameByte | nameStart
		case isDigit(b) || b == '-' || b == '.' || b == ':':
			class[c] = nameByte
		case b == ' ' || b == '\t' || b == '\r' || b == '\n':
			class[c] = spaceByte
		}
		if b < ' ' && b != '\t' && b != '\n' || b >= utf8.RuneSelf || b == '&' {
			class[c] |= oddText | oddValue
		}
		switch b {
		case '>': // perhaps of ]]>
			class[c] |= oddText
		case '<':
			class[c] |= oddValue
		}
	}
	return class
}()

// tag is the length of the tag that s begins with; 0 where s ends before it, and
// -1 where it is none that is plain. Its name and its attributes are in w.attrs
// then, the name first.
func (w *plainWalker) tag(s []byte) int {
	w.attrs = w.attrs[:0]
	if len(s) < 2 {
		return 0
	}
	i := 1
	switch s[1] {
	case '?':
		return declaration(s)
	case '/':
		i = 2
	}
	name := nameOf(s[i:])
	if i += len(name.name); i == len(s) {
		return 0
	}
	if !name.plain() {
		return -1
	}
	w.attrs = append(w.attrs, name)
	for {
		for ; i < len(s) && classOf[s[i]]&spaceByte != 0; i++ {
		}
		if i == len(s) {
			return 0
		}
		switch {
		case s[i] == '>':
			return i + 1
		case s[1] == '/':
			return -1
		case s[i] == '/':
			if i+1 == len(s) {
				return 0
			}
			if s[i+1] != '>' {
				return -1
			}
			return i + 2
		}
		a := nameOf(s[i:])
		if i += len(a.name); i+1 >= len(s) {
			return 0
		}
		quote := s[i+1]
		if s[i] != '=' || quote != '"' && quote != '\'' || !a.plain() {
			return -1
		}
		i += 2
		from := i
		for ; i < len(s) && s[i] != quote; i++ {
			a.odd = a.odd || classOf[s[i]]&oddValue != 0
		}
		if i == len(s) {
			return 0
		}
		a.value = s[from:i]
		w.attrs = append(w.attrs, a)
		i++
	}
}

// nameOf is the name that s begins with.
func nameOf(s []byte) plainAttr {
	a := plainAttr{colon: -1}
	i := 0
	for ; i < len(s) && classOf[s[i]]&nameByte != 0; i++ {
		if s[i] == ':' {
			a.colon, a.colons = i, a.colons+1
		}
	}
	a.name = s[:i]
	return a
}

// plain reports whether a name is one as programs give them, with one prefix at
// most.
func (a *plainAttr) plain() bool {
	return len(a.name) > 0 && classOf[a.name[0]]&nameStart != 0 && a.colons <= 1 && a.colon < len(a.name)-1
}

// local is the name without its prefix.
func (a *plainAttr) local() []byte { return a.name[a.colon+1:] }

// open makes the element of the tag that was read.
func (w *plainWalker) open() bool {
	if len(w.trail) == maxXMLDepth {
		return false
	}
	w.element.name = w.name(w.attrs[0].local())
	w.trail = append(w.trail, w.element.name)
	w.element.attrs = w.element.attrs[:0]
	for i := range w.attrs[1:] {
		a := &w.attrs[1+i]
		value := a.value
		if a.odd {
			var ok bool
			if value, ok = plainText(nil, value, true); !ok {
				return false
			}
		}
		if a.colon < 0 {
			w.element.attrs = append(w.element.attrs, attr{asString(a.name), asString(value)})
		}
	}
	return true
}

// name is a name that outlives the buffer.
func (w *plainWalker) name(b []byte) string {
	if len(b) == 1 {
		return oneByte[b[0]]
	}
	name, ok := w.names[string(b)]
	if !ok {
		name = string(b)
		if len(w.names) < 1000 { // a workbook has some hundred; a stranger's may have any number
			w.names[name] = name
		}
	}
	return name
}

// oneByte are the names of one letter, which most elements of a sheet have.
var oneByte = func() (names [utf8.RuneSelf]string) {
	for c := range names {
		names[c] = string(rune(c))
	}
	return names
}()

// characters adds what stands between two tags to the text.
func (w *plainWalker) characters(s []byte) bool {
	for _, c := range s {
		if classOf[c]&oddText != 0 {
			var ok bool
			w.text, ok = plainText(w.text, s, false)
			return ok && len(w.text) <= longestPlain
		}
	}
	w.text = append(w.text, s...)
	return len(w.text) <= longestPlain
}
