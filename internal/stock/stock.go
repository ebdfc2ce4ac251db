// Package stock counts what was used and what it cost.
//
// It counts what the record holds: the tests that name a batch of patches, and
// the stock before and after. It asks no price that is not recorded and gives
// no sum that would leave one out without a word.
package stock

import (
	"slices"

	"saltline/internal/assess"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// An Account is what a job used.
type Account struct {
	Listed  bool        // the record has a table of patches
	Batches []Batch     // the rows of the patches table, then those that only tests name
	Unnamed int         // tests, on glass too, whose patch is not named and cannot be told from the table
	Days    []unit.Date // on which a patch was used, in order; the zero Date is that of tests without one
	Lives   []Life      // of the patches that serve more than once

	Tests       int // carried out on steel, voids included
	Voids       int // of Tests
	Glass       int // procedural blanks
	Established int // of Tests, those that came out PASS or FAIL

	Cost Cost
}

// A Batch is a row of the patches table with what was drawn on it.
type Batch struct {
	Row      *record.Patch // nil where the table does not have it
	Name     string        // as written
	Reusable bool          // a patch of it serves more than once
	Tests    int           // on steel, voids included
	Voids    int           // of Tests
	Glass    int           // procedural blanks
	ByDay    map[unit.Date]int
	Last     unit.Date // of its use; zero where no test with it has a date
}

// Recorded is how many uses the record has: tests, voids and blanks.
func (b *Batch) Recorded() int { return b.Tests + b.Glass }

// Drawn is how many patches left the stock: the opening less the closing one.
// It is false where one of them is not recorded, and for what serves more than
// once: that goes back to the stock.
func (b *Batch) Drawn() (int, bool) {
	if b.Row == nil || b.Reusable || !b.Row.OpeningStock.Known() || !b.Row.ClosingStock.Known() {
		return 0, false
	}
	return b.Row.OpeningStock.Val - b.Row.ClosingStock.Val, true
}

// Difference is by how many more patches left the stock than the record has
// uses of: those that are to be accounted for. It is below zero where the
// record has more. It is asked of patches that are known to serve once.
func (b *Batch) Difference() (int, bool) {
	drawn, known := b.Drawn()
	if !known || !servesOnce(b.Row) {
		return 0, false
	}
	return drawn - b.Recorded(), true
}

func servesOnce(p *record.Patch) bool {
	return p.Kind.Val == record.SingleUse || p.MaximumUses.Val == 1
}

func servesAgain(p *record.Patch) bool {
	switch {
	case servesOnce(p):
		return false
	case p.MaximumUses.Known():
		return true
	}
	return p.Kind.Val == record.MagneticRing || p.Kind.Val == record.Sleeve
}

// Of makes up the account of a judged job.
func Of(r *assess.Result) Account {
	a := Account{Listed: len(r.Job.Patches) > 0}
	rows := Rows(r.Job)
	a.Batches, a.Unnamed = count(r, rows)
	for i := range r.Lines {
		l := &r.Lines[i]
		switch {
		case !l.OfSteel():
			a.Glass++
			continue
		case l.Verdict == assess.Void:
			a.Voids++
		case l.Verdict == assess.Pass || l.Verdict == assess.Fail:
			a.Established++
		}
		a.Tests++
	}
	for i := range a.Batches {
		for day := range a.Batches[i].ByDay {
			a.Days = append(a.Days, day)
		}
	}
	slices.SortFunc(a.Days, unit.Date.Compare)
	a.Days = slices.Compact(a.Days)
	a.Lives = lives(r, rows)
	a.Cost = a.cost(r)
	return a
}

// Batches counts what was drawn on each batch: on the rows of the patches
// table in its order, then on what only tests name. It does not need the
// verdicts, but for the voids.
func Batches(r *assess.Result) []Batch {
	batches, _ := count(r, Rows(r.Job))
	return batches
}

func count(r *assess.Result, rows []*record.Patch) (batches []Batch, unnamed int) {
	at := make(map[*record.Patch]int, len(r.Job.Patches))
	for i := range r.Job.Patches {
		p := &r.Job.Patches[i]
		at[p] = i
		batches = append(batches, Batch{Row: p, Name: p.Batch.Text, Reusable: servesAgain(p), ByDay: map[unit.Date]int{}})
	}
	strange := map[string]int{} // by family, folded
	of := map[string]int{}      // by name as written: names of a long log are looked at once
	for i := range r.Lines {
		t := r.Lines[i].Test
		n, ok := at[rows[i]]
		if !ok {
			if t.Patch().Val == "" {
				unnamed++
				continue
			}
			if n, ok = of[t.Patch().Val]; !ok {
				name := family(t.Patch().Val)
				if n, ok = strange[record.Folded(name)]; !ok {
					n = len(batches)
					strange[record.Folded(name)] = n
					batches = append(batches, Batch{Name: name, Reusable: t.MaximumUses().Val > 1, ByDay: map[unit.Date]int{}})
				}
				of[t.Patch().Val] = n
			}
		}
		batches[n].draw(&r.Lines[i])
	}
	return batches, unnamed
}

func (b *Batch) draw(l *assess.Line) {
	switch {
	case !l.OfSteel():
		b.Glass++
	case l.Verdict == assess.Void:
		b.Voids++
		b.Tests++
	default:
		b.Tests++
	}
	day := unit.Date{}
	if l.Test.Date().Known() {
		day = l.Test.Date().Val
	}
	b.ByDay[day]++
	if b.Last.Compare(day) < 0 {
		b.Last = day
	}
}

// A Life is how far the uses of a reusable patch have gone.
type Life struct {
	Name     string
	Recorded int // uses on record: tests, voids and blanks
	Counted  int // the highest number of a use on record; 0 where none is
	Maximum  int // uses that its maker or the record allows; 0 where not recorded

	// An estimate: that it goes on being used as on the days on record.
	Days  int       // on which it could have been used: working days from its first use on
	Until unit.Date // the day on which the uses would run out; zero where it cannot be said
}

// Uses so far: by the number of the last use where it is on record, for the
// patch may have served before; else those on record.
func (l *Life) Uses() int { return max(l.Counted, l.Recorded) }

// Left are the uses that are left; false where the maximum is not recorded. It
// is below zero for a patch past its uses.
func (l *Life) Left() (int, bool) { return l.Maximum - l.Uses(), l.Maximum > 0 }

// PerDay is how often it was used on a working day.
func (l *Life) PerDay() float64 { return float64(l.Recorded) / float64(max(l.Days, 1)) }

// lives are those of the patches that serve more than once, by their names.
func lives(r *assess.Result, rows []*record.Patch) []Life {
	var all []Life
	at := map[string]int{}
	first := map[int]unit.Date{}
	worked := map[unit.Date]bool{}
	for i := range r.Lines {
		t := r.Lines[i].Test
		if t.Date().Known() {
			worked[t.Date().Val] = true
		}
		p := rows[i]
		if !(p != nil && servesAgain(p) || t.MaximumUses().Val > 1) {
			continue
		}
		name := t.Patch().Val
		if name == "" && p != nil {
			name = p.Batch.Val
		}
		if name == "" {
			continue
		}
		n, known := at[record.Folded(name)]
		if !known {
			n = len(all)
			at[record.Folded(name)] = n
			all = append(all, Life{Name: name})
		}
		life := &all[n]
		life.Recorded++
		life.Counted = max(life.Counted, t.PatchUse().Val)
		switch {
		case t.MaximumUses().Known():
			life.Maximum = t.MaximumUses().Val
		case p != nil && p.MaximumUses.Known():
			life.Maximum = p.MaximumUses.Val
		}
		if day, seen := first[n]; t.Date().Known() && (!seen || t.Date().Val.Compare(day) < 0) {
			first[n] = t.Date().Val
		}
	}
	days := make([]unit.Date, 0, len(worked))
	for day := range worked {
		days = append(days, day)
	}
	slices.SortFunc(days, unit.Date.Compare)
	for n := range all {
		if from, seen := first[n]; seen {
			all[n].estimate(days[place(days, from):])
		}
	}
	return all
}

// place is the place of a day among days in order.
func place(days []unit.Date, day unit.Date) int {
	n, _ := slices.BinarySearchFunc(days, day, unit.Date.Compare)
	return n
}

// estimate works out when the uses run out if the patch is used as on the
// given working days, and the days off go on as between them. Two days are
// needed for a rate.
func (l *Life) estimate(days []unit.Date) {
	l.Days = len(days)
	left, known := l.Left()
	if !known || left < 0 || l.Days < 2 {
		return
	}
	last := days[l.Days-1]
	span := last.Since(days[0]) + 1 // calendar days
	// left / (recorded/days) working days, each of span/days calendar days.
	l.Until = last.Add(left * span / l.Recorded)
	if l.Until.Year > 9999 {
		l.Until = unit.Date{}
	}
}
