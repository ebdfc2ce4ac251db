package record

import "regexp"

// madeFor finds what a test was made for in its remark, with the number of
// the other test: "repeat of 3", "Nachprüfung zu L2, neben der alten Stelle".
var madeFor = []struct {
	kind TestKind
	find *regexp.Regexp
}{
	{Retest, regexp.MustCompile(`(?i)\b(?:re-?test(?:ed)?|nachprüfung|nachmessung|re-?ensayo|contraensayo|contre-?essai|ré-?essai|omtest|ny test|etterkontroll)` + otherTest)},
	{Repeat, regexp.MustCompile(`(?i)\b(?:repeat(?:ed)?|repetition|wiederholung|wiederholt|repetición|repetido|répétition|reprise|gjentak(?:else)?|gjentatt)` + otherTest)},
	{Adjacent, regexp.MustCompile(`(?i)\b(?:adjacent|benachbart|adyacente|voisin|tilstøtende)` + otherTest)},
}

// otherTest is the number of a test behind a word that leads to it.
const otherTest = `\s+(?:of|to|for|von|zu|de|du|à|a|av|til)\s+(?:(?:test|no|nr|nº|n°|prüfung|ensayo|essai|prøve)\b\.?\s*)?([\pL\d][\pL\d./-]*)`

// linkRemarks takes what a test was made for from its remark where no column
// says it and the remark names an earlier test of the same area. A retest
// that counts as one more test of untouched steel would make an area look
// better sampled than it is.
func (b *binder) linkRemarks() {
	type test struct{ area, number string }
	earlier, upTo := map[test]string{}, 0 // the tests before upTo
	for i := range b.job.Tests {
		t := &b.job.Tests[i]
		if t.Kind.State == Absent && t.OfTest.State == Absent && t.Remark.Known() {
			for _, m := range madeFor {
				found := m.find.FindStringSubmatch(t.Remark.Val)
				if found == nil {
					continue
				}
				for ; upTo < i; upTo++ { // only as far as a remark asks for it
					if e := &b.job.Tests[upTo]; e.Number.Known() {
						earlier[test{e.Area.Val, spaced(e.Number.Val)}] = e.Number.Val
					}
				}
				number, known := earlier[test{t.Area.Val, spaced(found[1])}]
				if !known || number == t.Number.Val {
					continue
				}
				t.purpose().Kind = Given[TestKind]{Val: m.kind, State: Known, Text: found[0], Pos: t.Remark.Pos}
				t.purpose().OfTest = Words{Val: number, State: Known, Text: found[1], Pos: t.Remark.Pos}
				b.note(Change{Pos: t.Remark.Pos, What: "what the test was made for, taken from the remark", From: found[0], To: number})
				break
			}
		}
	}
}
