package record

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"io"
	"maps"
	"slices"
	"strings"

	"saltline/internal/unit"
)

// Digest is the SHA-256, in hex, of what a document about some tests rests on:
// the terms of the job, the areas and the meters of those tests, the tests, and
// of their days the readings of air, meters and water, the treatments and the
// extracts of abrasive and wash water. tests are indexes into j.Tests.
//
// It is of the values as they were written and not of their file: it stays when
// rows are added for another day, and changes when one that counts is changed.
// Columns that say nothing do not enter it, nor do the diary, the people and
// the signatures, which come afterwards.
func (j *Job) Digest(tests []int) string {
	sum := sha256.New()
	d := digester{sum, new(bytes.Buffer)}
	ofArea, withMeter, onDay := map[string]bool{}, map[string]bool{}, map[unit.Date]bool{}
	for _, i := range tests {
		t := &j.Tests[i]
		ofArea[Folded(t.Area().Val)], withMeter[Folded(t.Meter().Val)], onDay[t.Date().Val] = true, true, true
	}
	digestRow(d, "job", ruling, &j.Terms, nil)
	for i := range j.Terms.Limits {
		digestRow(d, "limit", limitTerms, &j.Terms.Limits[i], nil)
	}
	digestRows(d, "areas", areas, j.Areas, func(a *Area) ([]Fact, bool) { return a.Extra, ofArea[Folded(a.Name.Val)] })
	digestRows(d, "meters", meters, j.Meters, func(m *Meter) ([]Fact, bool) { return m.Extra, withMeter[Folded(m.Serial.Val)] })
	for _, i := range tests {
		t := &j.Tests[i]
		digestTest(d, t)
		if t.Struck() {
			d.line("readings", "struck through", "", "")
		}
	}
	digestRows(d, "ambient", ambients, j.Ambient, func(a *Ambient) ([]Fact, bool) { return a.Extra, onDay[a.Date.Val] })
	digestRows(d, "checks", checks, j.Checks, func(k *MeterCheck) ([]Fact, bool) { return k.Extra, onDay[k.Date.Val] })
	digestRows(d, "water", waters, j.Water, func(w *Water) ([]Fact, bool) { return w.Extra, onDay[w.Date.Val] })
	digestRows(d, "treatments", treatments, j.Treatments, func(t *Treatment) ([]Fact, bool) { return t.Extra, onDay[t.Date.Val] })
	digestRows(d, "extracts", extracts, j.Extracts, func(e *Extract) ([]Fact, bool) { return e.Extra, onDay[e.Date.Val] })
	return hex.EncodeToString(sum.Sum(nil))
}

// Characters are those of all that was written which a test picks, each once, in
// order.
func (j *Job) Characters(picks func(rune) bool) []rune {
	found := characters{picks, map[rune]bool{}}
	d := digester{found, new(bytes.Buffer)}
	digestRow(d, "job", terms, &j.Terms, nil)
	for i := range j.Terms.Limits {
		digestRow(d, "limit", limitTerms, &j.Terms.Limits[i], nil)
	}
	digestRows(d, "areas", areas, j.Areas, func(a *Area) ([]Fact, bool) { return a.Extra, true })
	digestRows(d, "meters", meters, j.Meters, func(m *Meter) ([]Fact, bool) { return m.Extra, true })
	for i := range j.Tests {
		digestTest(d, &j.Tests[i])
	}
	digestRows(d, "ambient", ambients, j.Ambient, func(a *Ambient) ([]Fact, bool) { return a.Extra, true })
	digestRows(d, "checks", checks, j.Checks, func(k *MeterCheck) ([]Fact, bool) { return k.Extra, true })
	digestRows(d, "water", waters, j.Water, func(w *Water) ([]Fact, bool) { return w.Extra, true })
	digestRows(d, "treatments", treatments, j.Treatments, func(t *Treatment) ([]Fact, bool) { return t.Extra, true })
	digestRows(d, "extracts", extracts, j.Extracts, func(e *Extract) ([]Fact, bool) { return e.Extra, true })
	digestRows(d, "patches", patches, j.Patches, func(p *Patch) ([]Fact, bool) { return p.Extra, true })
	digestRows(d, "concessions", concessions, j.Concessions, func(c *Concession) ([]Fact, bool) { return c.Extra, true })
	digestRows(d, "documents", documents, j.Documents, func(d *Document) ([]Fact, bool) { return d.Extra, true })
	digestRows(d, "days", days, j.Days, func(d *Day) ([]Fact, bool) { return d.Extra, true })
	digestRows(d, "people", people, j.People, func(p *Person) ([]Fact, bool) { return p.Extra, true })
	digestRows(d, "signatures", signatures, j.Signatures, func(s *Signature) ([]Fact, bool) { return s.Extra, true })
	return slices.Sorted(maps.Keys(found.all))
}

// characters takes text and keeps what is picked of it.
type characters struct {
	picks func(rune) bool
	all   map[rune]bool
}

func (c characters) Write(text []byte) (int, error) {
	for _, r := range string(text) {
		if r != '\t' && r != '\n' && c.picks(r) {
			c.all[r] = true
		}
	}
	return len(text), nil
}

// ruling are the terms that a result can hang on.
var ruling = slices.DeleteFunc(slices.Clone(terms), func(c column[Terms]) bool {
	return c.name == "weather" || c.name == "language" || c.name == "currency" || c.name == "title"
})

// A digester takes one line for each value that was written.
type digester struct {
	to    io.Writer
	words *bytes.Buffer // of the line that is written
}

func (d digester) line(table, column, text, unit string) {
	d.words.Reset()
	for i, word := range [...]string{table, column, text, unit} {
		if i > 0 {
			d.words.WriteByte('\t')
		}
		d.words.WriteString(word)
	}
	d.words.WriteByte('\n')
	d.to.Write(d.words.Bytes())
}

func digestRows[T any](d digester, table string, columns tableOf[T], rows []T, of func(*T) ([]Fact, bool)) {
	for i := range rows {
		if extra, counts := of(&rows[i]); counts {
			row := rows[i]
			digestRow(d, table, columns, &row, extra)
		}
	}
}

func digestTest(d digester, t *Test) {
	var f Fields
	t.fill(&f)
	digestRow(d, "readings", readings, &f, f.Extra)
}

func digestRow[T any](d digester, table string, columns tableOf[T], row *T, extra []Fact) {
	for _, c := range columns {
		if g := c.wrote(row); g.text != "" {
			d.line(table, c.name, g.text, g.unit)
		}
	}
	for _, f := range extra {
		if f.Value.Text != "" {
			d.line(table, f.Key, f.Value.Text, f.Value.Unit)
		}
	}
	d.line(table, "", "", "")
}

// testKey is a test as it was written.
func testKey(t *Test) string {
	var f Fields
	t.fill(&f)
	return rowKey(readings, &f, f.Extra)
}

// rowKey is a row as it was written, for telling whether two are the same.
func rowKey[T any](columns tableOf[T], row *T, extra []Fact) string {
	var b strings.Builder
	for _, c := range columns {
		if g := c.wrote(row); g.text != "" {
			b.WriteString(c.name + "\t" + g.text + "\t" + g.unit + "\n")
		}
	}
	extra = slices.Clone(extra)
	slices.SortFunc(extra, func(a, b Fact) int { return cmp.Compare(a.Key, b.Key) })
	for _, f := range extra {
		b.WriteString(f.Key + "\t" + f.Value.Text + "\n")
	}
	return b.String()
}
