package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/doc"
	"saltline/internal/frame"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// A composer holds what every section of one report needs. The first text
// that fails is kept in err, so that a section reads as what it says.
type composer struct {
	Daily
	job      *record.Job
	lines    []*assess.Line             // of the day, by number
	standing []assess.Standing          // of the areas, at the end of the day
	found    []*assess.Finding          // of the day, the weightiest first
	mark     map[*assess.Finding]string // "F1", "F2" …
	day      *record.Day                // the diary of the day; nil where there is none
	several  bool                       // the record has more than one area
	err      error
}

func newComposer(d Daily) *composer {
	c := &composer{Daily: d, job: d.Result.Job, mark: map[*assess.Finding]string{}}
	for i := range d.Result.Lines {
		if l := &d.Result.Lines[i]; l.Test.Date.Val == d.Date {
			c.lines = append(c.lines, l)
		}
	}
	slices.SortStableFunc(c.lines, func(a, b *assess.Line) int {
		return compareNumbers(a.Test.Number.Val, b.Test.Number.Val)
	})
	c.standing = d.Result.Standing(d.Date)
	c.several = len(c.standing) > 1
	for i := range d.Result.Findings {
		if f := &d.Result.Findings[i]; c.ofDay(f) {
			c.found = append(c.found, f)
			c.mark[f] = fmt.Sprintf("F%d", len(c.found))
		}
	}
	for i := range c.job.Days {
		if day := &c.job.Days[i]; day.Date.Known() && day.Date.Val == d.Date {
			c.day = day // a later row is a later revision of the same day
		}
	}
	return c
}

// ofDay reports whether a finding belongs into the report: it is of the day;
// or it is of no day, and of the whole job or of a test of the day.
func (c *composer) ofDay(f *assess.Finding) bool {
	switch {
	case !f.Date.IsZero():
		return f.Date == c.Date
	case len(f.Tests) == 0:
		return true
	}
	return slices.ContainsFunc(f.Tests, func(i int) bool { return c.Result.Lines[i].Test.Date.Val == c.Date })
}

// compareNumbers orders test numbers as people count: 9 before 10, 10 before
// 10a.
func compareNumbers(a, b string) int {
	x, restA := leadingNumber(a)
	y, restB := leadingNumber(b)
	return cmp.Or(cmp.Compare(x, y), strings.Compare(restA, restB))
}

func leadingNumber(s string) (int, string) {
	i := 0
	for i < len(s) && '0' <= s[i] && s[i] <= '9' {
		i++
	}
	n, err := strconv.Atoi(s[:i])
	if err != nil {
		return math.MaxInt, s // no number in front: behind those that have one
	}
	return n, s[i:]
}

// say fills a text of the language. The first error is kept.
func (c *composer) say(key string, data any) string {
	s, err := c.Words.Say(key, data)
	if err != nil && c.err == nil {
		c.err = err
	}
	return s
}

// show writes a quantity with its unit, a date or a time.
func (c *composer) show(x any) string {
	s, err := c.Words.Show(x)
	if err != nil && c.err == nil {
		c.err = err
	}
	return s
}

// bare writes the number of a quantity, whose unit stands in the table head.
func (c *composer) bare(x any) string {
	s, err := c.Words.Bare(x)
	if err != nil && c.err == nil {
		c.err = err
	}
	return s
}

// heading opens a section.
func (c *composer) heading(key, anchor string) doc.Heading {
	return doc.Heading{Level: 1, Text: c.say(key, nil), Anchor: anchor}
}

// para is a paragraph of a text; none where the text is empty.
func (c *composer) para(key string, data any) []doc.Block {
	s := c.say(key, data)
	if s == "" {
		return nil
	}
	var blocks []doc.Block
	for _, p := range strings.Split(s, "\n\n") {
		blocks = append(blocks, doc.Paragraph{Text: doc.Plain(p)})
	}
	return blocks
}

