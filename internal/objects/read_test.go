package objects

import (
	"errors"
	"fmt"
	"reflect"
	"strconv"
	"strings"
	"testing"
)

func TestReadByHand(t *testing.T) {
	h := newHand().page().
		put(4, "12").
		put(5, "<</Length 4 0 R>>\nstream\nq endstream \nendstream").
		table("")
	f := read(t, []byte(h.String()))
	if got, err := f.Data(Ref{5, 0}, 12); string(got) != "q endstream " || err != nil {
		t.Errorf("the stream is %q, %v", got, err)
	}
	if _, err := f.Data(Ref{5, 0}, 11); err != ErrLong {
		t.Errorf("11 bytes of 12 give the error %v", err)
	}
	pages, err := f.Pages()
	if err != nil || !reflect.DeepEqual(pages, []Ref{{3, 0}}) {
		t.Errorf("the pages are %v, %v", pages, err)
	}
	if n, ok := f.Int(Ref{4, 0}); n != 12 || !ok {
		t.Errorf("object 4 is %d, %v", n, ok)
	}
}

// Updates, by hand: object 3 is replaced, 4 comes and goes again.
func TestUpdates(t *testing.T) {
	h := newHand().page().table("")
	first := h.Len()
	h.put(3, "<</Type/Page/Parent 2 0 R/Rotate 90>>").put(4, "(new)").table("/Info 4 0 R")
	second := h.Len()
	// An entry that says what was said before is no change.
	at := h.Len()
	old := strings.Index(h.String(), "1 0 obj")
	h.WriteString("xref\n0 2\n0000000000 65535 f\r\n")
	h.WriteString(pad(old) + " 00000 n\r\n4 1\n0000000000 00001 f\r\ntrailer\n<</Size 5/Root 1 0 R/Prev " + pad(h.prev) + ">>\n")
	h.tail(at)

	f := read(t, []byte(h.String()))
	updates := f.Updates()
	if len(updates) != 3 {
		t.Fatalf("%d updates, want 3", len(updates))
	}
	for i, want := range []struct {
		end     int
		changed []Ref
	}{
		{first, []Ref{{1, 0}, {2, 0}, {3, 0}}},
		{second, []Ref{{3, 0}, {4, 0}}},
		{h.Len(), []Ref{{4, 0}}},
	} {
		if updates[i].End != want.end || !reflect.DeepEqual(updates[i].Changed, want.changed) {
			t.Errorf("update %d ends at %d and changes %v, want %d and %v", i, updates[i].End, updates[i].Changed, want.end, want.changed)
		}
		then, err := f.At(i)
		if err != nil {
			t.Fatal(err)
		}
		if then.Len() != want.end {
			t.Errorf("at update %d the file has %d bytes, want %d", i, then.Len(), want.end)
		}
		rotate, _ := then.Int(then.Dict(Ref{3, 0})["Rotate"])
		text := then.String(Ref{4, 0})
		if wantRotate := min(i, 1) * 90; rotate != wantRotate || (string(text) == "new") != (i == 1) {
			t.Errorf("at update %d the page is turned by %d and object 4 is %q", i, rotate, text)
		}
	}
	if updates[1].Trailer["Info"] != (Ref{4, 0}) || f.Trailer()["Info"] != nil {
		t.Errorf("the trailers are %v and %v", updates[1].Trailer, f.Trailer())
	}
	for _, n := range []int{-1, 3} {
		if _, err := f.At(n); err == nil {
			t.Errorf("there is an update %d", n)
		}
	}
}

func pad(n int) string {
	s := "000000000" + string(rune('0'+n%10))
	for i := 8; n > 9; i-- {
		n /= 10
		s = s[:i] + string(rune('0'+n%10)) + s[i+1:]
	}
	return s
}

