package record

import "saltline/internal/unit"

// A Cost is an amount that stands beside a batch of patches for what was used
// with it: the whole amount, not that of one test.
type Cost struct {
	For    CostFor
	Head   string // of its column, as found
	Amount Given[unit.Money]
}

// A CostFor says what an amount was spent on.
type CostFor int

const (
	OtherCost CostFor = iota
	WaterCost
	CheckSolutionCost
	SyringeCost
)

// Costs are the amounts in those further columns of the patches table whose
// heads speak of a cost. They are read anew at each call: only an account asks.
// A number that can be read two ways, such as 1,234, is Unreadable.
func (p *Patch) Costs() []Cost {
	var costs []Cost
	for _, f := range p.Extra {
		if !hasWord(f.Key, "cost", "price", "kosten", "preis", "coste", "costo", "precio", "coût", "prix", "kostnad", "pris") {
			continue
		}
		c := Cost{For: OtherCost, Head: f.Key, Amount: Given[unit.Money]{Text: f.Value.Text, Pos: f.Value.Pos, State: Unreadable}}
		switch {
		case hasWord(f.Key, "check", "standard solution", "prüf", "kontroll", "calibra", "étalon", "patrón", "solution", "lösung", "solución", "løsning"):
			c.For = CheckSolutionCost
		case hasWord(f.Key, "syring", "spritz", "jering", "sering", "sprøyt"):
			c.For = SyringeCost
		case hasWord(f.Key, "water", "wasser", "agua", "eau", "vann"):
			c.For = WaterCost
		}
		r := unit.ParseMoney(f.Value.Text, f.Value.Unit, unit.AnySign)
		switch r.State {
		case unit.Known:
			c.Amount.State, c.Amount.Val, c.Amount.Dec, c.Amount.Unit = Known, unit.Money(r.Value.Float()), r.Value, r.Unit
		case unit.NotDone:
			c.Amount.State = NotDone
		case unit.Blank:
			c.Amount.State = Absent
		}
		costs = append(costs, c)
	}
	return costs
}
