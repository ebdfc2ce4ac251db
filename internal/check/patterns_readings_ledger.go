package check

import (
	"math"
	"math/bits"
	"slices"

	"saltline/internal/assess"
)

// A ledger is the extracts of the tests on steel in the order of the log, as
// whole numbers: equal ones for equal readings. Between rows that do not
// follow one another stands a number of its own, which equals no other.
type ledger struct {
	v      *assess.Review
	line   []int32 // index of the test; −1 for a gap
	token  []int32
	values []float64 // the readings that occur, ascending
	occurs []int     // how many rows hold each
	first  []int     // and how many of these rows are not a repetition of others
	beside []float64 // of each column beside it, the share of pairs that are equal; 0 while not known
}

func newLedger(v *assess.Review) *ledger {
	b := &ledger{v: v, beside: make([]float64, len(besideIt))}
	tests, read := steel(v), extractsRead(v)
	b.values = read.values
	b.occurs = make([]int, len(b.values))
	gap := int32(len(b.values))
	sheet, before := sheets(v), -1
	b.line, b.token = make([]int32, 0, len(tests)+1), make([]int32, 0, len(tests)+1)
	for _, i := range tests {
		k := read.at(i)
		if k < 0 {
			before = -1
			continue
		}
		if before < 0 || sheet.At(before) != sheet.At(i) {
			b.line, b.token = append(b.line, -1), append(b.token, gap)
			gap++
		}
		b.line, b.token = append(b.line, int32(i)), append(b.token, k)
		b.occurs[k]++
		before = i
	}
	return b
}

func pairsOf(n int) float64 { return float64(n) * float64(n-1) / 2 }

// window is the least number of rows, three or more, of which chance repeats
// less than one run in the log; 0 where there is none below a hundred.
func (b *ledger) window() int {
	rows, equal := 0, 0.0
	for _, n := range b.occurs {
		rows += n
		equal += pairsOf(n)
	}
	all := pairsOf(rows)
	share := (equal + 1) / all
	for w := leastCopied; w < 100; w++ {
		if all*math.Pow(share, float64(w)) < 1 {
			return w
		}
	}
	return 0
}

// sums are the checksums of the windows, by their first place.
func (b *ledger) sums(window int) []uint64 {
	const base = 0x9E3779B97F4A7C15 // odd, so that no token is lost
	if len(b.token) < window {
		return nil
	}
	out := uint64(1)
	for range window {
		out *= base
	}
	sums := make([]uint64, 0, len(b.token)-window+1)
	sum := uint64(0)
	for i, t := range b.token {
		sum = sum*base + uint64(t) + 1
		if i >= window {
			sum -= out * (uint64(b.token[i-window]) + 1)
		}
		if i+1 >= window {
			sums = append(sums, sum)
		}
	}
	return sums
}

// A repeat is the places from up to to, which carry the extracts of those so
// many places before.
type repeat struct{ from, to, distance int }

// repeats finds them, and counts the rows that are none. Rows are compared by
// windows of so many rows that chance repeats next to none, so that the latest
// earlier window with the same extracts is the one that was repeated, if it was.
// Most windows are like no other, and are passed over.
func (b *ledger) repeats(window int) []repeat {
	var all []repeat
	sums := b.sums(window)
	like := likeOthers(sums)
	lately := map[uint64]int32{} // where the last window with a sum began
	compared := map[int]int{}    // by distance, up to where rows have been compared
	b.first = slices.Clone(b.occurs)
	counted := 0 // the place up to which repeated rows are taken off
	for i, sum := range sums {
		if !like.has(sum) {
			continue
		}
		began, seen := lately[sum]
		j := int(began)
		if seen && i-j < window { // a window that overlaps its like
			continue
		}
		lately[sum] = int32(i)
		if !seen || i < compared[i-j] {
			continue
		}
		from, to := b.extend(i, j)
		if to-from < window { // another window with the same sum
			continue
		}
		compared[i-j] = to
		all = append(all, repeat{from, to, i - j})
		for counted = max(counted, from); counted < to; counted++ {
			b.first[b.token[counted]]--
		}
	}
	return all
}

