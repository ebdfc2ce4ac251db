package record

import (
	"strconv"

	"saltline/internal/pattern"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// terms are the keys of the job table, as columns of the one row that the
// terms of a job are.
var terms = tableOf[Terms]{
	{"job number", words(func(t *Terms) *Words { return &t.JobNumber })},
	{"title", words(func(t *Terms) *Words { return &t.Title })},
	{"client", words(func(t *Terms) *Words { return &t.Client })},
	{"owner", words(func(t *Terms) *Words { return &t.Owner })},
	{"contractor", words(func(t *Terms) *Words { return &t.Contractor })},
	{"contract", words(func(t *Terms) *Words { return &t.Contract })},
	{"site", words(func(t *Terms) *Words { return &t.Site })},
	{"structure", words(func(t *Terms) *Words { return &t.Structure })},
	{"weather", words(func(t *Terms) *Words { return &t.Weather })},
	{"specification", words(func(t *Terms) *Words { return &t.Specification })},
	{"specification revision", words(func(t *Terms) *Words { return &t.SpecificationRevision })},
	{"inspection plan", words(func(t *Terms) *Words { return &t.InspectionPlan })},
	{"method statement", words(func(t *Terms) *Words { return &t.MethodStatement })},
	{"time zone", words(func(t *Terms) *Words { return &t.TimeZone })},
	{"currency", words(func(t *Terms) *Words { return &t.Currency })},
	{"language", words(func(t *Terms) *Words { return &t.Language })},
	{"date order", word(dateOrders, "dmy, mdy or ymd", func(t *Terms) *Given[unit.DateOrder] { return &t.DateOrder })},
	{"decision rule", parsed(decisionRule, "simple, guarded or guarded rejection", func(t *Terms) *Given[salt.RuleKind] { return &t.DecisionRule })},
	{"expanded uncertainty", number(unit.OfDensity, func(t *Terms) *Given[unit.SurfaceDensity] { return &t.ExpandedUncertainty })},
	{"coverage factor", number(unit.Pure, func(t *Terms) *Given[float64] { return &t.CoverageFactor })},
	{"uncertainty source", words(func(t *Terms) *Words { return &t.UncertaintySource })},
	{"procedure", parsed(procedure, "direct or beaker return", func(t *Terms) *Given[Procedure] { return &t.Procedure })},
	{"volume", number(unit.OfVolume, func(t *Terms) *Given[unit.Volume] { return &t.Volume })},
	{"patch area", number(unit.OfPatchArea, func(t *Terms) *Given[unit.PatchArea] { return &t.PatchArea })},
	{"constant", number(unit.OfConstant, func(t *Terms) *Given[unit.Constant] { return &t.Constant })},
	{"contact time", number(unit.OfTime, func(t *Terms) *Given[unit.Minutes] { return &t.ContactTime })},
	{"handling time", number(unit.OfTime, func(t *Terms) *Given[unit.Minutes] { return &t.HandlingTime })},
	{"pump cycles", count(func(t *Terms) *Given[int] { return &t.PumpCycles })},
	{"sets in use", count(func(t *Terms) *Given[int] { return &t.SetsInUse })},
	{"water limit", number(unit.OfConductivity, func(t *Terms) *Given[unit.Conductivity] { return &t.WaterLimit })},
	{"humidity limit", number(unit.OfHumidity, func(t *Terms) *Given[unit.Humidity] { return &t.HumidityLimit })},
	{"dew point margin", difference(func(t *Terms) *Given[unit.Temperature] { return &t.DewPointMargin })},
	{"steel temperature range", steelRange()},
	{"check tolerance", number(unit.OfPercent, func(t *Terms) *Given[unit.Percent] { return &t.CheckTolerance })},
	{"temperature correction", parsed(correction, "linear 2 %, natural water or none", func(t *Terms) *Given[salt.Correction] { return &t.Correction })},
	{"sampling rule", parsed(samplingRule, samplingWanted, func(t *Terms) *Given[salt.SamplingRule] { return &t.Sampling })},
	{"spot types required", parsed(listOfWords, "a list of spot types", func(t *Terms) *Given[[]string] { return &t.SpotTypes })},
	{"spots chosen", word(choices, "at random or by judgement", func(t *Terms) *Given[Choice] { return &t.SpotsChosen })},
	{"retest rule", parsed(retestRule, "beside the old footprint, 2 adjacent", func(t *Terms) *Given[RetestRule] { return &t.Retest })},
	{"hours to coating", hours(func(t *Terms) *Given[float64] { return &t.HoursToCoating })},

	{"house ambient gap", number(unit.OfTime, func(t *Terms) *Given[unit.Minutes] { return &t.House.AmbientGap })},
	{"house blank tests", count(func(t *Terms) *Given[int] { return &t.House.BlankTests })},
	{"house blank age", number(unit.OfTime, func(t *Terms) *Given[unit.Minutes] { return &t.House.BlankAge })},
	{"house blank least", number(unit.OfConductivity, func(t *Terms) *Given[unit.Conductivity] { return &t.House.BlankLeast })},
	{"house resolution share", number(unit.OfPercent, func(t *Terms) *Given[unit.Percent] { return &t.House.ResolutionShare })},
	{"house water days", count(func(t *Terms) *Given[int] { return &t.House.WaterDays })},
	{"house injected least", number(unit.Pure, func(t *Terms) *Given[float64] { return &t.House.InjectedLeast })},
	{"house injected most", number(unit.Pure, func(t *Terms) *Given[float64] { return &t.House.InjectedMost })},
	{"house loss volume", number(unit.OfVolume, func(t *Terms) *Given[unit.Volume] { return &t.House.LossVolume })},
	{"house dew difference", difference(func(t *Terms) *Given[unit.Temperature] { return &t.House.DewDifference })},
	{"house compensation", difference(func(t *Terms) *Given[unit.Temperature] { return &t.House.Compensation })},
	{"house drying time", number(unit.OfTime, func(t *Terms) *Given[unit.Minutes] { return &t.House.DryingTime })},
}

// limitTerms are the keys of one acceptance limit. They may carry a number:
// "limit 2", "limit basis 2" and "limit 2 basis" belong to the second.
var limitTerms = tableOf[Limit]{
	{"limit", limitValue(func(l *Limit) *Given[unit.SurfaceDensity] { return &l.Value })},
	{"limit basis", word(bases, "total salts, conductivity of sodium chloride or chloride ion", func(l *Limit) *Given[salt.Basis] { return &l.Basis })},
	{"limit comparison", parsed(comparison, "at most or less than", func(l *Limit) *Given[salt.Comparison] { return &l.Comparison })},
	{"limit rounding", parsed(rounding, "unrounded, or to a step such as 1 mg/m2", func(l *Limit) *Given[salt.Rounding] { return &l.Rounding })},
	{"limit clause", words(func(l *Limit) *Words { return &l.Clause })},
}

var numberedLimit = pattern.Of(`^limit(?: (\d{1,2}))?( basis| comparison| rounding| clause)?(?: (\d{1,2}))?$`)

// limitKey takes the number out of the key of a limit; ok is false for any
// other key. Limits count from 1.
func limitKey(key string) (base string, n int, ok bool) {
	m := numberedLimit().FindStringSubmatch(key)
	if m == nil || m[1] != "" && m[3] != "" {
		return "", 0, false
	}
	n = 1
	if digits := m[1] + m[3]; digits != "" {
		n, _ = strconv.Atoi(digits)
	}
	return "limit" + m[2], n, n >= 1
}
