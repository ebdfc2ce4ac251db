package stock_test

import (
	"fmt"
	"math/big"
	"slices"
	"strings"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/record"
	"saltline/internal/stock"
	"saltline/internal/table"
	"saltline/internal/unit"
	"saltline/testdata/jobs"
)

// account makes up the account of CSV tables, each by its name.
func account(t *testing.T, tables map[string]string) stock.Account {
	t.Helper()
	var files []*table.File
	for name, text := range tables {
		f, err := table.Read(name+".csv", []byte(text), table.Options{})
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, f)
	}
	job, list := record.Bind(files, record.Options{})
	for _, m := range list.Sorted() {
		t.Logf("reading: %v", m)
	}
	return stock.Of(assess.Run(job, nil))
}

const terms = "key,value\nlimit,50 mg/m2\nlimit basis,total salts\nlimit comparison,at most\nlimit rounding,unrounded\nprocedure,direct\nvolume,3 ml\npatch area,1250 mm2\nconstant,5\ndate order,ymd\n"

// readings are tests of one patch each; a name may be followed by its use, and
// by "void" or "glass".
func readings(days map[string][]string) string {
	var b strings.Builder
	b.WriteString("test,area,date,blank (µS/cm),extract (µS/cm),volume (ml),patch area (mm²),patch,patch use,recorded verdict,kind\n")
	n := 0
	for _, day := range slices.Sorted(func(yield func(string) bool) {
		for d := range days {
			if !yield(d) {
				return
			}
		}
	}) {
		for _, p := range days[day] {
			n++
			name, use, kind, verdict := "", "", "", "pass"
			for i, f := range strings.Fields(p) {
				switch {
				case f == "void":
					verdict = "void"
				case f == "glass":
					kind, verdict = "procedural blank", ""
				case i == 0 && f != "-":
					name = f
				case i > 0:
					use = f
				}
			}
			fmt.Fprintf(&b, "%d,A,%s,1.0,11.0,3,1250,%s,%s,%s,%s\n", n, day, name, use, verdict, kind)
		}
	}
	return b.String()
}

func money(t *testing.T, r unit.Ratio) string {
	t.Helper()
	if !r.Known() {
		return "none"
	}
	return r.Rat().RatString()
}

const heads = "batch,kind,unit price,maximum uses,opening stock,closing stock,water cost,check solution cost,syringes cost\n"

