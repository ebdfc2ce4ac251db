package plot

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"saltline/internal/frame"
)

// An Agreement shows written values against recomputed ones: a square whose two
// scales are the same, so that what agrees lies on its diagonal. The shape of a
// mark says which slip explains it, and a legend beside the square names the
// slips with their counts: the five that explain most tests, or fewer where the
// frame has no room for so long a legend.
//
// Both scales are linear from 0. They are logarithmic, and the legend says so,
// where a test's two values, or a value and the middle of the recomputed ones
// or the lowest limit, are more than eight-fold apart: as after a slip of unit.
// What lies below the scales stands at their edge, and the legend says so too.
type Agreement struct {
	Title  string
	XLabel string // what the scale of recomputed values counts, with its unit
	YLabel string // the same for written values
	Pairs  []Pair // tests with both values, in the order of the log
	Slips  []Slip // that Pairs speak of, in rank order
	Limits []Limit
	Words  AgreementWords
}

// A Pair is one test with its two values.
type Pair struct {
	Number     string  // of the test
	Recomputed float64 // mg/m²
	Written    float64 // mg/m²
	Standing   Standing
	Slip       int // of OneSlip: its index in Slips
}

// A Standing says how a written value stands to its readings.
type Standing int

const (
	Agrees Standing = iota
	ThroughUnseenDigits
	OneSlip      // one slip explains it, or one that most rows of the sheet share
	SeveralSlips // several do, and the sheet does not choose
	NoSlip       // none does
)

// A Slip is one explanation of values that do not follow.
type Slip struct {
	Label  string  // "blank not subtracted"
	Factor float64 // written over recomputed where it is the same in every row, such as 0.2; else 0
}

// AgreementWords are what such a plot says by itself, in the language of the
// document.
type AgreementWords struct {
	Standings [5]string // by Standing, for the legend; that of OneSlip is for slips without a mark of their own
	Counted   string    // legend with a count; %s is what is counted, then how many
	Line      string    // the line of agreement
	Times     string    // a line of one factor; %s is the factor
	Factor    string    // legend of such lines

	// Where there is one limit, its four sides are named at the edges.
	WrittenWithin, WrittenAbove       string
	RecomputedWithin, RecomputedAbove string
	Apart                             string // legend of the two shaded quarters

	Logarithmic string // that both scales are
	Below       string // that values below the scales stand at their edge; %s is where the scales begin
	Once        string // that marks which would overprint are drawn once

	// Number spells a value with so many decimals.
	Number func(v float64, decimals int) string
}

// EnglishAgreement are the words of an English document.
func EnglishAgreement() AgreementWords {
	return AgreementWords{
		Standings: [5]string{
			Agrees: "agrees", ThroughUnseenDigits: "agrees only through unseen digits",
			OneSlip: "another explanation", SeveralSlips: "more than one explanation fits", NoSlip: "no explanation found",
		},
		Counted: "%s, %s", Line: "written = recomputed", Times: "× %s", Factor: "written = factor × recomputed",
		WrittenWithin: "written: within", WrittenAbove: "written: above",
		RecomputedWithin: "recomputed: within", RecomputedAbove: "recomputed: above",
		Apart:       "the limit lies between the two values",
		Logarithmic: "Both scales are logarithmic.",
		Below:       "Values below %s stand at the edge.",
		Once:        "Marks that would cover one another are drawn once.",
		Number:      English().Number,
	}
}

// Draw draws a into a frame of width w and height h, in points: the square as
// high as h allows, the legend to the right of it. Half as much again as h is a
// good w. Without a test there is no frame. It fails on values that are not
// finite, on a slip that is not in Slips, and on a frame too small for the
// square, or for a legend that names no slip.
func (a Agreement) Draw(fonts *frame.Fonts, w, h float64) (*frame.Frame, error) {
	if err := a.check(); err != nil {
		return nil, err
	}
	if len(a.Pairs) == 0 {
		return nil, nil
	}
	s, err := a.clean().square(fonts, w, h)
	if err != nil {
		return nil, err
	}
	return s.draw()
}

// square sorts the marks and divides the frame, with as many slips named as
// the legend has room for.
func (a Agreement) square(fonts *frame.Fonts, w, h float64) (s *square, err error) {
	for named := mostNamed; named >= 0; named-- {
		s = &square{agreement: a, fonts: fonts}
		s.sort(named)
		if err = s.divide(w, h); err == nil {
			break
		}
	}
	return s, err
}

