package readback

import (
	"bytes"
	"crypto/md5"
	"crypto/sha256"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf16"

	"saltline/internal/objects"
)

// A page is what it shows: pieces of text by the identifiers of their marked
// content, −1 for those that are no part of the document.
type page []struct {
	id   int
	text string
}

// A handmade document is one of two pages, put together by hand.
type handmade struct {
	pages    []page
	contents []string // instead of what pages show, where it is not ""
	tree     objects.Value
	more     []objects.Value // objects from 500 on
	files    []attachment
}

type attachment struct {
	name, data string
	size       int    // that it says; 0 for its own
	says       string // "" for its digest
	loose      bool   // in no list
}

func element(kind string, page int, kids ...objects.Value) objects.Dict {
	return objects.Dict{"S": objects.Name(kind), "Pg": objects.Ref{Number: 10 + page}, "K": objects.Array(kids)}
}

func good() handmade {
	return handmade{
		pages: []page{{{0, "Daily report"}, {-1, "page 1 of 2"}, {1, "spot"}, {2, "63.2"}}, {{0, "74.0"}, {-1, "page 2 of 2"}}},
		tree: objects.Dict{"K": objects.Dict{"S": objects.Name("Document"), "K": objects.Array{
			element("H1", 0, 0),
			objects.Dict{"S": objects.Name("Table"), "K": objects.Array{
				objects.Dict{"S": objects.Name("TR"), "K": objects.Array{element("TH", 0, 1), element("TD", 0, 2)}},
				objects.Dict{"S": objects.Name("TR"), "K": objects.Array{element("TD", 1, 0), element("TD", 1)}},
			}},
		}}},
		files: []attachment{{name: "job/log.csv", data: "a,b\n"}},
	}
}

