package assess

import (
	"slices"
	"strings"

	"saltline/internal/record"
)

// footprint tells whether a retest stands beside the first print. Where both
// have the same location, or one has none, the remark has to say so.
func footprint(fail, retest *record.Test) (ObstacleKind, bool) {
	remark := fold(retest.Remark.Val)
	switch {
	case says(remark, besideWords):
		return 0, true
	case says(remark, sameWords):
		return SameFootprint, false
	case apart(fail.X, retest.X) || apart(fail.Y, retest.Y):
		return 0, true
	case fold(fail.Location.Val) == "" || fold(retest.Location.Val) == "":
		return LocationUnknown, false
	case fold(fail.Location.Val) == fold(retest.Location.Val):
		return SameFootprint, false
	}
	return 0, true
}

func apart(a, b record.Given[float64]) bool { return a.Known() && b.Known() && a.Val != b.Val }

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
