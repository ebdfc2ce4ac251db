package readback

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// A Difference is something that a document says otherwise than the same
// document made again.
type Difference struct {
	Kind  Kind
	Where string // "page 3, row 12", or the path of a result
	Was   string // as the document says it; "" where it does not
	Now   string // made again; "" where that says nothing
}

// A Kind of difference.
type Kind int

const (
	Value   Kind = iota // a number, a verdict, what a cell of a table holds
	Wording             // words around the same numbers
	Lost                // said only by the document made again
	Added               // said only by the document
	Order               // said in another place
)

// Said holds what the pages of d say against those of again, part by part in
// the order of reading. Where lines and pages end does not matter.
func (d *Document) Said(again *Document) []Difference {
	before, after := speaking(d.Says), speaking(again.Says)
	var all []Difference
	for _, g := range gaps(spelled(before), spelled(after)) {
		old, new := before[g.fromWas:g.toWas], after[g.fromNow:g.toNow]
		if len(old) == len(new) {
			for i := range old {
				all = append(all, between(old[i], new[i]))
			}
			continue
		}
		for _, s := range old {
			all = append(all, Difference{Added, s.place(), s.Text, ""})
		}
		for _, s := range new {
			all = append(all, Difference{Lost, s.place(), "", s.Text})
		}
	}
	return all
}

// OutOfOrder lists the pages that do not come in the order of reading: each
// part begins where the one before it does, or behind.
func (d *Document) OutOfOrder() []Difference {
	last := 0
	var all []Difference
	for _, s := range d.Says {
		if s.Page == 0 || s.Kind == "Link" { // a link at the foot of all pages is said once
			continue
		}
		if s.Page < last {
			all = append(all, Difference{Order, fmt.Sprintf("page %d", last), fmt.Sprintf("page %d goes on with what page %d began", s.Page, last), ""})
		}
		last = s.Page
	}
	return all
}

// Stamps holds what stands on each page outside what is said: the running
// heads, the feet.
func (d *Document) Stamps(again *Document) []Difference {
	var all []Difference
	if len(d.stamps) != len(again.stamps) {
		return []Difference{{Value, "pages", fmt.Sprint(len(d.stamps)), fmt.Sprint(len(again.stamps))}}
	}
	for i, s := range d.stamps {
		if !slices.Equal(s, again.stamps[i]) {
			all = append(all, Difference{Value, fmt.Sprintf("page %d, head and foot", i+1), strings.Join(s, " "), strings.Join(again.stamps[i], " ")})
		}
	}
	return all
}

// Beside holds what stands on the pages outside what is said against that of
// another version, whose pages may end elsewhere: the texts, whatever numbers are
// in them, and how much is drawn. A verdict that only one of them has there, or
// the word of a draft, is a value.
func (d *Document) Beside(again *Document) []Difference {
	const at = "head, foot and what is drawn"
	was, now := besides(d.stamps), besides(again.stamps)
	var all []Difference
	words := map[string]bool{}
	for _, s := range now {
		for _, w := range capitals(s) {
			words[w] = true
		}
	}
	for k, s := range was {
		if _, is := now[k]; is {
			continue
		}
		kind := Wording
		if slices.ContainsFunc(capitals(s), func(w string) bool { return !words[w] }) {
			kind = Value
		}
		all = append(all, Difference{kind, at, s, ""})
	}
	every := onEvery(again.stamps)
	for i, page := range d.stamps {
		has := capitals(strings.Join(page, " "))
		for w := range every {
			if !slices.Contains(has, w) {
				all = append(all, Difference{Value, fmt.Sprintf("page %d, head and foot", i+1), "", w})
			}
		}
	}
	if len(d.strokes) == len(again.strokes) {
		for i, n := range d.strokes {
			if n != again.strokes[i] {
				all = append(all, Difference{Wording, fmt.Sprintf("page %d, lines, fillings and pictures", i+1), fmt.Sprint(n), fmt.Sprint(again.strokes[i])})
			}
		}
	}
	slices.SortFunc(all, func(a, b Difference) int { return strings.Compare(a.Where+a.Was+a.Now, b.Where+b.Was+b.Now) })
	return all
}

// onEvery are the words in capitals that stand on every page, such as that of a
// draft.
func onEvery(stamps [][]string) map[string]bool {
	on := map[string]int{}
	for _, page := range stamps {
		for _, w := range slices.Compact(slices.Sorted(slices.Values(capitals(strings.Join(page, " "))))) {
			on[w]++
		}
	}
	every := map[string]bool{}
	for w, n := range on {
		if n == len(stamps) {
			every[w] = true
		}
	}
	return every
}

// besides are the texts beside what is said, by what they are without their
// numbers.
func besides(stamps [][]string) map[string]string {
	all := map[string]string{}
	for _, page := range stamps {
		for _, s := range page {
			key := strings.Map(func(r rune) rune {
				if unicode.IsDigit(r) {
					return '0'
				}
				return r
			}, s)
			for strings.Contains(key, "00") {
				key = strings.ReplaceAll(key, "00", "0")
			}
			if all[key] == "" {
				all[key] = s
			}
		}
	}
	return all
}

