// Package report says what a document says: it composes a judged record into
// a document of words, tables and figures, with no place on any page.
package report

import (
	"fmt"
	"slices"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/doc"
	"saltline/internal/unit"
)

// A Daily is what the report of one day is made from.
type Daily struct {
	Record
	Date unit.Date // the day; the zero Date is that of the tests without a date
}

// Days lists the days on which the record holds tests, in order. The zero
// Date is the first where a test has no date.
func Days(r *assess.Result) []unit.Date {
	var days []unit.Date
	for i := range r.Lines {
		days = append(days, r.Lines[i].Test.Date().Val)
	}
	slices.SortFunc(days, unit.Date.Compare)
	return slices.Compact(days)
}

// A Report is a composed document, and what the terminal shows of it.
type Report struct {
	Document doc.Document
	Summary  string             // the result in a few lines
	Standing []*assess.Standing // of the areas, as far as the document goes
}

// Compose composes the daily report, in the order in which its reader needs
// it. The error is that of a text that is missing or does not fit its values.
func (d Daily) Compose() (Report, error) {
	if d.index == nil {
		var err error
		if d.Record, err = d.Indexed(); err != nil {
			return Report{}, err
		}
	}
	c := newComposer(d)
	r := Report{Document: c.document(), Summary: c.summary(), Standing: c.standing}
	return r, c.err
}

func (c *composer) document() doc.Document {
	return c.documentOf(slices.Concat(c.daily(), []section{c.method, c.cautions}, c.dailyEnd(), []section{func() []doc.Block { return c.index.note }}))
}

// A section is a part of a document under a heading of its own.
type section = func() []doc.Block

// daily are the sections of a daily report before its method statement.
func (c *composer) daily() []section {
	return []section{
		c.identification,
		c.result,
		c.dayBasis,
		c.instruments,
		c.ambient,
		c.tests,
		c.plots,
		c.maps,
		c.statistics,
		c.findings,
		c.fails,
		c.extracts,
	}
}

// dailyEnd are those behind its cautions.
func (c *composer) dailyEnd() []section { return []section{c.photos, c.remarks, c.signOff} }

// dailyOnce are the sections of a report that is bound into a dossier: the
// method statement, the cautions and the reading note stand there once.
func (c *composer) dailyOnce() []section { return slices.Concat(c.daily(), c.dailyEnd()) }

// documentOf is the report of the day with some of its sections.
func (c *composer) documentOf(sections []section) doc.Document {
	out := doc.Document{
		Title:    c.say("report/title", nil),
		Number:   c.reportNumber(),
		Revision: c.shortRevision(),
		Job:      c.job.Terms.JobNumber.OrZero(),
		Scope:    c.dayName(),
		Lang:     c.Words.Lang(),
		Status:   c.status(),
		Words:    c.pageWords(),
		Footer:   c.footer(),
	}
	for _, section := range sections {
		out.Blocks = append(out.Blocks, section()...)
	}
	return out
}

// Anchors that other parts of the document lead to.
const (
	anchorBasis    = "basis"
	anchorTests    = "tests"
	anchorCautions = "cautions"
)

// shortDigest is the beginning of a digest that a page can carry; the whole
// stands in the reading note.
func shortDigest(digest string) string { return digest[:min(len(digest), 16)] }

// dayName is the day in words.
func (c *composer) dayName() string {
	if c.Date.IsZero() {
		return c.say("report/no-date", nil)
	}
	return c.Words.Date(c.Date)
}

func (c *composer) pageWords() doc.Words {
	return doc.Words{
		PageOf:    c.say("report/page-of", nil),
		Cautions:  c.say("report/page-cautions", nil),
		Continued: c.say("report/page-continued", nil),
		End:       c.say("report/page-end", nil),
	}
}

func (c *composer) footer() doc.Footer {
	return doc.Footer{
		Digest:   c.say("report/foot-digest", shortDigest(c.Digest)),
		Tool:     c.Tool,
		Produced: c.say("report/foot-produced", c.Words.Date(c.Produced)),
		Cautions: anchorCautions,
	}
}

func (c *composer) summary() string {
	var b strings.Builder
	b.WriteString(c.count())
	for _, s := range c.standing {
		if len(s.Tests) == 0 {
			continue
		}
		fmt.Fprintf(&b, "\n  %s", c.say("report/summary-area", map[string]any{
			"Area": c.areaName(s.Name), "Verdict": c.areaVerdict(s.Verdict), "Why": c.Words.Clauses(c.whyNot(s)),
		}))
	}
	if s := c.findingCount(); s != "" {
		fmt.Fprintf(&b, "\n  %s", c.say("report/summary-findings", s))
	}
	return b.String()
}

// findingCount counts the findings of the day by their severity.
func (c *composer) findingCount() string {
	var parts []string
	for s := assess.ChangesVerdict; s <= assess.Housekeeping; s++ {
		n := 0
		for _, f := range c.found {
			if f.Severity == s {
				n++
			}
		}
		if n > 0 {
			parts = append(parts, c.say("report/summary-finding", map[string]any{"Count": n, "Severity": c.severity(s)}))
		}
	}
	return strings.Join(parts, ", ")
}