// pdf writes it. Object 10 is the first page.
func (h handmade) pdf(t testing.TB) []byte {
	t.Helper()
	var b bytes.Buffer
	w := objects.NewWriter(&b, objects.Options{})
	root, tree := objects.Ref{Number: 1}, objects.Ref{Number: 2}
	next := 100
	ref := func() objects.Ref { next++; return objects.Ref{Number: next} }
	var kids objects.Array
	for i, p := range h.pages {
		content := ref()
		text := ""
		for _, it := range p {
			mark := "/Artifact BMC"
			if it.id >= 0 {
				mark = fmt.Sprintf("/P <</MCID %d>> BDC", it.id)
			}
			text += fmt.Sprintf("%s BT <%s> Tj ET EMC\n", mark, hexOf(it.text))
		}
		if i < len(h.contents) && h.contents[i] != "" {
			text = h.contents[i]
		}
		w.Put(content, objects.Deflated(objects.Dict{}, []byte(text)))
		r := objects.Ref{Number: 10 + i}
		w.Put(r, objects.Dict{"Type": objects.Name("Page"), "Parent": tree, "Contents": content, "MediaBox": objects.Array{0, 0, 9, 9}})
		kids = append(kids, r)
	}
	w.Put(tree, objects.Dict{"Type": objects.Name("Pages"), "Kids": kids, "Count": len(kids)})
	var files objects.Array
	for _, f := range h.files {
		content, spec := ref(), ref()
		sum := md5.Sum([]byte(f.data))
		size, says := f.size, f.says
		if size == 0 {
			size = len(f.data)
		}
		if says == "" {
			says = fmt.Sprintf("record, SHA-256 %x", sha256.Sum256([]byte(f.data)))
		}
		w.Put(content, objects.Deflated(objects.Dict{"Type": objects.Name("EmbeddedFile"), "Params": objects.Dict{"Size": size, "CheckSum": objects.String(sum[:])}}, []byte(f.data)))
		w.Put(spec, objects.Dict{"UF": objects.Text(f.name), "AFRelationship": objects.Name("Source"), "Desc": objects.Text(says), "EF": objects.Dict{"UF": content}})
		if !f.loose {
			files = append(files, spec)
		}
	}
	catalog := objects.Dict{"Type": objects.Name("Catalog"), "Pages": tree, "AF": files}
	for i, v := range h.more {
		w.Put(objects.Ref{Number: 500 + i}, v)
	}
	if h.tree != nil {
		r := ref()
		w.Put(r, h.tree)
		catalog["StructTreeRoot"] = r
	}
	w.Put(root, catalog)
	info := ref()
	w.Put(info, objects.Dict{"Title": objects.Text("Daily report"), "Producer": objects.Text("saltline 0.0.1")})
	if err := w.Close(objects.Dict{"Root": root, "Info": info}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func hexOf(text string) string {
	var b strings.Builder
	for _, u := range utf16.Encode([]rune(text)) {
		fmt.Fprintf(&b, "%04x", u)
	}
	return b.String()
}

func TestOpen(t *testing.T) {
	d, err := Open(good().pdf(t))
	if err != nil {
		t.Fatal(err)
	}
	want := []Said{{"Document", 0, "", 0}, {"H1", 1, "Daily report", 0}, {"Table", 0, "", 0}, {"TR", 0, "", 0}, {"TH", 1, "spot", 1}, {"TD", 1, "63.2", 1},
		{"TR", 0, "", 0}, {"TD", 2, "74.0", 2}, {"TD", 0, "", 2}}
	if !slices.Equal(d.Says, want) {
		t.Errorf("it says\n%+v, want\n%+v", d.Says, want)
	}
	if d.Title != "Daily report" || d.Producer != "saltline 0.0.1" || d.Pages != 2 {
		t.Errorf("%q by %q, %d pages", d.Title, d.Producer, d.Pages)
	}
	f := d.Attached("job/log.csv")
	if f == nil || string(f.Data) != "a,b\n" || f.Kind != "Source" {
		t.Errorf("attached: %+v", f)
	}
	// Expected value: printf 'a,b\n' | sha256sum.
	if f.SHA256() != "5be08c9684a1d25efcee09318204824278b08bbfb4aef973ffefd0b9d7478313" {
		t.Errorf("its digest is %s", f.SHA256())
	}
	if d.Attached("log.csv") != nil {
		t.Error("a file is found by another name")
	}
}

// What a document of this program never is, and what is said of it.
func TestOpenRefuses(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*handmade)
		says   string
	}{
		{"no structure", func(h *handmade) { h.tree = nil }, ErrUntagged.Error()},
		{"a text outside all marks", func(h *handmade) { h.contents = []string{"(\x00a) Tj"} }, `the text "a" is in no marked content`},
		{"a text in no element", func(h *handmade) {
			h.pages[1] = append(h.pages[1], struct {
				id   int
				text string
			}{7, "and more"})
		}, `page 2: the text "and more" (marked content 7) is part of no element`},
		{"a text shown in another way", func(h *handmade) { h.contents = []string{"/P <</MCID 0>> BDC [(\x00a)] TJ EMC"} }, "a text is shown by TJ"},
		{"a text shown on a new line", func(h *handmade) { h.contents = []string{"/P <</MCID 0>> BDC (\x00a) ' EMC"} }, "a text is shown by '"},
		{"a mark that does not end", func(h *handmade) { h.contents = []string{"/P <</MCID 0>> BDC"} }, "marked content does not end"},
		{"a mark that never began", func(h *handmade) { h.contents = []string{"EMC"} }, "ends that never began"},
		{"a text without one", func(h *handmade) { h.contents = []string{"/P <</MCID 0>> BDC Tj EMC"} }, "a text is shown without one"},
		{"an element on no page", func(h *handmade) { h.tree = objects.Dict{"K": element("P", 9, 0)} }, "on a page that is not in the document"},
		{"an element that is none", func(h *handmade) { h.tree = objects.Dict{"K": objects.Name("P")} }, "something that is no element"},
		{"an element in itself", func(h *handmade) {
			h.more = []objects.Value{objects.Dict{"S": objects.Name("P"), "K": objects.Ref{Number: 500}}}
			h.tree = objects.Dict{"K": objects.Ref{Number: 500}}
		}, "object 500 stands twice in its structure"},
		{"elements too deep", func(h *handmade) {
			for i := range 70 {
				h.more = append(h.more, objects.Dict{"S": objects.Name("Div"), "K": objects.Ref{Number: 501 + i}})
			}
			h.tree = objects.Dict{"K": objects.Ref{Number: 500}}
		}, "its structure nests too deep"},
		{"another size", func(h *handmade) { h.files[0].size = 5 }, `attachment "job/log.csv" is not the file whose size and checksum`},
		{"a smaller size", func(h *handmade) { h.files[0].size = 3 }, `attachment "job/log.csv" is not the file whose size and checksum`},
		{"a size below nothing", func(h *handmade) { h.files[0].size = -1 }, `attachment "job/log.csv" is not the file whose size and checksum`},
		{"a size beyond all", func(h *handmade) { h.files[0].size = 1 << 40 }, `is said to have 1099511627776 bytes`},
		{"no digest", func(h *handmade) { h.files[0].says = "record" }, "whose SHA-256 the document gives"},
		{"no name", func(h *handmade) { h.files[0].name = "" }, "has no name or no content"},
		{"two of a name", func(h *handmade) { h.files = append(h.files, h.files[0]) }, `two attachments are called "job/log.csv"`},
		{"one in no list", func(h *handmade) { h.files[0].loose = true }, "a file is attached (object 103)"},
		{"a size that may be had", func(h *handmade) { h.files[0].size = fileRoom }, "size and checksum"},
		{"one byte more", func(h *handmade) { h.files[0].size = fileRoom + 1 }, "is said to have 134217729 bytes"},
		{"pages that unfold without end", func(h *handmade) { h.contents = []string{strings.Repeat(" ", 65<<20)} }, "more than the limit"},
	} {
		h := good()
		c.change(&h)
		_, err := Open(h.pdf(t))
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, want %q", c.name, err, c.says)
		}
	}
}

