package main

import (
	"bytes"
	"fmt"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/audit"
	"saltline/internal/doc"
)

// A tally takes what came of each record, in order, prints it, and keeps what
// is said of all of them in the end.
type tally struct {
	run       *auditRun
	s         stream
	of        int // records
	outcomes  []outcome
	questions strings.Builder
	line      bool // a progress line stands on the terminal
	err       error
}

// take prints what there is to say of one record.
func (t *tally) take(i int, o outcome) {
	t.clear()
	if t.of > 1 && len(o.messages) > 0 {
		fmt.Fprintf(t.s.err, "%s:\n", o.file) // the messages name it without its folder
	}
	t.s.err.Write(o.messages)
	if o.err != nil && t.of > 1 {
		printError(t.s.err, o.err)
	}
	if _, err := t.s.out.Write(o.says); err != nil && t.err == nil {
		t.err = err
	}
	if o.questions != "" {
		if t.questions.Len() > 0 {
			t.questions.WriteString("\n\n")
		}
		t.questions.WriteString(o.questions)
	}
	o.messages, o.says, o.questions = nil, nil, ""
	t.outcomes = append(t.outcomes, o)
	t.progress(i + 1)
}

// progress shows on a terminal how far the work is.
func (t *tally) progress(done int) {
	if t.of < 2 || done == t.of || t.run.quiet || !isTerminal(t.s.err) {
		return
	}
	fmt.Fprintf(t.s.err, "%d of %d records audited", done, t.of)
	t.line = true
}

// clear takes the progress line away, so that nothing is printed behind it.
func (t *tally) clear() {
	if t.line {
		fmt.Fprint(t.s.err, "\r\x1b[K")
		t.line = false
	}
}

// close prints what is said of all records, writes the questions, and returns
// the error that the run ends with.
func (t *tally) close() error {
	if t.err != nil {
		return t.err
	}
	if t.of > 1 && !t.run.json && !t.run.quiet {
		if err := t.table(); err != nil {
			return err
		}
	}
	if t.run.questions != "" && t.questions.Len() > 0 {
		if err := t.run.documents.write(t.run.questions, []byte(t.questions.String())); err != nil {
			return err
		}
	}
	if t.of == 1 && t.outcomes[0].err != nil {
		return t.outcomes[0].err
	}
	failed, fallen := 0, 0
	var all audit.Counts
	for i := range t.outcomes {
		switch o := &t.outcomes[i]; {
		case o.err != nil:
			failed++
		case o.stands > audit.Holds:
			fallen++
			all.Add(&o.counts)
		}
	}
	var said []string
	if failed > 0 {
		said = append(said, fmt.Sprintf("%d of %d records could not be audited", failed, t.of))
	}
	if fallen > 0 {
		where := ""
		if t.of > 1 {
			where = fmt.Sprintf("in %d of %d records ", fallen, t.of)
		}
		said = append(said, where+whatFell(&all))
	}
	switch {
	case fallen > 0:
		return &statusError{code: 3, msg: strings.Join(said, "; ")}
	case failed > 0:
		return trouble(strings.Join(said, "; "), "")
	}
	return nil
}

// whatFell counts what does not hold, or cannot be shown to.
func whatFell(c *audit.Counts) string {
	open := c.Open()
	var parts []string
	for _, p := range []struct {
		n         int
		one, many string
	}{
		{c.Agreement[assess.DoesNotFollow], "value does not follow", "values do not follow"},
		{c.Altered() - open, "verdict changes", "verdicts change"},
		{open, "written verdict is not established", "written verdicts are not established"},
		{c.Agreement[assess.CannotBeComputed], "written value cannot be computed", "written values cannot be computed"},
		{c.Unread, "written verdict is not understood", "written verdicts are not understood"},
		{c.Kept, "written fail cannot be shown", "written fails cannot be shown"},
	} {
		switch p.n {
		case 0:
		case 1:
			parts = append(parts, "1 "+p.one)
		default:
			parts = append(parts, fmt.Sprintf("%d %s", p.n, p.many))
		}
	}
	return strings.Join(parts, ", ")
}

// table prints a line for each record and one for all.
func (t *tally) table() error {
	var err error
	say := func(key string, data any) string {
		text, e := t.run.words.Say("terminal/"+key, data)
		if e != nil && err == nil {
			err = e
		}
		return text
	}
	count := func(key string, n func(*outcome) int) doc.Col[*outcome] {
		return doc.Right(say(key, nil), "", func(o *outcome) string {
			if o.err != nil {
				return "–"
			}
			return fmt.Sprint(n(o))
		})
	}
	agreement := func(key string, a assess.Agreement) doc.Col[*outcome] {
		return count(key, func(o *outcome) int { return o.counts.Agreement[a] })
	}
	verdicts := func(from, to assess.Verdict) func(*outcome) int {
		return func(o *outcome) int { return o.counts.Verdicts[from][to] }
	}
	cols := []doc.Col[*outcome]{
		doc.Left(say("head-record", nil), "", func(o *outcome) string { return o.file }),
		count("head-tests", func(o *outcome) int { return o.counts.Tests }),
		agreement("head-agrees", assess.Agrees),
		agreement("head-unseen", assess.AgreesThroughUnseenDigits),
		agreement("head-does-not-follow", assess.DoesNotFollow),
		agreement("head-cannot", assess.CannotBeComputed),
		agreement("head-not-recorded", assess.NotRecorded),
		count("head-pass-to-fail", verdicts(assess.Pass, assess.Fail)),
		count("head-fail-to-pass", verdicts(assess.Fail, assess.Pass)),
		count("head-pass-to-open", func(o *outcome) int {
			return o.counts.Verdicts[assess.Pass][assess.NotEstablished] + o.counts.Verdicts[assess.Pass][assess.Void]
		}),
		doc.Left(say("head-outcome", nil), "", func(o *outcome) string {
			if o.err != nil {
				return say("not-audited", nil)
			}
			return say(o.stands.String(), nil)
		}),
	}
	all := outcome{file: say("all", len(t.outcomes))}
	rows := make([]*outcome, 0, len(t.outcomes)+1)
	for i := range t.outcomes {
		o := &t.outcomes[i]
		rows = append(rows, o)
		all.counts.Add(&o.counts)
		all.stands = max(all.stands, o.stands)
		if o.err != nil {
			all.stands = audit.DoesNotHold
		}
	}
	var b bytes.Buffer
	if e := doc.Tabulate(cols, append(rows, &all)).WriteText(&b); e != nil && err == nil {
		err = e
	}
	if err == nil {
		_, err = t.s.out.Write(b.Bytes())
	}
	return err
}
