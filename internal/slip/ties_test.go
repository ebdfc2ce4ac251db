package slip

import (
	"math/big"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"saltline/internal/unit"
	"saltline/testdata/published"
)

// TestTies draws rows whose density lies exactly between two values that can
// be written. The upper one is right, half up; the lower one is right where its
// last digit is even, and else its digits can only have been cut off. A reading
// a little higher is no tie any more: then the lower one never is right.
func TestTies(t *testing.T) {
	s := drawSeed(t)
	even, odd := 0, 0
	for _, volume := range []string{"3", "10", "15"} {
		g := &generator{t, rand.New(rand.NewPCG(s, 0)), 3, volume}
		for range 200 {
			r, upper, lower := g.tie()
			r.Recorded = dec(t, upper)
			if found := Explain([]Row{r}, 0); found != nil {
				t.Fatalf("half up, %v: %v", spell(r), says(found))
			}
			r.Recorded = dec(t, lower)
			if found := Explain([]Row{r}, 0); (lower[len(lower)-1]-'0')%2 == 0 {
				even++
				if found != nil {
					t.Fatalf("half to even, %v: %v", spell(r), says(found))
				}
			} else if odd++; !cut(found) && r.Recorded.Coef != 0 {
				t.Fatalf("cut off, %v: %v", spell(r), says(found))
			}
			little := new(big.Rat).Add(r.Extract.Rat(), big.NewRat(1, 1e7))
			r.Extract = dec(t, little.FloatString(7))
			if found := Explain([]Row{r}, 0); !cut(found) && r.Recorded.Coef != 0 {
				t.Fatalf("above a tie, %v: %v", spell(r), says(found))
			}
		}
	}
	t.Logf("%d ties with an even lower digit, %d with an odd one", even, odd)
	if even < 100 || odd < 100 {
		t.Error("too few ties of one kind")
	}
}

func cut(found []Explanation) bool {
	return slices.ContainsFunc(found, func(e Explanation) bool { return e.Name == "truncated" })
}

// tie draws a row whose density is a tie, with the values on both sides of it:
// an odd number of half steps, divided by the factor, is the difference.
func (g *generator) tie() (r Row, upper, lower string) {
	for {
		decimals := g.random.IntN(3)
		half := big.NewRat(1, []int64{2, 20, 200}[decimals])
		v := new(big.Rat).Mul(half, big.NewRat(2*g.random.Int64N(20_000)+1, 1))
		blank := new(big.Rat).SetFrac64(600+g.random.Int64N(4_400), 1000)
		k := g.combine(&Row{Blank: &unit.Decimal{}, Extract: dec(g.t, "1")}, 1)
		extract := new(big.Rat).Quo(v, k)
		extract.Add(extract, blank)
		digits, exact := extract.FloatPrec()
		if !exact || extract.Cmp(big.NewRat(2000, 1)) > 0 {
			continue
		}
		r = Row{
			Blank: dec(g.t, blank.FloatString(3)), Extract: dec(g.t, extract.FloatString(digits)), Volume: dec(g.t, g.volume),
			PatchArea: dec(g.t, "1250"), Constant: dec(g.t, "5"),
		}
		return r, new(big.Rat).Add(v, half).FloatString(decimals), new(big.Rat).Sub(v, half).FloatString(decimals)
	}
}

// TestPublished takes the published rows that carry readings and a density as
// rows of a sheet: each value follows from its readings.
func TestPublished(t *testing.T) {
	rows, err := published.Rows("salt.csv")
	if err != nil {
		t.Fatal(err)
	}
	ran := 0
	for _, p := range rows {
		if !strings.HasPrefix(p.Quantity, "surface density of a rise") && p.Quantity != "surface density from two readings" {
			continue
		}
		blank, extract := "0", p.Inputs["dgamma_uS_cm"]
		if p.Inputs["gamma2_uS_cm"] != "" {
			blank, extract = p.Inputs["gamma1_uS_cm"], p.Inputs["gamma2_uS_cm"]
		}
		value, ok := unit.FromFloat(p.Expected)
		if !ok {
			t.Fatalf("%s: %v", p.ID, p.Expected)
		}
		r := Row{
			Blank: dec(t, blank), Extract: dec(t, extract), Volume: dec(t, p.Inputs["V_ml"]),
			PatchArea: dec(t, p.Inputs["A_mm2"]), Constant: dec(t, "5"), Recorded: &value,
		}
		density, ok := r.Density()
		if !ok || !Rounds(density, value) {
			t.Errorf("%s: %v is no rounding of %v", p.ID, p.Expected, density)
		}
		if found := Explain([]Row{r}, 0); found != nil {
			t.Errorf("%s: %v", p.ID, says(found))
		}
		ran++
	}
	t.Logf("%d published rows", ran)
	if ran < 15 {
		t.Errorf("only %d rows ran", ran)
	}
}
