package assess

import (
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// A Setting is a threshold and whether the record states it.
type Setting struct {
	Key   string // "water limit", "house ambient gap" …
	Value float64
	Unit  string
	House bool // the program's default: printed as a house setting, never as a requirement
	Pos   diag.Pos
}

// The keys of the settings: those of the job table, and a few estimates of
// the uncertainty budget that the record has no key for.
const (
	WaterLimit      = "water limit"
	HumidityLimit   = "humidity limit"
	DewPointMargin  = "dew point margin"
	SteelMin        = "steel temperature, lowest"
	SteelMax        = "steel temperature, highest"
	CheckTolerance  = "check tolerance"
	ContactTime     = "contact time"
	HandlingTime    = "handling time"
	PumpCycles      = "pump cycles"
	SetsInUse       = "sets in use"
	HoursToCoating  = "hours to coating"
	AdjacentTests   = "adjacent tests"
	AmbientGap      = "house ambient gap"
	BlankTests      = "house blank tests"
	BlankAge        = "house blank age"
	BlankLeast      = "house blank least"
	ResolutionShare = "house resolution share"
	WaterDays       = "house water days"
	InjectedLeast   = "house injected least"
	InjectedMost    = "house injected most"
	LossVolume      = "house loss volume"
	DewDifference   = "house dew difference"
	NoCompensation  = "house compensation"
	DryingTime      = "house drying time"
	MeterAccuracy   = "estimated meter accuracy"
	VolumeEstimate  = "estimated volume error"
	AreaEstimate    = "estimated patch area error"
)

// settings returns every threshold, the record's own where it states one.
//
// The defaults are common practice and were chosen by the house: the water
// limit is grade 3 of ISO 3696 (5 µS/cm at 25 °C); 3 K and 85 % are the usual
// specification values before coating; ten minutes and four cycles are what
// is usually agreed for unpitted steel; two to 3.2 µl per mm² is 2.6 ± 0.6
// (from memory, ISO 8502-6). Where the record gives no hours to coating there
// is no default for them, and Setting reports false.
func settings(t *record.Terms) []Setting {
	h := &t.House
	list := []Setting{
		setting(WaterLimit, t.WaterLimit, 5, "µS/cm"),
		setting(HumidityLimit, t.HumidityLimit, 85, "%"),
		setting(DewPointMargin, t.DewPointMargin, 3, "K"),
		setting(SteelMin, t.SteelMin, 5, "°C"),
		setting(SteelMax, t.SteelMax, 40, "°C"),
		setting(CheckTolerance, t.CheckTolerance, 5, "%"),
		setting(ContactTime, t.ContactTime, 10, "min"),
		setting(HandlingTime, t.HandlingTime, 2, "min"),
		setting(PumpCycles, t.PumpCycles, 4, ""),
		setting(SetsInUse, t.SetsInUse, 1, ""),
		adjacentTests(t.Retest),
		setting(AmbientGap, h.AmbientGap, 240, "min"),
		setting(BlankTests, h.BlankTests, 8, ""),
		setting(BlankAge, h.BlankAge, 240, "min"),
		setting(BlankLeast, h.BlankLeast, 0.5, "µS/cm"),
		setting(ResolutionShare, h.ResolutionShare, 10, "%"),
		setting(WaterDays, h.WaterDays, 30, "d"),
		setting(InjectedLeast, h.InjectedLeast, 2.0, "µl/mm²"),
		setting(InjectedMost, h.InjectedMost, 3.2, "µl/mm²"),
		setting(LossVolume, h.LossVolume, 0.5, "ml"),
		setting(DewDifference, h.DewDifference, 0.5, "K"),
		setting(NoCompensation, h.Compensation, 2, "K"),
		setting(DryingTime, h.DryingTime, 15, "min"),
		{Key: MeterAccuracy, Value: 2, Unit: "%", House: true},
		{Key: VolumeEstimate, Value: 0.1, Unit: "ml", House: true},
		{Key: AreaEstimate, Value: 2, Unit: "%", House: true},
	}
	if t.HoursToCoating.Known() {
		list = append(list, setting(HoursToCoating, t.HoursToCoating, 0, "h"))
	}
	return list
}

// setting takes g where it is known and the house's value where it is not.
func setting[Q ~float64 | ~int](key string, g record.Given[Q], house float64, symbol string) Setting {
	if g.Known() {
		return Setting{Key: key, Value: float64(g.Val), Unit: symbol, Pos: g.Pos}
	}
	return Setting{Key: key, Value: house, Unit: symbol, House: true}
}

// adjacentTests takes the number of adjacent tests from the retest rule. Two
// are asked for where the record states no rule: without any the extent of
// the salt is not known.
func adjacentTests(rule record.Given[record.RetestRule]) Setting {
	if rule.Known() {
		return Setting{Key: AdjacentTests, Value: float64(rule.Val.Adjacent), Pos: rule.Pos}
	}
	return Setting{Key: AdjacentTests, Value: 2, House: true}
}

// Setting returns the setting of a key; false where the basis has none.
func (b *Basis) Setting(key string) (Setting, bool) {
	for _, s := range b.Settings {
		if s.Key == key {
			return s, true
		}
	}
	return Setting{}, false
}

// Value returns the value of a setting, 0 where the basis has none.
func (b *Basis) Value(key string) float64 {
	s, _ := b.Setting(key)
	return s.Value
}

// ToleranceOf is how far a check may read from nominal, in per cent: the tighter
// of what its row and the job say, and the house setting only where neither says
// any.
func (b *Basis) ToleranceOf(k *record.MeterCheck) unit.Percent {
	job, _ := b.Setting(CheckTolerance)
	if k.Tolerance.Known() && (job.House || float64(k.Tolerance.Val) <= job.Value) {
		return k.Tolerance.Val
	}
	return unit.Percent(job.Value)
}