// A cross-reference stream and an object stream, by hand (7.5.7, 7.5.8).
func TestStreams(t *testing.T) {
	h := newHand().put(1, "<</Type/Catalog/Pages 2 0 R>>").
		stream(4, "/Type/ObjStm/N 2/First 9", "2 0 3 36 <</Type/Pages/Kids[3 0 R]/Count 1>> <</Type/Page/Parent 2 0 R>>").
		rows(5, map[int]row{2: {2, 4, 0}, 3: {2, 4, 1}}, "")
	f := read(t, []byte(h.String()))
	if pages, err := f.Pages(); err != nil || !reflect.DeepEqual(pages, []Ref{{3, 0}}) {
		t.Errorf("the pages are %v, %v", pages, err)
	}
	start, end := f.Offset(Ref{3, 0})
	if got := h.String()[start:end]; !strings.HasPrefix(got, "4 0 obj\n") || !strings.HasSuffix(got, "\nendstream\nendobj") {
		t.Errorf("object 3 stands in %q", got)
	}
	if f.Get(Ref{3, 1}) != nil || f.Get(Ref{9, 0}) != nil || f.Get(Ref{-1, 0}) != nil {
		t.Error("an object that is not there is given")
	}
}

// A hybrid file: a reader of tables alone finds no object 4 (7.5.8.4).
func TestHybrid(t *testing.T) {
	h := newHand().page().stream(5, "/Type/ObjStm/N 1/First 4", "4 0 (hidden)")
	at := h.Len()
	h.size = 7
	h.stream(6, "/Type/XRef/W[1 2 1]/Index[4 1]/Size 7", "\x02\x00\x05\x00").table("/XRefStm " + pad(at))
	f := read(t, []byte(h.String()))
	if got := f.String(Ref{4, 0}); string(got) != "hidden" {
		t.Errorf("the hidden object is %q", got)
	}
	stream := func(rows, dict string) string {
		h := newHand().page().stream(5, "/Type/ObjStm/N 1/First 4", "4 0 (hidden)")
		at := h.Len()
		h.size = 7
		return h.stream(6, "/Type/XRef/W[1 2 1]/Size 7"+dict, rows).table("/XRefStm " + pad(at)).String()
	}
	read(t, []byte(stream("\x02\x00\x05\x00", "/Index[4 1]")))
	for _, test := range []struct{ data, want string }{
		{stream("\x01\x00\x05\x00", "/Index[4 1]"), "object 4 is said to stand there, outside its update"},
		{stream("\x01\x00\x0a\x00", "/Index[1 1]"), "object 1 is listed at two places by the two cross-references of one update"},
		{stream("\x02\x00\x05\x00", "/Index[4 1]/Prev 9"), "the cross-reference stream beside a table leads elsewhere"},
		{newHand().page().table("/XRefStm 9").String(), "object 1 is no cross-reference stream"},
		{newHand().page().table("/XRefStm 9999").String(), "XRefStm is no place in the file"},
		{newHand().page().table("/XRefStm/A").String(), "XRefStm is no place in the file"},
	} {
		if _, err := Read([]byte(test.data)); err == nil || !strings.Contains(err.Error(), test.want) {
			t.Errorf("error %v, want %s", err, test.want)
		}
	}
}

// Cross-references that lead forward are those of a linearized file, or none.
func TestReadRefusesForward(t *testing.T) {
	one := newHand().page()
	at := one.Len()
	two := one.table(fmt.Sprintf("/Prev %d", at+200)).String()
	pos := len(two) + 50
	two = strings.Replace(two, fmt.Sprint("/Prev ", at+200), fmt.Sprint("/Prev ", pos), 1)
	two += strings.Repeat(" ", pos-len(two)) + "xref\n0 1\n0000000000 65535 f\r\ntrailer\n<</Size 1>>\nstartxref\n" + strconv.Itoa(at) + "\n%%EOF\n"
	damaged{"forward", two, fmt.Sprintf("the cross-references at byte %d lead forward, and those there are not of a linearized file", at), "xref\n0 1"}.test(t)
	read(t, []byte(strings.Replace(two, "startxref\n"+strconv.Itoa(at), "startxref\n0"+strings.Repeat(" ", len(strconv.Itoa(at))-1), 1)))
}

// damaged is a file with what is said of it, and the text that stands where it
// is said; "" is the end of the file.
type damaged struct{ name, data, want, place string }

