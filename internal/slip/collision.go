package slip

import "slices"

// A Collision is a reason why the explanations of one value cannot be told
// apart from its sheet. What it means stands with the other words of
// documents, under its name.
type Collision struct {
	Name string // stable: "unit-or-decimal" …
	Of   []int  // the explanations, as indexes
}

// Collisions gives the reasons that apply to what explains one value. Every
// two explanations are in one of them: those without a reason of their own
// share the last, which says that they give the same digits. A single
// explanation may have a reason too, where it stands for two slips.
func Collisions(found []Explanation) []Collision {
	var all []Collision
	for _, c := range collisions {
		if of := c.of(found); of != nil {
			all = append(all, Collision{c.name, of})
		}
	}
	if len(found) > 1 && !covered(all, len(found)) {
		whole := Collision{Name: sameDigits}
		for i := range found {
			whole.Of = append(whole.Of, i)
		}
		all = append(all, whole)
	}
	return all
}

// covered reports whether each two of n explanations share a collision.
func covered(all []Collision, n int) bool {
	for i := range n {
		for j := range i {
			if !slices.ContainsFunc(all, func(c Collision) bool { return slices.Contains(c.Of, i) && slices.Contains(c.Of, j) }) {
				return false
			}
		}
	}
	return true
}

const (
	blankOrNothing = "blank-or-nothing"
	swapOrReading  = "swap-or-reading"
	sameDigits     = "same-digits"
)

// A collision has two sides, each of which must hold an explanation, or one.
type collision struct {
	name  string
	sides [][]side
}

// A side is a slip, with the number that is copied or keyed where that matters.
type side struct{ slip, number string }

func (s side) holds(e Explanation) bool {
	return e.Name == s.slip && (s.number == "" || e.Args["Taken"] == s.number || e.Args["In"] == s.number)
}

// sides are slips of which it does not matter which number they are about.
func sides(slips ...string) []side {
	var all []side
	for _, s := range slips {
		all = append(all, side{slip: s})
	}
	return all
}

// collisions are the known ones.
var collisions = []collision{
	// With a factor near 1 the blank taken off and the factor make up for one
	// another: 1.2·(9.7 − 1.6) is 9.7.
	{"copy-or-factor", [][]side{{{"copied-conductivity", "extract"}}, sides("other-volume", "other-patch-area")}},
	// Ten is µg/cm² for mg/m², and a decimal sign.
	{"unit-or-decimal", [][]side{sides("other-unit"), sides("decimal-moved")}},
	// Five is the factor for 15 ml on a row of 3 ml, and a row that says 15 ml
	// where 3 were used.
	{"volume-or-factor", [][]side{sides("other-volume")}},
	// Two is a patch of 625 mm² for one of 1250, and a value doubled.
	{"patch-or-solids", [][]side{sides("other-patch-area"), sides("salinity-factor")}},
	// 0.94 is the constant of sodium chloride over 5, and a correction from 28 °C.
	{"constant-or-temperature", [][]side{sides("sodium-chloride-constant"), sides("temperature-corrected", "temperature-corrected-twice")}},
	// The row above may be the first, or have its blank.
	{"first-or-neighbour", [][]side{sides("first-blank-for-all"), {{"neighbouring-row", "blank"}}}},
	// A blank that its decimal sign makes too small to matter is no blank.
	{blankOrNothing, nil},
	{swapOrReading, [][]side{{{digitsSwapped, recordedValue}}, {{"one-digit", "extract"}, {"one-digit", "blank"}}}},
	// What a neighbour has may differ by no more than a key.
	{"neighbour-or-key", [][]side{sides("neighbouring-row", "first-blank-for-all"), sides("decimal-moved", digitsSwapped, "one-digit")}},
	// Digits cut off leave a last digit that is one too low.
	{"cut-or-digit", [][]side{sides("truncated"), {{"one-digit", recordedValue}}}},
}

// of are the explanations that collide, nil for none.
func (c collision) of(found []Explanation) []int {
	var of []int
	held := make([]bool, len(c.sides))
	also := false
	for i, e := range found {
		in := e.also == c.name
		also = also || in
		for k, all := range c.sides {
			if slices.ContainsFunc(all, func(s side) bool { return s.holds(e) }) {
				held[k], in = true, true
			}
		}
		if in {
			of = append(of, i)
		}
	}
	if also || len(held) > 0 && !slices.Contains(held, false) {
		return of
	}
	return nil
}
