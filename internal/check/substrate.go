package check

import (
	"bytes"
	"slices"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// ringWithoutHold: a ring that is held by a magnet stands on a base that a
// magnet does not hold, so that nothing pressed its seal on. Stainless steel of
// which the record does not say which one it is may be ferritic, and then holds
// a magnet: no pass rests on it until that is settled.
var ringWithoutHold = &assess.Check{
	Name:     "ring-without-hold",
	Group:    assess.PatchAndSubstrate,
	Severity: assess.VoidsTest,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		loose := among(v, ofStatedKind(v), func(l *assess.Line) bool {
			return kindOf(v, l.Index) == record.MagneticRing && holdOf(substrateOf(v, l.Index).Val) != holds
		})
		type baseDay struct {
			base string
			day  unit.Date
		}
		for _, tests := range groups(loose, func(i int) baseDay {
			return baseDay{record.Folded(substrateOf(v, i).Val), v.Lines[i].Test.Date().Val}
		}) {
			base := substrateOf(v, tests[0])
			f := assess.Finding{
				Tests: tests, Places: append(places(v, tests, patchAt), base.Pos),
				Args: map[string]any{"Base": base.Text, "Open": false},
			}
			if holdOf(base.Val) == mayHold {
				f.Severity, f.Args["Open"] = assess.UnprovenPass, true
			}
			report(v, f)
		}
	},
}

func patchAt(t *record.Test) diag.Pos {
	if t.Patch().Known() {
		return t.Patch().Pos
	}
	return t.PatchKind().Pos
}

// substrateOf is the base of a test, by its own row, else by its area.
func substrateOf(v *assess.Review, i int) record.Words {
	t := v.Lines[i].Test
	if t.Substrate().Known() {
		return t.Substrate()
	}
	if a := areaOf(v, i); a != nil {
		return a.Substrate
	}
	return t.Substrate()
}

// areaOf is the row of the areas table for a test; nil where there is none.
func areaOf(v *assess.Review, i int) *record.Area {
	if len(v.Job.Areas) == 0 {
		return nil
	}
	return areaRows(v)[areasNamed(v).at(i)]
}

// areaRows are the first rows of the areas table for each area that a test
// names, by its number.
var areaRows = assess.Shared(func(v *assess.Review) map[int32]*record.Area {
	rows := map[int32]*record.Area{}
	for i := range v.Job.Areas {
		a := &v.Job.Areas[i]
		if n := areasNamed(v).find(a.Name.Val); rows[n] == nil {
			rows[n] = a
		}
	}
	return rows
})

// A hold says whether a base holds a magnet.
type hold int

const (
	holds hold = iota
	mayHold
	holdsNot
)

// holdOf tells from the description of a base whether it holds a magnet: what
// is not said to be something else is taken for carbon steel.
func holdOf(base string) hold {
	base = record.Folded(base)
	has := func(stems ...string) bool {
		return slices.ContainsFunc(stems, func(s string) bool { return strings.Contains(base, s) })
	}
	words := wordsOf(base)
	word := func(list ...string) bool {
		return slices.ContainsFunc(list, func(w string) bool { return slices.Contains(words, w) })
	}
	carbon := has("carbon steel", "mild steel", "structural steel", "kohlenstoffstahl", "baustahl", "acero al carbono", "acier au carbone", "acier doux", "karbonstål", "s235", "s275", "s355")
	austenitic := has("austenit", "syrefast", "1.4301", "1.4307", "1.4401", "1.4404", "1.4435", "1.4541", "1.4571") ||
		word("304", "304l", "316", "316l", "316ti", "321", "a2", "a4", "v2a", "v4a")
	stainless := has("stainless", "nichtrostend", "rostfrei", "edelstahl", "inoxid", "inox", "rustfri")
	switch {
	case has("duplex", "ferrit", "martensit"), word("409", "410", "420", "430"):
		return holds
	case carbon && (austenitic || stainless): // one clad with the other, or an area called A2
		return mayHold
	case austenitic:
		return holdsNot
	case stainless:
		return mayHold
	case has("steel", "stahl", "acero", "acier", "stål", "iron", "eisen", "hierro", "fonte", "jern"):
		return holds
	case has("alumin", "copper", "kupfer", "cobre", "cuivre", "kobber", "brass", "messing", "latón", "laiton", "bronze", "bronce",
		"titan", "fibre", "fiber", "plastic", "kunststoff", "concrete", "beton", "hormigón", "béton", "timber", "wood"), word("grp", "gfk", "prfv"):
		return holdsNot
	}
	return holds
}