func (d damaged) test(t *testing.T) {
	t.Helper()
	at := len(d.data)
	if d.place != "" {
		if at = strings.Index(d.data, d.place); at < 0 {
			t.Fatalf("%s: the file does not hold %q", d.name, d.place)
		}
	}
	f, err := Read([]byte(d.data))
	if want := d.want + " at byte " + strconv.Itoa(at); err == nil || err.Error() != want {
		t.Errorf("%s: error\n\t%v, want\n\t%s", d.name, err, want)
	}
	var damage *Damage
	if !errors.As(err, &damage) || f != nil {
		t.Errorf("%s: %T is no damage, or there is a file with it", d.name, err)
	}
}

func TestReadRefuses(t *testing.T) {
	page := func() *hand { return newHand().page() }
	plain := func() *hand { return page().table("") }
	read(t, []byte(plain().String()))
	xref := strings.Index(plain().String(), "xref\n")
	place2 := strings.Index(plain().String(), "2 0 obj")
	length := plain().Len()
	say := fmt.Sprintf
	for _, d := range []damaged{
		{"empty", "", "no PDF header stands in the first 1024 bytes", ""},
		{"no PDF", strings.Repeat("x", 1020) + plain().String(), "no PDF header stands in the first 1024 bytes", "x"},
		{"bytes before", "\n\n" + plain().String(), "2 bytes stand before the PDF header", "\n"},
		{"no version", plain().with("PDF-1.7", "PDF-x.7"), "the PDF header names no version", "x.7"},
		{"no end", plain().with("%%EOF", "%%EOX"), "there is no end-of-file marker: the file is cut short", ""},
		{"bytes behind", plain().String() + "<html>", "6 bytes stand behind the last end-of-file marker", "<html>"},
		{"bytes at the marker", plain().with("%%EOF\n", "%%EOF!"), "1 bytes stand behind the last end-of-file marker", "!"},
		{"no startxref", plain().with("startxref", "startyref"), "no startxref stands before the end-of-file marker", "%%EOF"},
		{"startxref outside", plain().with(say("startxref\n%d", xref), "startxref\n999"), `startxref says "999\n%%EOF\n", which is no place in the file`, "999"},
		{"startxref wrong", plain().with(say("startxref\n%d", xref), say("startxref\n%d", xref-1)), `cross-references are expected, and "\nxref\n1 1\n00" stands there`, "\nxref\n1"},
		{"startxref at an object", plain().with(say("startxref\n%d", xref), "startxref\n9"), "object 1 is no cross-reference stream", "1 0 obj"},
		{"short entry", plain().with("00000 n\r\n", "00000 n\n"), `an entry of the cross-reference table has not its 20 bytes, but "0000000009 0"`, "0000000009"},
		{"table cut", plain().with("xref\n1 1\n", "xref\n1 99\n"), "the cross-reference table is cut short", "1 99"},
		{"listed twice", plain().with("\n2 1\n", "\n1 1\n"), "object 1 is listed twice", "xref\n"},
		{"number outside", plain().with("\n3 1\n", "\n8388608 1\n"), say("1 objects from number 8388608 on are more than a file of %d bytes can hold", length+6), "8388608"},
		{"many", plain().with("\n3 1\n", "\n3 99999\n"), say("99999 objects from number 3 on are more than a file of %d bytes can hold", length+4), "3 99999"},
		{"object 0", plain().with("\n3 1\n", "\n0 1\n"), "object 0, which is never in use, is listed as in use", "xref\n"},
		{"other number", plain().with("2 0 obj", "4 0 obj"), "object 2: object 4 of generation 0 stands where 2 of generation 0 is expected", "4 0 obj"},
		{"other generation", plain().with("2 0 obj", "2 1 obj"), "object 2: object 2 of generation 1 stands where 2 of generation 0 is expected", "2 1 obj"},
		{"one byte off", plain().with(pad(place2), pad(place2-1)), `object 2: no object starts there, but "\n2 0 obj\n<</" stands`, "\n2 0 obj"},
		{"no endobj", plain().with("endobj", "endobs"), `object 1: endobj is expected, and "endobs\n2 0 o" stands there`, "endobs"},
		{"key twice", newHand().put(1, "<<>>").put(2, "<</Count 1/Count 2>>").table("").String(), "object 2: the key /Count is there twice", "/Count 2"},
		{"size", plain().with("/Size 4", "/Size 3"), "object 3 is listed, and the trailer says that the numbers end before 3", "xref\n"},
		{"no size", plain().with("/Size", "/Sise"), "the trailer does not say how many numbers are in use", "xref\n"},
		{"no root", plain().with("/Root 1", "/Root 9"), "the trailer leads to no catalog", "xref\n"},
		{"no catalog", page().put(4, "7").table("").with("/Root 1", "/Root 4"), "the trailer leads to object 4, which is no catalog", "xref\n"},
		{"no trailer", plain().with("trailer", "trainer"), `a part of the cross-reference table or the trailer is expected, and "trainer\n<</S" stands there`, "trainer"},
		{"trailer is a number", plain().with("trailer\n<<", "trailer\n7<<"), "the trailer has no dictionary", "7<<"},
		{"trailer's key twice", plain().with("/Root 1 0 R", "/Root 1 0 R/Root 3 0 R"), "the key /Root is there twice", "/Root 3"},
		{"previous outside", page().table("/Prev 999").String(), "the cross-references before are said to stand at byte 999, outside the file", "xref\n"},
		{"previous no number", page().table("/Prev(x)").String(), "where the cross-references before stand is no number", "xref\n"},
		{"previous in a circle", page().table(say("/Prev %d", xref)).String(), "the cross-references lead back to themselves", "xref\n"},
	} {
		d.test(t)
	}
	if _, err := Read([]byte(page().table("/Encrypt 3 0 R").String())); err != ErrEncrypted {
		t.Errorf("an encrypted file gives the error %v", err)
	}
}

