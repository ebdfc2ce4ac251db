package assess

import (
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// An AmbientSet is one set of air and steel readings with what follows.
type AmbientSet struct {
	Set          *record.Ambient // from the ambient table; nil for one that stood among the readings
	Test         *record.Test    // the row it stood on, then
	Humidity     unit.Humidity   // as recorded, or from the wet bulb
	HumidityFrom HumiditySource
	Dew          unit.Temperature // calculated; with DewKnown
	DewKnown     bool
	Margin       unit.Temperature // steel less dew point: the calculated one, or the written one where none can be calculated
	MarginKnown  bool
	LowMargin    bool // the margin is below the one that is asked for
	HighHumidity bool // the humidity is above the limit
	Hold         bool // coating hold, for either; not a salt verdict
}

// A HumiditySource says where a relative humidity comes from.
type HumiditySource int

const (
	NoHumidity HumiditySource = iota
	HumidityRecorded
	HumidityFromWetBulb
)

// air is the part of an ambient set that both of its homes share.
type air struct {
	air, wetBulb, dew, steel record.Given[unit.Temperature]
	humidity                 record.Given[unit.Humidity]
}

// ambient returns every set of the job: those of the ambient table in its
// order, then those that stand among the readings in the order of the tests.
func (b *bench) ambient() []AmbientSet {
	sets := make([]AmbientSet, 0, len(b.job.Ambient))
	for i := range b.job.Ambient {
		a := &b.job.Ambient[i]
		s := b.follow(air{a.Air, a.WetBulb, a.RecordedDew, a.Steel, a.Humidity})
		s.Set = a
		sets = append(sets, s)
	}
	log, c := record.LogOf(b.job.Tests), &record.Columns
	if !record.Some(log, c.Air, record.Given[unit.Temperature].Known) &&
		!record.Some(log, c.RecordedDew, record.Given[unit.Temperature].Known) &&
		!record.Some(log, c.Humidity, record.Given[unit.Humidity].Known) {
		return sets
	}
	for i := range b.job.Tests {
		t := &b.job.Tests[i]
		// A steel temperature alone belongs to the test, not to a set.
		if !t.Air().Known() && !t.Humidity().Known() && !t.RecordedDew().Known() {
			continue
		}
		s := b.follow(air{air: t.Air(), dew: t.RecordedDew(), steel: t.Steel(), humidity: t.Humidity()})
		s.Test = t
		sets = append(sets, s)
	}
	return sets
}

// follow works out what follows from one set: the dew point of its air, the
// margin of its steel, and whether coating has to wait.
func (b *bench) follow(a air) AmbientSet {
	var s AmbientSet
	switch {
	case a.humidity.Known():
		s.Humidity, s.HumidityFrom = a.humidity.Val, HumidityRecorded
	case a.air.Known() && a.wetBulb.Known():
		if rh, err := salt.HumidityFromWetBulb(a.air.Val, a.wetBulb.Val, salt.StandardPressure); err == nil {
			s.Humidity, s.HumidityFrom = rh, HumidityFromWetBulb
		}
	}
	if a.air.Known() && s.HumidityFrom != NoHumidity {
		if dew, err := salt.DewPoint(a.air.Val, s.Humidity); err == nil {
			s.Dew, s.DewKnown = dew, true
		}
	}
	if a.steel.Known() {
		switch {
		case s.DewKnown:
			s.Margin, s.MarginKnown = salt.Margin(a.steel.Val, s.Dew), true
		case a.dew.Known():
			s.Margin, s.MarginKnown = salt.Margin(a.steel.Val, a.dew.Val), true
		}
	}
	s.LowMargin = s.MarginKnown && float64(s.Margin) < b.basis.Value(DewPointMargin)
	s.HighHumidity = s.HumidityFrom != NoHumidity && float64(s.Humidity) > b.basis.Value(HumidityLimit)
	s.Hold = s.LowMargin || s.HighHumidity
	return s
}
