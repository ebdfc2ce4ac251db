package assess

import (
	"slices"

	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/slip"
)

// drawWritten gives each line the verdict of its numbers, less what the log
// says against a pass, or VOID where the log itself says that no valid
// extraction happened.
func (r *Result) drawWritten() {
	for i := range r.Lines {
		l := &r.Lines[i]
		l.Verdict = l.ByNumber
		l.keepFail()
		if l.word == word(record.WrittenVoid) {
			l.void()
		}
	}
}

// draw takes from the verdicts what the findings take away, and counts what
// each finding changes. Nothing in it makes a pass of anything, and nothing
// takes a fail away.
func (r *Result) draw() {
	for n := range r.Findings {
		for _, i := range r.Findings[n].Tests {
			l := &r.Lines[i]
			switch r.Findings[n].Severity {
			case VoidsTest:
				l.void()
			case UnprovenPass:
				if l.Verdict == Pass {
					l.Verdict = NotEstablished
				}
			}
		}
	}
	for n := range r.Findings {
		r.count(&r.Findings[n])
	}
	for i := range r.Lines {
		r.Changes.Add(&r.Lines[i])
	}
}

// keepFail keeps a fail that the log states from vanishing in the
// recomputation.
//
// Where there is no number to put against it, it stands, and so does a fail in
// words that the numbers can neither confirm nor lift: what leaves them open is
// doubt, and doubt takes no fail away. Where the numbers pass, it takes the pass
// away, unless everything that explains the written value lies in the value
// itself: then the row is whole, and what follows from it counts. Without a
// limit to judge by, nothing is judged.
//
// A value above the limit states a fail beside a word that is not understood as
// well: the word may be a fail, and what is not understood lifts no doubt.
func (l *Line) keepFail() {
	says := l.AsWritten()
	if l.UnreadVerdict() {
		says = l.Written
	}
	if !l.OfSteel() || says != Fail || l.Verdict == Fail {
		return
	}
	limits := l.Limits()
	judged := len(limits) > 0 && !slices.ContainsFunc(limits, func(j Judgement) bool { return len(j.Limit.Gaps) > 0 })
	inWords := l.word == word(record.WrittenFail)
	switch {
	case !l.Density.Known && !l.Density.Bounded:
		if judged {
			l.stands()
		}
	case l.Agreement == DoesNotFollow && l.explainedInValue():
	case l.Verdict == NotEstablished:
		if judged && inWords {
			l.stands()
		}
	case l.Agreement == Agrees && l.Written == Fail && limits[0].Limit.Basis != salt.TotalSalts:
		// A value of total salts that follows, held against a limit of
		// something else: the basis explains it.
	case l.Agreement == DoesNotFollow, inWords:
		l.Verdict = NotEstablished
		l.because(WrittenFail)
	}
}

// stands lets the fail of the log be the verdict.
func (l *Line) stands() {
	l.Verdict = Fail
	l.because(WrittenFail)
}

// explainedInValue reports whether the written value is explained, and by
// nothing that leaves the readings, the volume or the patch in doubt.
func (l *Line) explainedInValue() bool {
	return len(l.Explanations()) > 0 && !slices.ContainsFunc(l.Explanations(), slip.Explanation.InRow)
}

// void says that no valid extraction happened. A result above the limit
// stays a fail, in doubt, until it is repeated properly; one that cannot be
// shown to be at or below it stays what it is.
func (l *Line) void() {
	switch {
	case !l.OfSteel():
	case l.Verdict == Fail:
		l.Doubtful = true
	case len(l.Limits()) > 0 && !l.exceeds():
		l.Verdict = Void
	}
}

// exceeds reports whether the density is above any of the limits, or may be.
func (l *Line) exceeds() bool {
	for _, j := range l.Limits() {
		if len(j.Limit.Gaps) > 0 || j.Exceeds {
			return true
		}
	}
	return false
}

// count fills in what a finding does to the verdicts of its tests.
func (r *Result) count(f *Finding) {
	for _, i := range f.Tests {
		l := &r.Lines[i]
		if (f.Severity == VoidsTest || f.Severity == UnprovenPass) && l.ByNumber == Pass && l.Verdict != Pass {
			f.LostPasses++
		}
		if f.changes(l) {
			f.Changed++
		}
	}
}

// changes reports whether a written verdict does not stand because of f.
func (f *Finding) changes(l *Line) bool {
	was := l.AsWritten()
	if was != Pass && was != Fail {
		return false
	}
	switch f.Severity {
	case ChangesVerdict:
		return l.ByNumber != was
	case VoidsTest, UnprovenPass:
		return was == Pass && l.ByNumber == Pass && l.Verdict != Pass
	}
	return false
}

// Add counts a line whose verdict is not the one that the log gives it.
func (c *Changes) Add(l *Line) {
	if !l.OfSteel() {
		return
	}
	switch was := l.AsWritten(); {
	case was == Pass && l.Verdict == Fail:
		c.PassToFail++
	case was == Pass && l.Verdict == NotEstablished:
		c.PassToNotEstablished++
	case was == Pass && l.Verdict == Void:
		c.PassToVoid++
	case was == Fail && l.Verdict == Pass:
		c.FailToPass++
	}
}
