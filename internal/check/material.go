package check

import (
	"slices"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// washing are the words by which a treatment is one with water.
var washing = stems{"wash", "rins", "hydro", "water jet", "wasser", "wasch", "gewaschen", "spül", "lavad", "agua", "enjuag", "lavage", "rinç", "eau", "vask", "vann", "spyl"}

// washWaterAboveLimit: the water of a wash is saltier than the record allows.
// What it left dries on the steel. There is no house setting: without a limit
// in the record it is not asked.
var washWaterAboveLimit = &assess.Check{
	Name:     "wash-water-above-limit",
	Group:    assess.SamplingAndRetests,
	Severity: assess.Weakens,
	Owner:    assess.Contractor,
	Run: func(v *assess.Review) {
		for i := range v.Job.Extracts {
			e := &v.Job.Extracts[i]
			if e.OfWater() && e.Conductivity.Known() && e.Limit.Known() && e.Conductivity.Val > e.Limit.Val {
				reportExtract(v, e, e.Limit.Val, false, washedWith(v, e), nil)
			}
		}
		for i := range v.Job.Treatments {
			t := &v.Job.Treatments[i]
			limit, ok := limitOfSource(v, t)
			if !ok || !t.WaterConductivity.Known() || t.WaterConductivity.Val <= limit || slices.ContainsFunc(v.Job.Extracts, func(e record.Extract) bool {
				return e.Conductivity.Known() && e.Conductivity.Val == t.WaterConductivity.Val && e.Date.Val == t.Date.Val
			}) {
				continue
			}
			reportByDay(v, t.Date.Val, assess.Finding{
				Tests: afterTreatments(v, []*record.Treatment{t}), Places: []diag.Pos{t.WaterConductivity.Pos},
				Args: map[string]any{"Batch": t.WaterSource.Text, "Value": t.WaterConductivity.Val, "Limit": limit, "House": false, "Decimals": decimalsApart(t.WaterConductivity.Val, float64(limit), 1)},
			})
		}
	},
}

// limitOfSource is the limit that the extracts table gives the water of a
// treatment, where all its rows of that water agree.
func limitOfSource(v *assess.Review, t *record.Treatment) (unit.Conductivity, bool) {
	var limits []unit.Conductivity
	for i := range v.Job.Extracts {
		e := &v.Job.Extracts[i]
		if e.OfWater() && e.Limit.Known() && (e.Batch.Val == "" || record.Folded(e.Batch.Val) == record.Folded(t.WaterSource.Val)) && !slices.Contains(limits, e.Limit.Val) {
			limits = append(limits, e.Limit.Val)
		}
	}
	if len(limits) != 1 {
		return 0, false
	}
	return limits[0], true
}

// washedWith are the tests after the treatments of a day with a water.
func washedWith(v *assess.Review, e *record.Extract) []int {
	var with []*record.Treatment
	for i := range v.Job.Treatments {
		t := &v.Job.Treatments[i]
		if t.Date.Val == e.Date.Val && (e.Batch.Val == "" || record.Folded(e.Batch.Val) == record.Folded(t.WaterSource.Val)) {
			with = append(with, t)
		}
	}
	return afterTreatments(v, with)
}

// afterTreatments are the tests that name one of the treatments.
func afterTreatments(v *assess.Review, treatments []*record.Treatment) []int {
	named := make(map[string]bool, len(treatments))
	for _, t := range treatments {
		named[record.Folded(t.Name.Val)] = true
	}
	delete(named, "") // a test that names none is after none
	return onSteel(v, func(l *assess.Line) bool { return named[record.Folded(l.Test.Treatment().Val)] })
}

// reportExtract reports an extract above its limit.
func reportExtract(v *assess.Review, e *record.Extract, limit unit.Conductivity, house bool, tests []int, areas []string) {
	reportByDay(v, e.Date.Val, assess.Finding{
		Tests: tests, Areas: areas, Places: []diag.Pos{e.Conductivity.Pos},
		Args: map[string]any{"Batch": e.Batch.Text, "Value": e.Conductivity.Val, "Limit": limit, "House": house, "Decimals": decimalsApart(e.Conductivity.Val, float64(limit), 1)},
	})
}

// washWaterUntested: steel was washed, and the record holds no conductivity
// of the water: not beside the treatment, and no extract of that source or of
// that day.
var washWaterUntested = &assess.Check{
	Name:     "wash-water-untested",
	Group:    assess.SamplingAndRetests,
	Severity: assess.Weakens,
	Owner:    assess.Contractor,
	Run: func(v *assess.Review) {
		var untested []*record.Treatment
		for i := range v.Job.Treatments {
			t := &v.Job.Treatments[i]
			if washing.in(t.What.Val) && !t.WaterConductivity.Known() && t.WaterConductivity.State != record.Below && !waterTested(v, t) {
				untested = append(untested, t)
			}
		}
		for _, day := range groups(untested, func(t *record.Treatment) unit.Date { return t.Date.Val }) {
			f := assess.Finding{Tests: afterTreatments(v, day)}
			var names []string
			for _, t := range day {
				names = append(names, nameOf(t))
				f.Places = append(f.Places, t.Row)
			}
			few, more := upTo(mostShown, names)
			f.Args = map[string]any{"Names": few, "More": more, "Treatments": len(names)}
			reportByDay(v, day[0].Date.Val, f)
		}
	},
}

// nameOf names a treatment: by its own name, else by what it was.
func nameOf(t *record.Treatment) string {
	if t.Name.Val != "" {
		return t.Name.Text
	}
	return t.What.Text
}

func waterTested(v *assess.Review, t *record.Treatment) bool {
	return slices.ContainsFunc(v.Job.Extracts, func(e record.Extract) bool {
		sameSource := e.Batch.Val != "" && record.Folded(e.Batch.Val) == record.Folded(t.WaterSource.Val)
		sameDay := e.Date.Known() && e.Date.Val == t.Date.Val && (e.Batch.Val == "" || t.WaterSource.Val == "")
		return e.OfWater() && hasResult(&e) && (sameSource || sameDay)
	})
}

// hasResult reports whether an extract has a conductivity with its unit.
// Abrasives are reported in mS/m as often as in µS/cm, a factor of ten, so
// that a bare number is no result.
func hasResult(e *record.Extract) bool {
	return (e.Conductivity.Known() || e.Conductivity.State == record.Below) && e.Conductivity.Unit != ""
}

// usualAbrasiveLimit is the conductivity of the extract of an abrasive above
// which it is usually refused, 25 mS/m (from memory, ISO 11126 series). It is
// a house setting; the column limit of the extracts table takes its place.
const usualAbrasiveLimit unit.Conductivity = 250

// abrasiveAboveLimit: the extract of an abrasive is above the limit that the
// record gives beside it, else above the usual one.
var abrasiveAboveLimit = &assess.Check{
	Name:     "abrasive-above-limit",
	Group:    assess.SamplingAndRetests,
	Severity: assess.Weakens,
	Owner:    assess.Contractor,
	Run: func(v *assess.Review) {
		for i := range v.Job.Extracts {
			e := &v.Job.Extracts[i]
			limit, house := usualAbrasiveLimit, true
			if e.Limit.Known() {
				limit, house = e.Limit.Val, false
			}
			if e.OfWater() || !e.Conductivity.Known() || !hasResult(e) || e.Conductivity.Val <= limit {
				continue
			}
			var areas []string
			for k := range v.Job.Areas {
				if slices.Contains(batchesOf(v, &v.Job.Areas[k]), record.Folded(e.Batch.Val)) {
					areas = append(areas, v.Job.Areas[k].Name.Text)
				}
			}
			reportExtract(v, e, limit, house, nil, areas)
		}
	},
}

// batchesOf lists the abrasive batches that an area was blasted with. A name
// that the extracts table has as it stands is one batch.
func batchesOf(v *assess.Review, a *record.Area) []string {
	whole := record.Folded(a.AbrasiveBatch.Val)
	if slices.ContainsFunc(v.Job.Extracts, func(e record.Extract) bool { return record.Folded(e.Batch.Val) == whole }) && whole != "" {
		return []string{whole}
	}
	var all []string
	for _, b := range strings.FieldsFunc(a.AbrasiveBatch.Val, func(r rune) bool { return strings.ContainsRune(",;/&+", r) }) {
		all = append(all, record.Folded(b))
	}
	return all
}

// abrasiveUntested: an area was blasted with a batch of which the extracts
// table has no result. Asked only where the record holds such a table.
var abrasiveUntested = &assess.Check{
	Name:     "abrasive-untested",
	Group:    assess.SamplingAndRetests,
	Severity: assess.Weakens,
	Owner:    assess.Contractor,
	Run: func(v *assess.Review) {
		if len(v.Job.Extracts) == 0 {
			return
		}
		type use struct {
			batch string
			area  *record.Area
		}
		var untested []use
		for i := range v.Job.Areas {
			a := &v.Job.Areas[i]
			for _, b := range batchesOf(v, a) {
				if !slices.ContainsFunc(v.Job.Extracts, func(e record.Extract) bool { return record.Folded(e.Batch.Val) == b && hasResult(&e) }) {
					untested = append(untested, use{b, a})
				}
			}
		}
		for _, uses := range groups(untested, func(u use) string { return u.batch }) {
			f := assess.Finding{Args: map[string]any{"Batch": spelling(uses[0].area, uses[0].batch), "Result": bareResult(v, uses[0].batch)}}
			for _, u := range uses {
				f.Areas = append(f.Areas, u.area.Name.Text)
				f.Places = append(f.Places, u.area.AbrasiveBatch.Pos)
			}
			report(v, f)
		}
	},
}

// spelling is a batch as the areas table writes it.
func spelling(a *record.Area, batch string) string {
	for _, b := range strings.FieldsFunc(a.AbrasiveBatch.Text, func(r rune) bool { return strings.ContainsRune(",;/&+", r) }) {
		if record.Folded(b) == batch {
			return strings.TrimSpace(b)
		}
	}
	return a.AbrasiveBatch.Text
}

// bareResult is a result of a batch that cannot be used, as found.
func bareResult(v *assess.Review, batch string) string {
	for i := range v.Job.Extracts {
		if e := &v.Job.Extracts[i]; record.Folded(e.Batch.Val) == batch && e.Conductivity.Text != "" {
			return e.Conductivity.Text
		}
	}
	return ""
}
