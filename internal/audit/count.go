package audit

import (
	"math"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/slip"
	"saltline/internal/unit"
)

// count goes through the tests once.
func (a *Report) count() {
	c := &a.Counts
	c.Rows, c.Skipped = a.Job.Note.Used, len(a.Job.Note.Skipped)
	shared := a.shared()
	farthest := 0.0
	for i := range a.Lines {
		l := &a.Lines[i]
		if !l.OfSteel() {
			c.Blanks++
			continue
		}
		c.Tests++
		c.Agreement[l.Agreement]++
		a.countVerdict(l)
		if l.Agreement != assess.DoesNotFollow {
			continue
		}
		switch len(l.Explanations()) {
		case 0:
			c.Explained.Not++
		case 1:
			c.Explained.Once++
		default:
			c.Explained.Severally++
		}
		if len(l.Explanations()) > 0 && shared(l, l.Explanations()[0]) { // those of a pattern come first
			c.Shared++
		}
		off := float64(Off(l))
		if off > 0 {
			c.TooHigh++
		} else {
			c.TooLow++
		}
		if math.Abs(off) > farthest {
			farthest, a.Largest = math.Abs(off), i
		}
	}
}

// countVerdict counts the verdict of a test beside the written one.
func (a *Report) countVerdict(l *assess.Line) {
	was := l.AsWritten()
	a.Counts.Verdicts[was][l.Verdict]++
	switch {
	case l.UnreadVerdict():
		a.Counts.Unread++
	case kept(l):
		a.Counts.Kept++
	}
	if was == assess.NotEstablished || was == l.Verdict {
		return
	}
	a.Changed = append(a.Changed, l.Index)
	if was == assess.Pass {
		if l.ByNumber == assess.Pass {
			a.Counts.Fallen.ByFinding++
		} else {
			a.Counts.Fallen.ByValue++
		}
	}
}

// shared gives a function that reports whether an explanation is a slip that
// most rows of the sheet share.
func (a *Report) shared() func(*assess.Line, slip.Explanation) bool {
	type key struct {
		sheet        diag.Pos
		name, detail string
	}
	all := make(map[key]bool, len(a.Systematic))
	for _, s := range a.Systematic {
		all[key{s.Sheet, s.Explanation, s.Detail}] = true
	}
	return func(l *assess.Line, e slip.Explanation) bool {
		return all[key{l.Test.Row().At(0, 0), e.Name, e.Detail}]
	}
}

// kept reports whether a verdict is a fail of the log that no number shows.
func kept(l *assess.Line) bool {
	return l.AsWritten() == assess.Fail && l.Verdict == assess.Fail && l.ByNumber != assess.Fail
}

// Shown reports whether the recomputation can say of the written verdict of a
// test, where there is one, whether it holds.
func Shown(l *assess.Line) bool { return !l.OfSteel() || !l.UnreadVerdict() && !kept(l) }

// Off is how far the written value of a test lies above what follows from its
// readings as they stand, in mg/m²; NaN where either is not known.
func Off(l *assess.Line) unit.SurfaceDensity {
	if !l.Test.Recorded().Known() || !l.Density.Known {
		return unit.SurfaceDensity(math.NaN())
	}
	return l.Test.Recorded().Val - l.Density.Value
}

// Written counts the tests for which a value is written.
func (c *Counts) Written() int { return c.Tests - c.Agreement[assess.NotRecorded] }

// Judged counts the tests for which the log gives a verdict, by its word or by
// its value.
func (c *Counts) Judged() int {
	n := c.Tests
	for _, without := range c.Verdicts[assess.NotEstablished] {
		n -= without
	}
	return n
}

// Altered counts the tests whose verdict is not the one that the log leaves
// its reader with.
func (c *Counts) Altered() int {
	n := 0
	for was := assess.Pass; was <= assess.Void; was++ {
		for is := range c.Verdicts[was] {
			if assess.Verdict(is) != was {
				n += c.Verdicts[was][is]
			}
		}
	}
	return n
}

// Open counts those of them that establish nothing now.
func (c *Counts) Open() int {
	n := 0
	for was := assess.Pass; was <= assess.Void; was++ {
		n += c.Verdicts[was][assess.NotEstablished]
	}
	return n
}

// Add adds the figures of another record.
func (c *Counts) Add(d *Counts) {
	c.Rows, c.Skipped, c.Tests, c.Blanks = c.Rows+d.Rows, c.Skipped+d.Skipped, c.Tests+d.Tests, c.Blanks+d.Blanks
	for i := range c.Agreement {
		c.Agreement[i] += d.Agreement[i]
	}
	c.Explained.Once += d.Explained.Once
	c.Explained.Severally += d.Explained.Severally
	c.Explained.Not += d.Explained.Not
	c.Shared, c.TooHigh, c.TooLow = c.Shared+d.Shared, c.TooHigh+d.TooHigh, c.TooLow+d.TooLow
	for i := range c.Verdicts {
		for k := range c.Verdicts[i] {
			c.Verdicts[i][k] += d.Verdicts[i][k]
		}
	}
	c.Fallen.ByValue += d.Fallen.ByValue
	c.Fallen.ByFinding += d.Fallen.ByFinding
	c.Kept, c.Unread = c.Kept+d.Kept, c.Unread+d.Unread
}
