package salt

import (
	"math"
	"testing"

	"saltline/internal/unit"
)

// Four sets of a coating day, worked separately with the WMO formula to the
// hundredth. Printed tables are held against it in TestPublished.
func TestDewPoint(t *testing.T) {
	for _, tt := range []struct{ air, rh, want float64 }{{28, 82, 24.64}, {24, 65, 17.01}, {12, 88, 10.07}, {31.5, 74, 26.30}, {20, 100, 20}} {
		td, err := DewPoint(unit.Temperature(tt.air), unit.Humidity(tt.rh))
		if err != nil || math.Abs(float64(td)-tt.want) > 0.006 {
			t.Errorf("%v °C, %v %%: %v %v, want %v", tt.air, tt.rh, td, err, tt.want)
		}
	}
}

func TestDewPointRange(t *testing.T) {
	nan := math.NaN()
	for _, tt := range []struct {
		air, rh float64
		ok      bool
	}{{20, 100, true}, {20, 100.1, false}, {20, 0.1, true}, {20, 0, false}, {20, -5, false}, {60, 50, true}, {60.1, 50, false}, {-45, 50, true}, {-45.1, 50, false}, {nan, 50, false}, {20, nan, false}} {
		if _, err := DewPoint(unit.Temperature(tt.air), unit.Humidity(tt.rh)); (err == nil) != tt.ok {
			t.Errorf("dew point at %v °C, %v %%: %v", tt.air, tt.rh, err)
		}
	}
	if _, err := FrostPoint(20, 60); err == nil {
		t.Error("a frost point of 12 °C is given")
	}
	frost, err := FrostPoint(5, 50)
	dew, _ := DewPoint(5, 50)
	if err != nil || !(frost > dew && frost < 0) {
		t.Errorf("at 5 °C, 50 %%: frost point %v %v, dew point %v", frost, err, dew)
	}
}

func TestHumidityFromWetBulb(t *testing.T) {
	if rh, err := HumidityFromWetBulb(20, 20, StandardPressure); err != nil || rh != 100 {
		t.Errorf("equal bulbs: %v %v, want 100", rh, err)
	}
	// Psychrometric tables for a ventilated instrument at sea level: 25 / 20 °C
	// is 63 % (from memory).
	if rh, err := HumidityFromWetBulb(25, 20, StandardPressure); err != nil || math.Abs(float64(rh)-63) > 1 {
		t.Errorf("25 over 20 °C: %v %v, want 63", rh, err)
	}
	for _, tt := range [][3]float64{{20, 20.1, 1013}, {20, -0.1, 1013}, {61, 30, 1013}, {20, 15, 499}, {20, 15, 1101}, {40, 5, 1013}, {math.NaN(), 15, 1013}, {20, math.NaN(), 1013}} {
		if rh, err := HumidityFromWetBulb(unit.Temperature(tt[0]), unit.Temperature(tt[1]), tt[2]); err == nil {
			t.Errorf("%v gives %v", tt, rh)
		}
	}
}

// The standard atmosphere at 1000 m is 898.7 hPa (ISO 2533).
func TestPressureAt(t *testing.T) {
	if p := PressureAt(1000); math.Abs(p-898.7) > 0.2 {
		t.Errorf("at 1000 m: %v hPa", p)
	}
}

func TestTo25(t *testing.T) {
	for _, tt := range []struct {
		c    Correction
		at   unit.Temperature
		want unit.Conductivity
		ok   bool
	}{
		{Correction{}, 10, 40, true},
		{Correction{}, 99, 40, true}, // nothing is corrected, so nothing is out of range
		{Correction{Linear, 2}, 25, 40, true},
		{Correction{Linear, 2}, 10, 40 / 0.7, true}, // a true 57 reads 40 at 10 °C
		{Correction{Linear, 2}, 0, 80, true},
		{Correction{Linear, 2}, -0.1, 0, false},
		{Correction{Linear, 2}, 40.1, 0, false},
		{Correction{Linear, 0}, 10, 40, true},
		{Correction{Linear, 4}, 10, 0, false},
		{Correction{Linear, -1}, 10, 0, false},
		{Correction{NaturalWater, 0}, 41, 0, false},
		{Correction{NaturalWater, 0}, unit.Temperature(math.NaN()), 0, false},
	} {
		got, err := tt.c.To25(40, tt.at)
		if (err == nil) != tt.ok || math.Abs(float64(got-tt.want)) > 1e-9 {
			t.Errorf("%+v at %v °C: %v %v, want %v", tt.c, tt.at, got, err, tt.want)
		}
	}
	// The printed table gives 1.000 at 25 °C.
	if got, err := (Correction{Kind: NaturalWater}).To25(40, 25); err != nil || math.Abs(float64(got)-40) > 0.02 {
		t.Errorf("natural water at 25 °C: %v %v", got, err)
	}
}
