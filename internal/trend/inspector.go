package trend

import (
	"cmp"
	"math"
	"slices"

	"saltline/internal/assess"
	"saltline/internal/record"
	"saltline/internal/stat"
	"saltline/internal/unit"
)

// What two inspectors are compared by, and from how many (house rules).
const (
	fewestBeside = 8   // tests of either with a density, in areas where both worked on a day
	fewestByDay  = 6   // days of either in an area, where they never worked on one
	fewestTried  = 20  // tests of either, for the voids
	voidsApart   = 0.1 // of the shares
)

// askInspectors asks whether the densities or the voids of one inspector
// differ from those of the others in the same areas: on the same days where
// there are enough such tests, else over all days. It is a question about the
// work, and the flag says only that they differ.
func (w *work) askInspectors(t *Trends) {
	all := w.inspectors()
	if len(all) < 2 {
		t.TooFew = append(t.TooFew, Silence{Kind: InspectorMedian, Before: len(all)}, Silence{Kind: InspectorVoids, Before: len(all)})
		return
	}
	asked := len(all)
	if asked == 2 {
		asked = 1 // each differs from the other
	}
	luck := byLuck / float64(asked)
	areas := w.areas(all)
	for own := range asked {
		other := ""
		if len(all) == 2 {
			other = all[1].name
		}
		name := all[own].name
		w.askMedian(t, Flag{Kind: InspectorMedian, Who: name, Other: other}, areas, own, luck)
		w.askOwnVoids(t, Flag{Kind: InspectorVoids, Who: name, Other: other}, areas, own, luck)
	}
}

// An inspector is somebody who made tests.
type inspector struct {
	name  string
	tests []*assess.Line // first tests on steel, voids too
}

// inspectors are those who made the first tests, in the order of the log.
func (w *work) inspectors() []inspector {
	var all []inspector
	at, spelled := map[string]int{}, map[string]int{}
	for i := range w.Lines {
		l := &w.Lines[i]
		name := l.Test.Inspector().Val
		if name == "" || !l.OfSteel() || !isFirst(l.Test) || !l.Test.Date().Known() {
			continue
		}
		n, known := spelled[name]
		if !known {
			if n, known = at[record.Folded(name)]; !known {
				n = len(all)
				at[record.Folded(name)] = n
				all = append(all, inspector{name: name})
			}
			spelled[name] = n
		}
		all[n].tests = append(all[n].tests, l)
	}
	slices.SortStableFunc(all, func(a, b inspector) int { return cmp.Compare(len(b.tests), len(a.tests)) })
	return all
}

// A deed is a first test of an inspector.
type deed struct {
	who   int
	day   unit.Date
	value float64 // NaN for a void, and where it is not known
	void  bool
}

// areas are the first tests by area, each by day.
func (w *work) areas(all []inspector) [][]deed {
	var areas [][]deed
	at, spelled := map[string]int{}, map[string]int{}
	for who := range all {
		for _, l := range all[who].tests {
			n, known := spelled[l.Test.Area().Val]
			if !known {
				key := record.Folded(l.Test.Area().Val)
				if n, known = at[key]; !known {
					n = len(areas)
					at[key] = n
					areas = append(areas, nil)
				}
				spelled[l.Test.Area().Val] = n
			}
			areas[n] = append(areas[n], deed{who, l.Test.Date().Val, w.value(l), l.Verdict == assess.Void})
		}
	}
	for _, a := range areas {
		slices.SortStableFunc(a, func(x, y deed) int { return cmp.Or(x.day.Compare(y.day), cmp.Compare(x.who, y.who)) })
	}
	return areas
}

// days divides the deeds of areas by day.
func days(areas [][]deed) [][]deed {
	var all [][]deed
	for _, a := range areas {
		for from := 0; from < len(a); {
			to := from
			for to < len(a) && a[to].day == a[from].day {
				to++
			}
			all = append(all, a[from:to])
			from = to
		}
	}
	return all
}

