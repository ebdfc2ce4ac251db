package assess

import (
	"slices"
	"strings"

	"saltline/internal/record"
	"saltline/internal/unit"
)

// An oracle looks for what a cleared fail must have, in the plainest way: it
// follows the numbers that are written down, and compares days and minutes.
// Where the record does not tell it is satisfied, so it knows less than the
// chains do; what it misses is missing for certain.
type oracle struct {
	*Result
}

func newOracle(r *Result) *oracle { return &oracle{r} }

func (o *oracle) row(i int) int { return o.Lines[i].Test.Row().Row() }

// lacks says what a cleared chain has not got; "" where it has everything.
func (o *oracle) lacks(c *Chain) string {
	f, r := o.Lines[c.Fail].Test, o.Lines[c.ClearedBy].Test
	above := o.above(c)
	switch {
	case o.Lines[c.ClearedBy].Verdict != Pass:
		return "a pass"
	case r.Kind().Val != record.Retest && r.Kind().Val != record.Repeat || !o.leads(c.ClearedBy, c.Fail, nil):
		return "a retest that names it"
	case differ(f.Area().Val, r.Area().Val):
		return "a retest in its area"
	case earlier(instantOf(r), instantOf(f)):
		return "a retest that follows it"
	case !besideOf(f, r) || farFrom(f, r):
		return "a retest beside it"
	}
	for _, i := range above {
		if !besideOf(o.Lines[i].Test, r) {
			return "a retest beside the retest that failed"
		}
		if earlier(instantOf(r), instantOf(o.Lines[i].Test)) {
			return "a retest after the last one that failed"
		}
	}
	if o.Lines[c.Fail].Doubtful && len(above) == 0 && r.Kind().Val == record.Repeat {
		return "" // no fail at all: its extraction was not valid, and it has been repeated
	}
	if !slices.ContainsFunc(o.Job.Treatments, func(t record.Treatment) bool { return o.treats(&t, c, above) }) {
		return "a treatment between"
	}
	if n := o.neighbours(c); n < o.Job.Terms.Retest.Val.Adjacent {
		return "enough adjacent tests"
	}
	return ""
}

// above are the retests of a chain above the limit.
func (o *oracle) above(c *Chain) []int {
	var all []int
	for i := range o.Lines {
		l := &o.Lines[i]
		alone := !slices.ContainsFunc(o.Lines, func(m Line) bool {
			return m.Index != c.Fail && m.Test.Number().Val == o.Lines[c.Fail].Test.Number().Val
		})
		named := alone && l.Test.Kind().Val == record.Retest && l.Test.OfTest().Val == o.Lines[c.Fail].Test.Number().Val && i != c.Fail
		if l.Verdict == Fail && (named || slices.Contains(c.Retests, i)) && !earlier(instantOf(l.Test), instantOf(o.Lines[c.Fail].Test)) {
			all = append(all, i)
		}
	}
	return all
}

// leads reports whether test i names test n, or one that does.
func (o *oracle) leads(i, n int, seen []int) bool {
	if i == n {
		return true
	}
	t := o.Lines[i].Test
	if slices.Contains(seen, i) || t.Kind().Val != record.Repeat && t.Kind().Val != record.Retest && t.Kind().Val != record.Adjacent {
		return false
	}
	for number := range strings.SplitSeq(t.OfTest().Val, ", ") {
		for k := range o.Lines {
			if o.Lines[k].OfSteel() && o.Lines[k].Test.Number().Val == number && o.leads(k, n, append(seen, i)) {
				return true
			}
		}
	}
	return false
}

// treats reports whether a treatment is said to be of the chain, ended after
// every test of it above the limit, and was dry before its retest.
func (o *oracle) treats(t *record.Treatment, c *Chain, above []int) bool {
	if t.What.Val == "" || t.What.Val == "none" {
		return false
	}
	said, named := false, false
	for i := range o.Lines {
		l := &o.Lines[i]
		if !l.OfSteel() || !o.leads(i, c.Fail, nil) {
			continue
		}
		named = named || slices.Contains(t.OfTests.Val, l.Test.Number().Val)
		said = said || named || t.Name.Val != "" && l.Test.Treatment().Val == t.Name.Val
	}
	end := when{day: t.Date, clock: t.Ended}
	if t.Started.Known() && t.Ended.Known() && t.Ended.Val < t.Started.Val {
		end.next = true
	}
	if !said || !named && len(t.OfTests.Val) > 0 || !end.day.Known() {
		return false
	}
	for _, i := range append(above, c.Fail) {
		x := readOf(o.Lines[i].Test)
		if end.day.Known() && x.day.Known() && end.clock.Known() && x.clock.Known() && end.minutes() <= x.minutes() || earlier(end, x) {
			return false
		}
	}
	retest := instantOf(o.Lines[c.ClearedBy].Test)
	if !retest.day.Known() {
		return false
	}
	if end.clock.Known() && retest.clock.Known() {
		return retest.minutes()-end.minutes() >= 15
	}
	return end.date().Compare(retest.date()) < 0
}

