package check

import (
	"slices"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// ringWithoutHold: a ring that is held by a magnet stands on a base that a
// magnet does not hold, so that nothing pressed its seal on. Stainless steel
// counts as austenitic unless the record says that it is another.
var ringWithoutHold = &assess.Check{
	Name:     "ring-without-hold",
	Group:    assess.PatchAndSubstrate,
	Severity: assess.VoidsTest,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		loose := onSteel(v, func(l *assess.Line) bool {
			return kindOf(v, l.Test) == record.MagneticRing && !holdsMagnet(substrateOf(v, l.Test).Val)
		})
		type baseDay struct {
			base string
			day  unit.Date
		}
		for _, tests := range groups(loose, func(i int) baseDay {
			t := v.Lines[i].Test
			return baseDay{folded(substrateOf(v, t).Val), t.Date.Val}
		}) {
			base := substrateOf(v, v.Lines[tests[0]].Test)
			report(v, assess.Finding{
				Tests: tests, Places: append(places(v, tests, patchAt), base.Pos),
				Args: map[string]any{"Base": base.Text},
			})
		}
	},
}

func patchAt(t *record.Test) diag.Pos {
	if t.Patch.Known() {
		return t.Patch.Pos
	}
	return t.PatchKind.Pos
}

// substrateOf is the base of a test, by its own row, else by its area.
func substrateOf(v *assess.Review, t *record.Test) record.Words {
	if a := areaOf(v, t); a != nil && !t.Substrate.Known() {
		return a.Substrate
	}
	return t.Substrate
}

func areaOf(v *assess.Review, t *record.Test) *record.Area {
	k := slices.IndexFunc(v.Job.Areas, func(a record.Area) bool { return folded(a.Name.Val) == folded(t.Area.Val) })
	if k < 0 {
		return nil
	}
	return &v.Job.Areas[k]
}

// holdsMagnet reports whether a magnet holds on a base, as far as its
// description tells: what is not said to be something else is taken for
// carbon steel.
func holdsMagnet(base string) bool {
	base = folded(base)
	has := func(stems ...string) bool {
		return slices.ContainsFunc(stems, func(s string) bool { return strings.Contains(base, s) })
	}
	words := wordsOf(base)
	word := func(list ...string) bool {
		return slices.ContainsFunc(list, func(w string) bool { return slices.Contains(words, w) })
	}
	switch {
	case has("duplex", "ferrit", "martensit"), word("409", "410", "420", "430"):
		return true
	case has("austenit", "stainless", "nichtrostend", "rostfrei", "edelstahl", "inoxid", "inox", "rustfri", "syrefast"),
		word("304", "304l", "316", "316l", "321", "a2", "a4"), has("1.4301", "1.4307", "1.4401", "1.4404", "1.4571"):
		return false
	case has("steel", "stahl", "acero", "acier", "stål", "iron", "eisen", "hierro", "fonte", "jern"):
		return true
	}
	return !(has("alumin", "copper", "kupfer", "cobre", "cuivre", "kobber", "brass", "messing", "latón", "laiton", "bronze", "bronce",
		"titan", "fibre", "fiber", "plastic", "kunststoff", "concrete", "beton", "hormigón", "béton", "timber", "wood") || word("grp", "gfk", "prfv"))
}

// ringOnSmallPipe: the pipe is narrower than the smallest on which a ring
// still lies all round. Tests inside a pipe are compared by the inside
// diameter; where the record does not say on which side a test stood, only a
// pipe that is too small by both is reported.
var ringOnSmallPipe = &assess.Check{
	Name:     "ring-on-small-pipe",
	Group:    assess.PatchAndSubstrate,
	Severity: assess.VoidsTest,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		type fit struct {
			batch    *record.Patch
			diameter unit.Length
			inside   bool
			day      unit.Date
		}
		fitOf := func(l *assess.Line) (f fit, smallest unit.Length, small bool) {
			f.batch, f.day = supplyOf(v, l.Test), l.Test.Date.Val
			if f.batch == nil {
				return f, 0, false
			}
			f.diameter, smallest, f.inside, small = tooSmall(v, l.Test, f.batch)
			return f, smallest, small
		}
		narrow := onSteel(v, func(l *assess.Line) bool {
			_, _, small := fitOf(l)
			return small
		})
		for _, tests := range groups(narrow, func(i int) fit { f, _, _ := fitOf(&v.Lines[i]); return f }) {
			f, smallest, _ := fitOf(&v.Lines[tests[0]])
			report(v, assess.Finding{
				Tests: tests, Places: places(v, tests, patchAt),
				Args: map[string]any{"Patch": f.batch.Batch.Text, "Diameter": f.diameter, "Smallest": smallest, "Inside": f.inside},
			})
		}
	},
}

var insideWords = lexiconOf("inside", "internal", "internally", "bore", "innen", "innenseite", "interior", "intérieur", "intérieure", "innvendig")
var outsideWords = lexiconOf("outside", "external", "externally", "außen", "aussen", "außenseite", "exterior", "extérieur", "extérieure", "utvendig")

// tooSmall compares the pipe of a test with the smallest for its patch.
func tooSmall(v *assess.Review, t *record.Test, p *record.Patch) (diameter, smallest unit.Length, inside, small bool) {
	outer, inner, text := t.OutsideDiameter, t.InsideDiameter, t.Location.Val
	if a := areaOf(v, t); a != nil {
		if !outer.Known() {
			outer = a.OutsideDiameter
		}
		if !inner.Known() {
			inner = a.InsideDiameter
		}
		text += ". " + a.Description.Val
	}
	below := func(d, least record.Given[unit.Length]) bool { return d.Known() && least.Known() && d.Val < least.Val }
	smallOut, smallIn := below(outer, p.SmallestOutsideDiameter), below(inner, p.SmallestInsideDiameter)
	within, without := insideWords.in(text), outsideWords.in(text)
	switch {
	case within && !without, !within && !without && !outer.Known():
		return inner.Val, p.SmallestInsideDiameter.Val, true, smallIn
	case without && !within, !within && !without && !inner.Known():
		return outer.Val, p.SmallestOutsideDiameter.Val, false, smallOut
	}
	return outer.Val, p.SmallestOutsideDiameter.Val, false, smallOut && smallIn
}

// sealNotRemarked: the spot is one where a patch seldom seals at once (a
// weld, an edge, a pit, rests of tape), and the remark does not speak of the
// seal. Whole words count: a ledge is no edge.
var sealNotRemarked = &assess.Check{
	Name:     "seal-not-remarked",
	Group:    assess.PatchAndSubstrate,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		silent := onSteel(v, func(l *assess.Line) bool {
			t := l.Test
			hard := unevenWords.in(t.Location.Val) || unevenWords.in(t.SpotType.Val)
			return hard && l.AsWritten() != assess.Void && !sealWords.in(t.Remark.Val) && !lossWords.in(t.Remark.Val)
		})
		for _, tests := range byDay(v, silent) {
			t := v.Lines[tests[0]].Test
			spot := t.Location.Text
			if !unevenWords.in(t.Location.Val) {
				spot = t.SpotType.Text
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

// stems are beginnings of words, or phrases.
type stems []string

func (s stems) in(text string) bool {
	spaced := " " + strings.Join(wordsOf(text), " ")
	return slices.ContainsFunc(s, func(stem string) bool { return strings.Contains(spaced, " "+stem) })
}
