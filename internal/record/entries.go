package record

import (
	"slices"
	"strings"
	"unicode"
)

// OnGlass reports whether an entry of the water table is a procedural blank.
func (w *Water) OnGlass() bool {
	return holdsAny(w.BlankKind.Val, "procedur", "prosedyr", "verfahrensblind", "procedimiento", "procédure", "glas", "vidrio", "cristal", "verre")
}

// AsLeft reports whether the entry is a reading after an adjustment.
func (k *MeterCheck) AsLeft() bool {
	return holdsAny(k.FoundLeft.Val, "left", "after", "nach", "hinterlassen", "dejado", "después", "après", "laissé", "etter")
}

// OfWater reports whether an extract is one of wash water; the others are of
// abrasives.
func (e *Extract) OfWater() bool {
	return hasWord(e.Kind.Val, "wash", "water", "wasch", "wasser", "spül", "agua", "lavado", "eau", "lavage", "vask", "spyl", "vann") &&
		!hasWord(e.Kind.Val, "abras", "grit", "strahlm", "strahlg", "granal", "grenaille", "blåsem", "blåses")
}

// holdsAny reports whether one of parts stands anywhere in a text.
func holdsAny(text string, parts ...string) bool {
	text = strings.ToLower(text)
	return slices.ContainsFunc(parts, func(part string) bool { return strings.Contains(text, part) })
}

// hasWord reports whether a word of a text begins with one of stems. A stem of
// several words begins at a word.
func hasWord(text string, stems ...string) bool {
	notInWord := func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }
	spaced := " " + strings.Join(strings.FieldsFunc(strings.ToLower(text), notInWord), " ")
	return slices.ContainsFunc(stems, func(stem string) bool { return strings.Contains(spaced, " "+stem) })
}
