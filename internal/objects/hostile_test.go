package objects

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
)

// hostile are files that would take long, or much memory, if they were read
// without care.
func hostile() map[string][]byte {
	zeros := func(head string, n int) string {
		return string(Deflated(nil, append([]byte(head), make([]byte, n)...)).Raw)
	}
	out := map[string]string{}

	// Objects that begin inside of each other.
	h := newHand().page()
	const nested = 20_000
	from := h.Len()
	var body strings.Builder
	for i := range nested {
		h.at[10+i] = from + body.Len()
		fmt.Fprintf(&body, "%d 0 obj (", 10+i)
	}
	h.WriteString(body.String() + strings.Repeat(") endobj ", nested) + "\n")
	h.size = nested + 10
	out["objects in each other"] = h.table("").String()

	// Object streams and cross-reference streams that unpack to a thousand
	// times their length.
	// Zero bytes are white space, so that these are object streams; each
	// of the three alike is asked for another of its objects.
	bomb := zeros("200 0 201 2 202 4 203 6 204 8 7 8 9 7 8", maxContainer-100)
	h = newHand().page()
	rows := map[int]row{}
	for i := range 5 {
		h.stream(100+i, "/Type/ObjStm/N 5/First 30/Filter/FlateDecode", bomb)
		rows[200+i] = row{2, 100 + i, i}
	}
	out["object streams"] = h.rows(300, rows, "").String()
	h = newHand().page()
	at := h.Len()
	h.stream(4, "/Type/XRef/W[1 2 1]/Size 8000000/Root 1 0 R/Filter/FlateDecode", zeros("", 32_000_000))
	out["cross-references"] = h.tail(at).String()

	// A number that is far above all others.
	h = newHand().page().put(8_000_000, "7")
	out["sparse numbers"] = h.table("").String()

	// Streams whose one length is long to read.
	h = newHand().page().put(4, strings.Repeat(" ", 1<<20)+"3")
	for i := range 5_000 {
		h.put(10+i, "<</Length 4 0 R>>\nstream\nq Q\nendstream")
	}
	out["one length"] = h.table("").String()

	// A catalog that is long to read, in many updates.
	h = newHand().put(1, "["+strings.Repeat("[]", 1<<20)+"]").put(2, "<</A["+strings.Repeat("[]", 1<<20)+"]>>").table("")
	for range maxUpdates - 1 {
		h.put(9, "7").table("")
	}
	out["one catalog"] = strings.ReplaceAll(h.String(), "/Root 1", "/Root 2")

	// Values that are small in the file and large in memory.
	out["values"] = newHand().page().put(4, "["+strings.Repeat("<<>>", 1<<19)+"]").table("").String()
	out["keys"] = newHand().page().put(4, "<<"+strings.Repeat("/K 0", 1<<20)+">>").table("").String()

	// A circle, and a chain that is too long.
	h = newHand().page().table("")
	for range maxUpdates {
		h.put(9, "7").table("")
	}
	out["updates"] = h.String()
	out["spaces"] = newHand().page().String() + strings.Repeat(" ", 8<<20) + "startxref\n5\n%%EOF\n"

	files := map[string][]byte{}
	for name, data := range out {
		files[name] = []byte(data)
	}
	return files
}

// Each is refused, or read, with the words that say why.
func TestHostile(t *testing.T) {
	files := hostile()
	for name, want := range map[string]string{
		"objects in each other": "inside another object",
		"object streams":        "the object stream is not read: the unpacked bytes are more",
		"cross-references":      "more than a file of",
		"sparse numbers":        "more than a file of",
		"one length":            "",
		"one catalog":           "",
		"values":                "more than 134217728 bytes of memory",
		"keys":                  "the key /K is there twice",
		"updates":               "more than 256 updates",
		"spaces":                "cross-references are expected",
	} {
		data := files[name]
		if _, err := Read(data); fmt.Sprint(err) == "<nil>" != (want == "") || !strings.Contains(fmt.Sprint(err), want) {
			t.Errorf("%s: error %v, want %s", name, err, want)
		}
	}
	if !bytes.Contains(files["one catalog"], []byte("/Root 2")) {
		t.Error("the catalog is another")
	}
}
