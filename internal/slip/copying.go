package slip

import (
	"saltline/internal/unit"
)

// copyingSlips are those in which a number was taken from another place.
var copyingSlips = []Slip{
	// A conductivity stands in place of the density. The recorded value is the
	// extract, the blank or their difference, in µS/cm.
	{"copied-conductivity", Copying,
		func(s *search) {
			s.tryCopy("extract", *s.row.Extract)
			s.tryCopy("blank", *s.row.Blank)
			if s.row.Blank.Sign() != 0 { // else it is the extract
				w := asWritten(*s.row.Extract)
				w.blank, w.blanks = *s.row.Blank, 1
				s.try(w, "difference", "the difference", taken("difference"))
			}
		}},
	// A reading or the result of a neighbouring row was used. It comes about where
	// a formula is filled down one row off, or a line is misread. A neighbour with
	// the same readings cannot be told apart and is not named.
	{"neighbouring-row", Copying,
		func(s *search) {
			s.tryNeighbour(s.at-1, "the row above")
			s.tryNeighbour(s.at+1, "the row below")
		}},
}

func taken(what string) map[string]any { return map[string]any{"Taken": what} }

// tryCopy tries a number of the row in place of the density.
func (s *search) tryCopy(what string, d unit.Decimal) {
	if v := s.fits(asWritten(d)); v.Known() {
		s.add(v, what, "the "+what, taken(what))
	}
}

// tryNeighbour tries what row j could have given to the row: its blank, its
// extract, both, or its result. The result is named only where the readings
// behind it do not already explain the value: it is the same slip.
func (s *search) tryNeighbour(j int, where string) {
	if j < 0 || j >= s.sheet.Len() {
		return
	}
	other := s.sheet.Row(j)
	if other.Blank == nil || other.Extract == nil {
		return
	}
	blankDiffers := other.Blank.Cmp(*s.row.Blank) != 0
	extractDiffers := other.Extract.Cmp(*s.row.Extract) != 0
	if !blankDiffers && !extractDiffers {
		return
	}
	found := false
	add := func(v unit.Ratio, what string) {
		if v.Known() {
			found = true
			s.add(v, where+", "+what, "the "+what+" of "+where, taken(what)).Row = j
		}
	}
	w := s.asRead
	if blankDiffers {
		w.blank = *other.Blank
		add(s.fits(w), "blank")
	}
	if extractDiffers {
		w.extract, w.blank = *other.Extract, *s.row.Blank
		add(s.fits(w), "extract")
	}
	if blankDiffers && extractDiffers {
		w.blank = *other.Blank
		add(s.fits(w), "readings")
	}
	if found {
		return
	}
	if other.Recorded != nil && other.Recorded.Cmp(s.written) == 0 {
		add(other.Recorded.Ratio(), "result")
	} else if w, ok := other.asRead(); ok {
		add(s.fits(w), "result")
	}
}