// What is not this program's is told apart from what was changed.
func TestOfUntagged(t *testing.T) {
	h := good()
	h.tree = nil
	f, err := objects.Read(h.pdf(t))
	if err != nil {
		t.Fatal(err)
	}
	d, err := Of(f)
	if err != ErrUntagged || d == nil || d.Producer != "saltline 0.0.1" || d.Attached("job/log.csv") == nil {
		t.Errorf("%v, %+v", err, d)
	}
}

// Values, words, order, what is only there and what is only made again.
func TestSaid(t *testing.T) {
	said := func(texts ...string) *Document {
		d := &Document{}
		for i, s := range texts {
			kind, text, _ := strings.Cut(s, ":")
			row := 0
			if kind == "TD" {
				row = 1
			}
			d.Says = append(d.Says, Said{kind, 1 + i/3, text, row})
		}
		return d
	}
	for _, c := range []struct {
		name     string
		was, now *Document
		want     []Difference
	}{
		{"the same", said("P:a", "TD:1"), said("P:a", "TD:1"), nil},
		{"broken in other places", said("P:a report of salt"), said("P:a re\u00adport  of\nsalt"), nil},
		{"a number in a cell", said("P:a", "TD:63.2"), said("P:a", "TD:36.2"), []Difference{{Value, "page 1, a cell", "63.2", "36.2"}}},
		{"a word in a cell", said("TD:pass"), said("TD:fail"), []Difference{{Value, "page 1, a cell", "pass", "fail"}}},
		{"words of a sentence", said("P:3 tests were made"), said("P:3 tests are made"), []Difference{{Wording, "page 1", "3 tests were made", "3 tests are made"}}},
		{"a number of a sentence", said("P:3 tests were made"), said("P:4 tests were made"), []Difference{{Value, "page 1", "3 tests were made", "4 tests were made"}}},
		{"a verdict in a sentence", said("P:UG: ACCEPTED FOR SALT"), said("P:UG: NOT ACCEPTED"), []Difference{{Value, "page 1", "UG: ACCEPTED FOR SALT", "UG: NOT ACCEPTED"}}},
		{"one more", said("P:a", "P:b", "P:c"), said("P:a", "P:c"), []Difference{{Added, "page 1", "b", ""}}},
		{"one less", said("P:a", "P:c"), said("P:a", "P:b", "P:c"), []Difference{{Lost, "page 1", "", "b"}}},
		{"of another kind", said("H1:a"), said("P:a"), []Difference{{Wording, "page 1", "a", "a"}}},
	} {
		if got := c.was.Said(c.now); !slices.Equal(got, c.want) {
			t.Errorf("%s: %+v, want %+v", c.name, got, c.want)
		}
	}
}

func TestOutOfOrder(t *testing.T) {
	d := &Document{Says: []Said{{"P", 1, "a", 0}, {"P", 3, "c", 0}, {"P", 2, "b", 0}, {"Link", 1, "x", 0}, {"P", 0, "", 0}, {"P", 3, "d", 0}}}
	if got := d.OutOfOrder(); len(got) != 1 || got[0].Was != "page 2 goes on with what page 3 began" {
		t.Errorf("%+v", got)
	}
}

