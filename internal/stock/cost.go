package stock

import (
	"cmp"
	"slices"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// A Cost is what the tests cost, exactly, in the currency of the record:
// patches, water, check solution and syringes (house formula). There is a
// total only where nothing is missing from it.
type Cost struct {
	Currency string   // as recorded; "" where none is
	Mixed    []string // the currencies, where the amounts are in several; then there is no total
	Parts    []Part
	Missing  []Gap

	Total     unit.Ratio // of all parts; no number where one is missing
	PerTest   unit.Ratio // Total by tests carried out, voids included
	PerResult unit.Ratio // Total by tests that came out PASS or FAIL
}

// A Part is one amount of a cost.
type Part struct {
	For    PartFor
	Name   string     // the batch, or the head of the column
	Count  int        // patches, or uses of a reusable one
	Price  unit.Ratio // of one: the price, or the price by the maximum of uses
	Amount unit.Ratio
}

// A PartFor says what an amount was spent on.
type PartFor int

const (
	Patches PartFor = iota
	Uses            // of a reusable patch, at its price by its maximum of uses
	Water
	CheckSolution
	Syringes
	Other
)

// String is the stable name.
func (p PartFor) String() string {
	return [...]string{"patches", "uses", "water", "check-solution", "syringes", "other"}[p]
}

// A Gap is something that a total would leave out.
type Gap struct {
	Kind  GapKind
	Name  string // the batch, or the head of the column
	Count int    // tests, for UnnamedPatches
}

// A GapKind says what is missing.
type GapKind int

const (
	NoPrice          GapKind = iota // of a batch
	NoMaximum                       // a reusable patch whose maximum of uses is not recorded: its price cannot be spread
	NotListed                       // a batch that the table does not have
	UnnamedPatches                  // tests that name no patch
	NoWater                         // no amount is recorded for water
	NoCheckSolution                 // nor for check solution
	NoSyringes                      // nor for syringes
	UnreadableAmount                // an amount that cannot be read
)

// String is the stable name.
func (k GapKind) String() string {
	return [...]string{"no-price", "no-maximum", "not-listed", "unnamed-patches", "no-water", "no-check-solution", "no-syringes", "unreadable-amount"}[k]
}

// cost makes up the cost of what the account counts.
func (a *Account) cost(r *assess.Result) Cost {
	var c Cost
	var amounts []record.Given[unit.Money]
	missing := func(kind GapKind, name string, n int) { c.Missing = append(c.Missing, Gap{kind, name, n}) }
	for i := range a.Batches {
		b := &a.Batches[i]
		n := b.Recorded()
		if drawn, known := b.Drawn(); known {
			n = drawn // those that were spoilt have their price too
		}
		switch {
		case n == 0:
		case b.Row == nil:
			missing(NotListed, b.Name, n)
		case !b.Row.UnitPrice.Known():
			missing(NoPrice, b.Name, n)
		case b.Reusable && !b.Row.MaximumUses.Known():
			missing(NoMaximum, b.Name, n)
		default:
			p := Part{Patches, b.Name, n, b.Row.UnitPrice.Dec.Ratio(), unit.Ratio{}}
			if b.Reusable {
				p.For, p.Price = Uses, p.Price.Quo(whole(b.Row.MaximumUses.Val))
			}
			p.Amount = p.Price.Mul(whole(n))
			c.Parts = append(c.Parts, p)
			amounts = append(amounts, b.Row.UnitPrice)
		}
	}
	if a.Unnamed > 0 {
		missing(UnnamedPatches, "", a.Unnamed)
	}
	spent := map[PartFor]bool{}
	for i := range r.Job.Patches {
		for _, k := range r.Job.Patches[i].Costs() {
			switch k.Amount.State {
			case record.Known:
				of := parts[k.For]
				c.add(of, k)
				spent[of] = true
				amounts = append(amounts, k.Amount)
			case record.Unreadable:
				missing(UnreadableAmount, k.Head, 0)
				spent[parts[k.For]] = true
			}
		}
	}
	for _, s := range []struct {
		of  PartFor
		gap GapKind
	}{{Water, NoWater}, {CheckSolution, NoCheckSolution}, {Syringes, NoSyringes}} {
		if !spent[s.of] {
			missing(s.gap, "", 0)
		}
	}
	slices.SortStableFunc(c.Parts, func(a, b Part) int { return cmp.Compare(a.For, b.For) })
	c.currency(r.Job.Terms.Currency, amounts)
	if len(c.Missing) > 0 || len(c.Mixed) > 0 {
		return c
	}
	c.Total = whole(0)
	for _, p := range c.Parts {
		c.Total = c.Total.Add(p.Amount)
	}
	if a.Tests > 0 {
		c.PerTest = c.Total.Quo(whole(a.Tests))
	}
	if a.Established > 0 {
		c.PerResult = c.Total.Quo(whole(a.Established))
	}
	return c
}

var parts = map[record.CostFor]PartFor{
	record.WaterCost: Water, record.CheckSolutionCost: CheckSolution, record.SyringeCost: Syringes, record.OtherCost: Other,
}

// add adds an amount to those of its kind; what is none of the usual stands
// under the head of its column.
func (c *Cost) add(of PartFor, k record.Cost) {
	name := ""
	if of == Other {
		name = k.Head
	}
	for i := range c.Parts {
		if p := &c.Parts[i]; p.For == of && p.Name == name {
			p.Amount = p.Amount.Add(k.Amount.Dec.Ratio())
			return
		}
	}
	c.Parts = append(c.Parts, Part{For: of, Name: name, Amount: k.Amount.Dec.Ratio()})
}

// signs are those of currencies, with the codes that each may stand for.
var signs = map[string]string{"€": "EUR", "£": "GBP", "kr": "NOK SEK DKK ISK", "kr.": "NOK SEK DKK ISK", "$": "USD CAD AUD NZD SGD"}

// currency finds the currency of all amounts: that of the job, and those that
// stand beside an amount and do not agree with it.
func (c *Cost) currency(job record.Words, amounts []record.Given[unit.Money]) {
	var all []string
	note := func(name string) {
		same := func(other string) bool {
			return strings.EqualFold(name, other) || slices.Contains(strings.Fields(signs[strings.ToLower(name)]), strings.ToUpper(other))
		}
		if name != "" && !slices.ContainsFunc(all, same) {
			all = append(all, name)
		}
	}
	note(strings.TrimSpace(job.Val))
	for _, m := range amounts {
		note(strings.TrimSpace(m.Unit))
	}
	switch {
	case len(all) > 1:
		c.Mixed = all
		c.Currency = strings.TrimSpace(job.Val)
	case len(all) == 1:
		c.Currency = all[0]
	}
}

func whole(n int) unit.Ratio { return unit.Int(int64(n)).Ratio() }