// The smallest pipes on which a magnetic ring lies all round where the record
// gives none for it: 4 in outside, 4½ in inside (common practice, house
// settings).
const (
	usualOutside = 101.6 // mm
	usualInside  = 114.3 // mm
)

// ringOnSmallPipe: the pipe is narrower than the smallest on which a ring
// still lies all round. Tests inside a pipe are compared by the inside
// diameter; where the record does not say on which side a test stood, only a
// pipe that is too small by both is reported. By the record's own smallest
// diameter the extraction is void; by that of the house a pass is not
// established.
var ringOnSmallPipe = &assess.Check{
	Name:     "ring-on-small-pipe",
	Group:    assess.PatchAndSubstrate,
	Severity: assess.VoidsTest,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		type kind struct {
			fit
			patch string
			day   unit.Date
		}
		kindOfFit := func(i int) kind {
			t := v.Lines[i].Test
			f, _ := fitOf(v, i)
			k := kind{f, t.Patch().Text, t.Date().Val}
			if p := supplyOf(v, i); p != nil {
				k.patch = p.Batch.Text
			}
			return k
		}
		pipes := steel(v)
		if !slices.ContainsFunc(v.Job.Areas, func(a record.Area) bool { return a.OutsideDiameter.Known() || a.InsideDiameter.Known() }) {
			pipes = where(pipes,
				ask(v, record.Columns.OutsideDiameter, record.Given[unit.Length].Known),
				ask(v, record.Columns.InsideDiameter, record.Given[unit.Length].Known))
		}
		narrow := among(v, pipes, func(l *assess.Line) bool {
			_, small := fitOf(v, l.Index)
			return small
		})
		for _, tests := range groups(narrow, kindOfFit) {
			k := kindOfFit(tests[0])
			f := assess.Finding{
				Tests: tests, Places: places(v, tests, patchAt),
				Args: map[string]any{"Patch": k.patch, "Diameter": k.diameter, "Smallest": k.smallest, "Inside": k.inside, "House": k.house},
			}
			if k.house {
				f.Severity = assess.UnprovenPass
			}
			report(v, f)
		}
	},
}

var insideWords = lexiconOf("inside", "internal", "internally", "bore", "innen", "innenseite", "interior", "intérieur", "intérieure", "innvendig")
var outsideWords = lexiconOf("outside", "external", "externally", "außen", "aussen", "außenseite", "exterior", "extérieur", "extérieure", "utvendig")

// A fit is a pipe beside the smallest for the patch on it.
type fit struct {
	diameter, smallest unit.Length
	inside             bool
	house              bool // smallest is the house's
}

// fitOf compares the pipe of a test with the smallest for its patch, and
// reports whether it is too small.
func fitOf(v *assess.Review, i int) (fit, bool) {
	t, a := v.Lines[i].Test, areaOf(v, i)
	outer, inner := t.OutsideDiameter(), t.InsideDiameter()
	if a != nil && !outer.Known() {
		outer = a.OutsideDiameter
	}
	if a != nil && !inner.Known() {
		inner = a.InsideDiameter
	}
	if !outer.Known() && !inner.Known() {
		return fit{}, false
	}
	text := t.Location().Val
	if a != nil {
		text += ". " + a.Description.Val
	}
	var patch record.Patch
	if p := supplyOf(v, i); p != nil {
		patch = *p
	}
	ring := kindOf(v, i) == record.MagneticRing
	out, smallOut := fitTo(outer, patch.SmallestOutsideDiameter, usualOutside, ring)
	in, smallIn := fitTo(inner, patch.SmallestInsideDiameter, usualInside, ring)
	in.inside = true
	within, without := insideWords.in(text), outsideWords.in(text)
	switch {
	case within && !without, !within && !without && !outer.Known():
		return in, smallIn
	case without && !within, !within && !without && !inner.Known():
		return out, smallOut
	}
	out.house = out.house || in.house
	return out, smallOut && smallIn
}