// speaking are the parts that say something themselves, and the cells of
// tables, which do so even where they are empty.
func speaking(all []Said) []Said {
	var out []Said
	for _, s := range all {
		if s.Row > 0 || s.Text != "" {
			out = append(out, s)
		}
	}
	return out
}

func (s Said) place() string {
	if s.Row > 0 {
		return fmt.Sprintf("page %d, a cell", s.Page)
	}
	return fmt.Sprintf("page %d", s.Page)
}

// between is the difference of two parts that stand in the same place. What a
// cell of a table holds is a value, and so are numbers, and words in capitals as
// verdicts are.
func between(was, now Said) Difference {
	k := Value
	if was.Row == 0 && slices.Equal(numbers(was.Text), numbers(now.Text)) && slices.Equal(capitals(was.Text), capitals(now.Text)) {
		k = Wording
	}
	return Difference{k, was.place(), was.Text, now.Text}
}

// numbers are the numbers in a text, in order, as written.
func numbers(s string) []string {
	return strings.FieldsFunc(s, func(r rune) bool { return !unicode.IsDigit(r) && r != '.' && r != ',' && r != '−' })
}

// capitals are the words of three letters or more in a text that are all
// capitals, in order.
func capitals(s string) []string {
	words := strings.FieldsFunc(s, func(r rune) bool { return !unicode.IsLetter(r) })
	return slices.DeleteFunc(words, func(w string) bool {
		return utf8.RuneCountInString(w) < 3 || strings.ContainsFunc(w, func(r rune) bool { return !unicode.IsUpper(r) })
	})
}

// spelled are the texts of parts without the spaces and the soft hyphens in
// them, which depend on where lines end, behind their kinds.
func spelled(all []Said) []string {
	out := make([]string, len(all))
	for i, s := range all {
		out[i] = s.Kind + " " + strings.Map(func(r rune) rune {
			if unicode.IsSpace(r) || r == '\u00ad' {
				return -1
			}
			return r
		}, s.Text)
	}
	return out
}

// A gap is where two lists differ.
type gap struct{ fromWas, toWas, fromNow, toNow int }

// gaps are where two lists differ, with as little in them as is found in a
// bounded time: lists are matched by the texts that stand once in both, as is
// best for long documents, which repeat themselves in many places.
func gaps(was, now []string) []gap {
	var out []gap
	var walk func(w0, w1, n0, n1, depth int)
	walk = func(w0, w1, n0, n1, depth int) {
		for w0 < w1 && n0 < n1 && was[w0] == now[n0] {
			w0, n0 = w0+1, n0+1
		}
		for w0 < w1 && n0 < n1 && was[w1-1] == now[n1-1] {
			w1, n1 = w1-1, n1-1
		}
		if w0 == w1 && n0 == n1 {
			return
		}
		anchors := onceInBoth(was[w0:w1], now[n0:n1])
		if len(anchors) == 0 || depth > deepest {
			out = append(out, gap{w0, w1, n0, n1})
			return
		}
		w, n := w0, n0
		for _, a := range anchors {
			walk(w, w0+a[0], n, n0+a[1], depth+1)
			w, n = w0+a[0]+1, n0+a[1]+1
		}
		walk(w, w1, n, n1, depth+1)
	}
	walk(0, len(was), 0, len(now), 0)
	return out
}

// onceInBoth are the places of texts that stand once in each of two lists, as
// many as come in the same order in both.
func onceInBoth(was, now []string) [][2]int {
	type count struct{ inWas, inNow, at int }
	counts := map[string]*count{}
	for i, s := range was {
		if c := counts[s]; c != nil {
			c.inWas++
		} else {
			counts[s] = &count{inWas: 1, at: i}
		}
	}
	for _, s := range now {
		if c := counts[s]; c != nil {
			c.inNow++
		}
	}
	// The longest rising sequence of places, by the heights of its piles.
	var piles, before []int
	var pairs [][2]int
	for n, s := range now {
		c := counts[s]
		if c == nil || c.inWas != 1 || c.inNow != 1 {
			continue
		}
		k, _ := slices.BinarySearchFunc(piles, c.at, func(p, at int) int { return pairs[p][0] - at })
		pairs = append(pairs, [2]int{c.at, n})
		last := -1
		if k > 0 {
			last = piles[k-1]
		}
		before = append(before, last)
		if k == len(piles) {
			piles = append(piles, len(pairs)-1)
		} else {
			piles[k] = len(pairs) - 1
		}
	}
	if len(piles) == 0 {
		return nil
	}
	var out [][2]int
	for p := piles[len(piles)-1]; p >= 0; p = before[p] {
		out = append(out, pairs[p])
	}
	slices.Reverse(out)
	return out
}