// askMedian asks after the densities of one inspector. The flag has N tests or
// days of the inspector and Of those of the others, the medians From of the
// others and To of the inspector, and their Difference.
func (w *work) askMedian(t *Trends, f Flag, areas [][]deed, own int, luck float64) {
	strata := valued(days(areas), own)
	f.N, f.Of = sizes(strata)
	if min(f.N, f.Of) < fewestBeside {
		strata = valued(byDay(areas), own)
		f.N, f.Of = sizes(strata)
		if min(f.N, f.Of) < fewestByDay {
			t.TooFew = append(t.TooFew, Silence{Kind: f.Kind, Who: f.Who, N: min(f.N, f.Of), Need: fewestByDay})
			return
		}
		f.ByDay = true
	}
	f.Chance = differ(strata)
	var mine, theirs, apart []float64
	for _, s := range strata {
		mine, theirs = append(mine, s.own...), append(theirs, s.others...)
		apart = append(apart, stat.Median(s.own)-stat.Median(s.others))
	}
	f.From, f.To, f.Difference = stat.Median(theirs), stat.Median(mine), stat.Median(apart)
	if f.Chance < luck && !(math.Abs(f.Difference) < limitShare*w.limit) {
		t.Flags = append(t.Flags, f)
	}
}

// valued are the densities in those places where the inspector and another
// have some.
func valued(places [][]deed, own int) []stratum {
	var strata []stratum
	for _, deeds := range places {
		var s stratum
		for _, d := range deeds {
			switch {
			case math.IsNaN(d.value):
			case d.who == own:
				s.own = append(s.own, d.value)
			default:
				s.others = append(s.others, d.value)
			}
		}
		if len(s.own) > 0 && len(s.others) > 0 {
			strata = append(strata, s)
		}
	}
	return strata
}

func sizes(strata []stratum) (own, others int) {
	for _, s := range strata {
		own, others = own+len(s.own), others+len(s.others)
	}
	return own, others
}

// byDay puts the median of each inspector's day in the place of its tests: a
// day has its own weather and dust, and its tests would count as proof many
// times over.
func byDay(areas [][]deed) [][]deed {
	out := make([][]deed, len(areas))
	for i, a := range areas {
		for from := 0; from < len(a); {
			to := from
			var values []float64
			for to < len(a) && a[to].day == a[from].day && a[to].who == a[from].who {
				if !math.IsNaN(a[to].value) {
					values = append(values, a[to].value)
				}
				to++
			}
			out[i] = append(out[i], deed{who: a[from].who, day: a[from].day, value: stat.Median(values)})
			from = to
		}
	}
	return out
}

// askOwnVoids asks after the voids of one inspector. The flag has N voids of Of
// tests, and of them those of the inspector.
func (w *work) askOwnVoids(t *Trends, f Flag, areas [][]deed, own int, luck float64) {
	strata := tried(days(areas), own)
	f.OwnN, f.OwnOf, f.N, f.Of = counts(strata)
	if min(f.OwnOf, f.Of-f.OwnOf) < fewestTried {
		strata = tried(areas, own)
		f.OwnN, f.OwnOf, f.N, f.Of = counts(strata)
		f.ByDay = true
	}
	if n := min(f.OwnOf, f.Of-f.OwnOf); n < fewestTried {
		t.TooFew = append(t.TooFew, Silence{Kind: f.Kind, Who: f.Who, N: n, Need: fewestTried})
		return
	}
	f.Chance = sharesDiffer(strata)
	apart := float64(f.OwnN)/float64(f.OwnOf) - float64(f.N-f.OwnN)/float64(f.Of-f.OwnOf)
	if f.Chance < luck && math.Abs(apart) >= voidsApart {
		t.Flags = append(t.Flags, f)
	}
}

// tried counts the tests and the voids in those places where the inspector and
// another made some.
func tried(places [][]deed, own int) []share {
	var strata []share
	for _, deeds := range places {
		var s share
		for _, d := range deeds {
			s.all++
			if d.void {
				s.voids++
			}
			if d.who == own {
				s.own++
				if d.void {
					s.ownVoids++
				}
			}
		}
		if s.own > 0 && s.own < s.all {
			strata = append(strata, s)
		}
	}
	return strata
}

func counts(strata []share) (ownVoids, own, voids, all int) {
	for _, s := range strata {
		ownVoids, own, voids, all = ownVoids+s.ownVoids, own+s.own, voids+s.voids, all+s.all
	}
	return ownVoids, own, voids, all
}
