package record

import (
	"math/rand/v2"
	"reflect"
	"testing"
	"time"

	"saltline/internal/table"
	"saltline/internal/unit"
)

// A column of texts tells the same whether its cells are asked for their texts alone
// or for all that they are.
func TestTextsTellWhatCellsTell(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 0))
	signs := map[unit.Convention]int{}
	for range 3000 {
		for _, holds := range []content{holdsNumbers, holdsHumidity, holdsDates} {
			texts := gathering{told: &told{calendar: calendar{}}, holds: holds}
			cells := gathering{told: &told{calendar: calendar{}}, holds: holds}
			for range 1 + r.IntN(6) {
				text := []string{"12", "1.5", "0.62", "85 %", "1,5", "1.024", "1,024", "1.024.000", "1,024,000", "1.024,5", "1'024,5", "1 024,5", "1,024.5", "<1.5", "1.5e3", "1,5E-2",
					"2025-03-11", "11.3.2025", "03/11/25", "25.3.", "2025-03-11 08:05", "-", "n/a", "Bay 7"}[r.IntN(24)]
				for range 1 + r.IntN(2) { // like the one above
					texts.text(text)
					cells.cell(&table.Cell{Kind: table.Text, Text: text, Raw: text})
				}
			}
			if a, b := *texts.told, *cells.told; !reflect.DeepEqual(a, b) {
				t.Fatalf("texts tell %+v, cells %+v", a, b)
			}
			for _, sign := range []unit.Convention{unit.PointSign, unit.CommaSign} {
				if texts.proven[sign] != cells.proven[sign] {
					t.Fatalf("the sign %v is proven by one alone", sign)
				}
				if cells.proven[sign] {
					signs[sign]++
				}
			}
		}
	}
	if len(signs) != 2 {
		t.Errorf("only the signs %v were proven", signs)
	}
}
