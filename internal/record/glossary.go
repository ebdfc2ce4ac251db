package record

import (
	"math/bits"
	"math/rand/v2"
	"sync"
)

// A glossary says what texts stand for: numbers above 0. It is a map that looks up
// short texts, as nearly all that recur in a log are, as two words of the machine,
// in a fifth of the time.
type glossary struct {
	short []entered // a power of two, so that at least every other is free
	n     int       // texts in short
	shift int       // of a product, to a place in short
	long  map[string]uint16
}

// An entered is a short text with what it stands for; free where that is 0.
type entered struct {
	key text15
	is  uint16
}

// A text15 is a text of at most 15 bytes, with its length in the last.
type text15 [2]uint64

func text15Of(s string) (key text15, ok bool) {
	n := len(s)
	switch {
	case n > 15:
		return key, false
	case n >= 8:
		key[0], key[1] = fourBytes(s[:4])|fourBytes(s[4:8])<<32, (fourBytes(s[n-8:n-4])|fourBytes(s[n-4:])<<32)>>(8*(16-n))
	case n >= 4:
		key[0] = fourBytes(s[:4]) | fourBytes(s[n-4:])<<(8*(n-4))
	case n > 0:
		key[0] = uint64(s[0]) | uint64(s[n/2])<<(8*(n/2)) | uint64(s[n-1])<<(8*(n-1))
	}
	key[1] |= uint64(n) << 56
	return key, true
}

// fourBytes are the first four bytes of a text as a number.
func fourBytes(s string) uint64 {
	return uint64(s[0]) | uint64(s[1])<<8 | uint64(s[2])<<16 | uint64(s[3])<<24
}

// factors spread texts. They are new in each run, so that nobody can write a log
// whose texts all fall on one place.
var factors = [2]uint64{rand.Uint64() | 1, rand.Uint64() | 1}

// at is the place in short of a key, or a free one for it.
func (g *glossary) at(key text15) *entered {
	for k := (key[0]*factors[0] + key[1]*factors[1]) >> g.shift; ; k++ {
		if e := &g.short[k&uint64(len(g.short)-1)]; e.is == 0 || e.key == key {
			return e
		}
	}
}

// find is what a text stands for; 0 where it is not known.
func (g *glossary) find(text string) uint16 {
	key, ok := text15Of(text)
	switch {
	case !ok:
		return g.long[text]
	case g.n == 0:
		return 0
	}
	return g.at(key).is
}

// add enters a text, or makes it stand for another.
func (g *glossary) add(text string, is uint16) {
	key, ok := text15Of(text)
	if !ok {
		if g.long == nil {
			g.long = map[string]uint16{}
		}
		g.long[text] = is
		return
	}
	if 2*g.n >= len(g.short) {
		g.grow()
	}
	e := g.at(key)
	if e.is == 0 {
		g.n++
	}
	*e = entered{key, is}
}

// grow makes room for four times as many short texts.
func (g *glossary) grow() {
	was, n := g.short, 8
	if was != nil {
		n = 4 * len(was)
	}
	if g.short = nil; n >= large {
		if s, ok := spare.Get().(*[]entered); ok && len(*s) >= n {
			clear(*s)
			g.short = *s
		}
	}
	if g.short == nil {
		g.short = make([]entered, n)
	}
	g.shift = 64 - bits.TrailingZeros(uint(len(g.short)))
	for _, e := range was {
		if e.is != 0 {
			*g.at(e.key) = e
		}
	}
}

// spare are the lists of short texts of glossaries that were left: each sheaf of a
// long log has its own for each column. They have large places at least.
var spare sync.Pool

const large = 512

// leave empties a glossary.
func (g *glossary) leave() {
	if len(g.short) >= large {
		short := g.short
		spare.Put(&short)
	}
	*g = glossary{}
}

// texts is how many texts are known.
func (g *glossary) texts() int { return g.n + len(g.long) }