// fitTo compares a diameter with the smallest of the record or, for a ring
// without one, of the house.
func fitTo(diameter, least record.Given[unit.Length], usual unit.Length, ring bool) (f fit, small bool) {
	f = fit{diameter: diameter.Val, smallest: least.Val}
	if !least.Known() {
		f.smallest, f.house = usual, true
	}
	return f, diameter.Known() && diameter.Val < f.smallest && (ring || !f.house)
}

// sealNotRemarked: the spot is one where a patch seldom seals at once (a
// weld, an edge, a pit, rests of tape), and the remark does not speak of the
// seal. Whole words count: a ledge is no edge. That all was well says it of
// the seal too.
var sealNotRemarked = &assess.Check{
	Name:     "seal-not-remarked",
	Group:    assess.PatchAndSubstrate,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		uneven := func(w record.Words) bool { return unevenWords.in(w.Val) }
		hard := where(steel(v), ask(v, record.Columns.Location, uneven), ask(v, record.Columns.SpotType, uneven))
		silent := among(v, hard, func(l *assess.Line) bool {
			t := l.Test
			return l.AsWritten() != assess.Void && !sealWords.in(t.Remark().Val) && !speaksOfWater(t.Remark().Val) && !allWell(t.Remark().Val)
		})
		for _, tests := range byDay(v, silent) {
			t := v.Lines[tests[0]].Test
			spot := t.Location().Text
			if !unevenWords.in(t.Location().Val) {
				spot = t.SpotType().Text
			}
			report(v, assess.Finding{
				Tests: tests, Places: places(v, tests, locationAt),
				Args: map[string]any{"Test": Number(v.Lines, tests[0]), "Spot": spot},
			})
		}
	},
}

var unevenWords = lexiconOf("weld", "welds", "welded", "edge", "edges", "pit", "pits", "tape",
	"schweißnaht", "schweissnaht", "schweißnähte", "kante", "blechkante", "narbe", "narben", "klebeband",
	"soldadura", "borde", "canto", "picadura", "cinta", "soudure", "arête", "piqûre", "sveis", "sveisesøm", "kant", "grop")

// A remark on the seal is one whichever way it goes, so it is not asked
// whether it is denied.
var sealWords = stems{"seal", "tight", "held", "no leak", "no water lost", "dicht", "gehalten", "estanc", "sell", "hermét", "étanch", "etanch", "joint", "tett", "holdt"}

// allWell reports whether a clause of a remark says that all was well and
// nothing else.
func allWell(remark string) bool {
	return anyClause(remark, func(c string) bool {
		var few [16]string
		words := appendWords(few[:0], c)
		return len(words) > 0 && !slices.ContainsFunc(words, func(w string) bool { return !wellWords[w] })
	})
}

var wellWords = setOf("ok", "okay", "all", "good", "fine", "well", "in", "order", "io", "i", "o", "ordnung", "alles", "gut", "bien", "todo", "tout", "bon", "bra", "alt", "orden", "greit")

// stems are beginnings of words, or phrases.
type stems []string

func (s stems) in(text string) bool {
	var few [16]string
	var room [128]byte
	spaced := room[:0]
	for _, w := range appendWords(few[:0], text) {
		spaced = append(append(spaced, ' '), w...)
	}
	return len(spaced) > 0 && slices.ContainsFunc(s, func(stem string) bool { return bytes.Contains(spaced, []byte(" "+stem)) })
}
