package record

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"

	"saltline/internal/diag"
	"saltline/internal/heading"
)

// A wording is one way of writing a key, and the key that it stands for.
type wording struct {
	text, key string
	own       bool // it is the key itself, not a wording of some language
}

// wordings are all ways of writing a key that says something here: those of the
// job table in every language, and the names of what the readings may take from
// a cover sheet. The other wordings of these are too many to guess by: "Fläche"
// is no "Flasche", a bottle of water.
var wordings = sync.OnceValue(func() []wording {
	var all []wording
	for _, c := range terms {
		all = append(all, wording{c.name, c.name, true})
	}
	for _, c := range limitTerms {
		all = append(all, wording{c.name, c.name, true})
	}
	for _, w := range heading.Wordings() {
		if isTerm(w.Key) || sharable(w.Key) && w.Text == w.Key {
			all = append(all, wording{w.Text, w.Key, false})
		}
	}
	return all
})

// sharable reports whether a job table may give a key to the readings beside it.
func sharable(key string) bool {
	return readings.has(key) && !isTerm(key) && key != "area" && key != "blank"
}

// heedRow says of a row of a job table whose key is none of ours which key was
// perhaps meant, or keeps it for the reading note: no row vanishes.
func (b *binder) heedRow(p *page, e entry) {
	if isTerm(e.key) || b.shared[e.cell.Pos] || p.again {
		return
	}
	if known, _ := heading.Key(e.key); known == "" {
		if like := b.meant(p, e); len(like) > 0 {
			b.problem(diag.Diagnostic{
				Pos: e.name.Pos, Level: diag.Problem, Check: "unknown-key",
				Msg:  fmt.Sprintf("found the key %q, but wanted a key of the job table; perhaps %s", quoted(e.name.Text), quotedList(like)),
				Hint: "correct the key if it was meant so; as it stands the row is kept and not used",
			})
			return
		}
	}
	b.job.Note.Keys = append(b.job.Note.Keys, Stray{Pos: e.name.Pos, Key: e.name.Text, Value: e.cell.Text})
}

func quotedList(names []string) string {
	quotes := make([]string, len(names))
	for i, n := range names {
		quotes[i] = strconv.Quote(n)
	}
	return strings.Join(quotes, " or ")
}

// meant are the keys that the key of a row is close to: written with a slip or
// shortened, or sharing a word with one whose values its own value is one of.
func (b *binder) meant(p *page, e entry) []string {
	if like := near(e.key); len(like) > 0 {
		return like
	}
	var like []string
	for _, c := range terms {
		if sharesWord(e.key, c.name) && valueOf(b, p, e, c) {
			like = append(like, c.name)
		}
	}
	for _, c := range limitTerms {
		if sharesWord(e.key, c.name) && valueOf(b, p, e, c) {
			like = append(like, c.name)
		}
	}
	return like
}

// near are the keys that a folded key is written like. The number of a limit
// goes with it: "limt 2" is near "limit 2".
func near(key string) []string {
	if slices.Contains(otherKeys, key) {
		return nil
	}
	bare, number := key, 0
	if f := strings.Fields(key); len(f) > 1 {
		f = slices.DeleteFunc(f, func(w string) bool {
			n, err := strconv.Atoi(w)
			if err == nil && n > 0 && n < 100 {
				number = n
			}
			return err == nil
		})
		bare = strings.Join(f, " ")
	}
	var like []string
	for _, w := range wordings() {
		name := w.key
		switch {
		case !w.own && utf8.RuneCountInString(w.text) < 5:
			continue // too short to be sure of in five languages
		case number > 0 && !limitTerms.has(w.key):
			continue
		case number > 0:
			name = numbered(w.key, number)
		}
		if (alike(bare, w.text) || wordByWord(bare, w.text)) && !slices.Contains(like, name) {
			like = append(like, name)
		}
	}
	return like
}

// otherKeys stand in job sheets on their own account, and are by chance written
// like one of ours.
var otherKeys = []string{"contact", "contacts", "kontakt", "contacto", "batch", "point"}

