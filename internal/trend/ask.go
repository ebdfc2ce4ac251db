package trend

import (
	"math"

	"saltline/internal/stat"
)

// fewestDays are the days from which a trend of medians can be beyond chance:
// five in order are one of 120 orders, four one of 24.
const fewestDays = 5

// askBlanks asks whether the water goes bad over the days: the median blanks
// rise by the rank test, and by more than air can add. The flag has From and To
// by the line, N days, Slope and Chance.
func (w *work) askBlanks(t *Trends) {
	l := &t.Blanks
	if l.N < fewestDays {
		t.TooFew = append(t.TooFew, Silence{Kind: BlanksRising, N: l.N, Need: fewestDays})
		return
	}
	if l.Rising >= byLuck || l.Change() < blankRise {
		return
	}
	f := Flag{Kind: BlanksRising, N: l.N, Slope: l.Slope, Chance: l.Rising, From: math.NaN()}
	for i := range t.Days {
		if d := &t.Days[i]; !math.IsNaN(float64(d.Blank)) {
			if math.IsNaN(f.From) {
				f.First, f.From = d.Date, float64(d.Blank)
			}
			f.Last, f.To = d.Date, float64(d.Blank)
		}
	}
	t.Flags = append(t.Flags, f)
}

// Voids. One in twenty is common, and more than one in ten is asked about
// (house rules), where one in twenty would not give it by chance.
const (
	usualVoids = 0.05
	mostVoids  = 0.10
	askedVoids = 20 // tests from which it can be asked
)

// askVoids asks whether there are too many voids. The flag has N of Of, and
// Chance if one in twenty is what there is to be.
func (w *work) askVoids(t *Trends) {
	voids, tests := 0, 0
	for i := range t.Days {
		voids, tests = voids+t.Days[i].Voids, tests+t.Days[i].Tests
	}
	if tests < askedVoids {
		t.TooFew = append(t.TooFew, Silence{Kind: VoidsMany, N: tests, Need: askedVoids})
		return
	}
	chance, err := stat.BinomialTail(voids, tests, usualVoids)
	if err != nil || chance >= byLuck || float64(voids) <= mostVoids*float64(tests) {
		return
	}
	t.Flags = append(t.Flags, Flag{
		Kind: VoidsMany, N: voids, Of: tests, Chance: chance, First: t.Days[0].Date, Last: t.Days[len(t.Days)-1].Date,
	})
}
