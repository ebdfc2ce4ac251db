package record

import (
	"cmp"
	"slices"
	"strings"

	"saltline/internal/unit"
)

// Join makes one job of the records of several files, such as one workbook a
// day. Rows that two of them hold word for word are one row. What they say
// differently of the job or of an area is a conflict; what holds for the tests
// of one file alone (its volume, its patch area, its limit) stays with them.
//
// Where two files hold the same day under one report number and two revisions,
// the later revision counts, and the earlier is in Superseded. A file may say so
// in its titles, where the rows of the days stand in another. Nothing else is
// left out: two versions of a test that claim the same revision both stand.
//
// A part without tests, such as a workbook of people and meters, goes with all
// of them: what it says of the job holds for the tests of the others.
//
// The order in which the parts are given does not matter. They are not used
// afterwards.
func Join(parts []*Job) *Job {
	if len(parts) == 1 {
		return parts[0]
	}
	parts = slices.Clone(parts)
	slices.SortStableFunc(parts, func(a, b *Job) int {
		firstA, lastA := span(a)
		firstB, lastB := span(b)
		return cmp.Or(withoutTests(a)-withoutTests(b), firstA.Compare(firstB), lastA.Compare(lastB), strings.Compare(bearing(a), bearing(b)))
	})
	astray := Astray(parts)
	placeDays(parts)
	supersede(parts)
	out := parts[0]
	out.Note.Problems = append(out.Note.Problems, astray...)
	keepApart(parts)
	j := joiner{job: out, tests: map[string]bool{}}
	for _, p := range parts[1:] {
		j.keepOwn(p)
		j.terms(p)
		j.add(p)
		j.note(p)
	}
	return out
}

// withoutTests is 1 for a part that holds no test, and 0 for any other, which
// goes first.
func withoutTests(j *Job) int {
	if len(j.Tests) == 0 {
		return 1
	}
	return 0
}

// span are the first and the last day of a part: of its tests or, where no test
// has a date, of its diary and its treatments. A part without any day goes
// after those that have one.
func span(j *Job) (first, last unit.Date) {
	take := func(d Given[unit.Date]) {
		if !d.Known() {
			return
		}
		if first.IsZero() || d.Val.Compare(first) < 0 {
			first = d.Val
		}
		if d.Val.Compare(last) > 0 {
			last = d.Val
		}
	}
	for i := range j.Tests {
		take(j.Tests[i].Date())
	}
	if first.IsZero() {
		for i := range j.Days {
			take(j.Days[i].Date)
		}
		for i := range j.Treatments {
			take(j.Treatments[i].Date)
		}
	}
	if first.IsZero() {
		first = unit.Date{Year: 9999, Month: 12, Day: 31}
	}
	return first, last
}

// bearing tells parts of the same days apart, whichever was named first: by
// the place and the words of their first test.
func bearing(j *Job) string {
	if len(j.Tests) == 0 {
		return ""
	}
	return j.Tests[0].Row().String() + "\n" + testKey(&j.Tests[0])
}

// A joiner adds parts to a job.
type joiner struct {
	job   *Job
	tests map[string]bool // rows of readings that are there
	stock map[string]bool // rows of patches that are there, also those that were joined into one
}

// keepOwn gives the tests of a part what its own terms say and the first part
// says otherwise or not at all: it held for them.
func (j *joiner) keepOwn(p *Job) {
	of, to := &p.Terms, &j.job.Terms
	volume := of.Volume.Known() && of.Volume.Text != to.Volume.Text
	patch := of.PatchArea.Known() && of.PatchArea.Text != to.PatchArea.Text
	limit := len(of.Limits) > 0 && len(to.Limits) > 0 && of.Limits[0].Value.Known() && of.Limits[0].Value.Text != to.Limits[0].Value.Text
	ownTerms(p, func(t *Test) {
		if volume && t.Volume().State.Silent() {
			Columns.Volume.let(t, of.Volume)
		}
		if patch && t.PatchArea().State.Silent() {
			Columns.PatchArea.let(t, of.PatchArea)
		}
		if limit && t.Limit().State.Silent() {
			Columns.Limit.let(t, of.Limits[0].Value)
		}
	})
}

