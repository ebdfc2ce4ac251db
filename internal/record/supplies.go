package record

import "saltline/internal/unit"

var patches = tableOf[Patch]{
	{"batch", words(func(p *Patch) *Words { return &p.Batch })},
	{"kind", kindOfPatch(func(p *Patch) *Given[PatchKind] { return &p.Kind })},
	{"patch area", number(unit.OfPatchArea, func(p *Patch) *Given[unit.PatchArea] { return &p.Area })},
	{"size designation", words(func(p *Patch) *Words { return &p.Designation })},
	{"expiry", date(func(p *Patch) *Given[unit.Date] { return &p.Expiry })},
	{"unit price", number(unit.OfMoney, func(p *Patch) *Given[unit.Money] { return &p.UnitPrice })},
	{"maximum uses", count(func(p *Patch) *Given[int] { return &p.MaximumUses })},
	{"smallest outside diameter", number(unit.OfLength, func(p *Patch) *Given[unit.Length] { return &p.SmallestOutsideDiameter })},
	{"smallest inside diameter", number(unit.OfLength, func(p *Patch) *Given[unit.Length] { return &p.SmallestInsideDiameter })},
	{"opening stock", count(func(p *Patch) *Given[int] { return &p.OpeningStock })},
	{"closing stock", count(func(p *Patch) *Given[int] { return &p.ClosingStock })},
}

var treatments = tableOf[Treatment]{
	{"treatment", words(func(t *Treatment) *Words { return &t.Name })},
	{"of tests", parsed(listOfTests, "the numbers of tests, such as 2, 3", func(t *Treatment) *Given[[]string] { return &t.OfTests })},
	{"what", words(func(t *Treatment) *Words { return &t.What })},
	{"date", date(func(t *Treatment) *Given[unit.Date] { return &t.Date })},
	{"started", clock(func(t *Treatment) *Given[unit.Clock] { return &t.Started })},
	{"ended", clock(func(t *Treatment) *Given[unit.Clock] { return &t.Ended })},
	{"water source", words(func(t *Treatment) *Words { return &t.WaterSource })},
	{"water conductivity", number(unit.OfConductivity, func(t *Treatment) *Given[unit.Conductivity] { return &t.WaterConductivity })},
	{"extent", number(unit.OfSteelArea, func(t *Treatment) *Given[unit.SteelArea] { return &t.Extent })},
	{"dried how", words(func(t *Treatment) *Words { return &t.Dried })},
	{"grade after", words(func(t *Treatment) *Words { return &t.GradeAfter })},
	{"by", words(func(t *Treatment) *Words { return &t.By })},
}

var extracts = tableOf[Extract]{
	{"date", date(func(e *Extract) *Given[unit.Date] { return &e.Date })},
	{"kind", words(func(e *Extract) *Words { return &e.Kind })},
	{"batch", words(func(e *Extract) *Words { return &e.Batch })},
	{"method", words(func(e *Extract) *Words { return &e.Method })},
	{"conductivity", number(unit.OfConductivity, func(e *Extract) *Given[unit.Conductivity] { return &e.Conductivity })},
	{"limit", number(unit.OfConductivity, func(e *Extract) *Given[unit.Conductivity] { return &e.Limit })},
	{"oil seen", words(func(e *Extract) *Words { return &e.Oil })},
	{"by", words(func(e *Extract) *Words { return &e.By })},
}
