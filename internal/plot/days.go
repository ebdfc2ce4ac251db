package plot

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"saltline/internal/frame"
)

// Days shows values of working days, or of checks in their order, against the
// levels that they are held to. The days stand side by side at equal distances;
// where the work lay still for longer, a gap stands between them.
type Days struct {
	Title  string
	YLabel string // what the axis counts, with its unit
	Stops  []Stop
	Series []Series
	Levels []Level
	Words  DaysWords
}

// A Stop is one place along the axis.
type Stop struct {
	Label string // the date; "" for a further stop of the same day
	Apart bool   // the work lay still before it: a gap, over which nothing is joined
}

// A Series is one value at each stop.
type Series struct {
	Label    string
	Mark     frame.Mark
	Joined   bool      // by a line from stop to stop
	Values   []float64 // by stop; NaN for none
	Out      []bool    // by stop: shown by OutMark; nil for none
	OutMark  frame.Mark
	OutLabel string
}

// A Level is a value that the others are held to: a limit, or a centre.
type Level struct {
	Value float64
	Label string // with its unit
	Solid bool   // a centre; a limit is dashed
}

// DaysWords are what such a plot says by itself, in the language of the
// document.
type DaysWords struct {
	Apart  string // legend: what a gap means
	Broken string // that the axis is broken; %s is the value from which
	Panel  string // behind the title of one of several panels; %d is its number, then their count

	// Number spells a value with so many decimals.
	Number func(v float64, decimals int) string
}

// StopsPerPanel is how many stops stand side by side at most.
const StopsPerPanel = 120

// Draw draws d into frames of width w and height h, in points: more than one
// where there are more than 120 stops, all on the same scale. Without a value
// there is none. It fails on values that are infinite, on a series that is not
// as long as the stops, and on frames too small for anything.
func (d Days) Draw(fonts *frame.Fonts, w, h float64) ([]*frame.Frame, error) {
	if err := d.check(); err != nil {
		return nil, err
	}
	if !slices.ContainsFunc(d.Series, func(s Series) bool { return slices.ContainsFunc(s.Values, isValue) }) {
		return nil, nil
	}
	d = d.clean()
	g, err := d.geometry(fonts, w, h)
	if err != nil {
		return nil, err
	}
	n := (len(d.Stops) + StopsPerPanel - 1) / StopsPerPanel
	var frames []*frame.Frame
	for k := range n {
		p := g.panel(k, n)
		f, err := p.draw()
		if err != nil {
			return nil, err
		}
		frames = append(frames, f)
	}
	return frames, nil
}

func isValue(v float64) bool { return !math.IsNaN(v) }

func (d Days) check() error {
	if d.Words.Number == nil {
		return errors.New("the words of the plot are not set")
	}
	for _, s := range d.Series {
		if len(s.Values) != len(d.Stops) || s.Out != nil && len(s.Out) != len(d.Stops) {
			return fmt.Errorf("series %q: %d values for %d stops", s.Label, len(s.Values), len(d.Stops))
		}
		for _, v := range s.Values {
			if isValue(v) && !drawable(v) {
				return fmt.Errorf("series %q: %v cannot be drawn", s.Label, v)
			}
		}
	}
	for _, l := range d.Levels {
		if !drawable(l.Value) {
			return fmt.Errorf("level %q: %v cannot be drawn", l.Label, l.Value)
		}
	}
	return nil
}

// clean is d with text that a frame can carry, each in one line, and its levels
// from the highest down.
func (d Days) clean() Days {
	d.Stops, d.Series, d.Levels = slices.Clone(d.Stops), slices.Clone(d.Series), slices.Clone(d.Levels)
	for i := range d.Stops {
		d.Stops[i].Label = oneLine(d.Stops[i].Label)
	}
	for i := range d.Series {
		d.Series[i].Label, d.Series[i].OutLabel = oneLine(d.Series[i].Label), oneLine(d.Series[i].OutLabel)
	}
	for i := range d.Levels {
		d.Levels[i].Label = oneLine(d.Levels[i].Label)
	}
	slices.SortStableFunc(d.Levels, func(a, b Level) int { return cmp.Compare(b.Value, a.Value) })
	d.Title, d.YLabel = oneLine(d.Title), oneLine(d.YLabel)
	return d
}
