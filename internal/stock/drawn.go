package stock

import (
	"strings"
	"unicode"

	"saltline/internal/record"
)

// Rows are the rows of the patches table that the tests of a job drew on, by
// test: the one whose name a test gives; else the batch with which its patch's
// name begins, as A31 in A31-001; else, for a test that names no patch, the
// only row of its kind. Nil where there is none.
func Rows(job *record.Job) []*record.Patch {
	rows := make([]*record.Patch, len(job.Tests))
	if len(job.Patches) == 0 {
		return rows
	}
	batches := make([]string, len(job.Patches))
	for i := range job.Patches {
		batches[i] = record.Folded(job.Patches[i].Batch.Val)
	}
	type named struct {
		patch string
		known bool
		kind  record.PatchKind
	}
	seen := map[named]*record.Patch{}
	for i := range job.Tests {
		t := &job.Tests[i]
		n := named{t.Patch().Val, t.PatchKind().Known(), t.PatchKind().Val}
		row, is := seen[n]
		if !is {
			row = rowOf(job, batches, t)
			seen[n] = row
		}
		rows[i] = row
	}
	return rows
}

// rowOf finds the row of a test. batches are the folded names of the rows.
func rowOf(job *record.Job, batches []string, t *record.Test) *record.Patch {
	patch := record.Folded(t.Patch().Val)
	best, ofKind, kinds := -1, -1, 0
	for i, batch := range batches {
		p := &job.Patches[i]
		switch {
		case batch != "" && drawnFrom(patch, batch):
			if best < 0 || len(batch) > len(batches[best]) {
				best = i
			}
		case t.Patch().Val == "" && t.PatchKind().Known() && p.Kind.Known() && p.Kind.Val == t.PatchKind().Val:
			ofKind = i
			kinds++
		}
	}
	switch {
	case best >= 0:
		return &job.Patches[best]
	case kinds == 1:
		return &job.Patches[ofKind]
	}
	return nil
}

// drawnFrom reports whether a patch is the batch itself or one of it.
func drawnFrom(patch, batch string) bool {
	rest, ok := strings.CutPrefix(patch, batch)
	if !ok || rest == "" {
		return ok
	}
	r := []rune(rest)[0]
	return !unicode.IsLetter(r) && !unicode.IsDigit(r)
}

// family is the batch that the name of a patch speaks of where no table lists
// it: without the counter behind its last hyphen, stroke or space.
func family(patch string) string {
	i := strings.LastIndexAny(patch, "-–/ ")
	if i <= 0 || i == len(patch)-1 {
		return patch
	}
	counter := strings.TrimLeft(patch[i:], "-–/ ")
	if counter == "" || strings.ContainsFunc(counter, func(r rune) bool { return !unicode.IsDigit(r) }) {
		return patch
	}
	return strings.TrimRight(patch[:i], "-–/ ")
}