// neighbours counts the prints of the adjacent tests within the limit, or
// cleared, in the area of the fail and near enough to it.
func (o *oracle) neighbours(c *Chain) int {
	fail := o.Lines[c.Fail].Test
	var prints []*record.Test
	for i := range o.Lines {
		l := &o.Lines[i]
		adjacent := l.Test.Kind().Val == record.Adjacent || l.Test.Kind().Val == record.Repeat
		if !adjacent || !l.OfSteel() || i == c.Fail || !o.leads(i, c.Fail, nil) || l.Test.Remark().Val == "same spot" || earlier(instantOf(l.Test), instantOf(fail)) {
			continue
		}
		if differ(l.Test.Area().Val, fail.Area().Val) || o.alone(c) && farFrom(l.Test, fail) || slices.ContainsFunc(prints, func(p *record.Test) bool { return onOne(p, l.Test) }) {
			continue
		}
		if l.Test.Remark().Val != "beside the first footprint" && (onOne(fail, l.Test) || onOne(o.Lines[c.ClearedBy].Test, l.Test)) {
			continue
		}
		if l.Verdict == Pass || l.Verdict == Fail && clearedRows(o.Result)[o.row(i)] {
			prints = append(prints, l.Test)
		}
	}
	return len(prints)
}

// alone reports whether no adjacent test of a chain is above the limit, so
// that the ground to be tested has not grown.
func (o *oracle) alone(c *Chain) bool {
	return !slices.ContainsFunc(c.Adjacent, func(i int) bool { return o.Lines[i].Verdict == Fail })
}

// A when is a day and a time as far as they are known.
type when struct {
	day   record.Given[unit.Date]
	clock record.Given[unit.Clock]
	next  bool // of the day after
}

func instantOf(t *record.Test) when { return when{day: t.Date(), clock: t.Start()} }

func readOf(t *record.Test) when {
	return when{t.Date(), t.Read(), t.Start().Known() && t.Read().Val < t.Start().Val}
}

func (w when) date() unit.Date {
	if w.next {
		return w.day.Val.Add(1)
	}
	return w.day.Val
}

func (w when) minutes() int {
	return 1440*w.date().Since(firstDay) + int(w.clock.Val.Minutes())
}

// earlier reports whether a is known to lie before b.
func earlier(a, b when) bool {
	switch {
	case !a.day.Known() || !b.day.Known():
		return false
	case a.clock.Known() && b.clock.Known():
		return a.minutes() < b.minutes()
	}
	return a.date().Compare(b.date()) < 0
}

func differ(a, b string) bool { return a != "" && b != "" && a != b }

// besideOf reports whether a retest is said to stand beside a print.
func besideOf(print, retest *record.Test) bool {
	a, b := print.Location().Val, retest.Location().Val
	switch retest.Remark().Val {
	case "beside the first footprint":
		return true
	case "same spot":
		return false
	}
	switch {
	case apartAlong(print, retest):
		return true
	case placed(print) && placed(retest):
		return false
	}
	return a != "" && b != "" && a != b
}

// apartAlong reports whether two tests stand at different places along the
// steel; all of them are at one height.
func apartAlong(a, b *record.Test) bool {
	return a.X().Unit == "m" && b.X().Unit == "m" && a.X().Val != b.X().Val
}

// placed reports whether a test has both coordinates, which are in metres.
func placed(t *record.Test) bool { return t.X().Unit == "m" && t.Y().Unit == "m" }

// farFrom reports whether two tests stand more than 1.5 m apart along the
// steel.
func farFrom(a, b *record.Test) bool {
	return apartAlong(a, b) && (a.X().Val-b.X().Val > 1.5 || b.X().Val-a.X().Val > 1.5)
}

// onOne reports whether two tests stand on one print.
func onOne(a, b *record.Test) bool {
	switch {
	case apartAlong(a, b):
		return false
	case placed(a) && placed(b):
		return true
	}
	return a.Location().Val != "" && a.Location().Val == b.Location().Val
}
