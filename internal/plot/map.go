package plot

import (
	"errors"
	"fmt"
	"math"

	chart "github.com/wcharczuk/go-chart/v2"

	"saltline/internal/frame"
)

// A Map shows the spots of one area where they were recorded to lie, to one
// scale in both directions. Where north is, and what the steel looks like, no
// record says.
type Map struct {
	Title          string
	XLabel, YLabel string // of the axes, with the unit
	Unit           string // of the coordinates; "" where none was recorded
	Spots          []Spot // in the order of the log
	Words          MapWords
}

// A Spot is one test with its place.
type Spot struct {
	Number   string
	X, Y     float64 // to the right and upwards, in the unit of the map
	Value    float64 // mg/m²
	NoValue  bool    // the test has no value
	Verdict  Verdict
	RetestOf string // number of the failed test that this one repeats; "" for none

	Test, Fail int // as those of a Point
}

// MapWords are what a map says by itself, in the language of the document.
type MapWords struct {
	Verdicts [4]string // by Verdict
	Joined   string    // legend of the line from a fail to its retest
	Failed   string    // label of a fail; %s is its number, then its value
	Moved    string    // legend of the line from a mark to its place, where others lie
	Left     string    // how many marks had no room; %s is their number

	// Number spells a value with so many decimals.
	Number func(v float64, decimals int) string
}

// EnglishMap are the words of an English document.
func EnglishMap() MapWords {
	w := English()
	return MapWords{
		Verdicts: w.Verdicts, Joined: w.Joined, Failed: w.Failed, Number: w.Number,
		Moved: "thin line: to the place of a mark that is set beside another",
		Left:  "without room: %s marks",
	}
}

// Draw draws m into a frame of width w, in points, that is as high as it takes
// and most at most. Without a spot there is none. It fails on values that are
// not finite and frames too small for anything.
func (m Map) Draw(fonts *frame.Fonts, w, most float64) (*frame.Frame, error) {
	if err := m.check(); err != nil || len(m.Spots) == 0 {
		return nil, err
	}
	s := &sheet{plan: m.clean(), fonts: fonts}
	s.fails = fails(len(m.Spots), func(i int) named {
		q := &s.plan.Spots[i]
		return named{q.Number, q.RetestOf, q.Test, q.Fail}
	})
	if err := s.divide(w, most); err != nil {
		return nil, err
	}
	return s.draw()
}

func (m Map) check() error {
	if m.Words.Number == nil {
		return errors.New("the words of the map are not set")
	}
	for _, p := range m.Spots {
		switch {
		case p.Verdict < 0 || int(p.Verdict) >= len(marks):
			return fmt.Errorf("test %s: unknown verdict %d", p.Number, p.Verdict)
		case !drawable(p.X) || !drawable(p.Y):
			return fmt.Errorf("test %s: no spot at %v, %v can be drawn", p.Number, p.X, p.Y)
		case !p.NoValue && !drawable(p.Value):
			return fmt.Errorf("test %s: %v cannot be drawn", p.Number, p.Value)
		}
	}
	return nil
}

// clean is m with text that a frame can carry, each in one line.
func (m Map) clean() Map {
	spots := make([]Spot, len(m.Spots))
	for i, p := range m.Spots {
		p.Number, p.RetestOf = oneLine(p.Number), oneLine(p.RetestOf)
		spots[i] = p
	}
	m.Spots = spots
	m.Title, m.XLabel, m.YLabel, m.Unit = oneLine(m.Title), oneLine(m.XLabel), oneLine(m.YLabel), oneLine(m.Unit)
	return m
}

// A span of the map along one axis, on the grid. It is a chart.Range that
// answers for its ends itself: both axes share one scale.
type stretch struct {
	from   float64 // at its beginning
	scale  float64 // steps of the grid a unit
	domain int     // length, on the grid
}

var _ chart.Range = (*stretch)(nil)

// Translate is how far from the beginning v lies, on the grid.
func (s *stretch) Translate(v float64) int { return int(math.Round((v - s.from) * s.scale)) }

func (s *stretch) to() float64 { return s.from + float64(s.domain)/s.scale }

func (s *stretch) GetMin() float64    { return s.from }
func (s *stretch) SetMin(float64)     {}
func (s *stretch) GetMax() float64    { return s.to() }
func (s *stretch) SetMax(float64)     {}
func (s *stretch) GetDelta() float64  { return s.to() - s.from }
func (s *stretch) GetDomain() int     { return s.domain }
func (s *stretch) SetDomain(int)      {}
func (s *stretch) IsDescending() bool { return false }
func (s *stretch) IsZero() bool       { return false }
func (s *stretch) String() string     { return fmt.Sprintf("places from %v to %v", s.from, s.to()) }

// extent is the middle of places along one axis, and how far they reach.
func extent(spots []Spot, at func(Spot) float64) (middle, reach float64) {
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range spots {
		low, high = min(low, at(p)), max(high, at(p))
	}
	return low + (high-low)/2, high - low
}

// leastReach is the smallest part of a coordinate that a map is drawn of: of
// less there are no digits left.
const leastReach = 1e-9

// reachOf is how far the map of spots reaches at least: one unit around spots
// that all lie in one place.
func reachOf(spots []Spot, reach float64) float64 {
	largest := 0.0
	for _, p := range spots {
		largest = max(largest, math.Abs(p.X), math.Abs(p.Y))
	}
	if reach > leastReach*largest {
		return reach
	}
	unit := 1.0
	for unit < leastReach*largest {
		unit *= 10
	}
	return unit
}
