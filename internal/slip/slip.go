// Package slip names the single slips that would turn a row's readings into
// the value that was written down.
//
// A slip explains; it does not accuse, and it does not say which of the two
// is wrong, the row or the value. All that fit are given, never a chosen one.
package slip

import (
	"math/big"
	"slices"

	"saltline/internal/unit"
)

// A Row is what a slip is looked for in: the written readings and the written
// value, exact. A nil pointer is a value that the row does not hold.
type Row struct {
	Blank, Extract *unit.Decimal // µS/cm
	Volume         *unit.Decimal // ml, the volume in the formula
	VolumeOnRow    bool          // Volume is a cell of the row, where a key can slip, and not a value of the job
	Recovered      *unit.Decimal // ml, what came back out of the patch
	PatchArea      *unit.Decimal // mm²
	Constant       *unit.Decimal // kg·m⁻²·S⁻¹
	Difference     *unit.Decimal // µS/cm, as written
	Recorded       *unit.Decimal // mg/m²; its Exp is the last digit written
	Temperature    *unit.Decimal // °C, of the solution
	Compensated    bool          // the meter compensates for temperature
	Alpha          *unit.Decimal // % per kelvin, of a linear correction to 25 °C; nil for the usual 2
}

// Rows are the rows of one sheet, in its order. Few of them are looked at, so a
// row is made when it is.
type Rows interface {
	Len() int
	Row(i int) Row
	// Agrees reports whether the recorded value of row i is a correct rounding
	// of its density; known is false where it holds no such value or no
	// density follows from it.
	Agrees(i int) (agrees, known bool)
}

// A List is the rows of a sheet that are all at hand.
type List []Row

// Len is how many there are.
func (l List) Len() int { return len(l) }

// Row is row i.
func (l List) Row(i int) Row { return l[i] }

// Agrees works out the density of row i.
func (l List) Agrees(i int) (agrees, known bool) { return l[i].agrees() }

// An Explanation is one slip that gives the recorded value.
type Explanation struct {
	Name   string              // stable: "blank-not-subtracted", "other-volume" …
	Kind   Kind                // what sort of slip it is
	Detail string              // tells explanations of one name apart: "3 ml", "the row above, extract"; "" for none
	Value  unit.SurfaceDensity // what the slip gives, unrounded
	Exact  *big.Rat            // the same exactly; nil where the slip is not rational
	Args   map[string]any      // what its words are filled with; quantities of unit, see Slip
	Row    int                 // the other row that it took a reading from; -1 for none

	phrase string // subject of Says
	gives  string // the recorded value as written
	also   string // collision with what is not given by itself; "" for none
}

// Says is the explanation as one plain sentence, for a terminal or a program.
// Documents have their own words and fill them from Args.
func (e Explanation) Says() string { return e.phrase + " gives " + e.gives }

// A Kind is what sort of slip it is. Kinds are in rank order: a formula errs
// in every row it stands in, a key only once.
type Kind int

const (
	Formula Kind = iota // the arithmetic is another one
	Unit                // the value is right in another unit
	Copying             // a number was taken from another place
	Keying              // a number was keyed in wrongly
)

// String is the kind in lower case.
func (k Kind) String() string { return [...]string{"formula", "unit", "copying", "keying"}[k] }

// A Slip is one way of going wrong. What it means is written where it is
// declared; what a document says of it stands with the other words, under its
// name.
//
// The keys of an Explanation's Args, where they apply: Volume, PatchArea and
// Constant are what the slip puts in their place; Power is the power of ten
// between the recorded value and the recomputed one; In says which number was
// keyed wrongly ("extract", "blank", "volume", "recorded value"), Was how the
// row has it and Fits how it would fit, both unit.Decimal; Taken names the
// number that was copied.
type Slip struct {
	Name string
	Kind Kind
	try  func(*search) // adds each way in which the slip fits
}

// All lists the slips in the order in which they are tried and given.
func All() []Slip { return slices.Clone(slips) }

var slips = slices.Concat(formulaSlips, unitSlips, copyingSlips, keyingSlips)

// Explain gives every single slip that fits row i of the rows of one sheet,
// which stand in the order of the sheet. A slip fits when what it gives
// rounds to the recorded value, at the last digit that was written.
//
// There is nothing to explain, and nil is returned, where the recorded value
// is a correct rounding of the density, and where a number is missing without
// which the density cannot be computed.
func Explain(rows []Row, i int) []Explanation {
	if agrees, known := rows[i].agrees(); agrees || !known {
		return nil
	}
	return newSheet(List(rows)).explain(i)
}

// explain tries every slip on row i, which does not agree.
func (h *sheet) explain(i int) []Explanation {
	s, _ := h.search(i)
	for k := range slips {
		s.slip = &slips[k]
		s.slip.try(s)
	}
	return foldBlank(s.found)
}

// foldBlank drops the keying slips that work only because they make the blank
// too small to matter: they are the blank that was not subtracted.
func foldBlank(found []Explanation) []Explanation {
	omitted := slices.IndexFunc(found, func(e Explanation) bool { return e.Name == blankNotSubtracted })
	if omitted < 0 {
		return found
	}
	kept := slices.DeleteFunc(slices.Clone(found), func(e Explanation) bool {
		if e.Kind != Keying || e.Args["In"] != "blank" {
			return false
		}
		was, fits := e.Args["Was"].(unit.Decimal), e.Args["Fits"].(unit.Decimal)
		return fits.Cmp(was) < 0
	})
	if len(kept) < len(found) {
		kept[omitted].also = blankOrNothing // a formula slip: only later ones were dropped
	}
	return kept
}

// InRow reports whether the slip may lie in what the row says, a reading, the
// volume, the patch or a unit, and not only in the value that was written
// down. Then it is open which of the two is wrong.
func (e Explanation) InRow() bool {
	switch e.Name {
	case "other-volume", "recovered-volume", "other-patch-area", "other-unit", "written-difference",
		"salinity-factor", "temperature-corrected", "temperature-corrected-twice":
		return true
	case "decimal-moved", "digits-swapped", "one-digit":
		return e.Args["In"] != "recorded value"
	}
	return false
}
