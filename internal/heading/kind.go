package heading

import "fmt"

// A kind is what the values of a column are.
type kind int

const (
	text     kind = iota
	name          // of an area: words, or a number that names
	identity      // what tells one row from the others: 1, 2, 3 or A-17
	number
	count
	date
	clock
	moment // a date with a time of day
	onOff  // a switch
	verdict
	purpose // what a test was made for
	percent
	money
	conductivity
	density
	volume
	patchArea
	steelArea
	length
	temperature
	humidity
)

var kindNames = [...]string{
	text: "text", name: "name", identity: "identity", number: "number", count: "count",
	date: "date", clock: "clock", moment: "moment", onOff: "flag", verdict: "verdict",
	purpose: "purpose", percent: "percent", money: "money", conductivity: "conductivity", density: "density",
	volume: "volume", patchArea: "patch area", steelArea: "steel area", length: "length",
	temperature: "temperature", humidity: "humidity",
}

func (k kind) String() string { return kindNames[k] }

// kindOf is the kind that is spelled s.
func kindOf(s string) (kind, error) {
	for k, n := range kindNames {
		if n == s {
			return kind(k), nil
		}
	}
	return 0, fmt.Errorf("unknown kind %q", s)
}

// measured reports whether a column of this kind enters the calculation, so
// that a second one beside it must never be passed over.
func (k kind) measured() bool {
	switch k {
	case conductivity, density, volume, patchArea:
		return true
	}
	return false
}

// takes reports whether a column of this kind may have the unit class c.
func (k kind) takes(c string) bool {
	switch k {
	case number, count, money:
		return true
	case percent:
		return c == "humidity"
	case moment:
		return c == "date" || c == "clock"
	case text:
		return c == "length" // "profile (µm)" is kept as words
	case onOff, verdict, name, identity:
		return false
	}
	return k.String() == c
}