// TestCost works out costs by hand: 10 tests on the tape T (one of them void),
// a blank on glass, two patches spoilt, and 5 uses of a ring of 120.00 for 300
// uses. 13 × 2.50 + 5 × 0.40 + 4.20 + 6.30 + 5.00 = 50.00; 15 tests, 14 of them
// established.
func TestCost(t *testing.T) {
	days := map[string][]string{
		"2026-05-04": {"T-1", "T-2", "T-3", "T-4 void", "T-5", "T-6 glass"},
		"2026-05-05": {"T-7", "T-8", "R 41", "R 42", "R 43"},
		"2026-05-07": {"T-9", "T-10", "T-11", "R 44", "R 45"},
	}
	tape, ring := "T,single-use adhesive,2.50,1,40,27,4.20,6.30,5.00\n", "R,reusable magnetic ring,120.00,300,,,,,\n"
	for name, c := range map[string]struct {
		job, patches              string
		days                      map[string][]string
		total, perTest, perResult string
		missing, mixed, currency  string
	}{
		"all recorded":  {"currency,EUR", heads + tape + ring, days, "50", "10/3", "25/7", "", "", "EUR"},
		"no price":      {"currency,EUR", heads + tape + strings.Replace(ring, "120.00", "", 1), days, "none", "none", "none", "no-price R", "", "EUR"},
		"no maximum":    {"", heads + tape + strings.Replace(ring, "300", "", 1), days, "none", "none", "none", "no-maximum R", "", ""},
		"no water cost": {"", heads + strings.Replace(tape, "4.20", "", 1) + ring, days, "none", "none", "none", "no-water ", "", ""},
		"no cost columns": {"", "batch,kind,unit price,maximum uses,opening stock,closing stock\n" + "T,single-use adhesive,2.50,1,40,27\nR,reusable magnetic ring,120.00,300,,\n", days,
			"none", "none", "none", "no-water , no-check-solution , no-syringes ", "", ""},
		"an amount of two readings": {"", heads + strings.Replace(tape, "4.20", `"1,234"`, 1) + ring, days, "none", "none", "none", "unreadable-amount water cost", "", ""},
		"two currencies":            {"currency,NOK", heads + strings.Replace(tape, "2.50", "2.50 EUR", 1) + ring, days, "none", "none", "none", "", "NOK, EUR", "NOK"},
		"the sign and the code":     {"currency,EUR", heads + strings.Replace(tape, "2.50", "€ 2.50", 1) + ring, days, "50", "10/3", "25/7", "", "", "EUR"},
		"a sign of many codes":      {"currency,SEK", heads + strings.Replace(tape, "2.50", "2.50 kr", 1) + ring, days, "50", "10/3", "25/7", "", "", "SEK"},
		"another sign":              {"currency,EUR", heads + strings.Replace(tape, "2.50", "2.50 kr", 1) + ring, days, "none", "none", "none", "", "EUR, kr", "EUR"},
		"not in the table":          {"", heads + tape, days, "none", "none", "none", "not-listed R", "", ""},
		"not named":                 {"", heads + tape + ring, map[string][]string{"2026-05-04": {"-", "T-1"}}, "none", "none", "none", "unnamed-patches ", "", ""},
		// A ring that lies in the box costs nothing.
		"not used": {"", heads + "T,single-use adhesive,2.50,1,,,1,1,1\n" + strings.Replace(ring, "120.00", "", 1), map[string][]string{"2026-05-04": {"T-1"}}, "11/2", "11/2", "11/2", "", "", ""},
		// Without a count of the stock what is on record is paid for.
		"not counted": {"", heads + "T,single-use adhesive,0.1,1,,,0.1,0.1,0\n", map[string][]string{"2026-05-04": {"T-1", "T-2 glass", "T-3 void"}}, "1/2", "1/4", "1/2", "", "", ""},
	} {
		a := account(t, map[string]string{"job": terms + c.job + "\n", "patches": c.patches, "readings": readings(c.days)})
		var missing []string
		for _, g := range a.Cost.Missing {
			missing = append(missing, g.Kind.String()+" "+g.Name)
		}
		got := []string{money(t, a.Cost.Total), money(t, a.Cost.PerTest), money(t, a.Cost.PerResult), strings.Join(missing, ", "), strings.Join(a.Cost.Mixed, ", "), a.Cost.Currency}
		if want := []string{c.total, c.perTest, c.perResult, c.missing, c.mixed, c.currency}; !slices.Equal(got, want) {
			t.Errorf("%s: %q, want %q (%+v)", name, got, want, a.Cost.Parts)
		}
	}
}

// TestCounts counts what TestCost pays for, and looks at the ring: uses 41 to
// 45 of 300 on two of the days 5, 6 and 7 May that were worked, 5 uses on 2
// working days of 3 calendar days. 255 are left: 102 working days, 153 calendar
// days after 7 May.
func TestCounts(t *testing.T) {
	a := account(t, map[string]string{"job": terms, "patches": heads + "T,single-use adhesive,2.50,1,40,27,,,\nR,reusable magnetic ring,120.00,300,,,,,\nS,sleeve,,,,,,,\n",
		"readings": readings(map[string][]string{
			"2026-05-04": {"T-1", "T-2", "T-3", "T-4 void", "T-5", "T-6 glass"},
			"2026-05-05": {"T-7", "T-8", "R 41", "R 42", "R 43", "Q/11", "Q/12", "-"},
			"2026-05-07": {"T-9", "T-10", "T-11", "R 44", "R 45"},
		})})
	if a.Tests != 18 || a.Voids != 1 || a.Glass != 1 || a.Established != 17 || a.Unnamed != 1 || len(a.Batches) != 4 || len(a.Days) != 3 {
		t.Fatalf("account: %+v", a)
	}
	tape, strange := &a.Batches[0], &a.Batches[3]
	if drawn, known := tape.Drawn(); drawn != 13 || !known || tape.Tests != 10 || tape.Voids != 1 || tape.Glass != 1 {
		t.Errorf("tape: %+v, drawn %d", tape, drawn)
	}
	if off, known := tape.Difference(); off != 2 || !known {
		t.Errorf("to account for: %d, %v", off, known)
	}
	if n := tape.ByDay[unit.Date{Year: 2026, Month: 5, Day: 5}]; n != 2 {
		t.Errorf("%d uses on 5 May", n)
	}
	if strange.Row != nil || strange.Name != "Q" || strange.Tests != 2 {
		t.Errorf("not in the table: %+v", strange)
	}
	if _, known := a.Batches[1].Difference(); known {
		t.Error("a ring goes back to the stock")
	}
	if len(a.Lives) != 1 {
		t.Fatalf("lives: %+v", a.Lives)
	}
	l := &a.Lives[0]
	if left, known := l.Left(); left != 255 || !known || l.Recorded != 5 || l.Counted != 45 || l.PerDay() != 2.5 || l.Until.ISO() != "2026-10-07" {
		t.Errorf("ring: %+v, left %d", l, left)
	}
}

