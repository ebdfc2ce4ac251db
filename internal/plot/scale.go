package plot

import (
	"fmt"
	"math"

	chart "github.com/wcharczuk/go-chart/v2"
)

// breakAbove is how many times the highest limit a value may be before the
// axis is broken: one very high test would press all others into a line.
const breakAbove = 5

// A scale places densities on the axis. It is linear from low to high; where
// it is broken, a second linear part from above to top stands over that.
//
// It is a chart.Range, and answers for its ends itself.
type scale struct {
	low, high  float64
	step       float64 // between two ticks
	broken     bool
	above, top float64
	domain     int     // length of the axis, on the grid
	head       float64 // part of the length that is kept free at the top, for labels
}

// Parts of a broken axis, in parts of its length without the head.
const (
	brokenLow = 0.80 // the lower part ends here
	brokenTop = 0.88 // and the upper part begins here
)

var _ chart.Range = (*scale)(nil)

// newScale chooses the axis for all points and limits.
func newScale(points []Point, limits []Limit) *scale {
	limit := 0.0
	for _, l := range limits {
		limit = max(limit, l.Value)
	}
	s := &scale{above: math.Inf(1)}
	low, high := 0.0, 1.1*limit
	for _, p := range points {
		switch {
		case p.NoValue:
		case limit > 0 && p.Value > breakAbove*limit:
			s.broken = true
			s.above, s.top = min(s.above, p.Low), max(s.top, p.High)
		default:
			high = max(high, p.High)
			if p.Value < 0 { // a density below 0 is a reading to be seen
				low = min(low, p.Low)
			}
		}
	}
	if high <= 0 {
		high = 1
	}
	s.step = niceStep(high - low)
	s.low, s.high = s.step*math.Floor(low/s.step), s.step*math.Ceil(high/s.step-1e-9)
	if s.broken {
		step := niceStep(s.top - min(s.above, s.top*0.9))
		s.above = max(s.high, step*math.Floor(s.above/step+1e-9))
		s.top = max(step*math.Ceil(s.top/step-1e-9), s.above+step)
	}
	return s
}

// niceStep is 1, 2 or 5 times a power of ten, of which four to nine make up
// span.
func niceStep(span float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(span/4)))
	for _, n := range []float64{5, 2} {
		if n*power <= span/4 {
			return n * power
		}
	}
	return power
}

// ticks are the values that are marked on the axis.
func (s *scale) ticks() []float64 {
	var ticks []float64
	for n := math.Round(s.low / s.step); n*s.step <= s.high+s.step/2; n++ {
		ticks = append(ticks, n*s.step)
	}
	if s.broken {
		ticks = append(ticks, s.above, s.top)
	}
	return ticks
}

// decimals is how many the ticks need.
func (s *scale) decimals() int {
	return max(0, int(math.Ceil(-math.Log10(s.step)-1e-9)))
}

// Translate is the height of value over the lower end of the axis, on the
// grid.
func (s *scale) Translate(value float64) int {
	length := float64(s.domain) * (1 - s.head)
	part := (value - s.low) / (s.high - s.low)
	switch {
	case s.broken && value >= s.above:
		part = brokenTop + (1-brokenTop)*(value-s.above)/(s.top-s.above)
	case s.broken:
		part = min(part, 1) * brokenLow
	}
	return int(math.Round(part * length))
}

// The rest of a chart.Range. What the chart sets is not taken: the ends are
// chosen for all panels together.

func (s *scale) GetMin() float64      { return s.low }
func (s *scale) SetMin(float64)       {}
func (s *scale) GetMax() float64      { return max(s.high, s.top) }
func (s *scale) SetMax(float64)       {}
func (s *scale) GetDelta() float64    { return s.GetMax() - s.GetMin() }
func (s *scale) GetDomain() int       { return s.domain }
func (s *scale) SetDomain(domain int) { s.domain = domain }
func (s *scale) IsDescending() bool   { return false }
func (s *scale) IsZero() bool         { return false }
func (s *scale) String() string       { return fmt.Sprintf("density from %v to %v", s.low, s.GetMax()) }
