package record

import (
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
	at := map[string]int{}
	for i, a := range job.Areas {
		if _, twice := at[spaced(a.Name.Val)]; !twice {
			at[spaced(a.Name.Val)] = i
		}
	}
	for i := range job.Tests {
		name := &job.Tests[i].Area
		key := spaced(name.Val)
		area, known := at[key]
		switch {
		case known:
			name.Val = job.Areas[area].Name.Val
		case !listed:
			at[key] = len(job.Areas)
			t := &job.Tests[i]
			job.Areas = append(job.Areas, Area{
				Row: t.Row, Name: *name, Size: t.Size, Substrate: t.Substrate,
				OutsideDiameter: t.OutsideDiameter, InsideDiameter: t.InsideDiameter,
			})
		case name.State == Absent && len(job.Areas) == 1:
			*name = job.Areas[0].Name
			job.Note.Changes = append(job.Note.Changes, Change{
				Pos: job.Tests[i].Row, What: "the only area of the job", To: name.Val,
			})
		}
	}
}
