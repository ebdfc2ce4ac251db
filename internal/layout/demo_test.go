package layout_test

import (
	"fmt"
	"testing"

	"saltline/fonts"
	"saltline/internal/doc"
	"saltline/internal/frame"
)

func loadFonts(t testing.TB) *frame.Fonts {
	t.Helper()
	f, err := frame.LoadFonts(fonts.Files)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// A spot is one invented test.
type spot struct {
	no                int
	area, place, time string
	blank, extract    string
	recorded, density string
	u, verdict        string
	mark              frame.Mark
}

func spots(n int) []spot {
	var out []spot
	for i := range n {
		s := spot{
			no: i + 1, area: []string{"Ballast tank 3 port", "Ballast tank 3 starboard"}[2*i/n],
			place: []string{"bulkhead 44, 1.2 m up", "shell, frame 46–47", "underside of stringer 2, behind the bracket", "deckhead"}[i%4],
			time:  fmt.Sprintf("%02d:%02d", 7+i/6, 5+9*(i%6)),
			blank: "2.1", extract: fmt.Sprintf("%.1f", 8.0+float64(7*i%17)), u: "4.4", verdict: "PASS", mark: frame.Disc,
		}
		d := (8.0 + float64(7*i%17) - 2.1) * 3.6
		s.density = fmt.Sprintf("%.1f", d)
		s.recorded = fmt.Sprintf("%.0f", d)
		if d > 50 {
			s.verdict, s.mark = "FAIL", frame.Cross
		}
		if i == 6 {
			s.verdict, s.mark, s.density, s.recorded = "VOID", frame.Box, "", "n/a"
		}
		if i == 9 {
			s.verdict, s.mark, s.density = "NOT ESTABLISHED", frame.Ring, "50.04"
		}
		out = append(out, s)
	}
	return out
}

var spotCols = []doc.Col[spot]{
	doc.Right("Test", "", func(s spot) string { return fmt.Sprint(s.no) }),
	doc.Left("Time", "", func(s spot) string { return s.time }),
	doc.Left("Location", "", func(s spot) string { return s.place }),
	doc.Decimal("Blank", "µS/cm", func(s spot) string { return s.blank }),
	doc.Decimal("Extract", "µS/cm", func(s spot) string { return s.extract }),
	doc.Right("Volume", "ml", func(s spot) string { return "3.0" }),
	doc.Decimal("Written", "mg/m²", func(s spot) string { return s.recorded }),
	doc.Decimal("Recomputed", "mg/m²", func(s spot) string { return s.density }),
	doc.Decimal("U\u00a0(k\u00a0=\u00a02)", "mg/m²", func(s spot) string { return s.u }),
	doc.Rich("Verdict", "", doc.AlignLeft, func(s spot) doc.Text { return doc.Marked(s.mark, doc.Plain(s.verdict)) }),
	doc.Left("Cell", "", func(s spot) string { return fmt.Sprintf("tests!H%d", s.no+4) }),
}

func weigh(s spot, r *doc.Row) {
	r.Emphasis = s.verdict == "FAIL"
	r.Anchor = fmt.Sprintf("test %d", s.no)
	if s.verdict == "VOID" {
		r.Note = doc.Emphasis("Patch lifted at one corner while the second draw was made; not counted.")
	}
}

func demo(n int) *doc.Document {
	p := doc.Plain
	ss := spots(n)
	return &doc.Document{
		Title: "Daily report of soluble-salt tests", Number: "DR-0311", Revision: "rev. 0",
		Job: "Harrowmere floating dock, tank renewal", Scope: "11 Mar 2025", Author: "saltline",
		Lang: "en-GB", Status: "DRAFT, not signed",
		Footer: doc.Footer{Digest: "record 3f9a 11c0 77de 02b4", Tool: "saltline 0.1.0", Produced: "produced 12 Mar 2025", Cautions: "cautions"},
		Words:  doc.English(),
		Blocks: []doc.Block{
			doc.Fields{Columns: 2, Items: []doc.Field{
				doc.Labelled("Client", p("Port of Harrowmere")), doc.Labelled("Contractor", p("Tallis & Brook Coatings")),
				doc.Labelled("Structure", p("Floating dock 2")), doc.Labelled("Areas", p("Ballast tank 3 port, ballast tank 3 starboard")),
				doc.Labelled("Date and shift", p("11 Mar 2025, day")), doc.Labelled("Weather", p("overcast, wind from the west, 8 °C")),
			}},
			doc.Box{Title: "Result", Blocks: []doc.Block{
				doc.Paragraph{Text: doc.Join(p("Ballast tank 3 port  "), doc.Loud("NOT ACCEPTED"))},
				doc.Fields{Columns: 3, Items: []doc.Field{
					doc.Labelled("Required", p("10")), doc.Labelled("Valid", p("9")), doc.Labelled("At first above", p("2")),
					doc.Labelled("Void", p("1")), doc.Labelled("Largest", p("57.2 mg/m² at test 3")), doc.Labelled("Limit", p("≤ 50 mg/m², total salts, clause 7.3")),
				}},
				doc.Paragraph{Text: doc.Join(p("Open tonight: "), p("test 3").To("test 3"), p(" and "), p("test 8").To("test 8"), p(". Next: wash and dry both, then retest beside the old prints, two adjacent tests each."))},
			}},
			doc.Heading{Level: 1, Text: "1  Basis", Anchor: "basis"},
			doc.Paragraph{Text: p("Tested by the patch method of ISO 8502-6 with the conductivity read as in ISO 8502-9; the editions are not stated in the record. The limit is 50 mg/m² by clause 7.3 of the specification, as total salts found by conductivity, compared as “not above”. Each value was recomputed from the readings in its own row, and a value above the limit is a fail whatever its uncertainty.")},
			doc.List{Items: []doc.Item{
				doc.Entry("A1", p("The wetted area of a patch is taken as 1250 mm², since the record does not state it.")),
				doc.Entry("A2", p("The constant c is taken as 5 kg/(m²·S).")),
			}},
			doc.Heading{Level: 1, Text: "2  Tests", Anchor: "tests"},
			func() doc.Table {
				t := doc.TabulateBy(func(s spot) string { return s.area }, spotCols, ss, weigh)
				t.Notes = []doc.Item{doc.Entry("1", p("U from the resolution of both readings, the gain of the meter, the volume and the wetted area."))}
				return t
			}(),
			doc.Heading{Level: 1, Text: "3  Plot", Anchor: "plot"},
			doc.Figure{Draw: func(w float64) *frame.Frame { return sketch(w, 150, ss) }, Caption: p("Salt density by test in walking order; the dashed line is the limit. Each mark is one patch-sized spot."), Alt: "plot"},
			doc.Heading{Level: 1, Text: "4  Findings", Anchor: "findings"},
			doc.Heading{Level: 2, Text: "Changes a verdict"},
			doc.List{Items: []doc.Item{
				doc.Entry("F1", doc.Join(doc.Strong("blank-not-subtracted. "), p("Test 5 was written as 57.6 mg/m², which follows from its row only if the blank is left out. With the blank it is 50.04. Next: correct the sheet (inspector)."))),
				doc.Entry("F2", p("Test 9 was entered as a retest of test 3 at the same spot. No washing is recorded between them, so it does not clear test 3. Next: treat the spot, then retest beside it (contractor, then inspector).")),
			}},
			doc.Heading{Level: 1, Text: "5  Cautions", Anchor: "cautions"},
			doc.Paragraph{Text: p("Work in tanks, at height and near blasting follows the permit and the competent person; nothing here is a safety instruction. The tests describe the spots at the times shown and nothing between them.")},
			doc.Heading{Level: 1, Text: "6  Sign-off"},
			doc.Paragraph{Text: p("Not valid unless signed by the persons named.")},
			doc.Signatures{Items: []doc.Signature{
				signature("Inspector", "I carried out or witnessed these tests.", "M. Orrey"),
				signature("QC manager", "I reviewed the arithmetic and the chain of fails.", ""),
				signature("Owner's representative", "Received. Witnessed tests no. ______. My signature is not acceptance of the coating.", ""),
			}},
		},
	}
}

func signature(role, says, name string) doc.Signature {
	f := func(label, v string) doc.Field { return doc.Labelled(label, doc.Plain(v)) }
	return doc.Signature{Role: role, Statement: says, Sign: "Signature", State: "not signed", Fields: []doc.Field{
		f("Printed name", name), f("Employer", ""), f("Qualification", ""), f("Valid until", ""), f("Date", ""), f("Time", ""),
	}}
}

// sketch is a stand-in for a plot.
func sketch(w, h float64, ss []spot) *frame.Frame {
	f := &frame.Frame{W: w, H: h}
	f.Put(24, 0, frame.VLine(h-14, frame.Pen{Width: 0.5}))
	f.Put(24, h-14, frame.HLine(w-24, frame.Pen{Width: 0.5}))
	f.Put(24, h-14-50*1.8, frame.HLine(w-24, frame.Pen{Width: 0.7, Dash: []float64{4, 2}}))
	f.Put(8, 60, frame.Text{S: "mg/m²", Face: frame.Condensed, Size: 8, Rotate: 90})
	for i, s := range ss {
		var d float64
		fmt.Sscan(s.density, &d)
		f.Put(36+float64(i)*(w-50)/float64(len(ss)), h-14-d*1.8, s.mark.Path(6, frame.Black))
	}
	for m := frame.Disc; m <= frame.Dash; m++ {
		f.Put(60+40*float64(m), 8, m.Path(6, frame.Black))
		f.Put(66+40*float64(m), 10.5, frame.Text{S: m.String(), Face: frame.Condensed, Size: 7})
	}
	return f
}
