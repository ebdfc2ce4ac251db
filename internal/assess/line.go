package assess

import (
	"math"
	"slices"

	"saltline/internal/crew"
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/slip"
	"saltline/internal/unit"
)

// A Density is a surface density as far as it is known.
type Density struct {
	Value   unit.SurfaceDensity // unrounded
	Known   bool
	Bounded bool // there is no value, but bounds: a reading is "<1", or the blank is missing
}

// A Line is one test, computed and judged. A long record has a million of
// them, so a line keeps what is asked of each; the rest is worked out when it
// is asked for, or kept in an account where it is more than the arithmetic of
// two readings.
type Line struct {
	Test    *record.Test
	Index   int     // in Result.Lines
	Density Density // by the readings as they stand

	made    *made // how the test was made, shared by all that were made alike
	more    *more // what only some lines have; nil for most
	reasons reasons
	day     int32 // the ordinal of its date; 0 where none is known

	// The small ones stand together.
	Compensation Compensation
	Agreement    Agreement
	Rounds       bool    // agrees after rounding to the written digits (for Agrees)
	asRead       bool    // agrees with the density as read, and not only at 25 °C or as sodium chloride
	ByNumber     Verdict // from the numbers alone
	Verdict      Verdict // after what the findings take away
	Written      Verdict // what the written value would be against the first limit; NotEstablished where none
	Doubtful     bool    // a FAIL whose extraction was not valid: it stands until it is repeated properly
	word         word    // the written verdict
	kind         uint8   // its record.TestKind
	first        marks   // of a line without an account: how it stands to its limit
}

// More is what only some lines have.
type more struct {
	explanations []slip.Explanation
	account      *account // nil where the line is that of tests made alike
}

// A word is the written verdict of a line as far as it matters: a
// record.WrittenVerdict, or unread.
type word uint8

// unread is the word of a verdict that is not understood.
const unread word = math.MaxUint8

func wordOf(g record.Given[record.WrittenVerdict]) word {
	if g.State == record.Unreadable {
		return unread
	}
	return word(g.Val)
}

// account is the account of a line that has one.
func (l *Line) account() *account {
	if l.more == nil {
		return nil
	}
	return l.more.account
}

// OfSteel reports whether the test was made on steel. A procedural blank is
// not: it gets a number and no verdict, and counts nowhere.
func (l *Line) OfSteel() bool { return l.kind != uint8(record.ProceduralBlank) }

// Kind is what the test was made for.
func (l *Line) Kind() record.TestKind { return record.TestKind(l.kind) }

// Day is a number that grows with the day on which the test was made; 0 where
// that is not known.
func (l *Line) Day() int { return int(l.day) }

// Resolution is the coarser of the written step of the readings and the
// meter's; 0 where no reading is known.
func (l *Line) Resolution() unit.Conductivity {
	if a := l.account(); a != nil {
		return a.resolution
	}
	return l.made.scale.resolution
}

// Volume is the water of the test, as it was taken into the calculation.
func (l *Line) Volume() Used[unit.Volume] { return l.made.bench.volume(l.Test) }

// PatchArea is the steel under the patch, likewise.
func (l *Line) PatchArea() Used[unit.PatchArea] { return l.made.bench.patchAreaOf(l.Test) }

// AssumesArea reports whether PatchArea is an assumption.
func (l *Line) AssumesArea() bool { return l.made.usualArea }

// Constant is c, the same for all tests.
func (l *Line) Constant() Used[unit.Constant] { return l.made.bench.constant }

// Factor is K, in mg/m² per µS/cm; 0 where volume or area is not known.
func (l *Line) Factor() float64 { return l.made.factor }

// Difference is what the extract reads above the blank; 0 where one of them is
// not known.
func (l *Line) Difference() unit.Conductivity {
	if g1, g2 := l.Test.Blank(), l.Test.Extract(); g1.Known() && g2.Known() {
		return g2.Val - g1.Val
	}
	return 0
}

// Exact is Density without the rounding of a float; no number where there is
// none.
func (l *Line) Exact() unit.Ratio {
	switch a := l.account(); {
	case a != nil:
		return a.exact
	case !l.Density.Known:
		return unit.Ratio{}
	}
	return l.made.method.ExactDensity(l.Test.Blank().Dec, l.Test.Extract().Dec)
}

// Span is what the written digits allow for Density, or what bounds it. The
// volume, the patch area and the constant are taken as exact in it: what is
// not known of them stands in the uncertainty.
func (l *Line) Span() (low, high unit.SurfaceDensity) {
	switch a := l.account(); {
	case a != nil:
		return a.low, a.high
	case !l.Density.Known:
		return 0, 0
	}
	return l.made.scale.span(l.Test)
}

// At25 is the density with each reading referred to 25 °C. It is known only
// where the readings were not compensated and a correction and a temperature
// are recorded.
func (l *Line) At25() Density {
	if a := l.account(); a != nil && a.at25 != nil {
		return Density{Value: a.at25.value, Known: true}
	}
	return Density{}
}

// At25Span is what the written digits allow for At25.
func (l *Line) At25Span() (low, high unit.SurfaceDensity) {
	if a := l.account(); a != nil && a.at25 != nil {
		return a.at25.low, a.at25.high
	}
	return 0, 0
}

