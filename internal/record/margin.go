package record

import "saltline/internal/diag"

// A margin takes what is to be said of some rows while they are bound, in
// their order. It is read into the job when the rows above are in it: what was
// said already is known only then. A nil margin takes nothing.
type margin []func(*binder)

func (m *margin) add(say func(*binder)) {
	if m != nil {
		*m = append(*m, say)
	}
}

func (m *margin) note(c Change) {
	if m != nil {
		said := c // so that only what is said is kept
		m.add(func(b *binder) { b.note(said) })
	}
}

func (m *margin) problem(d diag.Diagnostic) { m.add(func(b *binder) { b.problem(d) }) }

// take reads a margin into the job.
func (b *binder) take(m margin) {
	for _, say := range m {
		say(b)
	}
}
