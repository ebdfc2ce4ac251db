package slip

import (
	"maps"
	"math/big"
	"slices"
	"strings"
	"testing"

	"saltline/internal/unit"
)

// row spells a row of 1250 mm² and c = 5: blank, extract, volume, recorded.
func row(t testing.TB, text string) Row {
	t.Helper()
	f := strings.Fields(text)
	r := Row{PatchArea: dec(t, "1250"), Constant: dec(t, "5"), Compensated: true}
	for i, at := range []**unit.Decimal{&r.Blank, &r.Extract, &r.Volume, &r.Recorded} {
		if f[i] != "-" {
			*at = dec(t, f[i])
		}
	}
	return r
}

// The rows are invented; the figures are of the kind met in practice, worked
// by hand with K = 1.2, 4 and 6 mg/m² per µS/cm at 3, 10 and 15 ml.
func TestRows(t *testing.T) {
	tests := []struct {
		what string
		row  string
		want string // name and detail of each explanation, in order
	}{
		{"6·3.1 = 18.6 is right", "1.8 4.9 15 18.6", ""},
		{"6·4.9 = 29.4", "1.8 4.9 15 29.4", "blank-not-subtracted"},
		{"6·6.7 = 40.2", "1.8 4.9 15 40.2", "blank-added"},
		{"6·(7.9 − 2.4)", "1.2 7.9 15 33.0", "blank-subtracted-twice"},
		{"the extract, and 1.2·8.1 = 9.72", "1.6 9.7 15 9.7", "other-volume 3 ml; copied-conductivity extract"},
		{"16.8 at 3 ml is 20.2, at 15 ml 100.8", "1.2 18.0 15 20.2", "other-volume 3 ml"},
		{"1.2·15.3 = 18.36 over 1000 mm²", "1.2 13.95 3 19.1", "other-patch-area 1000 mm²"},
		{"54.0 as µg/cm²; or the extract's decimal sign", "1.0 10.0 15 5.4", "other-unit ÷ 10; decimal-moved recorded value"},
		{"84.0 times 0.6066 is 50.95", "1.0 15.0 15 51.0", "chloride-conversion to chloride"},
		{"84.0 divided by 0.6066 is 138.48", "1.0 15.0 15 138.5", "chloride-conversion from chloride"},
		{"84.0 · 4.7/5 = 78.96", "1.0 15.0 15 79.0", "sodium-chloride-constant c = 4.7"},
		{"16.2 for 61.2", "1.0 11.2 15 16.2", "digits-swapped recorded value"},
		{"61.0 keyed as 6100", "1.05 11.22 15 6100", "decimal-moved recorded value"},
		{"18.6 is nobody's rounding of 6·3.11 = 18.66", "1.80 4.91 15 18.6", "truncated"},
		{"a tie, up", "1.00 1.125 10 0.5", ""},
		{"6·2.675 = 16.05, a tie up", "1.000 3.675 15 16.1", ""},
		{"and to even", "1.000 3.675 15 16.0", ""},
		{"6·2.725 = 16.35, down to neither", "1.000 3.725 15 16.3", "truncated"},
		{"24.0 and 42.0 are 18.0 apart: two digits, or 3.0 on the blank", "4.5 8.5 15 42.0", "digits-swapped recorded value; one-digit blank"},
		{"the blank over 100 is the blank left out", "0.6 40.5 3 48.6", "blank-not-subtracted"},
		{"a negative difference without its sign", "4.9 1.8 15 18.6", "sign-dropped"},
		{"no blank, nothing to explain", "- 4.9 15 29.4", ""},
		{"no value, nothing to explain", "1.8 4.9 15 -", ""},
		{"no slip fits", "1.8 14.9 15 33.3", ""},
	}
	for _, test := range tests {
		var got []string
		for _, e := range Explain([]Row{row(t, test.row)}, 0) {
			got = append(got, strings.TrimSpace(e.Name+" "+e.Detail))
		}
		if s := strings.Join(got, "; "); s != test.want {
			t.Errorf("%s (%s):\n got %q\nwant %q", test.what, test.row, s, test.want)
		}
	}
}

// At 35 °C and 2 % per kelvin a second correction divides by 1.2. A difference
// of 14.0 gives 84.0, and 70.0 then.
func TestTemperature(t *testing.T) {
	tests := []struct {
		compensated bool
		recorded    string
		want        string
	}{
		{true, "70.0", "temperature-corrected-twice"},
		{false, "70.0", "temperature-corrected"},
		{false, "58.3", "temperature-corrected-twice"}, // 84/1.44
	}
	for _, test := range tests {
		r := row(t, "1.0 15.0 15 "+test.recorded)
		r.Compensated, r.Temperature = test.compensated, dec(t, "35")
		if found := Explain([]Row{r}, 0); !slices.ContainsFunc(found, func(e Explanation) bool { return e.Name == test.want }) {
			t.Errorf("%s, compensated %t: %v", test.recorded, test.compensated, says(found))
		}
	}
	r := row(t, "1.0 15.0 15 70.6") // 84/1.19
	r.Temperature, r.Alpha = dec(t, "35"), dec(t, "1.9")
	if found := Explain([]Row{r}, 0); len(found) == 0 || found[0].Name != "temperature-corrected-twice" {
		t.Errorf("at 1.9 %% per kelvin: %v", says(found))
	}
}