// A sieve holds sums by some of their bits: those that it has, and a few others.
type sieve []uint64

// newSieve is a sieve for so many sums, of which it lets one in eight through
// at most that it does not have.
func newSieve(sums int) sieve { return make(sieve, 1<<bits.Len(uint(sums/8))) }

func (s sieve) bit(sum uint64) (word *uint64, bit uint64) {
	k := (sum ^ sum>>32) * 0x9E3779B97F4A7C15 >> 20
	return &s[k>>6&uint64(len(s)-1)], 1 << (k & 63)
}

func (s sieve) has(sum uint64) bool {
	word, bit := s.bit(sum)
	return *word&bit != 0
}

// likeOthers is a sieve of the sums that occur more than once.
func likeOthers(sums []uint64) sieve {
	all, again := newSieve(len(sums)), newSieve(len(sums))
	for _, sum := range sums {
		if word, bit := all.bit(sum); *word&bit == 0 {
			*word |= bit
			continue
		}
		word, bit := again.bit(sum)
		*word |= bit
	}
	return again
}

// extend finds how far the rows about i carry the extracts of those about j.
func (b *ledger) extend(i, j int) (from, to int) {
	from, to = i, i
	for to < len(b.token) && b.token[to] == b.token[to-i+j] {
		to++
	}
	for from-i+j > 0 && b.token[from-1] == b.token[from-1-i+j] {
		from--
	}
	return from, to
}

// nearby is how many steps of the meter two readings may differ by to tell how
// often chance makes two equal ones: readings that are eleven times as many
// tell it from fewer rows (house choice).
const nearby = 5

// chanceOf is about how many runs like these rows chance repeats in the log:
// the share of pairs of rows that carry the same extract, to the power of the
// number of rows, times the number of pairs. The share is that of the pairs
// that are equal or, where it is larger, an eleventh of that of the pairs within
// five steps and one more. Only rows count whose extract lies in the range of
// these, five steps further, as areas differ: where nearly nothing is found,
// readings of two or three steps above the blank repeat by themselves. Rows that
// repeat others are left out of the share, or they would explain themselves.
func (b *ledger) chanceOf(from, to int) float64 {
	run := b.token[from:to]
	step := 0.0
	for at := from; at < to; at++ {
		step = max(step, b.v.Lines[b.line[at]].Test.Extract().Dec.Step().Float())
	}
	reach := (nearby + 0.5) * step // halfway to the next step, for binary fractions
	low, _ := slices.BinarySearch(b.values, b.values[slices.Min(run)]-reach)
	high, _ := slices.BinarySearch(b.values, b.values[slices.Max(run)]+reach)
	rows, others, between, least := 0, 0, 0, low
	equal, near := 0.0, 0.0
	for k := low; k < high; k++ {
		for ; b.values[k]-b.values[least] > reach; least++ {
			between -= b.first[least]
		}
		n := b.first[k]
		rows, others = rows+b.occurs[k], others+n
		equal += pairsOf(n)
		near += pairsOf(n) + float64(n)*float64(between)
		between += n
	}
	all := pairsOf(others)
	if all < 1 {
		return 1
	}
	share := min(1, max(equal/all, (near+1)/((2*nearby+1)*all)))
	return pairsOf(rows) * math.Pow(share, float64(len(run)))
}

// shareBeside is the share of pairs of rows that carry the same in a column
// beside the extract. It counts once for a block, as blanks and temperatures
// go on as they are from row to row.
func (b *ledger) shareBeside(c int) float64 {
	if b.beside[c] == 0 {
		count := map[float64]int{}
		rows, equal := 0, 0.0
		for i := range b.v.Lines {
			if x, ok := besideIt[c].of(b.v.Lines[i].Test); ok && b.v.Lines[i].OfSteel() {
				count[x]++
				rows++
			}
		}
		for _, n := range count {
			equal += pairsOf(n)
		}
		b.beside[c] = min(1, (equal+1)/max(1, pairsOf(rows)))
	}
	return b.beside[c]
}
