package record

import "saltline/internal/unit"

// House holds the house settings: thresholds that no standard and, as a
// rule, no contract gives. Each can be set in the job table or with --set
// under its key; where it is absent the program's own default is used and
// printed as a house setting, never as a requirement.
type House struct {
	AmbientGap      Given[unit.Minutes]      // "house ambient gap": longest time from a test to the nearest ambient set
	BlankTests      Given[int]               // "house blank tests": most tests that one blank reading may serve
	BlankAge        Given[unit.Minutes]      // "house blank age": longest time that one blank reading may serve
	BlankLeast      Given[unit.Conductivity] // "house blank least": a blank below this is asked about
	ResolutionShare Given[unit.Percent]      // "house resolution share": K·r in per cent of the limit above which the meter is too coarse
	WaterDays       Given[int]               // "house water days": longest time a bottle of water stays open
	InjectedLeast   Given[float64]           // "house injected least": µl per mm² of patch
	InjectedMost    Given[float64]           // "house injected most": µl per mm² of patch
	LossVolume      Given[unit.Volume]       // "house loss volume": water lost above which the extraction is void
	DewDifference   Given[unit.Temperature]  // "house dew difference": written against calculated dew point
	Compensation    Given[unit.Temperature]  // "house compensation": distance from 25 °C within which compensation does not matter
	DryingTime      Given[unit.Minutes]      // "house drying time": shortest time from the end of a treatment to a retest
}
