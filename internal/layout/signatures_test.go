package layout

import (
	"math"
	"testing"

	"saltline/internal/doc"
	"saltline/internal/frame"
)

func TestRowsOfSignaturesAreLevel(t *testing.T) {
	b := &builder{at: &frame.Element{}, setter: newSetter(t)}
	person := func(role, says, employer, qualification, state string) doc.Signature {
		p := doc.Plain
		return doc.Signature{Role: role, Statement: says, Sign: "Signature", State: state, Fields: []doc.Field{
			doc.Labelled("Name", p("M. Orrey")), doc.Labelled("Employer", p(employer)),
			doc.Labelled("Qualification", p(qualification)), doc.Labelled("Date and time", nil),
		}}
	}
	panels, err := b.signaturePanels([]doc.Signature{
		person("Inspector", "I carried out or witnessed these tests, all of them, on the day named.", "Tallis & Brook Coatings", "coating inspector, grade 2, Estuary Trades Board ETB-2-4471", "signed 15 Apr 2026, 16:25, wet ink"),
		person("QC manager", "I reviewed them.", "Tallis & Brook Coatings with Fennimoor Surface Works", "chartered engineer", "not signed"),
		person("Owner", "Received.", "", "", ""),
	}, 155)
	if err != nil {
		t.Fatal(err)
	}
	labels := []string{"Name", "Employer", "Qualification", "Date and time", "Signature"}
	type mark struct{ text, rule float64 }
	var level []mark // by label, as in the first panel
	for i, p := range panels {
		at := map[string]float64{}
		var rules, baselines []float64
		for _, it := range p.Items[1:] { // behind the rule on top
			switch x := it.Item.(type) {
			case frame.Text:
				at[x.S] = it.Y
				baselines = append(baselines, it.Y)
			case frame.Path:
				rules = append(rules, it.Y)
			}
		}
		if len(rules) != len(labels) {
			t.Fatalf("panel %d: %d rules, want %d", i, len(rules), len(labels))
		}
		for j, l := range labels {
			if i == 0 {
				level = append(level, mark{at[l], rules[j]})
			} else if got := (mark{at[l], rules[j]}); math.Abs(got.text-level[j].text)+math.Abs(got.rule-level[j].rule) > slack {
				t.Errorf("panel %d: %s and its rule at %v, want them at %v", i, l, got, level[j])
			}
		}
		// The rule clears the descenders above it and the tall letters below it.
		m := b.fonts.Metrics(frame.Regular, 8)
		for _, rule := range rules {
			for _, base := range baselines {
				if rule > base-m.Cap-1 && rule < base+m.Descent+0.5 {
					t.Errorf("panel %d: the rule at %g cuts the text on %g", i, rule, base)
				}
			}
		}
		for value, label := range map[string]string{"M. Orrey": "Name", "Tallis & Brook Coatings": "Employer", "coating inspector, grade 2,": "Qualification"} {
			if y, ok := at[value]; ok && math.Abs(y-at[label]) > slack {
				t.Errorf("panel %d: %s stands at %g, its value begins at %g", i, label, at[label], y)
			} else if !ok && i == 0 {
				t.Errorf("no line %q", value)
			}
		}
	}
}