// What stands between the parts of a file, or is named where it is not.
func TestReadRefusesPlaces(t *testing.T) {
	page := func() *hand { return newHand().page() }
	between := func(h *hand, s string) *hand { h.WriteString(s); return h }
	inner := page()
	inner.at[4] = inner.Len() + len("5 0 obj\n(")
	inner.put(5, "(4 0 obj 7 endobj)")
	early := page().table("")
	first := strings.Index(early.String(), "3 0 obj")
	early.at[4], early.size = first, 5
	for _, d := range []damaged{
		{"a stranger between objects", between(page(), "(x)").table("").String(), `"(x)" belongs to no object`, "(x)"},
		{"an object that is not listed", between(page(), "9 0 obj 7 endobj\n").table("").String(), `"9 0 obj 7 en" belongs to no object`, "9 0 obj"},
		{"a second header", between(page(), "%PDF-1.4\n").table("").String(), `"%PDF-1.4\n" belongs to no object`, "%PDF-1.4"},
		{"a second end", between(page(), "%%EOF\n").table("").String(), `"%%EOF\n" belongs to no object`, "%%EOF"},
		{"between updates", between(page().table(""), "<script>\n").put(4, "7").table("").String(), `"<script>\n" stands between the end of one update and the next`, "<script>"},
		{"one in another", inner.table("").String(), "object 4 is said to stand there, inside another object", "4 0 obj"},
		{"outside its update", early.table("").String(), fmt.Sprintf("object 4 is said to stand there, outside its update from byte %d to %d", early.start, early.Len()), "3 0 obj"},
		{"two startxref", page().table("").with("startxref\n", "startxref\n7 startxref\n"), `the end-of-file marker is expected, and "startxref\n14" stands there`, "startxref\n14"},
		{"a marker with a tail", strings.Replace(page().table("").put(4, "7").table("").String(), "%%EOF\n", "%%EOF;", 1), `";4 0 obj\n7\ne" stands behind an end-of-file marker`, ";4 0"},
		{"no marker between", strings.Replace(page().table("").put(4, "7").table("").String(), "%%EOF", "%%EOX", 1), `the end-of-file marker is expected, and "%%EOX\n4 0 ob" stands there`, "%%EOX"},
	} {
		d.test(t)
	}
	// Comments may stand anywhere between.
	read(t, []byte(between(between(page(), "% note\n").table(""), "\n% note\n\n").put(4, "7").table("").String()))
}

