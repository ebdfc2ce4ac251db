package objects

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// A hand writes a file for a test as text, with the places where they belong:
// nothing of the package is used, so that what it reads is not what it wrote.
type hand struct {
	strings.Builder
	at    map[int]int // places of the objects since the last table
	size  int
	prev  int
	start int // of the last update
	end   int // of it
}

func newHand() *hand {
	h := &hand{at: map[int]int{}, prev: -1, size: 1}
	h.WriteString("%PDF-1.7\n")
	return h
}

// put writes an object that stands in the file itself.
func (h *hand) put(number int, body string) *hand {
	h.at[number] = h.Len()
	h.size = max(h.size, number+1)
	fmt.Fprintf(h, "%d 0 obj\n%s\nendobj\n", number, body)
	return h
}

func (h *hand) stream(number int, dict, data string) *hand {
	return h.put(number, fmt.Sprintf("<<%s/Length %d>>\nstream\n%s\nendstream", dict, len(data), data))
}

// page puts a catalog, a tree and a page.
func (h *hand) page() *hand {
	return h.put(1, "<</Type/Catalog/Pages 2 0 R>>").
		put(2, "<</Type/Pages/Kids[3 0 R]/Count 1>>").
		put(3, "<</Type/Page/Parent 2 0 R>>")
}

// table ends an update with a classic table.
func (h *hand) table(trailer string) *hand {
	at := h.Len()
	h.WriteString("xref\n")
	for _, n := range slices.Sorted(maps.Keys(h.at)) {
		fmt.Fprintf(h, "%d 1\n%010d 00000 n\r\n", n, h.at[n])
	}
	if h.prev >= 0 {
		trailer += fmt.Sprintf("/Prev %d", h.prev)
	}
	fmt.Fprintf(h, "trailer\n<</Size %d/Root 1 0 R%s>>\n", h.size, trailer)
	return h.tail(at)
}

func (h *hand) tail(at int) *hand {
	fmt.Fprintf(h, "startxref\n%d\n%%%%EOF\n", at)
	h.prev, h.start = at, h.end
	h.end = h.Len()
	clear(h.at)
	return h
}

// A row is an entry of a cross-reference stream: kind, place, index.
type row [3]int

// rows ends an update with a cross-reference stream that is not packed, of
// the objects that were put and of those given.
func (h *hand) rows(number int, more map[int]row, dict string) *hand {
	at := h.Len()
	h.size = max(h.size, number+1)
	all := map[int]row{number: {1, at, 0}}
	for n, at := range h.at {
		all[n] = row{1, at, 0}
	}
	maps.Copy(all, more)
	var index, data strings.Builder
	for _, n := range slices.Sorted(maps.Keys(all)) {
		fmt.Fprintf(&index, "%d 1 ", n)
		h.size = max(h.size, n+1)
		e := all[n]
		data.Write([]byte{byte(e[0]), byte(e[1] >> 24), byte(e[1] >> 16), byte(e[1] >> 8), byte(e[1]), byte(e[2])})
	}
	if h.prev >= 0 {
		dict += fmt.Sprintf("/Prev %d", h.prev)
	}
	h.stream(number, fmt.Sprintf("/Type/XRef/W[1 4 1]/Index[%s]/Size %d/Root 1 0 R%s", index.String(), h.size, dict), data.String())
	return h.tail(at)
}

// with is the file with the first old made new.
func (h *hand) with(old, new string) string {
	s := h.String()
	if strings.Count(s, old) == 0 {
		panic("the file does not hold " + old)
	}
	return strings.Replace(s, old, new, 1)
}
