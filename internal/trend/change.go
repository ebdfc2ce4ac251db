package trend

import (
	"math"
	"slices"
	"strings"

	"saltline/internal/record"
	"saltline/internal/stat"
	"saltline/internal/unit"
)

// A supply is a batch of abrasive, or a source of water, with what was found
// on the steel that it touched. What counts as one is an area, or a treatment:
// the tests of one area resemble each other, and would count as proof many
// times over.
type supply struct {
	name        string
	units       map[string][]float64 // densities by area or treatment
	order       []string             // the units in the order of the log
	first, last unit.Date
}

// supplies are gathered in the order of the days of their first use.
type supplies struct {
	at  map[string]int
	all []supply
}

func (s *supplies) add(name, of string, day unit.Date, density float64) {
	n, known := s.at[record.Folded(name)]
	if !known {
		n = len(s.all)
		s.at[record.Folded(name)] = n
		s.all = append(s.all, supply{name: name, units: map[string][]float64{}, first: day, last: day})
	}
	p := &s.all[n]
	if _, known := p.units[of]; !known {
		p.order = append(p.order, of)
	}
	p.units[of] = append(p.units[of], density)
	if day.Compare(p.first) < 0 {
		p.first = day
	}
	if p.last.Compare(day) < 0 {
		p.last = day
	}
}

// medians are those of the units.
func (p *supply) medians() []float64 {
	var all []float64
	for _, of := range p.order {
		all = append(all, stat.Median(p.units[of]))
	}
	return all
}

// askAbrasive asks whether the steel is saltier since another batch of
// abrasive: the first tests, by the batch that their area was blasted with;
// where no area names one, by the batch that was last tested before them.
func (w *work) askAbrasive(t *Trends) {
	batchOf := w.batchOfArea()
	if batchOf == nil {
		batchOf = w.batchOfDay()
	}
	s := supplies{at: map[string]int{}}
	for i := range w.Lines {
		l := &w.Lines[i]
		v := w.value(l)
		if !l.OfSteel() || !isFirst(l.Test) || !l.Test.Date().Known() || math.IsNaN(v) {
			continue
		}
		if batch := batchOf(l.Test); batch != "" {
			s.add(batch, record.Folded(l.Test.Area().Val), l.Test.Date().Val, v)
		}
	}
	w.askChanges(t, MedianAfterAbrasive, s.all)
}

// batchOfArea tells the abrasive of a test by its area; nil where no area
// names one. An area of several batches does not tell.
func (w *work) batchOfArea() func(*record.Test) string {
	batches := map[string]string{}
	for i := range w.Job.Areas {
		a := &w.Job.Areas[i]
		if batch := strings.TrimSpace(a.AbrasiveBatch.Val); batch != "" && (!strings.ContainsAny(batch, ",;/&+") || w.tested(batch)) {
			batches[record.Folded(a.Name.Val)] = batch
		}
	}
	if len(batches) == 0 {
		return nil
	}
	return func(t *record.Test) string { return batches[record.Folded(t.Area().Val)] }
}

// tested reports whether the extracts have a batch of that name as it stands.
func (w *work) tested(batch string) bool {
	return slices.ContainsFunc(w.Job.Extracts, func(e record.Extract) bool { return record.Folded(e.Batch.Val) == record.Folded(batch) })
}

// batchOfDay tells the abrasive of a test by its day: the batch last tested on
// that day or before.
func (w *work) batchOfDay() func(*record.Test) string {
	var tested []*record.Extract
	for i := range w.Job.Extracts {
		if e := &w.Job.Extracts[i]; e.Date.Known() && e.Batch.Val != "" && !e.OfWater() {
			tested = append(tested, e)
		}
	}
	slices.SortStableFunc(tested, func(a, b *record.Extract) int { return a.Date.Val.Compare(b.Date.Val) })
	return func(t *record.Test) string {
		for _, e := range slices.Backward(tested) {
			if e.Date.Val.Compare(t.Date().Val) <= 0 {
				return e.Batch.Val
			}
		}
		return ""
	}
}

// askWash asks whether the steel is saltier after a wash since another source
// of water: the tests that name a treatment, by the source of its water.
func (w *work) askWash(t *Trends) {
	treatments := map[string]*record.Treatment{}
	for i := range w.Job.Treatments {
		if x := &w.Job.Treatments[i]; x.WaterSource.Val != "" && x.Name.Val != "" {
			treatments[record.Folded(x.Name.Val)] = x
		}
	}
	s := supplies{at: map[string]int{}}
	if len(treatments) > 0 {
		for i := range w.Lines {
			l := &w.Lines[i]
			x := treatments[record.Folded(l.Test.Treatment().Val)]
			if v := w.value(l); x != nil && l.OfSteel() && l.Test.Date().Known() && !math.IsNaN(v) {
				s.add(x.WaterSource.Val, record.Folded(x.Name.Val), l.Test.Date().Val, v)
			}
		}
	}
	w.askChanges(t, MedianAfterWash, s.all)
}

// askChanges asks at each change of a supply whether the medians after it are
// higher than all before, by the rank test and by a tenth of the limit. The
// flag has N units after and Of before, the medians From and To of them, the
// days of the supply, and Other, the supply before where there was one.
func (w *work) askChanges(t *Trends, kind Kind, all []supply) {
	slices.SortStableFunc(all, func(a, b supply) int { return a.first.Compare(b.first) })
	if len(all) < 2 {
		t.TooFew = append(t.TooFew, Silence{Kind: kind, Before: len(all)})
		return
	}
	before := all[0].medians()
	luck := byLuck / float64(len(all)-1)
	for i := 1; i < len(all); i++ {
		p := &all[i]
		after := p.medians()
		from, to := stat.Median(before), stat.Median(after)
		if least(len(before), len(after)) >= luck {
			t.TooFew = append(t.TooFew, Silence{Kind: kind, Who: p.name, N: len(after), Before: len(before), From: from, To: to})
		} else if chance := higher(before, after); chance < luck && !(to-from < limitShare*w.limit) {
			f := Flag{Kind: kind, Who: p.name, N: len(after), Of: len(before), From: from, To: to, Chance: chance, First: p.first, Last: p.last}
			if i == 1 {
				f.Other = all[0].name
			}
			t.Flags = append(t.Flags, f)
		}
		before = append(before, after...)
	}
}