func TestReadRefusesStreams(t *testing.T) {
	file := func(stream string) string { return newHand().page().put(4, stream).put(5, "6").table("").String() }
	read(t, []byte(file("<</Length 5 0 R>>\nstream\r\nq Q\nBT\r\nendstream")))
	for _, d := range []damaged{
		{"too short", file("<</Length 2>>\nstream\nq Q\nendstream"), "object 4: the stream does not end after the 2 bytes that its length says", "Q\nendstream"},
		{"too long", file("<</Length 5>>\nstream\nq Q\nendstream"), "object 4: the stream does not end after the 5 bytes that its length says", "ndstream"},
		{"far too long", file("<</Length 9999>>\nstream\nq Q\nendstream"), "", ""},
		{"no length", file("<<>>\nstream\nq Q\nendstream"), "object 4: the length of the stream is not known (it is no integer)", "q Q"},
		{"length elsewhere", file("<</Length 9 0 R>>\nstream\nq Q\nendstream"), "object 4: the length of the stream is not known (there is no object 9)", "q Q"},
		{"length a name", file("<</Length/Q>>\nstream\nq Q\nendstream"), "object 4: the length of the stream is not known (it is no integer)", "q Q"},
		{"length negative", file("<</Length -1>>\nstream\nq Q\nendstream"), "", ""},
		{"line end", file("<</Length 3>>\nstream\rq Q\nendstream"), "object 4: the keyword stream has no line end behind it", "\rq Q"},
		{"no dictionary", file("[]\nstream\nq Q\nendstream"), "object 4: a stream has no dictionary before it", "stream\nq"},
		{"no endobj", file("<</Length 3>>\nstream\nq Q\nendstream\n7"), `object 4: endobj is expected, and "7\nendobj\n5 0" stands there`, "7\nendobj"},
	} {
		if d.want == "" {
			if _, err := Read([]byte(d.data)); err == nil {
				t.Errorf("%s: the file is taken", d.name)
			}
			continue
		}
		d.test(t)
	}
	// The length of one stream hangs on another stream.
	loop := newHand().page().put(4, "<</Length 4 0 R>>\nstream\nq Q\nendstream").table("").String()
	damaged{"length a stream", loop, "object 4: the length of the stream is not known (object 4: a stream stands where there should be none at byte " +
		strconv.Itoa(strings.Index(loop, "stream\nq")) + ")", "q Q"}.test(t)
	// What older objects are read by cannot be changed later.
	changed := newHand().page().put(4, "<</Length 5 0 R>>\nstream\nq Q\nendstream").put(5, "3").table("").put(5, "3").table("")
	damaged{"length changed", changed.String(), "object 5 is changed by an update, and older objects are read by it", changed.String()[changed.prev:]}.test(t)
}

