package heading

import (
	"slices"
)

// fewest is the least number of headings that a table beside another has.
const fewest = 3

// groups parts the headings of tables that stand side by side: the same
// headings in the same order, two times or more. Most heads are one group.
func (h *head) groups() [][]*entry {
	n := len(h.entries)
	for size := fewest; size <= n/2; size++ {
		if n%size != 0 {
			continue
		}
		again := true
		for i := size; i < n && again; i++ {
			again = h.entries[i].fold == h.entries[i-size].fold
		}
		if again {
			return slices.Collect(slices.Chunk(h.entries, size))
		}
	}
	return [][]*entry{h.entries}
}

// span is the columns from low up to but not including high that belong to
// group k; what stands between two groups belongs to the left one.
func span(groups [][]*entry, k int) (low, high int) {
	low, high = 1, 1<<30
	if k > 0 {
		low = groups[k][0].col
	}
	if k+1 < len(groups) {
		high = groups[k+1][0].col
	}
	return low, high
}

// follow settles e as o was settled, whose heading reads the same.
func (e *entry) follow(o *entry) {
	e.column, e.kind, e.doubt, e.mapped, e.asked = o.column, o.kind, o.doubt, o.mapped, o.asked
	e.ev = o.ev
	if o.class == "" {
		e.unit, e.class = "", ""
	}
}
