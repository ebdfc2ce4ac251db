package dossier

import "saltline/internal/assess"

// A Balance is one line of the reconciliation: counts that must be the same.
type Balance struct {
	Kind   BalanceKind
	Name   string // of the batch, where it is about one
	Counts []Count
	Agrees bool
	Known  bool // all of them are recorded
}

// A Count is one of the numbers that a balance holds side by side.
type Count struct {
	Of CountOf
	N  int
}

// A BalanceKind names a line of the reconciliation.
type BalanceKind int

const (
	TestsBalance   BalanceKind = iota // register = daily reports = areas and glass
	FailsBalance                      // fails found = open + cleared
	ReportsBalance                    // days with tests = reports numbered = reports signed by all
	AreasBalance                      // areas listed = certificates issued
	PatchesBalance                    // patches drawn = tests and blanks
)

// String is the line in lower-case words, under which its words stand.
func (k BalanceKind) String() string {
	return [...]string{"tests", "fails", "reports", "areas", "patches"}[k]
}

// A CountOf names what was counted.
type CountOf int

const (
	InRegister CountOf = iota
	InReports
	InAreas
	OnGlass
	Found
	StillOpen
	WereCleared
	DaysTested
	ReportsNumbered
	ReportsSigned
	AreasListed
	Certified
	Drawn
	Recorded
)

// String is what was counted in lower-case words with hyphens, under which its
// words stand.
func (c CountOf) String() string {
	return [...]string{"in-register", "in-reports", "in-areas", "on-glass", "found", "still-open", "were-cleared", "days-tested",
		"reports-numbered", "reports-signed", "areas-listed", "certified", "drawn", "recorded"}[c]
}

// balance holds what was counted in one place against what was counted in
// another.
func (d *Dossier) balance(r *assess.Result) {
	inReports, numbered, signed := 0, 0, 0
	for i := range d.Reports {
		p := &d.Reports[i]
		inReports += len(p.Tests)
		if p.Number != "" {
			numbered++
		}
		if p.SignedAll() {
			signed++
		}
	}
	inAreas, glass, open, cleared, failed, certified, listed := 0, 0, 0, 0, 0, 0, 0
	for i := range d.Areas {
		a := &d.Areas[i]
		inAreas += len(a.Standing.Tests)
		open += len(a.Standing.Open)
		cleared += len(a.Standing.Cleared)
		listed++
		if !a.Refused() {
			certified++
		}
	}
	for i := range r.Lines {
		switch l := &r.Lines[i]; {
		case !l.OfSteel():
			glass++
		case l.Verdict == assess.Fail && !retestOf(d, i):
			failed++
		}
	}
	d.Balances = []Balance{
		{Kind: TestsBalance, Known: true, Agrees: len(d.Register) == inReports && inReports == inAreas+glass,
			Counts: []Count{{InRegister, len(d.Register)}, {InReports, inReports}, {InAreas, inAreas}, {OnGlass, glass}}},
		{Kind: FailsBalance, Known: true, Agrees: failed == open+cleared,
			Counts: []Count{{Found, failed}, {StillOpen, open}, {WereCleared, cleared}}},
		{Kind: ReportsBalance, Known: true, Agrees: len(d.Reports) == numbered && numbered == signed,
			Counts: []Count{{DaysTested, len(d.Reports)}, {ReportsNumbered, numbered}, {ReportsSigned, signed}}},
		{Kind: AreasBalance, Known: true, Agrees: listed == certified,
			Counts: []Count{{AreasListed, listed}, {Certified, certified}}},
	}
	for i := range d.Stock.Batches {
		b := &d.Stock.Batches[i]
		difference, asked := b.Difference()
		drawn, known := b.Drawn()
		if b.Row == nil || b.Reusable || known && !asked {
			continue
		}
		d.Balances = append(d.Balances, Balance{Kind: PatchesBalance, Name: b.Name, Known: known, Agrees: asked && difference == 0,
			Counts: []Count{{Drawn, drawn}, {Recorded, b.Recorded()}}})
	}
}

// retestOf reports whether a failed test is a retest of a fail, and so no new
// one.
func retestOf(d *Dossier, test int) bool {
	for i := range d.Fails {
		c := d.Fails[i].Chain
		if c.Fail == test {
			return false
		}
	}
	for i := range d.Fails {
		for _, t := range d.Fails[i].Chain.Retests {
			if t == test {
				return true
			}
		}
	}
	return false
}