// A rise of 44.48 µS/cm at 3 ml, and of 8.96 at 15 ml, is that of 50 mg/m² of
// sodium chloride (126.45 − 89.16·√m S·cm²/mol, Onsager, from memory), and
// reads 53.4 and 53.8 mg/m² by c = 5.
func TestSodiumChloride(t *testing.T) {
	tests := []struct{ row, detail string }{
		{"1.00 45.48 3 50.0", "by conductivity"},
		{"1.00 9.96 15 50.0", "c = 4.65"}, // near enough at this strength
		{"1.00 9.96 15 50.00", "c = 4.65"},
		{"1.00 9.96 15 49.99", "by conductivity"},
	}
	for _, test := range tests {
		found := Explain([]Row{row(t, test.row)}, 0)
		if len(found) == 0 || found[0].Name != "sodium-chloride-constant" || found[0].Detail != test.detail {
			t.Errorf("%s: %v", test.row, says(found))
		} else if (found[0].Exact == nil) != (test.detail == "by conductivity") {
			t.Errorf("%s: exact is %v", test.row, found[0].Exact)
		}
	}
}

// Each row is read against its neighbours; the readings decide whether a
// neighbour is another row at all.
func TestNeighbours(t *testing.T) {
	sheet := []Row{
		row(t, "1.8 14.9 15 78.6"),
		row(t, "1.8 14.9 15 33.3"), // the same readings as above, and no slip
		row(t, "1.2 11.5 15 58.2"), // 6·(11.5 − 1.8): the blank of the row above, or of the first row
		row(t, "2.4 20.1 15 61.8"), // 61.8 is the result of the row above, had it been right
	}
	want := [][]string{nil, nil, {"first-blank-for-all", "neighbouring-row"}, {"neighbouring-row"}}
	for i := range sheet {
		var got []string
		for _, e := range Explain(sheet, i) {
			if e.Kind != Keying {
				got = append(got, e.Name)
			}
			if e.Name == "neighbouring-row" && e.Row != i-1 {
				t.Errorf("row %d: taken from row %d", i, e.Row)
			}
		}
		if !slices.Equal(got, want[i]) {
			t.Errorf("row %d: got %q, want %q", i, got, want[i])
		}
	}
}

func TestSays(t *testing.T) {
	found := Explain([]Row{row(t, "1.0 11.2 15 16.2")}, 0)
	const want = "61.2 with two digits exchanged gives 16.2"
	if len(found) != 1 || found[0].Says() != want {
		t.Errorf("got %q, want %q", says(found), want)
	}
}

func TestRounds(t *testing.T) {
	tests := []struct {
		value   string
		written string
		want    bool
	}{
		{"16.5", "16", true}, {"16.5", "17", true}, {"17.5", "17", false}, {"17.5", "18", true},
		{"16.4999999999999999999", "17", false}, {"16.5000000000000000001", "16", false},
		{"49.95", "50.0", true}, {"49.95", "49.9", false}, {"-2.5", "-3", true}, {"-2.5", "-2", true}, {"-2.5", "-1", false},
	}
	for _, test := range tests {
		v, ok := new(big.Rat).SetString(test.value)
		if !ok {
			t.Fatal(test.value)
		}
		if got := Rounds(unit.RatioOf(v), *dec(t, test.written)); got != test.want {
			t.Errorf("Rounds(%s, %s) = %t", test.value, test.written, got)
		}
	}
}

// Each slip has a name of its own, in rank order of the kinds, and is planted
// by a test.
func TestAll(t *testing.T) {
	seen, last := map[string]bool{}, Formula
	for _, s := range All() {
		if seen[s.Name] || strings.Trim(s.Name, "abcdefghijklmnopqrstuvwxyz-") != "" || s.Kind < last {
			t.Errorf("slip %q, %v: want a new name in small letters, and kinds in order", s.Name, s.Kind)
		}
		seen[s.Name], last = true, s.Kind
	}
	made := map[string]bool{"one-digit": true} // by TestOneDigit
	for _, p := range plants {
		made[p.name] = true
	}
	if !maps.Equal(seen, made) {
		t.Errorf("slips are %v, planted are %v", slices.Sorted(maps.Keys(seen)), slices.Sorted(maps.Keys(made)))
	}
}