func TestReadRefusesPacked(t *testing.T) {
	file := func(dict, data string, rows map[int]row) string {
		return newHand().page().stream(4, "/Type/ObjStm"+dict, data).rows(7, rows, "").String()
	}
	both := map[int]row{5: {2, 4, 0}, 6: {2, 4, 1}}
	read(t, []byte(file("/N 2/First 8", "5 0 6 3 12 (x)", both)))
	for _, test := range []struct{ name, data, want string }{
		{"index", file("/N 2/First 8", "5 0 6 3 12 (x)", map[int]row{5: {2, 4, 1}}), "object 5 is said to be there with the index 1, and is not at byte 0 of object stream 4"},
		{"index outside", file("/N 2/First 8", "5 0 6 3 12 (x)", map[int]row{5: {2, 4, 2}}), "object 5 is said to be there with the index 2, and is not at byte 0 of object stream 4"},
		{"no first", file("/N 2", "5 0 6 3 12 (x)", both), "object 5: N and First do not fit the 14 bytes that there are at byte 0 of object stream 4"},
		{"first outside", file("/N 2/First 99", "5 0 6 3 12 (x)", both), "object 5: N and First do not fit the 14 bytes that there are at byte 0 of object stream 4"},
		{"too many", file("/N 3/First 8", "5 0 6 3 12 (x)", both), `object 5: the number and the place of an object are expected, and "" stands there at byte 8 of object stream 4`},
		{"too few", file("/N 1/First 8", "5 0 6 3 12 (x)", both), `object 5: "6 3 " stands behind the places of the objects at byte 4 of object stream 4`},
		{"order", file("/N 2/First 8", "5 3 6 0 12 (x)", both), "object 5: object 6 is placed at 0, which is not behind the one before it at byte 4 of object stream 4"},
		{"outside", file("/N 2/First 8", "5 0 6 6 12 (x)", both), "object 5: object 6 is placed at 6, which is not behind the one before it at byte 4 of object stream 4"},
		{"before the first", file("/N 2/First 8", "5 1 6 3 7 2(x)", both), `object 5: "7 2(x)" stands before the first object at byte 8 of object stream 4`},
		{"two values", file("/N 2/First 8", "5 0 6 3 1 2(x)", both), `object 5: object 5: "2" stands behind the object at byte 10 of object stream 4`},
		{"broken value", file("/N 2/First 8", "5 0 6 3 12 (x(", both), "object 5: object 6: a string does not end at byte 11 of object stream 4"},
		{"number 0", file("/N 1/First 4", "0 0 12", map[int]row{5: {2, 4, 0}}), `object 5: the number and the place of an object are expected, and "0 0 " stands there at byte 0 of object stream 4`},
	} {
		if _, err := Read([]byte(test.data)); err == nil || err.Error() != test.want {
			t.Errorf("%s: error\n\t%v, want\n\t%s", test.name, err, test.want)
		}
	}
	for name, data := range map[string]string{
		"no object stream": newHand().page().stream(4, "", "5 0 7").rows(7, map[int]row{5: {2, 4, 0}}, "").String(),
		"no stream":        newHand().page().put(4, "7").rows(7, map[int]row{5: {2, 4, 0}}, "").String(),
		"no object":        newHand().page().rows(7, map[int]row{5: {2, 4, 0}}, "").String(),
		"in itself":        newHand().page().rows(7, map[int]row{4: {2, 4, 0}}, "").String(),
		"in the other":     newHand().page().rows(7, map[int]row{4: {2, 5, 0}, 5: {2, 4, 0}}, "").String(),
		"length in itself": newHand().page().put(4, "<</Type/ObjStm/N 1/First 4/Length 5 0 R>>\nstream\n5 0 5\nendstream").rows(7, map[int]row{5: {2, 4, 0}}, "").String(),
		"packed":           newHand().page().stream(4, "/Type/ObjStm/N 1/First 4/Filter/FlateDecode", "5 0 7").rows(7, map[int]row{5: {2, 4, 0}}, "").String(),
		"kind 3":           newHand().page().rows(7, map[int]row{5: {3, 4, 0}}, "").String(),
		"kind 1 nowhere":   newHand().page().rows(7, map[int]row{5: {1, 4, 0}}, "").String(),
		"stream changed": newHand().page().stream(4, "/Type/ObjStm/N 1/First 4", "5 0 7").rows(7, map[int]row{5: {2, 4, 0}}, "").
			stream(4, "/Type/ObjStm/N 1/First 4", "5 0 8").rows(8, nil, "").String(),
		"widths":       strings.Replace(newHand().page().rows(7, nil, "").String(), "/W[1 4 1]", "/W[1 4 2]", 1),
		"widths large": strings.Replace(newHand().page().rows(7, nil, "").String(), "/W[1 4 1]", "/W[9 4 1]", 1),
		"index pairs":  strings.Replace(newHand().page().rows(7, nil, "").String(), "/Index[1 1 2 1 ", "/Index[1 1 2 ", 1),
		"index short":  strings.Replace(newHand().page().rows(7, nil, "").String(), "/Index[1 1 2 1 ", "/Index[1 1 ", 1),
	} {
		_, err := Read([]byte(data))
		if damage, ok := err.(*Damage); !ok {
			t.Errorf("%s: the error is %v, and no damage", name, err)
		} else {
			t.Log(name, damage)
		}
	}
}

// Of a file that is cut short nothing is read, wherever it is cut; but for the
// line end behind its last line, which need not be there.
func TestReadCut(t *testing.T) {
	for _, compact := range []bool{false, true} {
		data := small(t, compact)
		for n := range len(data) - 1 {
			if _, err := Read(data[:n]); err == nil {
				t.Errorf("compact %v: the first %d of %d bytes are a file", compact, n, len(data))
			}
		}
		read(t, data[:len(data)-1])
	}
}