// alike reports whether two texts differ by a slip of the pen: one letter, or
// two of a long text that begins alike. Spaces do not count, and of four
// letters one may be missing or two may be swapped, but none replaced: "side"
// is no "site".
func alike(a, b string) bool {
	one, two := []rune(strings.ReplaceAll(a, " ", "")), []rune(strings.ReplaceAll(b, " ", ""))
	n := max(len(one), len(two))
	switch d := slips(one, two); {
	case n < 4 || min(len(one), len(two)) < 3:
		return false
	case n == 4 && len(one) == len(two):
		slices.Sort(one)
		slices.Sort(two)
		return d <= 1 && slices.Equal(one, two)
	case n < 12:
		return d <= 1
	default:
		return d <= 2 && one[0] == two[0]
	}
}

// slips counts the letters to be put in, taken out, replaced, or swapped with
// the next to make one text of another.
func slips(a, b []rune) int {
	rows := [3][]int{make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)}
	for k := range rows[0] {
		rows[0][k] = k
	}
	for i := 1; i <= len(a); i++ {
		now, last, before := rows[i%3], rows[(i+2)%3], rows[(i+1)%3]
		now[0] = i
		for k := 1; k <= len(b); k++ {
			other := 1
			if a[i-1] == b[k-1] {
				other = 0
			}
			now[k] = min(now[k-1]+1, last[k]+1, last[k-1]+other)
			if i > 1 && k > 1 && a[i-1] == b[k-2] && a[i-2] == b[k-1] {
				now[k] = min(now[k], before[k-2]+1)
			}
		}
	}
	return rows[len(a)%3][len(b)]
}

// wordByWord reports whether two texts of several words have the same words, in
// any order, where a word of the first may be shortened or have a slip in it.
func wordByWord(text, of string) bool {
	mine, theirs := telling(text), telling(of)
	if len(mine) != len(theirs) || len(mine) < 2 {
		return false
	}
	for _, w := range mine {
		i := slices.IndexFunc(theirs, func(t string) bool {
			return w == t || alike(w, t) || len(w) >= 3 && strings.HasPrefix(t, w)
		})
		if i < 0 {
			return false
		}
		theirs = slices.Delete(theirs, i, i+1)
	}
	return true
}

// telling are the words of a text without the small ones that join them.
func telling(text string) []string {
	return slices.DeleteFunc(strings.Fields(text), func(w string) bool { return slices.Contains(joiningWords, w) })
}

var joiningWords = []string{"of", "the", "to", "in", "for", "and", "der", "die", "das", "des", "von", "fur", "de", "del", "la", "le", "les", "el", "du", "av", "og"}

// sharesWord reports whether two keys share a word that tells something. A key
// of the house limits is nobody's guess.
func sharesWord(key, name string) bool {
	if strings.HasPrefix(name, "house ") {
		return false
	}
	return slices.ContainsFunc(telling(name), func(w string) bool {
		return len(w) >= 5 && slices.Contains(telling(key), w)
	})
}

// valueOf reports whether the value of a row is one that a column takes and
// that not every text is. Of the numbers only those with their unit count, and
// only of what stands on no cover sheet beside: a humidity may be that of the day.
func valueOf[T any](b *binder, p *page, e entry, col column[T]) bool {
	read := func(text string) (said, wrote) {
		var row T
		at := cell{head: e.head, headAt: e.cell.Pos, sign: p.sign, told: &told{noted: map[string]bool{}, calendar: calendar{}}, page: p, b: b, out: new(margin)}
		found := e.cell
		if text != "" {
			found.Text, found.Raw = text, text
		}
		at.fill(&found)
		col.set(&row, &at)
		return col.said(&row), col.wrote(&row)
	}
	s, w := read("")
	if s.state != Known {
		return false
	}
	if col.holds.numeric() {
		return w.unit != "" && slices.Contains([]string{"limit", "volume", "patch area", "expanded uncertainty"}, col.name)
	}
	s, _ = read("?!")
	return s.state != Known
}

// writeKey says which key to write instead of one of --set that is none of
// ours: one that it is written like, or those that share a word with it, or any.
func writeKey(key string) string {
	if like := near(key); len(like) > 0 {
		return "write it as " + quotedList(like)
	}
	var all, like []string
	add := func(name string) {
		all = append(all, name)
		for _, w := range strings.Fields(key) {
			if len(w) > 2 && strings.Contains(name, w) {
				like = append(like, name)
				return
			}
		}
	}
	for _, c := range terms {
		add(c.name)
	}
	for _, c := range limitTerms {
		add(c.name)
	}
	if len(like) == 0 {
		like = all
	}
	return "write one of: " + strings.Join(like, ", ")
}
