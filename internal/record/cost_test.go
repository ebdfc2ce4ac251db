package record_test

import (
	"testing"

	"saltline/internal/record"
	"saltline/internal/table"
)

// TestCosts reads the further columns of the patches table, in the words of
// five languages.
func TestCosts(t *testing.T) {
	for _, c := range []struct {
		head, cell string
		of         record.CostFor
		state      record.State
		amount     string
	}{
		{"water cost", "9.80", record.WaterCost, record.Known, "9.80"},
		{"check solution cost", "14.50", record.CheckSolutionCost, record.Known, "14.50"},
		{"syringes cost", "6", record.SyringeCost, record.Known, "6"},
		{"Kosten Wasser", "9,80", record.WaterCost, record.Known, "9.80"},
		{"Kosten Prüflösung", "14,50 €", record.CheckSolutionCost, record.Known, "14.50"},
		{"coste de jeringas", "6", record.SyringeCost, record.Known, "6"},
		{"prix eau", "3", record.WaterCost, record.Known, "3"},
		{"coût solution étalon", "3", record.CheckSolutionCost, record.Known, "3"},
		{"kostnad sprøyter", "kr 40", record.SyringeCost, record.Known, "40"},
		{"courier cost", "22", record.OtherCost, record.Known, "22"},
		{"water cost", "-", record.WaterCost, record.NotDone, "0"},
		{"water cost", "1,234", record.WaterCost, record.Unreadable, "0"},
		{"water cost", "a crate", record.WaterCost, record.Unreadable, "0"},
	} {
		f, err := table.Read("patches.csv", []byte("batch,kind,\""+c.head+"\"\nT,single-use adhesive,\""+c.cell+"\"\n"), table.Options{})
		if err != nil {
			t.Fatal(err)
		}
		job, _ := record.Bind([]*table.File{f}, record.Options{})
		if len(job.Patches) != 1 {
			t.Fatalf("%s: %d patches", c.head, len(job.Patches))
		}
		costs := job.Patches[0].Costs()
		if len(costs) != 1 || costs[0].For != c.of || costs[0].Amount.State != c.state || costs[0].Amount.Dec.String() != c.amount || costs[0].Head != c.head {
			t.Errorf("%s %q: %+v, want %s for %d", c.head, c.cell, costs, c.amount, c.of)
		}
	}
	f, err := table.Read("patches.csv", []byte("batch,kind,colour\nT,single-use adhesive,12\n"), table.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if job, _ := record.Bind([]*table.File{f}, record.Options{}); len(job.Patches[0].Costs()) != 0 {
		t.Errorf("a colour is no cost: %+v", job.Patches[0].Costs())
	}
}

func TestEntries(t *testing.T) {
	words := func(s string) record.Words { return record.Words{Val: s, State: record.Known} }
	for kind, want := range map[string]bool{"procedural on glass": true, "Verfahrensblindwert auf Glas": true, "sobre vidrio": true, "sur verre": true, "water": false, "": false} {
		if w := (&record.Water{BlankKind: words(kind)}); w.OnGlass() != want {
			t.Errorf("%q on glass: %v", kind, !want)
		}
	}
	for kind, want := range map[string]bool{"wash water": true, "Waschwasser": true, "agua de lavado": true, "abrasive": false, "water-borne grit": false, "eau": true, "bureau": false, "": false} {
		if e := (&record.Extract{Kind: words(kind)}); e.OfWater() != want {
			t.Errorf("%q of water: %v", kind, !want)
		}
	}
	for state, want := range map[string]bool{"as found": false, "as left": true, "nach Justierung": true, "": false} {
		if k := (&record.MeterCheck{FoundLeft: words(state)}); k.AsLeft() != want {
			t.Errorf("%q as left: %v", state, !want)
		}
	}
}
