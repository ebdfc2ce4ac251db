package record

import (
	"slices"

	"saltline/internal/heading"
	"saltline/internal/pattern"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

var areas = tableOf[Area]{
	{"area", words(func(a *Area) *Words { return &a.Name })},
	{"description", words(func(a *Area) *Words { return &a.Description })},
	{"size", number(unit.OfSteelArea, func(a *Area) *Given[unit.SteelArea] { return &a.Size })},
	{"substrate", words(func(a *Area) *Words { return &a.Substrate })},
	{"outside diameter", number(unit.OfLength, func(a *Area) *Given[unit.Length] { return &a.OutsideDiameter })},
	{"inside diameter", number(unit.OfLength, func(a *Area) *Given[unit.Length] { return &a.InsideDiameter })},
	{"initial condition", words(func(a *Area) *Words { return &a.InitialCondition })},
	{"exposure", words(func(a *Area) *Words { return &a.Exposure })},
	{"blast method", words(func(a *Area) *Words { return &a.BlastMethod })},
	{"abrasive batch", words(func(a *Area) *Words { return &a.AbrasiveBatch })},
	{"visual grade", words(func(a *Area) *Words { return &a.VisualGrade })},
	{"profile", words(func(a *Area) *Words { return &a.Profile })},
	{"blasting ended", moment(func(a *Area) *Given[Moment] { return &a.BlastingEnded })},
	{"coating started", moment(func(a *Area) *Given[Moment] { return &a.CoatingStarted })},
	{"sampling rule", parsed(samplingRule, samplingWanted, func(a *Area) *Given[salt.SamplingRule] { return &a.Sampling })},
	{"limit", limitValue(func(a *Area) *Given[unit.SurfaceDensity] { return &a.Limit })},
	{"drawing", words(func(a *Area) *Words { return &a.Drawing })},
}

// settleAreas gives the tests the areas of the job. Names are matched
// whatever their case and white space, and take the spelling of the areas
// table. A name that the table does not hold is kept as it is. Without the
// table the areas are those that the tests name, in their order, with what
// the first test of each says of its steel; without any name there is one
// area, and it has none.
func settleAreas(job *Job) {
	listed := len(job.Areas) > 0
	at := map[string]int{} // by the name, and by each spelling of it that was met
	for i := range job.Areas {
		key := Folded(job.Areas[i].Name.Val)
		if _, twice := at[key]; !twice {
			at[key] = i
		}
	}
	for i := range job.Tests {
		t := &job.Tests[i]
		name := t.Area()
		area, known := at[name.Val]
		key := name.Val
		if !known {
			key = Folded(key)
			if area, known = at[key]; known {
				at[name.Val] = area
			}
		}
		switch {
		case known:
			if is := job.Areas[area].Name.Val; is != name.Val {
				t.renameArea(is)
			}
		case !listed:
			at[key] = len(job.Areas)
			job.Areas = append(job.Areas, Area{
				Row: t.Row(), Name: name, Size: t.Size(), Substrate: t.Substrate(),
				OutsideDiameter: t.OutsideDiameter(), InsideDiameter: t.InsideDiameter(),
			})
		case name.State == Absent && len(job.Areas) == 1:
			Columns.Area.let(t, job.Areas[0].Name)
			job.Note.Changes = append(job.Note.Changes, Change{
				Pos: t.Row(), What: "the only area of the job", To: job.Areas[0].Name.Val,
			})
		}
	}
}

// renameArea names the area of a test as the job does. In a sheaf it is the same
// for all that name it in one way.
func (t *Test) renameArea(name string) {
	if s := &t.in.area; t.own == nil && s.which != nil {
		if n := s.which[t.place]; n < firstLoose && n > 0 {
			s.said[n].Val = name
			return
		}
	}
	g := t.Area()
	g.Val = name
	Columns.Area.let(t, g)
}

// plainSheet are the names that spreadsheet programs give to a new sheet.
var plainSheet = pattern.Of(`(?i)^(sheet|tabelle|blatt|hoja|feuil|feuille|ark|table)[ _]?\d*$`)

// nameAreas takes the areas of tests from the names of their sheets, where
// readings stand on several sheets and one says nothing of its area. Tests
// of two places must not be counted as one area's.
func (b *binder) nameAreas() {
	named := map[*page]bool{} // the pages with readings, and whether they name areas
	for p, block := range b.blocks("readings") {
		named[p] = named[p] ||
			slices.ContainsFunc(block.Columns, func(c heading.Column) bool { return c.Name == "area" }) ||
			slices.ContainsFunc(block.Facts, func(f heading.Fact) bool { return f.Key == "area" })
	}
	for _, p := range b.pages {
		name := p.sheet.Name
		if says, found := named[p]; !found || says || len(named) < 2 || !isAreaName(name) {
			continue
		}
		p.area = name
		b.note(Change{Pos: p.at, What: "the area taken from the name of the sheet", To: name})
	}
}

// isAreaName reports whether the name of a sheet of readings can be that of
// an area: it names no table, no day and is not one that nobody chose.
func isAreaName(name string) bool {
	_, _, _, err := unit.ParseDateTime(name)
	return err != nil && heading.TableOf(name) == "" && !plainSheet().MatchString(name)
}
