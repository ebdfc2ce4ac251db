package slip

import (
	"math"
	"sync"

	"saltline/internal/unit"
)

// A search looks for the slips of one row.
type search struct {
	sheet   *sheet
	at      int // index of the row
	row     Row
	asRead  whatIf
	density unit.Ratio   // what follows from the readings
	written unit.Decimal // the recorded value
	slip    *Slip        // the one being tried
	found   []Explanation
}

// A sheet is the rows among which slips are looked for.
type sheet struct {
	Rows
	firstBlank func() int // the first row that has a blank; asked for only where there is one
}

func newSheet(rows Rows) *sheet {
	return &sheet{rows, sync.OnceValue(func() int {
		i := 0
		for rows.Row(i).Blank == nil {
			i++
		}
		return i
	})}
}

// search reports false where row i holds no recorded value or the density
// cannot be computed.
func (h *sheet) search(i int) (*search, bool) {
	row := h.Row(i)
	w, ok := row.asRead()
	if !ok || row.Recorded == nil {
		return nil, false
	}
	return &search{sheet: h, at: i, row: row, asRead: w, density: w.exact(), written: *row.Recorded}, true
}

// fits returns what w gives if that rounds to the recorded value, else no number.
//
// Most calculations are far off, so a float64 sieves them first. It is wide
// enough to let through all that might fit; only the exact value decides.
func (s *search) fits(w whatIf) unit.Ratio {
	value, size := w.float()
	step := math.Pow10(s.written.Exp)
	if math.Abs(value-float(s.written)) > 0.51*step+1e-12*size {
		return unit.Ratio{}
	}
	exact := w.exact()
	if s.written.Sign() == 0 && exact.Sign() != 0 {
		return unit.Ratio{} // anything small enough rounds to 0: that explains nothing
	}
	if !Rounds(exact, s.written) {
		return unit.Ratio{}
	}
	return exact
}

// try adds an explanation if w fits.
func (s *search) try(w whatIf, detail, phrase string, args map[string]any) {
	if v := s.fits(w); v.Known() {
		s.add(v, detail, phrase, args)
	}
}

// add adds an explanation by the slip being tried, and returns it.
func (s *search) add(value unit.Ratio, detail, phrase string, args map[string]any) *Explanation {
	s.found = append(s.found, Explanation{
		Name: s.slip.Name, Kind: s.slip.Kind, Detail: detail,
		Value: unit.SurfaceDensity(value.Float()), Exact: value.Rat(), Args: args, Row: -1,
		phrase: phrase, gives: s.written.String(),
	})
	return &s.found[len(s.found)-1]
}