func (a Agreement) check() error {
	if a.Words.Number == nil {
		return errors.New("the words of the plot are not set")
	}
	for _, p := range a.Pairs {
		if !drawable(p.Recomputed) || !drawable(p.Written) {
			return fmt.Errorf("test %s: %v against %v cannot be drawn", p.Number, p.Written, p.Recomputed)
		}
		if p.Standing < 0 || int(p.Standing) >= len(a.Words.Standings) {
			return fmt.Errorf("test %s: unknown standing %d", p.Number, p.Standing)
		}
		if p.Standing == OneSlip && (p.Slip < 0 || p.Slip >= len(a.Slips)) {
			return fmt.Errorf("test %s: unknown slip %d", p.Number, p.Slip)
		}
	}
	for _, s := range a.Slips {
		if !drawable(s.Factor) || s.Factor < 0 {
			return fmt.Errorf("slip %q: a factor of %v cannot be drawn", s.Label, s.Factor)
		}
	}
	return checkLimits(a.Limits)
}

// clean is a with text that a frame can carry, each in one line, and its
// limits from the highest down.
func (a Agreement) clean() Agreement {
	a.Pairs, a.Slips = slices.Clone(a.Pairs), slices.Clone(a.Slips)
	for i := range a.Pairs {
		a.Pairs[i].Number = oneLine(a.Pairs[i].Number)
	}
	for i := range a.Slips {
		a.Slips[i].Label = oneLine(a.Slips[i].Label)
	}
	a.Limits = cleanLimits(a.Limits)
	a.Title, a.XLabel, a.YLabel = oneLine(a.Title), oneLine(a.XLabel), oneLine(a.YLabel)
	return a
}

// A sign is a mark of the plot with what it stands for and how often.
type sign struct {
	mark  frame.Mark
	size  float64 // points
	label string
	count int
}

// Marks. What agrees is small: it is the ground that the others stand out from.
const (
	agreeingSize = 3
	mostNamed    = 5 // slips with a mark of their own
)

var (
	namedMarks    = [mostNamed]frame.Mark{frame.Square, frame.Triangle, frame.SolidDiamond, frame.Box, frame.Delta}
	standingMarks = [...]frame.Mark{
		Agrees: frame.Disc, ThroughUnseenDigits: frame.Dash, OneSlip: frame.Diamond, SeveralSlips: frame.Ring, NoSlip: frame.Cross,
	}
)

// sort gives each pair its sign: so many of the slips that explain most tests
// have marks of their own. Signs stand in the order of the legend.
func (s *square) sort(named int) {
	var counts [len(standingMarks)]int
	bySlip := make([]int, len(s.agreement.Slips))
	for _, p := range s.agreement.Pairs {
		counts[p.Standing]++
		if p.Standing == OneSlip {
			bySlip[p.Slip]++
		}
	}
	s.bySlip = bySlip
	order := make([]int, len(bySlip))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(bySlip[j], bySlip[i]) })
	order = order[:min(len(order), named)]

	signOf := func(st Standing, n int) {
		s.standings[st] = len(s.signs)
		size := markSize
		if st == Agrees {
			size = agreeingSize
		}
		s.signs = append(s.signs, sign{standingMarks[st], size, s.agreement.Words.Standings[st], n})
	}
	signOf(Agrees, counts[Agrees])
	signOf(ThroughUnseenDigits, counts[ThroughUnseenDigits])
	s.named = map[int]int{}
	for k, slip := range order {
		if bySlip[slip] > 0 {
			s.named[slip] = len(s.signs)
			s.signs = append(s.signs, sign{namedMarks[k], markSize, s.agreement.Slips[slip].Label, bySlip[slip]})
			counts[OneSlip] -= bySlip[slip]
		}
	}
	signOf(OneSlip, counts[OneSlip])
	signOf(SeveralSlips, counts[SeveralSlips])
	signOf(NoSlip, counts[NoSlip])
}

// signOf is the index of the sign of a pair.
func (s *square) signOf(p Pair) int {
	if k, ok := s.named[p.Slip]; ok && p.Standing == OneSlip {
		return k
	}
	return s.standings[p.Standing]
}