// TestLife looks at uses that cannot be estimated, and at one past its uses.
func TestLife(t *testing.T) {
	for name, c := range map[string]struct {
		maximum string
		days    map[string][]string
		left    int
		known   bool
		until   string
	}{
		"one day":       {"10", map[string][]string{"2026-05-04": {"R 1", "R 2"}}, 8, true, "--00-00"},
		"no maximum":    {"", map[string][]string{"2026-05-04": {"R 1"}, "2026-05-05": {"R 2"}}, -2, false, "--00-00"},
		"past its uses": {"3", map[string][]string{"2026-05-04": {"R 3"}, "2026-05-05": {"R 4"}}, -1, true, "--00-00"},
		"none left":     {"4", map[string][]string{"2026-05-04": {"R 3"}, "2026-05-05": {"R 4"}}, 0, true, "2026-05-05"},
		"no numbers":    {"6", map[string][]string{"2026-05-04": {"R"}, "2026-05-05": {"R"}}, 4, true, "2026-05-09"},
	} {
		a := account(t, map[string]string{"job": terms, "patches": heads + "R,reusable magnetic ring,9," + c.maximum + ",,,,,\n", "readings": readings(c.days)})
		l := &a.Lives[0]
		if left, known := l.Left(); left != c.left || known != c.known || l.Until.ISO() != c.until {
			t.Errorf("%s: %d left (%v) until %s, want %d (%v) until %s", name, left, known, l.Until.ISO(), c.left, c.known, c.until)
		}
	}
}

// TestSample holds the sample: 48 tests and 3 blanks on A31 of which 50 left the
// stock, 6 uses of R-2 and 5 of R-3; 50 × 3.10 + 11 × 184/250 + 9.80 + 14.50 +
// 6.00 = 193.396, of 59 tests, 44 of them established, counted in its CSV files.
func TestSample(t *testing.T) {
	a := stock.Of(assess.Run(jobs.Read(t, "../../samples/quillmere-lock"), check.All()))
	var counts [][3]int
	for i := range a.Batches {
		b := &a.Batches[i]
		off, _ := b.Difference()
		counts = append(counts, [3]int{b.Tests, b.Glass, off})
	}
	if want := [][3]int{{48, 3, -1}, {6, 0, 0}, {5, 0, 0}}; !slices.Equal(counts, want) {
		t.Errorf("tests, blanks and what is to account for: %v, want %v", counts, want)
	}
	total := big.NewRat(193396, 1000)
	for what, c := range map[string]struct {
		got  unit.Ratio
		want *big.Rat
	}{
		"total": {a.Cost.Total, total}, "per test": {a.Cost.PerTest, new(big.Rat).Quo(total, big.NewRat(59, 1))},
		"per result": {a.Cost.PerResult, new(big.Rat).Quo(total, big.NewRat(44, 1))},
	} {
		if !c.got.Known() || c.got.Rat().Cmp(c.want) != 0 {
			t.Errorf("%s: %s, want %s", what, money(t, c.got), c.want.RatString())
		}
	}
}
