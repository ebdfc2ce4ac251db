package export

import (
	"bytes"
	"encoding/json"
	"io"
	"math"
	"reflect"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"
)

// A writer writes one JSON object as it comes and hands it on in pieces, so that
// an object of a million tests is never in memory. It spells everything as
// encoding/json does without its escapes for HTML; a test holds the two equal.
// The rows of tests are appended without reflection, with a sixth of the memory
// (measured on 20,000); the rest is left to encoding/json.
type writer struct {
	to    io.Writer // nil for a part, which keeps what it has
	line  bool      // the object in one line
	b     []byte    // not yet handed on; it ends with a value
	depth int       // of the object or list that is open
	begun bool      // it has a value already
	named bool      // a key stands before the value that comes next
	err   error     // the first

	enc   *json.Encoder
	plain bytes.Buffer // that enc writes to
}

// piece is how much is handed on at once, in bytes.
const piece = 64 << 10

func newWriter(to io.Writer, line bool) *writer {
	w := &writer{to: to, line: line, b: make([]byte, 0, piece+piece/4)}
	w.enc = json.NewEncoder(&w.plain)
	w.enc.SetEscapeHTML(false)
	return w
}

// part is a writer of values that come next in what is open, behind others or not.
// It hands nothing on.
func (w *writer) part(begun bool) *writer {
	p, is := parts.Get().(*writer)
	if !is {
		p = newWriter(nil, false)
	}
	p.line, p.depth, p.begun, p.b = w.line, w.depth, begun, p.b[:0]
	return p
}

// parts are for the next: a million tests are eight thousand.
var parts sync.Pool

// take puts what a part has written where it belongs.
func (w *writer) take(part *writer) {
	w.flush()
	if w.err == nil {
		w.err = part.err
	}
	w.b, part.b = part.b, w.b
	w.begun = w.begun || part.begun
	part.err = nil
	parts.Put(part)
}

// next makes room for the next value of what is open.
func (w *writer) next() {
	if w.named {
		w.named = false
		return
	}
	if w.begun {
		w.b = append(w.b, ',')
	}
	w.begun = true
	if w.depth > 0 {
		w.newLine()
	}
}

func (w *writer) newLine() {
	if w.line {
		return
	}
	w.b = append(w.b, '\n')
	for range w.depth {
		w.b = append(w.b, "  "...)
	}
}

// open begins an object or a list, as its sign says.
func (w *writer) open(sign byte) {
	w.next()
	w.b = append(w.b, sign)
	w.depth++
	w.begun = false
}

// close ends it.
func (w *writer) close(sign byte) {
	w.depth--
	if w.begun {
		w.newLine()
	}
	w.b = append(w.b, sign)
	w.begun = true
	if len(w.b) >= piece {
		w.flush()
	}
}

func (w *writer) flush() {
	if w.to == nil {
		return
	}
	if w.err == nil {
		_, w.err = w.to.Write(w.b)
	}
	w.b = w.b[:0]
}

// end ends the whole.
func (w *writer) end() error {
	w.b = append(w.b, '\n')
	w.flush()
	return w.err
}

// key names the value that comes next. Keys are plain.
func (w *writer) key(name string) {
	w.next()
	w.b = append(append(append(w.b, '"'), name...), `":`...)
	if !w.line {
		w.b = append(w.b, ' ')
	}
	w.named = true
}

// A later is a value that is written when its turn comes: the numbers of a
// million tests are never in memory together.
type later func(*writer)

// value writes anything.
func (w *writer) value(v any) { w.spell(reflect.ValueOf(v)) }

// spell writes what may hold a later field by field, and leaves all else to
// encoding/json.
func (w *writer) spell(v reflect.Value) {
	of := v.Kind()
	if (of == reflect.Slice || of == reflect.Pointer) && !v.IsNil() && v.Type().Elem().Kind() == reflect.Struct {
		if of == reflect.Slice {
			w.items(v.Len(), func(i int) { w.spell(v.Index(i)) })
			return
		}
		v = v.Elem()
		of = reflect.Struct
	}
	switch of {
	case reflect.Func:
		v.Interface().(later)(w)
	case reflect.Struct:
		w.open('{')
		for i := range v.NumField() {
			w.key(v.Type().Field(i).Tag.Get("json"))
			w.spell(v.Field(i))
		}
		w.close('}')
	default:
		w.encode(v.Interface())
	}
}

func (w *writer) encode(v any) {
	if w.err != nil {
		return
	}
	w.next()
	if w.plain.Reset(); !w.line {
		w.enc.SetIndent(strings.Repeat("  ", w.depth), "  ")
	}
	if err := w.enc.Encode(v); err != nil {
		w.err = err
		return
	}
	w.b = append(w.b, bytes.TrimSuffix(w.plain.Bytes(), []byte("\n"))...)
}

// field writes anything under a key.
func (w *writer) field(name string, v any) {
	w.key(name)
	w.value(v)
}

// text is a string under a key, or null where it is not known.
func (w *writer) text(name, s string, known bool) {
	w.key(name)
	if !known {
		w.null()
		return
	}
	w.string(s)
}

func (w *writer) string(s string) {
	if !asItIs(s) {
		w.value(s)
		return
	}
	w.next()
	w.b = append(append(append(w.b, '"'), s...), '"')
}

// asItIs reports whether a string has nothing in it that JSON spells otherwise.
func asItIs(s string) bool {
	ascii := true
	for i := range len(s) {
		switch c := s[i]; {
		case c < ' ' || c == '"' || c == '\\':
			return false
		case c >= utf8.RuneSelf:
			ascii = false
		}
	}
	return ascii || utf8.ValidString(s) && !strings.ContainsAny(s, "\u2028\u2029")
}

// number is a number under a key, or null where it is not known: JSON has
// neither NaN nor an infinity.
func (w *writer) number(name string, f float64, known bool) {
	w.key(name)
	w.float(f, known)
}

func (w *writer) float(f float64, known bool) {
	if !known || math.IsNaN(f) || math.IsInf(f, 0) {
		w.null()
		return
	}
	w.next()
	// As ECMAScript and encoding/json write it: with an exponent where it is very
	// large or very small, and that without a leading nought.
	if size := math.Abs(f); size == 0 || 1e-6 <= size && size < 1e21 {
		w.b = strconv.AppendFloat(w.b, f, 'f', -1, 64)
		return
	}
	w.b = strconv.AppendFloat(w.b, f, 'e', -1, 64)
	if n := len(w.b); n >= 4 && string(w.b[n-4:n-1]) == "e-0" {
		w.b[n-2] = w.b[n-1]
		w.b = w.b[:n-1]
	}
}

func (w *writer) null() {
	w.next()
	w.b = append(w.b, "null"...)
}

// bool is a truth value under a key.
func (w *writer) bool(name string, is bool) {
	w.key(name)
	w.next()
	w.b = strconv.AppendBool(w.b, is)
}

// list writes a list of n values under a key, each by its function.
func (w *writer) list(name string, n int, each func(int)) {
	w.key(name)
	w.items(n, each)
}

func (w *writer) items(n int, each func(int)) {
	w.open('[')
	for i := range n {
		each(i)
		if len(w.b) >= piece {
			w.flush()
		}
	}
	w.close(']')
}