// Between the gaps of two lists both are the same, and what a gap leaves out of
// one and takes from the other makes the other.
func TestGaps(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	draw := rand.New(rand.NewPCG(seed, 0))
	for range 3000 {
		list := func() []string {
			out := make([]string, draw.IntN(30))
			for i := range out {
				out[i] = string(rune('a' + draw.IntN(1+draw.IntN(26))))
			}
			return out
		}
		was, now := list(), list()
		var made []string
		at := 0
		for _, g := range gaps(was, now) {
			if g.fromWas < at || g.toWas < g.fromWas || g.toNow < g.fromNow {
				t.Fatalf("%q, %q: gap %+v behind %d", was, now, g, at)
			}
			made = append(append(made, was[at:g.fromWas]...), now[g.fromNow:g.toNow]...)
			at = g.toWas
		}
		if made = append(made, was[at:]...); !slices.Equal(made, now) {
			t.Fatalf("%q becomes %q, want %q", was, made, now)
		}
		if len(gaps(was, was)) > 0 {
			t.Fatalf("%q differs from itself", was)
		}
	}
}

func TestResults(t *testing.T) {
	for _, c := range []struct {
		was, now string
		want     []Difference // nil for an error too
	}{
		{`{"a": 1}`, `{ "a" : 1 }`, nil},
		{`{"a": 1}`, `{"a": 1.0}`, []Difference{{Value, "a", "1", "1.0"}}},
		{`{"a": 1}`, `{"a": "1"}`, []Difference{{Value, "a", "1", "1"}}},
		{`{"a": null}`, `{"a": false}`, []Difference{{Value, "a", "null", "false"}}},
		{`{"a": [{"b": 1}, {"b": 2}]}`, `{"a": [{"b": 1}, {"b": 3}]}`, []Difference{{Value, "a[1].b", "2", "3"}}},
		{`{"a": [1, 2]}`, `{"a": [1]}`, []Difference{{Value, "a", "2 of them", "1 of them"}}},
		{`{"a": 1, "b": 2}`, `{"b": 2}`, []Difference{{Added, "a", "1", ""}}},
		{`{"b": 2}`, `{"a": 1, "b": 2}`, []Difference{{Lost, "a", "", "1"}}},
		{`{"a": 12345678901234567890123}`, `{"a": 12345678901234567890124}`, []Difference{{Value, "a", "12345678901234567890123", "12345678901234567890124"}}},
	} {
		got, err := Results([]byte(c.was), []byte(c.now))
		if err != nil || !slices.Equal(got, c.want) {
			t.Errorf("%s, %s: %+v (%v), want %+v", c.was, c.now, got, err, c.want)
		}
	}
	for _, bad := range []string{"", "{", `{"a": 1} {"a": 1}`, strings.Repeat("[", 20_000)} {
		if _, err := Results([]byte(bad), []byte("{}")); err == nil {
			t.Errorf("%.20q is read", bad)
		}
	}
}

// Whatever the bytes are, there is a document that can be held against another,
// or an error.
func FuzzOpen(f *testing.F) {
	f.Add(good().pdf(f))
	h := good()
	h.contents = []string{"/P <</MCID 0>> BDC (\x00a\xd8\x00) Tj EMC /Artifact BMC (\x00b) Tj EMC"}
	h.tree = objects.Dict{"K": objects.Dict{"S": objects.Name("P"), "K": objects.Dict{"Type": objects.Name("MCR"), "Pg": objects.Ref{Number: 10}, "MCID": 0}}}
	f.Add(h.pdf(f))
	h.pages, h.contents, h.files = nil, nil, nil
	f.Add(h.pdf(f))
	f.Fuzz(func(t *testing.T, data []byte) {
		d, err := Open(data)
		if err != nil {
			return
		}
		if got := d.Said(d); len(got) > 0 {
			t.Errorf("it differs from itself: %+v", got)
		}
		if got := d.Stamps(d); len(got) > 0 {
			t.Errorf("its stamps differ from themselves: %+v", got)
		}
		d.OutOfOrder()
		d.Pictures()
		for _, file := range d.Files {
			if d.Attached(file.Name) == nil {
				t.Errorf("%q is not found", file.Name)
			}
		}
	})
}
