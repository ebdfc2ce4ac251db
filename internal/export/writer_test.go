package export

import (
	"bytes"
	"encoding/json"
	"math"
	"math/rand/v2"
	"testing"
	"time"
)

// same sees that the writer spells an object as encoding/json does, in one line
// and in many.
func same(t *testing.T, write func(*writer), want any) {
	t.Helper()
	for _, line := range []bool{true, false} {
		var got, judge bytes.Buffer
		w := newWriter(&got, line)
		write(w)
		if err := w.end(); err != nil {
			t.Fatal(err)
		}
		enc := json.NewEncoder(&judge)
		enc.SetEscapeHTML(false)
		if !line {
			enc.SetIndent("", "  ")
		}
		if err := enc.Encode(want); err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got.Bytes(), judge.Bytes()) {
			t.Fatalf("got  %s\nwant %s", got.Bytes(), judge.Bytes())
		}
	}
}

type sameRow struct {
	Text    *string  `json:"text"`
	Number  *float64 `json:"number"`
	Whether bool     `json:"whether"`
}

type sameObject struct {
	Rows  []sameRow      `json:"rows"`
	Empty []int          `json:"empty"`
	Deep  map[string]any `json:"deep"`
	Inner struct {
		Names []string `json:"names"`
	} `json:"inner"`
}

// Objects of generated texts and numbers, so large that they go out in several
// pieces, are spelled as encoding/json spells them.
func TestWriterAsEncodingJSON(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rnd := rand.New(rand.NewPCG(seed, 0))
	signs := []string{"a", "é", "µ", "\"", "\\", "<", "&", "\n", "\x00", "\x1f", "\x7f", "\u2028", "\u2029", "\u202e", "\xff", "\xe2\x80", "😀", " ", "\t", "\ufffd"}
	text := func() string {
		s := ""
		for range rnd.IntN(8) {
			s += signs[rnd.IntN(len(signs))]
		}
		return s
	}
	numbers := []float64{0, math.Copysign(0, -1), 1, -1, 0.1, 1e-6, 9.999999e-7, 1e-7, -1e-9, 1e-10, 1e-100, 1e20, 999999999999999900000, 1e21, -1e22, 1e300, math.MaxFloat64, math.SmallestNonzeroFloat64}
	number := func() float64 {
		switch rnd.IntN(4) {
		case 0:
			return numbers[rnd.IntN(len(numbers))]
		case 1:
			return math.Round(rnd.Float64()*1e4) / 10
		case 2:
			if f := math.Float64frombits(rnd.Uint64()); !math.IsNaN(f) && !math.IsInf(f, 0) {
				return f
			}
		}
		return rnd.NormFloat64() * math.Pow(10, float64(rnd.IntN(50)-25))
	}
	for range 50 {
		var o sameObject
		o.Rows, o.Empty, o.Deep, o.Inner.Names = []sameRow{}, []int{}, map[string]any{"list": []string{text()}, "of": map[string]int{}}, []string{}
		for range rnd.IntN(2000) {
			var r sameRow
			if s := text(); rnd.IntN(3) > 0 {
				r.Text = &s
			}
			if f := number(); rnd.IntN(3) > 0 {
				r.Number = &f
			}
			r.Whether = rnd.IntN(2) > 0
			o.Rows = append(o.Rows, r)
		}
		for range rnd.IntN(3) {
			o.Inner.Names = append(o.Inner.Names, text())
		}
		same(t, func(w *writer) {
			w.open('{')
			w.list("rows", len(o.Rows), func(i int) {
				r := &o.Rows[i]
				s, f := "not known", math.NaN()
				if r.Text != nil {
					s = *r.Text
				}
				if r.Number != nil {
					f = *r.Number
				}
				w.open('{')
				w.text("text", s, r.Text != nil)
				w.number("number", f, true)
				w.bool("whether", r.Whether)
				w.close('}')
			})
			w.list("empty", 0, nil)
			w.field("deep", o.Deep)
			w.key("inner")
			w.open('{')
			w.list("names", len(o.Inner.Names), func(i int) { w.string(o.Inner.Names[i]) })
			w.close('}')
			w.close('}')
		}, o)
		same(t, func(w *writer) { w.value(o) }, o)
		same(t, func(w *writer) { w.value(&o) }, o)
		same(t, func(w *writer) {
			w.value(struct {
				Names later `json:"names"`
				None  later `json:"none"`
				Of    []struct {
					N int `json:"n"`
				} `json:"of"`
				Not *sameObject `json:"not"`
			}{
				Names: func(w *writer) { w.items(len(o.Inner.Names), func(i int) { w.string(o.Inner.Names[i]) }) },
				None:  func(w *writer) { w.items(0, nil) },
			})
		}, struct {
			Names []string `json:"names"`
			None  []int    `json:"none"`
			Of    []struct {
				N int `json:"n"`
			} `json:"of"`
			Not *sameObject `json:"not"`
		}{o.Inner.Names, []int{}, nil, nil})
	}
}

// What is handed on at once ends with a value and not inside a character.
func TestPieces(t *testing.T) {
	var pieces [][]byte
	w := newWriter(take(func(b []byte) { pieces = append(pieces, bytes.Clone(b)) }), true)
	w.open('{')
	w.list("rows", 20_000, func(int) {
		w.open('{')
		w.text("text", "größer als µ", true)
		w.close('}')
	})
	w.close('}')
	if err := w.end(); err != nil || len(pieces) < 5 {
		t.Fatalf("%d pieces, %v", len(pieces), err)
	}
	for _, p := range pieces {
		if last := p[len(p)-1]; last != '}' && last != '\n' {
			t.Errorf("a piece ends in %q", last)
		}
	}
}

type take func([]byte)

func (t take) Write(b []byte) (int, error) {
	t(b)
	return len(b), nil
}
