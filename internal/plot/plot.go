// Package plot draws densities against their limits, and written values against
// recomputed ones: data series and limit lines become frames.
//
// It is drawn by go-chart, which nothing else imports, through a renderer of
// our own, so that a plot consists of the same vector items and the same real
// text as the rest of a page.
package plot

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"saltline/internal/frame"
)

// A Chart shows one mark for each test, in walking order, over an axis of
// surface density that begins at 0.
type Chart struct {
	Title  string
	YLabel string // what the axis counts, with its unit
	Bars   string // what the bars mean; "" where no point has one
	Points []Point
	Limits []Limit
	Words  Words
}

// A Point is one test.
type Point struct {
	Label    string  // where: the location
	Group    string  // the area; points of one group stand together
	Number   string  // of the test
	Value    float64 // mg/m²
	NoValue  bool    // the test has no value: its mark stands under the axis
	Low      float64 // ends of the bar; both equal to Value for none
	High     float64
	Verdict  Verdict
	RetestOf string // number of the failed test that this one repeats; "" for none

	// Test tells the test from all others, and Fail is the Test of the fail that
	// it repeats; 0 where nobody says. A number may stand on several tests.
	Test, Fail int
}

// A Limit is a level that the densities are judged against.
type Limit struct {
	Value float64 // mg/m²
	Label string  // with its unit, basis and comparison
}

// A Verdict is what the shape of a mark says.
type Verdict int

const (
	NotEstablished Verdict = iota
	Pass
	Fail
	Void
)

// marks are those of the tables. What proves nothing is not filled.
var marks = [...]frame.Mark{
	NotEstablished: frame.Ring,
	Pass:           frame.Disc,
	Fail:           frame.SolidDiamond,
	Void:           frame.Cross,
}

// Words are what a plot says by itself, in the language of the document.
type Words struct {
	Verdicts [4]string // by Verdict
	Joined   string    // legend of the line from a fail to its retest
	RetestOf string    // of a retest whose fail is in another panel; %s is the number of the fail
	NoValue  string    // legend of marks under the axis
	Failed   string    // label of a fail; %s is its number, then its value
	Broken   string    // that the axis is broken; %s is the value from which
	Panel    string    // behind the title of one of several panels; %d is its number, then their count

	// Number spells a value with so many decimals.
	Number func(v float64, decimals int) string
}

// English are the words of an English document.
func English() Words {
	return Words{
		Verdicts: [4]string{NotEstablished: "not established", Pass: "pass", Fail: "fail", Void: "void"},
		Joined:   "joined: a fail and its retest",
		RetestOf: "retest of no. %s",
		NoValue:  "under the axis: no value",
		Failed:   "no. %s · %s",
		Broken:   "the axis is broken at %s: above it the scale is another",
		Panel:    "(%d of %d)",
		Number: func(v float64, decimals int) string {
			return strings.Replace(strconv.FormatFloat(v, 'f', decimals, 64), "-", "−", 1)
		},
	}
}

// PerPanel is how many marks stand side by side at most.
const PerPanel = 30

// Draw draws c into frames of width w and height h, in points. There is more
// than one frame where there are more than 30 tests; all have the same scale.
// Without a test there is none. It fails on values that are not finite, bars
// that do not hold their value, and frames too small for anything.
func (c Chart) Draw(fonts *frame.Fonts, w, h float64) ([]*frame.Frame, error) {
	if err := c.check(); err != nil {
		return nil, err
	}
	if len(c.Points) == 0 {
		return nil, nil
	}
	c = c.clean()
	// Labels of fails lie flat where there is room for all of them, and stand
	// upright in every panel where there is not.
	frames, fit, err := c.panels(fonts, w, h, false)
	if err == nil && !fit {
		frames, _, err = c.panels(fonts, w, h, true)
	}
	return frames, err
}

// check refuses what cannot be drawn.
func (c Chart) check() error {
	if c.Words.Number == nil {
		return errors.New("the words of the plot are not set")
	}
	for _, p := range c.Points {
		if p.Verdict < 0 || int(p.Verdict) >= len(marks) {
			return fmt.Errorf("test %s: unknown verdict %d", p.Number, p.Verdict)
		}
		if p.NoValue {
			continue
		}
		for _, v := range []float64{p.Value, p.Low, p.High} {
			if !drawable(v) {
				return fmt.Errorf("test %s: %v cannot be drawn", p.Number, v)
			}
		}
		if p.Low > p.Value || p.High < p.Value {
			return fmt.Errorf("test %s: the bar from %v to %v does not hold the value %v", p.Number, p.Low, p.High, p.Value)
		}
	}
	return checkLimits(c.Limits)
}

func checkLimits(limits []Limit) error {
	for _, l := range limits {
		if !drawable(l.Value) || l.Value < 0 {
			return fmt.Errorf("limit %q: %v cannot be drawn", l.Label, l.Value)
		}
	}
	return nil
}

// drawable reports whether v is finite and small enough for its arithmetic to
// stay so.
func drawable(v float64) bool { return math.Abs(v) < 1e12 }

// clean is c with text that a frame can carry, each in one line, and its
// limits from the highest down.
func (c Chart) clean() Chart {
	points := make([]Point, len(c.Points))
	for i, p := range c.Points {
		p.Label, p.Group, p.Number, p.RetestOf = oneLine(p.Label), oneLine(p.Group), oneLine(p.Number), oneLine(p.RetestOf)
		points[i] = p
	}
	c.Points, c.Limits = points, cleanLimits(c.Limits)
	c.Title, c.YLabel, c.Bars = oneLine(c.Title), oneLine(c.YLabel), oneLine(c.Bars)
	return c
}

func cleanLimits(limits []Limit) []Limit {
	clean := make([]Limit, len(limits))
	for i, l := range limits {
		clean[i] = Limit{l.Value, oneLine(l.Label)}
	}
	slices.SortStableFunc(clean, func(a, b Limit) int { return cmp.Compare(b.Value, a.Value) })
	return clean
}
