package assess

import (
	"math"
	"testing"

	"saltline/internal/record"
	"saltline/internal/unit"
)

// Dew points by Magnus with the WMO constants, worked by hand: 28.0/82 gives
// 24.64, 24.0/65 gives 17.01, 12.0/88 gives 10.07, 31.5/74 gives 26.30.
func TestAmbient(t *testing.T) {
	for _, c := range []struct {
		name                            string
		air, humidity, wet, dew, steel  string
		wantDew, wantMargin             float64 // NaN: not known
		lowMargin, highHumidity, onHold bool
	}{
		{"28.0/82", "28.0", "82", "", "", "28.0", 24.64, 3.36, false, false, false},
		{"24.0/65, steel 2.99 above", "24.0", "65", "", "", "20.00", 17.01, 2.99, true, false, true},
		{"24.0/65, steel 3.01 above", "24.0", "65", "", "", "20.02", 17.01, 3.01, false, false, false},
		{"12.0/88", "12.0", "88", "", "", "20", 10.07, 9.93, false, true, true},
		{"31.5/74, no steel", "31.5", "74", "", "", "", 26.30, math.NaN(), false, false, false},
		{"at the humidity limit", "20", "85", "", "", "25", 17.40, 7.60, false, false, false},
		{"above the humidity limit", "20", "85.1", "", "", "25", 17.42, 7.58, false, true, true},
		{"impossible humidity", "20", "104", "", "", "25", math.NaN(), math.NaN(), false, true, true},
		{"margin equal to what is asked for", "", "", "", "13.0", "16.0", math.NaN(), 3, false, false, false},
		{"written dew point only", "", "", "", "14.0", "16.0", math.NaN(), 2, true, false, true},
		// Dry 20, wet 15: about 59 % in a ventilated pair (psychrometric tables, from memory).
		{"wet bulb", "20", "", "15", "", "25", 11.7, 13.3, false, false, false},
		{"nothing but steel", "", "", "", "", "16.0", math.NaN(), math.NaN(), false, false, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			set := record.Ambient{
				Air:         number[unit.Temperature](t, c.air),
				Humidity:    number[unit.Humidity](t, c.humidity),
				WetBulb:     number[unit.Temperature](t, c.wet),
				RecordedDew: number[unit.Temperature](t, c.dew),
				Steel:       number[unit.Temperature](t, c.steel),
			}
			s := Run(&record.Job{Ambient: []record.Ambient{set}}, nil).Ambient[0]
			within := 0.011
			if s.HumidityFrom == HumidityFromWetBulb {
				within = 0.25 // the tables are rounded
			}
			near := func(what string, known bool, got unit.Temperature, want float64) {
				if known == math.IsNaN(want) || known && math.Abs(float64(got)-want) > within {
					t.Errorf("%s: got %v (known %v), want %v", what, got, known, want)
				}
			}
			near("dew point", s.DewKnown, s.Dew, c.wantDew)
			near("margin", s.MarginKnown, s.Margin, c.wantMargin)
			if s.LowMargin != c.lowMargin || s.HighHumidity != c.highHumidity || s.Hold != c.onHold {
				t.Errorf("got low margin %v, high humidity %v, hold %v", s.LowMargin, s.HighHumidity, s.Hold)
			}
		})
	}
}

// The contract's own margin and humidity take the place of the house's.
func TestAmbientByContract(t *testing.T) {
	job := &record.Job{Ambient: []record.Ambient{{
		Air: number[unit.Temperature](t, "24"), Humidity: number[unit.Humidity](t, "65"), Steel: number[unit.Temperature](t, "21"),
	}}}
	job.Terms.DewPointMargin = number[unit.Temperature](t, "5")
	job.Terms.HumidityLimit = number[unit.Humidity](t, "60")
	if s := Run(job, nil).Ambient[0]; !s.LowMargin || !s.HighHumidity {
		t.Errorf("margin 4 against 5, 65 %% against 60 %%: got %+v", s)
	}
}

// Air columns among the readings make a set; a steel temperature alone does
// not.
func TestAmbientAmongReadings(t *testing.T) {
	job := newJob(t)
	withAir, onlySteel := reading(t, "2.0", "12.0"), reading(t, "2.0", "12.0")
	f := withAir.Own()
	f.Air, f.Humidity, f.Steel = number[unit.Temperature](t, "24"), number[unit.Humidity](t, "65"), number[unit.Temperature](t, "21")
	onlySteel.Own().Steel = withAir.Steel()
	job.Tests = []record.Test{onlySteel, withAir}
	job.Ambient = []record.Ambient{{}}
	sets := Run(job, nil).Ambient
	if len(sets) != 2 || sets[0].Set == nil || sets[1].Test != &job.Tests[1] || !sets[1].DewKnown {
		t.Errorf("got %+v, want the table's set, then that of the second test", sets)
	}
}
