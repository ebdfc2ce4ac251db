package assess

import (
	"math"
	"slices"
	"strings"

	"saltline/internal/record"
)

// reach is how far from a fail, in metres, a test may stand that is to be
// beside or adjacent to it. Common practice is 0.3 to 1 m for adjacent tests;
// the house allows half as much again. The words of the obstacles RetestFar
// and AdjacentFar name the figure.
const reach = 1.5

// onePrint is how far apart, in metres, two readings of the place of one print
// may lie.
const onePrint = 0.01

// footprint tells whether a retest stands beside the first print. Where both
// have the same location or coordinates, or one has none, the remark has to
// say so.
func footprint(fail, retest *record.Test) (ObstacleKind, bool) {
	remark, offset := record.Folded(retest.Remark().Val), offsetOf(fail, retest)
	switch {
	case says(remark, besideWords):
		return 0, true
	case says(remark, sameWords), offset.same:
		return SameFootprint, false
	case offset.apart:
		return 0, true
	case record.Folded(fail.Location().Val) == "" || record.Folded(retest.Location().Val) == "":
		return LocationUnknown, false
	case record.Folded(fail.Location().Val) == record.Folded(retest.Location().Val):
		return SameFootprint, false
	}
	return 0, true
}

// An offset is what the coordinates of two tests tell of their places.
type offset struct {
	same, apart bool    // neither where the record does not tell
	measured    bool    // in a unit of length
	metres      float64 // at least; 0 where it is not measured
}

// offsetOf compares the coordinates that both of two tests have. Such with a
// unit of length are in metres, and are not compared with such without one.
func offsetOf(a, b *record.Test) offset {
	var o offset
	compared := 0
	for _, axis := range [2][2]record.Given[float64]{{a.X(), b.X()}, {a.Y(), b.Y()}} {
		p, q := axis[0], axis[1]
		if !p.Known() || !q.Known() || (p.Unit == "") != (q.Unit == "") {
			continue
		}
		compared++
		d, least := math.Abs(p.Val-q.Val), 0.0
		if p.Unit != "" {
			const rounding = 1e-9 // of the difference of two decimal fractions
			least = onePrint + rounding
			o.measured, o.metres = true, math.Hypot(o.metres, d)
		}
		o.apart = o.apart || d > least
	}
	o.same = compared == 2 && !o.apart
	return o
}

// Wordings of a remark in the five languages of the headings.
var (
	besideWords = []string{"beside", "next to", "alongside", "neben", "daneben", "al lado", "junto a", "à côté", "a cote", "ved siden av"}
	sameWords   = []string{"same spot", "same footprint", "same place", "same print", "gleiche stelle", "gleichen stelle", "selbe stelle", "mismo punto", "misma huella", "même endroit", "même empreinte", "samme sted", "samme punkt"}
	negations   = []string{"not ", "nicht ", "no ", "pas ", "ikke "}
)

// says reports whether a remark uses one of the wordings without denying it.
func says(remark string, wordings []string) bool {
	for _, w := range wordings {
		at := strings.Index(remark, w)
		if at >= 0 && !slices.ContainsFunc(negations, func(n string) bool { return strings.HasSuffix(remark[:at], n) }) {
			return true
		}
	}
	return false
}