// small is a paragraph in smaller type, for what is read once.
func (c *composer) small(key string, data any) []doc.Block {
	if s := c.say(key, data); s != "" {
		return []doc.Block{doc.Paragraph{Text: doc.Fine(s)}}
	}
	return nil
}

// written is a value as the record wrote it, or what is said of one that is
// not there or cannot be read. It is what a document prints of a given value.
func written[Q any](c *composer, g record.Given[Q]) string {
	switch g.State {
	case record.Absent:
		return c.say("format/not-recorded", nil)
	case record.NotDone:
		return c.say("format/not-done", nil)
	case record.Unreadable:
		return c.say("format/unreadable", g.Text)
	}
	return g.Text
}

// quantity is a quantity with the digits that the record wrote and the unit in
// which it is calculated; what there is to say of one that is not known.
func quantity[Q unit.Value](c *composer, g record.Given[Q]) string {
	if !g.Known() {
		return written(c, g)
	}
	return unit.With(c.Words.Spelling().Decimal(g.Dec), g.Val.Quantity())
}

// cell is what a table prints of a given value: a dash where nothing was
// recorded, the text as found in quotes where it cannot be read.
func cell[Q any](c *composer, g record.Given[Q]) string {
	switch g.State {
	case record.Absent, record.NotDone:
		return "–"
	case record.Unreadable:
		return "“" + g.Text + "”"
	case record.Below:
		return "<" + nbsp + c.Words.Spelling().Decimal(g.Dec)
	}
	return c.value(g.Val, g.Dec, g.Text)
}

// value prints a known value: a number with the digits that the record wrote,
// anything else as the language writes it.
func (c *composer) value(v any, dec unit.Decimal, text string) string {
	switch v := v.(type) {
	case string:
		return text
	case unit.Date:
		return c.Words.Date(v)
	case unit.Clock:
		return v.String()
	case bool:
		return c.Words.YesNo(v)
	case int:
		return strconv.Itoa(v)
	case float64, unit.Conductivity, unit.SurfaceDensity, unit.Volume, unit.PatchArea, unit.SteelArea,
		unit.Temperature, unit.Humidity, unit.Length, unit.Minutes, unit.Percent, unit.Constant, unit.Money:
		return c.Words.Spelling().Decimal(dec)
	}
	return text
}

const nbsp = "\u00a0"

// known is the text of words, "" where there are none.
func known(w record.Words) string {
	if w.Known() {
		return w.Val
	}
	return ""
}

// areaName is the name of an area; a log without areas has one, the whole.
func (c *composer) areaName(name string) string {
	if name == "" {
		return c.say("report/whole-job", nil)
	}
	return name
}

// number is how a test is named.
func (c *composer) number(i int) string { return check.Number(c.Result.Lines, i) }

// numbers names tests: "3–5 and 9".
func (c *composer) numbers(tests []int) string {
	tests = slices.Sorted(slices.Values(tests))
	return c.Words.List(check.Numbers(c.Result.Lines, tests))
}

// Verdicts carry a shape beside their word, so that neither ink nor eyes need
// colour.
var verdictMarks = map[assess.Verdict]frame.Mark{
	assess.Pass:           frame.Disc,
	assess.Fail:           frame.SolidDiamond,
	assess.Void:           frame.Cross,
	assess.NotEstablished: frame.Ring,
}

// verdict is the verdict of a line in words; "" for a blank on glass.
func (c *composer) verdict(l *assess.Line) string {
	if !l.OfSteel() {
		return ""
	}
	return c.verdictWord(l.Verdict)
}

func (c *composer) verdictWord(v assess.Verdict) string {
	return c.say("report/verdict-"+hyphens(strings.ToLower(v.String())), nil)
}

var areaMarks = map[assess.AreaVerdict]frame.Mark{
	assess.AcceptedForSalt:    frame.Disc,
	assess.NotAccepted:        frame.SolidDiamond,
	assess.AreaNotEstablished: frame.Ring,
}

func (c *composer) areaVerdict(v assess.AreaVerdict) string {
	return c.say("report/verdict-"+hyphens(strings.ToLower(v.String())), nil)
}
