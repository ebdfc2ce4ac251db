package papers

import (
	"slices"
	"strings"

	"saltline/internal/record"
)

// leastDigest is how many digits of a digest it takes to tell rows from others
// (house choice): the documents print sixteen, and by chance one in four
// thousand million other rows begins with the same eight.
const leastDigest = 8

// begins reports whether a digest as it was written down, which may be short, is
// that of the rows. One of a few digits shows nothing.
func begins(digest, written string) bool {
	return len(written) >= leastDigest && strings.HasPrefix(digest, written)
}

// firstRevision is the lowest revision with which reports of the job begin; ""
// where none has one.
func firstRevision(job *record.Job) string {
	first, known := "", false
	for i := range job.Days {
		if r := job.Days[i].Revision; r.Known() && (!known || record.CompareRevisions(r.Val, first) < 0) {
			first, known = r.Val, true
		}
	}
	return first
}

// revised reports whether the report is a later revision: the record holds an
// earlier one, or reports of the job begin with an earlier one, and this one is
// not there.
func (p *Report) revised(lowest string) bool {
	return len(p.Earlier) > 0 || lowest != "" && p.Revision != "" && record.CompareRevisions(p.Revision, lowest) > 0
}

// listed compares the report with what the table of documents says of its
// revision.
func (p *Report) listed(job *record.Job) {
	if p.Number == "" {
		return
	}
	for i := range job.Documents {
		d := &job.Documents[i]
		if !d.Kind.Known() || KindOf(d.Kind.Val) != DailyReport || record.Folded(d.Number.OrZero()) != record.Folded(p.Number) ||
			record.CompareRevisions(first(d.Revision.OrZero()), first(p.Revision)) != 0 {
			continue
		}
		// Only a digest of rows can be compared: that of a whole record changes
		// with every day that is added.
		if rows, of := OfRows(d.Digest); of && !begins(p.Digest, rows) {
			p.Gaps = append(p.Gaps, Gap{Kind: IssuedElse})
			return
		}
	}
}

// oneSigner reports whether one person signed for the owner and, on the same
// report, for the contractor.
func (p *Report) oneSigner() bool {
	var owner string
	for _, s := range p.Signed {
		if s.Signer.Key == Owner.Key && s.Signature != nil {
			owner = record.Folded(s.Signature.Name.Val)
		}
	}
	return owner != "" && slices.ContainsFunc(p.Signed, func(s Signed) bool {
		return s.Signer.Key != Owner.Key && s.Signature != nil && record.Folded(s.Signature.Name.Val) == owner
	})
}