// keepApart leaves a volume or a patch area that the first part has and another
// does not with the tests of the first: it says nothing of the others.
func keepApart(parts []*Job) {
	first := &parts[0].Terms
	volume, patch := first.Volume, first.PatchArea
	lacks := func(known func(*Terms) bool) bool {
		return slices.ContainsFunc(parts, func(p *Job) bool { return len(p.Tests) > 0 && !known(&p.Terms) })
	}
	if volume.Known() && lacks(func(t *Terms) bool { return t.Volume.Known() }) {
		ownTerms(parts[0], func(t *Test) {
			if t.Volume().State.Silent() {
				Columns.Volume.let(t, volume)
			}
		})
		first.Volume = Given[unit.Volume]{}
	}
	if patch.Known() && lacks(func(t *Terms) bool { return t.PatchArea.Known() }) {
		ownTerms(parts[0], func(t *Test) {
			if t.PatchArea().State.Silent() {
				Columns.PatchArea.let(t, patch)
			}
		})
		first.PatchArea = Given[unit.PatchArea]{}
	}
}

// ownTerms gives the tests of a part, and those of it that were superseded, what
// held for them alone.
func ownTerms(p *Job, give func(*Test)) {
	for i := range p.Tests {
		give(&p.Tests[i])
	}
	for i := range p.Superseded {
		for k := range p.Superseded[i].Tests {
			give(&p.Superseded[i].Tests[k])
		}
	}
}

// terms takes the terms that the job does not have yet, and notes those on
// which the part disagrees.
func (j *joiner) terms(p *Job) {
	j.job.Conflicts = append(j.job.Conflicts, p.Conflicts...)
	volume, patch := j.job.Terms.Volume, j.job.Terms.PatchArea
	join(ruling, &j.job.Terms, &p.Terms, j.disagree)
	for _, c := range terms {
		if c.said(&j.job.Terms).state == Absent {
			c.copy(&j.job.Terms, &p.Terms)
		}
	}
	if len(p.Tests) > 0 {
		// A volume of one file says nothing of the water of another.
		j.job.Terms.Volume, j.job.Terms.PatchArea = volume, patch
	}
	for n := range p.Terms.Limits {
		if n == len(j.job.Terms.Limits) {
			j.job.Terms.Limits = append(j.job.Terms.Limits, p.Terms.Limits[n])
			continue
		}
		join(limitTerms, &j.job.Terms.Limits[n], &p.Terms.Limits[n], j.disagree)
	}
	for _, f := range p.Terms.Other {
		if !slices.ContainsFunc(j.job.Terms.Other, func(o Fact) bool { return o.Key == f.Key && o.Value.Text == f.Value.Text }) {
			j.job.Terms.Other = append(j.job.Terms.Other, f)
		}
	}
}

func (j *joiner) disagree(key string, used, other wrote) {
	c := Conflict{Key: key, Used: Words{Val: used.text, Text: used.text, State: Known, Pos: used.at},
		Other: Words{Val: other.text, Text: other.text, State: Known, Pos: other.at}}
	same := func(o Conflict) bool {
		return o.Key == key && o.Used.Text == used.text && o.Other.Text == other.text
	}
	if !slices.ContainsFunc(j.job.Conflicts, same) {
		j.job.Conflicts = append(j.job.Conflicts, c)
	}
}

// join copies the columns that one row leaves open from another, and tells on
// which the two disagree.
func join[T any](columns tableOf[T], into, from *T, disagree func(key string, used, other wrote)) {
	for _, c := range columns {
		used, other := c.said(into), c.said(from)
		switch {
		case other.state == Absent:
		case used.state == Absent:
			c.copy(into, from)
		case used.state != other.state || !sameWords(used.text, other.text):
			disagree(c.name, c.wrote(into), c.wrote(from))
		}
	}
}

// add adds the rows of a part.
func (j *joiner) add(p *Job) {
	to := j.job
	to.Sources = append(to.Sources, p.Sources...)
	to.Superseded = append(to.Superseded, p.Superseded...)
	j.addTests(p)
	j.addAreas(p)
	addNew(&to.Ambient, p.Ambient, ambients, func(a *Ambient) []Fact { return a.Extra })
	addNew(&to.Meters, p.Meters, meters, func(m *Meter) []Fact { return m.Extra })
	addNew(&to.Checks, p.Checks, checks, func(k *MeterCheck) []Fact { return k.Extra })
	addNew(&to.Water, p.Water, waters, func(w *Water) []Fact { return w.Extra })
	j.addPatches(p)
	addNew(&to.Treatments, p.Treatments, treatments, func(t *Treatment) []Fact { return t.Extra })
	addNew(&to.Extracts, p.Extracts, extracts, func(e *Extract) []Fact { return e.Extra })
	addNew(&to.Days, p.Days, days, func(d *Day) []Fact { return d.Extra })
	addNew(&to.People, p.People, people, func(q *Person) []Fact { return q.Extra })
	addNew(&to.Signatures, p.Signatures, signatures, func(s *Signature) []Fact { return s.Extra })
	addNew(&to.Concessions, p.Concessions, concessions, func(c *Concession) []Fact { return c.Extra })
	addNew(&to.Documents, p.Documents, documents, func(d *Document) []Fact { return d.Extra })
}

