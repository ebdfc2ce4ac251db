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
	"saltline/internal/papers"
	"saltline/internal/record"
	"saltline/internal/unit"
	"saltline/internal/wording"
)

// A Record is what any document is composed from: the judged record, the
// words, the page, and what the foot of the page says of its origin.
type Record struct {
	Result   *assess.Result
	Words    *wording.Words
	Fonts    *frame.Fonts
	Width    float64 // of the text of a page, in points: that of the plots
	Tool     string  // name and version of the program
	Digest   string  // SHA-256 of the record, hex
	Produced unit.Date
	Reports  []papers.Report // of all days; nil where nobody has asked for them yet

	// Image returns an image that the record names, such as that of a
	// signature. It is nil where no images can be had.
	Image func(name string) ([]byte, error)

	index *index
}

// A composer holds what every section of one document needs: what it is made
// from, and which tests and findings it is about. The first text that fails is
// kept in err, so that a section reads as what it says.
type composer struct {
	Record
	job      *record.Job
	lines    []*assess.Line             // what the document is about, in its order
	standing []*assess.Standing         // of the areas, as far as the document goes
	found    []*assess.Finding          // the weightiest first
	mark     map[*assess.Finding]string // "F1", "F2" …
	several  bool                       // the record has more than one area
	err      error

	failOf   map[int]int               // the fail of each retest, from 1; nil until it is asked for
	verdicts map[assess.Verdict]string // their words, as far as they were asked for

	// Of a daily report alone.
	ofDay  bool
	Date   unit.Date
	inArea map[string][]int // the tests of the day on steel by area, folded, in the order of the log
	why    map[int]string   // by index.alike: why tests are not established
	day    *record.Day      // the diary of the day; nil where there is none
}

func newComposer(d Daily) *composer {
	c := &composer{
		Record:   d.Record,
		job:      d.Result.Job,
		lines:    d.index.lines[d.Date],
		standing: d.index.course.Standing(d.Date),
		found:    d.index.foundOn(d.Date),
		mark:     make(map[*assess.Finding]string),
		ofDay:    true,
		Date:     d.Date,
		why:      make(map[int]string),
	}
	c.several = len(c.standing) > 1
	c.inArea = byArea(c.lines)
	for i, f := range c.found {
		c.mark[f] = fmt.Sprintf("F%d", i+1)
	}
	if p := c.paper(); p != nil {
		c.day = p.Diary
	}
	return c
}

// byArea sorts tests on steel by their area, folded, each in the order of the log.
func byArea(lines []*assess.Line) map[string][]int {
	of := make(map[string][]int)
	last, key := "", ""
	for _, l := range lines {
		if !l.OfSteel() {
			continue
		}
		if area := l.Test.Area().Val; area != last {
			last, key = area, record.Folded(area)
		}
		of[key] = append(of[key], l.Index)
	}
	for _, tests := range of {
		slices.Sort(tests)
	}
	return of
}

// today are the tests of the day on steel in an area, in the order of the log.
func (c *composer) today(s *assess.Standing) []int { return c.inArea[record.Folded(s.Name)] }

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

// term is what the language calls something that the program has a name for.
func (c *composer) term(name string) string {
	s, err := c.Words.Term(name)
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
		return c.say("format/quoted", g.Text)
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

// areaName is the name of an area; a log without areas has one, the whole.
func (c *composer) areaName(name string) string {
	if name == "" {
		return c.say("report/whole-job", nil)
	}
	return name
}

// number is how a test is named: by its row, where it has no number.
func (c *composer) number(i int) string {
	if t := c.Result.Lines[i].Test; t.Number().Text == "" {
		return c.Words.Cell(t.Row())
	}
	return check.Number(c.Result.Lines, i)
}

// numbers names tests: "3–5 and 9".
func (c *composer) numbers(tests []int) string {
	if !slices.IsSorted(tests) {
		tests = slices.Sorted(slices.Values(tests))
	}
	var names []string
	count := 0
	for first, last := range check.Spans(tests, c.follows) {
		if count++; count <= mostNamed {
			names = append(names, check.Span(c.Result.Lines, first, last))
		}
	}
	if count > mostNamed {
		return c.andMore(names, count-mostNamed)
	}
	return c.Words.List(names)
}

// mostNamed bounds how many things one sentence names. All tests of a usual
// day fit in; those of a whole job stand with their reasons in the reports of
// their days.
const mostNamed = 40

// list joins names: "3–5, 9 and 12".
func (c *composer) list(names []string) string {
	if len(names) <= mostNamed {
		return c.Words.List(names)
	}
	return c.some(names)
}

// some joins names by commas, as many as a sentence bears, and counts the rest.
func (c *composer) some(names []string) string {
	if rest := len(names) - mostNamed; rest > 0 {
		return c.andMore(names[:mostNamed], rest)
	}
	return strings.Join(names, ", ")
}

// andMore joins names by commas and counts the rest.
func (c *composer) andMore(names []string, rest int) string {
	return strings.Join(names, ", ") + " " + c.say("report/cells-more", rest)
}

// filling is what the words of a finding are filled with.
func (c *composer) filling(f *assess.Finding) map[string]any {
	return check.Filling(c.Result, f, c.list)
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
	word, said := c.verdicts[v]
	if !said {
		word = c.say("report/verdict-"+hyphens(strings.ToLower(v.String())), nil)
		if c.verdicts == nil {
			c.verdicts = make(map[assess.Verdict]string)
		}
		c.verdicts[v] = word
	}
	return word
}

var areaMarks = map[assess.AreaVerdict]frame.Mark{
	assess.AcceptedForSalt:    frame.Disc,
	assess.NotAccepted:        frame.SolidDiamond,
	assess.AreaNotEstablished: frame.Ring,
}

func (c *composer) areaVerdict(v assess.AreaVerdict) string {
	return c.say("report/verdict-"+hyphens(strings.ToLower(v.String())), nil)
}
