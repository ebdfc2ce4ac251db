package table

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"
	"time"
)

// agree reads data the fast way and the careful one, and fails unless both say the
// same: every cell, every note, every refusal.
func agree(t *testing.T, name string, data []byte, opts Options) {
	t.Helper()
	read := func(careful bool) (*File, error) {
		r := newReader(name, data, opts)
		r.careful = careful
		err := r.read(data)
		return r.file, err
	}
	fast, fastErr := read(false)
	slow, slowErr := read(true)
	if fastErr != nil || slowErr != nil {
		var a, b *Refusal
		if !errors.As(fastErr, &a) || !errors.As(slowErr, &b) || *a != *b {
			t.Fatalf("%s: the fast way refuses it by %v, the careful one by %v", name, fastErr, slowErr)
		}
		return
	}
	if !reflect.DeepEqual(fast.Notes, slow.Notes) {
		t.Fatalf("%s: the fast way notes\n%v\nthe careful one\n%v", name, fast.Notes, slow.Notes)
	}
	if len(fast.Sheets) != len(slow.Sheets) {
		t.Fatalf("%s: %d sheets the fast way, %d the careful one", name, len(fast.Sheets), len(slow.Sheets))
	}
	for i, a := range fast.Sheets {
		b := slow.Sheets[i]
		rows, others := a.Rows, b.Rows
		a.Rows, b.Rows = nil, nil
		if !reflect.DeepEqual(a, b) || len(rows) != len(others) {
			t.Fatalf("%s: sheet %d is %+v of %d rows the fast way, %+v of %d the careful one", name, i, a, len(rows), b, len(others))
		}
		for k, row := range rows {
			other := others[k]
			if row.Number != other.Number || row.Hidden != other.Hidden || !reflect.DeepEqual(row.Cells(), other.Cells()) {
				t.Fatalf("%s: row %d of sheet %d is %v the fast way, row %d is %v the careful one", name, row.Number, i, row.Cells(), other.Number, other.Cells())
			}
			plainly(t, name, row)
			plainly(t, name, other)
			if row.Blank() != other.Blank() || row.Struck() != other.Struck() || row.Faint() != other.Faint() {
				t.Fatalf("%s: row %d of sheet %d is blank, struck or faint one way alone", name, row.Number, i)
			}
		}
	}
}

// plainly fails unless what a row says plainly is all that there is of its cells.
func plainly(t *testing.T, name string, row Row) {
	t.Helper()
	for col := 0; col <= row.Len()+1; col++ {
		c := row.Cell(col)
		text, ok := row.Plain(col)
		if alone := (Cell{Pos: c.Pos, Kind: c.Kind, Text: c.Text, Raw: c.Raw}); ok && (text != c.Text || c != alone || c.Kind != Text && c.Kind != Empty || c.Kind == Text != (text != "")) {
			t.Fatalf("%s: %s says %q plainly and is %+v", name, c.Pos, text, c)
		}
		if !ok && row.in.bank == nil {
			t.Fatalf("%s: %s is a cell of a text and has more to say than %q", name, c.Pos, c.Text)
		}
	}
}

// seeded is a generator whose seed is printed.
func seeded(t *testing.T) *rand.Rand {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	return rand.New(rand.NewPCG(seed, 0))
}

// TestTextTheFastWay holds the two ways of cutting a text against each other, on
// texts that are longer than a stretch too.
func TestTextTheFastWay(t *testing.T) {
	r := seeded(t)
	pick := func(of ...string) string { return of[r.IntN(len(of))] }
	for i := range 400 {
		delim := pick(",", ";", "\t", "|", ",")
		end := pick("\n", "\r\n", "\n", "\r")
		marks := r.IntN(4) // how odd the cells are; 3: all in quotation marks
		var b strings.Builder
		b.WriteString(pick("", "", "", "\xEF\xBB\xBF", "sep="+delim+end))
		lines := r.IntN(60)
		if i%40 == 0 {
			lines = 20_000
		}
		for range lines {
			if r.IntN(12) == 0 {
				b.WriteString(pick("", " ", delim, delim+delim+delim, "mean", "\u00a0"+delim+"\u00a0"))
			} else {
				for k := range 4 + r.IntN(2)*r.IntN(3) {
					if k > 0 {
						b.WriteString(delim)
					}
					cell := pick("1", "Bay 7", "12.5", "2025-03-11", "µS", "", "", " 3 ", "\u00a04", "a\tb")
					if marks == 3 || marks == 2 && r.IntN(3) == 0 {
						cell = `"` + pick(cell, cell, cell, cell, cell+delim+"x", cell+"\x00", " "+delim+cell, "\r"+cell, "\r"+delim) + `"`
					}
					b.WriteString(cell)
					switch {
					case marks == 1 && r.IntN(300) == 0, marks == 2 && r.IntN(6) == 0, marks == 3 && r.IntN(60) == 0:
						b.WriteString(pick(`"`, `""`, `"a"`, delim+`"`+delim, delim+`"x`+delim+`y"`, delim+`"wet`+end+`dry"`, delim+` "z" `, "\x00", "\x1b", "\x7F", "\r", "\xB5"))
					}
				}
			}
			b.WriteString(end)
		}
		text := b.String()
		if r.IntN(3) == 0 {
			text = strings.TrimRight(text, "\r\n")
		}
		opts := Options{}
		switch r.IntN(12) {
		case 0:
			opts.Limits = Limits{Cols: 1 + r.IntN(8)}
		case 1:
			opts.Limits = Limits{Cells: 1 + r.IntN(200)}
		case 2:
			opts.Limits = Limits{Rows: 1 + r.IntN(60), Line: 40}
		case 3:
			opts.Delimiter = rune(delim[0])
		}
		if len(text) > 0 && sniff([]byte(text)) == isText {
			agree(t, fmt.Sprintf("text %d", i), []byte(text), opts)
		}
	}
}

// Wherever a stretch ends, a text is cut the same: within a record of several
// lines, which may be the last one and have no end, before it and behind it.
func TestTextOfAnyStretches(t *testing.T) {
	defer func(was int) { stretchBytes = was }(stretchBytes)
	const head = "test;blank;extract;volume;remark\n1;2;3;4;dry\n"
	for _, text := range []string{
		head + "2;3;4;5;\"wet\nand cold\"",
		head + "2;3;4;5;\"wet\nand cold\"\n",
		head + "2;3;4;5;\"wet\r\n\r\nand cold\"\n3;4;5;6;\"\n",
		head + "2;3;4;5;\"wet\n3;4;5;6;dry\n4;5;6;7;\"dry\"",
		"sep=;\n" + head + "\n\n2;3;4;5;\"\n\"\n\n",
	} {
		for stretchBytes = range len(text) + 1 {
			if stretchBytes > 0 {
				agree(t, fmt.Sprintf("%q in stretches of %d", text, stretchBytes), []byte(text), Options{})
			}
		}
	}
}