// Alike reports whether two tests stand in the record word for word the same.
// A row that is struck through is not like one that is not.
func Alike(a, b *Test) bool {
	return a.Struck() == b.Struck() && testKey(a) == testKey(b)
}

// addNew adds the rows that are not there yet.
func addNew[T any](to *[]T, rows []T, columns tableOf[T], extra func(*T) []Fact) {
	there := make(map[string]bool, len(*to))
	for i := range *to {
		there[rowKey(columns, &(*to)[i], extra(&(*to)[i]))] = true
	}
	for i := range rows {
		if key := rowKey(columns, &rows[i], extra(&rows[i])); !there[key] {
			there[key] = true
			*to = append(*to, rows[i])
		}
	}
}

// addTests adds the tests that no earlier file holds word for word. Two alike
// rows of one file are two rows: they are asked about.
func (j *joiner) addTests(p *Job) {
	key := func(t *Test) string {
		if t.Struck() {
			return "struck through\n" + testKey(t)
		}
		return testKey(t)
	}
	if len(j.tests) == 0 {
		for i := range j.job.Tests {
			j.tests[key(&j.job.Tests[i])] = true
		}
	}
	var added []string
	for i := range p.Tests {
		k := key(&p.Tests[i])
		if j.tests[k] {
			p.Note.Used--
			p.Note.Skipped = append(p.Note.Skipped, Skip{Row: p.Tests[i].Row(), Reason: "the same row in an earlier file"})
			continue
		}
		added = append(added, k)
		j.job.Tests = append(j.job.Tests, p.Tests[i])
	}
	for _, k := range added {
		j.tests[k] = true
	}
}

// addAreas adds the areas; one that is there already is filled in.
func (j *joiner) addAreas(p *Job) {
	for i := range p.Areas {
		a := &p.Areas[i]
		n := slices.IndexFunc(j.job.Areas, func(o Area) bool { return Folded(o.Name.Val) == Folded(a.Name.Val) })
		if n < 0 {
			j.job.Areas = append(j.job.Areas, *a)
			continue
		}
		join(areas, &j.job.Areas[n], a, func(column string, used, other wrote) {
			if column != "area" {
				j.disagree(column+" of "+a.Name.Text, used, other)
			}
		})
	}
}

// addPatches adds the batches. A stock that goes on where the earlier one
// closed is one stock, and a row that another revision of a day holds word for
// word was drawn once.
func (j *joiner) addPatches(p *Job) {
	key := func(q Patch) string { return rowKey(patches, &q, q.Extra) }
	if j.stock == nil {
		j.stock = map[string]bool{}
		for i := range j.job.Patches {
			j.stock[key(j.job.Patches[i])] = true
		}
	}
	var rest []Patch
	for i := range p.Patches {
		q := &p.Patches[i]
		k := key(*q)
		if j.stock[k] {
			continue
		}
		j.stock[k] = true
		n := slices.IndexFunc(j.job.Patches, func(o Patch) bool { return o.Batch.Known() && Folded(o.Batch.Val) == Folded(q.Batch.Val) })
		if n >= 0 {
			o := &j.job.Patches[n]
			if o.ClosingStock.Known() && q.OpeningStock.Known() && o.ClosingStock.Val == q.OpeningStock.Val {
				o.ClosingStock = q.ClosingStock
				continue
			}
		}
		rest = append(rest, *q)
	}
	addNew(&j.job.Patches, rest, patches, func(q *Patch) []Fact { return q.Extra })
}

// note adds the reading note of a part to that of the job.
func (j *joiner) note(p *Job) {
	n := &j.job.Note
	n.Used += p.Note.Used
	n.Skipped = append(n.Skipped, p.Note.Skipped...)
	n.Changes = append(n.Changes, p.Note.Changes...)
	n.Headings = append(n.Headings, p.Note.Headings...)
	n.Keys = append(n.Keys, p.Note.Keys...)
	n.Problems = append(n.Problems, p.Note.Problems...)
}