// Judged is the higher of the density as read and that at 25 °C; a pass needs
// both at or below the limit.
func (l *Line) Judged() Density {
	if at25 := l.At25(); at25.Known && at25.Value > l.Density.Value {
		return at25
	}
	return l.Density
}

// JudgedSpan is Span of the density that is Judged.
func (l *Line) JudgedSpan() (low, high unit.SurfaceDensity) {
	if l.Judged() != l.Density {
		return l.At25Span()
	}
	return l.Span()
}

// Uncertainty is u and U of the judged density.
func (l *Line) Uncertainty() salt.Budget {
	switch a := l.account(); {
	case a != nil:
		return a.uncertainty
	case !l.Density.Known:
		return salt.Budget{}
	}
	return l.made.scale.budget(l.Test)
}

// SodiumChloride is the judged density as an equivalent by conductivity of
// sodium chloride; 0 where none is known, and beyond the range of the formula,
// for no figure is made up there.
func (l *Line) SodiumChloride() unit.SurfaceDensity {
	return l.equivalent(salt.Method.SodiumChlorideDensity)
}

// ChlorideBound is the most chloride that the judged density can hold, if all
// of it were chloride; 0 like SodiumChloride.
func (l *Line) ChlorideBound() unit.SurfaceDensity {
	return l.equivalent(salt.Method.ChlorideUpperBound)
}

func (l *Line) equivalent(of func(salt.Method, unit.Conductivity) (unit.SurfaceDensity, error)) unit.SurfaceDensity {
	judged := l.Judged()
	if !judged.Known {
		return 0
	}
	v, err := of(l.made.method, max(0, unit.Conductivity(float64(judged.Value)/l.made.factor)))
	if err != nil {
		return 0
	}
	return v
}

// Explanations are all single slips that fit, where the written value does not
// follow.
func (l *Line) Explanations() []slip.Explanation {
	if l.more == nil {
		return nil
	}
	return l.more.explanations
}

// Limits are how the line stands to each limit that applies; none for a
// procedural blank.
func (l *Line) Limits() []Judgement {
	if a := l.account(); a != nil {
		return a.limits
	}
	if j, is := l.First(); is {
		return []Judgement{j}
	}
	return nil
}

// First is the first of Limits; false where there is none.
func (l *Line) First() (Judgement, bool) {
	if a := l.account(); a != nil {
		if len(a.limits) == 0 {
			return Judgement{}, false
		}
		return a.limits[0], true
	}
	if l.first&limited == 0 {
		return Judgement{}, false
	}
	j := Judgement{
		Limit: l.made.first, Value: unit.SurfaceDensity(math.NaN()),
		Exceeds: l.first&exceeds != 0, Decided: l.first&decided != 0, Near: l.first&near != 0,
	}
	switch {
	case l.first&exceeds != 0:
		j.Outcome, j.Value = salt.NotConforms, l.Density.Value
	case l.first&conforms != 0:
		j.Outcome, j.Value = salt.Conforms, l.Density.Value
	}
	return j, true
}

// EachLimit goes through Limits, and makes no list of them.
func (l *Line) EachLimit(yield func(Judgement) bool) {
	if a := l.account(); a != nil {
		for k := range a.limits {
			if !yield(a.limits[k]) {
				return
			}
		}
		return
	}
	if j, limited := l.First(); limited {
		yield(j)
	}
}

// LimitedBy reports whether one of Limits speaks of a basis.
func (l *Line) LimitedBy(b salt.Basis) bool {
	for k := range l.made.limits {
		if l.made.limits[k].Basis == b {
			return true
		}
	}
	return false
}

// Reasons are why the numbers alone establish nothing, where they do not.
func (l *Line) Reasons() []Reason { return l.reasons.list() }

// Because reports whether a reason is among Reasons.
func (l *Line) Because(r Reason) bool { return l.reasons.has(r) }

// Open reports whether there is a reason.
func (l *Line) Open() bool { return l.reasons != 0 }

// Findings are the indexes into Result.Findings of what was found of the test.
func (l *Line) Findings() []int { return l.made.bench.touching.of(l.Index) }

// AsWritten is the verdict that the log leaves its reader with: the written
// one, or what the written value would be where no verdict was written. Where
// something is written that is not understood, the log has a verdict and it is
// not known which: it is NotEstablished, whatever the value says, for a verdict
// taken from the value would be laid into the mouth of whoever wrote the word.
func (l *Line) AsWritten() Verdict {
	switch l.word {
	case word(record.WrittenPass):
		return Pass
	case word(record.WrittenFail):
		return Fail
	case word(record.WrittenVoid):
		return Void
	case unread:
		if l.OfSteel() {
			return NotEstablished
		}
	}
	return l.Written
}

// UnreadVerdict reports whether something is written as the verdict of a test
// of steel that is not understood: Test.RecordedVerdict().Text quotes it.
func (l *Line) UnreadVerdict() bool { return l.word == unread && l.OfSteel() }

// OnSteel lists the tests on steel for which a condition holds, in their order.
// The lines are asked side by side.
func (r *Result) OnSteel(holds func(*Line) bool) []int {
	return slices.Concat(crew.Gather(len(r.Lines), func(from, to int) []int {
		var tests []int
		for i := from; i < to; i++ {
			if l := &r.Lines[i]; l.OfSteel() && holds(l) {
				if tests == nil { // mostly it holds for all or for none
					tests = make([]int, 0, to-i)
				}
				tests = append(tests, i)
			}
		}
		return tests
	})...)
}
