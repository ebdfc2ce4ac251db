package report

// Summary is what the first page says in words, for a terminal.
func (a Audit) Summary() (string, error) {
	c := newAuditor(a)
	return c.summary(), c.err
}
