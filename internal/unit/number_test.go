package unit

import (
	"errors"
	"math/big"
	"math/rand/v2"
	"strconv"
	"testing"
)

// The spellings are those met on site sheets (common practice); the values
// are what their writers meant.
func TestParseDecimal(t *testing.T) {
	for _, tt := range []struct {
		text string
		c    Convention
		want Decimal
	}{
		{"14", AnySign, Decimal{14, 0}},
		{"14.0", AnySign, Decimal{140, -1}}, // trailing zeros show the resolution
		{"14,20", AnySign, Decimal{1420, -2}},
		{" 14.2\u00a0", AnySign, Decimal{142, -1}},
		{"\ufeff14.2", AnySign, Decimal{142, -1}},
		{".5", AnySign, Decimal{5, -1}},
		{",5", AnySign, Decimal{5, -1}},
		{"0.024", AnySign, Decimal{24, -3}}, // nobody groups behind a zero
		{"0,024", AnySign, Decimal{24, -3}},
		{"1.0240", AnySign, Decimal{10240, -4}}, // four digits are no group
		{"1024.125", AnySign, Decimal{1024125, -3}},
		{"-2.1", AnySign, Decimal{-21, -1}},
		{"−2.1", AnySign, Decimal{-21, -1}},
		{"–2,1", AnySign, Decimal{-21, -1}},
		{"- 2.1", AnySign, Decimal{-21, -1}},
		{"+2.1", AnySign, Decimal{21, -1}},
		{"1.024,0", AnySign, Decimal{10240, -1}},
		{"1,024.0", AnySign, Decimal{10240, -1}},
		{"1 024,0", AnySign, Decimal{10240, -1}},
		{"1\u00a0024.0", AnySign, Decimal{10240, -1}},
		{"1\u202f024", AnySign, Decimal{1024, 0}},
		{"1'024.5", AnySign, Decimal{10245, -1}},
		{"1’024", AnySign, Decimal{1024, 0}},
		{"1,024,000", AnySign, Decimal{1024000, 0}},
		{"1.024.000", AnySign, Decimal{1024000, 0}},
		{"12 345 678", AnySign, Decimal{12345678, 0}},
		{"1.2e1", AnySign, Decimal{12, 0}},
		{"1,2E-01", AnySign, Decimal{12, -2}},
		{"1.024e3", AnySign, Decimal{1024, 0}}, // no grouping before an exponent
		{"5e+03", AnySign, Decimal{5, 3}},
		{"1,000", PointSign, Decimal{1000, 0}},
		{"1,000", CommaSign, Decimal{1000, -3}},
		{"1.024", PointSign, Decimal{1024, -3}},
		{"1.024", CommaSign, Decimal{1024, 0}},
		{"14,2", PointSign, Decimal{142, -1}}, // only one reading, whatever the convention
		{"9.99", CommaSign, Decimal{999, -2}},
		{"-0.0", AnySign, Decimal{0, -1}},
		{"0", AnySign, Decimal{0, 0}},
		{"007", AnySign, Decimal{7, 0}},
		{"999999999999999999", AnySign, Decimal{999999999999999999, 0}},
	} {
		got, err := ParseDecimal(tt.text, tt.c)
		if err != nil || got != tt.want {
			t.Errorf("ParseDecimal(%q, %d) = %v %v, want %v", tt.text, tt.c, got, err, tt.want)
		}
	}
}

func TestParseDecimalRefuses(t *testing.T) {
	for _, tt := range []struct{ text, suggest string }{
		{"14..2", "14.2"}, {"14,2.", "14,2"}, {"14.", "14"}, {"1O.4", "10.4"}, {"l2", "12"}, {"1o", "10"},
		{"I4,2", "14,2"}, {"", ""}, {" ", ""}, {"-", ""}, {".", ""}, {",", ""}, {"NaN", ""}, {"Inf", ""}, {"+Inf", ""},
		{"infinity", ""}, {"abc", ""}, {"Ol", ""}, {"1,02,4", ""}, {"1 02", ""}, {"1 0245", ""}, {"0,024,000", ""}, {"1.024.00", ""},
		{"1,024.5,3", ""}, {"1.024 000", ""}, {"1-2", ""}, {"--2", ""}, {"0x10", ""}, {"1_000", ""}, {"e5", ""}, {"1e", ""}, {"1e1.5", ""},
		{"1e19", ""}, {"1e-19", ""}, {"1e999999999", ""}, {"1e99999999999999999999", ""}, {"99999999999999999999", ""}, {"１４", ""}, {"1/2", ""}, {"5..", "5"},
	} {
		got, err := ParseDecimal(tt.text, AnySign)
		var e *NumberError
		if !errors.As(err, &e) {
			t.Errorf("ParseDecimal(%q) = %v %v, want a NumberError", tt.text, got, err)
			continue
		}
		if e.Suggest != tt.suggest || e.Text != tt.text {
			t.Errorf("ParseDecimal(%q) suggests %q for %q, want %q", tt.text, e.Suggest, e.Text, tt.suggest)
		}
	}
}

func TestParseDecimalAsks(t *testing.T) {
	for _, tt := range []struct {
		text                string
		fraction, thousands Decimal
	}{
		{"1,000", Decimal{1000, -3}, Decimal{1000, 0}},
		{"1.024", Decimal{1024, -3}, Decimal{1024, 0}},
		{"-12,345", Decimal{-12345, -3}, Decimal{-12345, 0}},
		{"999.999", Decimal{999999, -3}, Decimal{999999, 0}},
	} {
		_, err := ParseDecimal(tt.text, AnySign)
		var e *AmbiguousError
		if !errors.As(err, &e) || e.AsFraction != tt.fraction || e.AsThousands != tt.thousands {
			t.Errorf("ParseDecimal(%q): %v, want the readings %v and %v", tt.text, err, tt.fraction, tt.thousands)
		}
	}
}

func TestSignOf(t *testing.T) {
	for text, want := range map[string]Convention{
		"14,2": CommaSign, "14.2": PointSign, "14": AnySign, "1,024": AnySign, "1.024": AnySign, "1.024,0": CommaSign,
		"1,024.0": PointSign, "1 024,0": CommaSign, "1,024,000": PointSign, "1.024.000": CommaSign, "0,024": CommaSign,
		"14,2 µS/cm": CommaSign, "n/a": AnySign, "": AnySign, "14..2": AnySign, "1 024": AnySign, "1.5e3": PointSign,
	} {
		if got := SignOf(text); got != want {
			t.Errorf("SignOf(%q) = %d, want %d", text, got, want)
		}
	}
}

func TestDecimal(t *testing.T) {
	if c := (Decimal{140, -1}).Cmp(Decimal{14, 0}); c != 0 {
		t.Errorf("14.0 against 14: %d", c)
	}
	if c := (Decimal{1401, -2}).Cmp(Decimal{14, 0}); c != 1 {
		t.Errorf("14.01 against 14: %d", c)
	}
	if s := (Decimal{140, -1}).Step(); s != (Decimal{1, -1}) {
		t.Errorf("step of 14.0 is %v", s)
	}
	for d, want := range map[Decimal]string{{140, -1}: "14.0", {5, -3}: "0.005", {-5, -3}: "-0.005", {12, 2}: "1200", {0, 2}: "0", {0, -1}: "0.0", {-7, 0}: "-7"} {
		if got := d.String(); got != want {
			t.Errorf("%#v prints as %s, want %s", d, got, want)
		}
	}
	for f, want := range map[float64]Decimal{14.2: {142, -1}, 1200: {1200, 0}, 0.1: {1, -1}, 0: {0, 0}, -2.5: {-25, -1}, 1e18: {1, 18}} {
		if got, ok := FromFloat(f); !ok || got != want {
			t.Errorf("FromFloat(%v) = %#v %v, want %#v", f, got, ok, want)
		}
	}
}

func TestRoundRat(t *testing.T) {
	for _, tt := range []struct {
		x        string
		decimals int
		up, even int64
	}{
		{"16.5", 0, 17, 16}, {"17.5", 0, 18, 18}, {"-16.5", 0, -17, -16}, {"16.49999999999999999999", 0, 16, 16},
		{"16.50000000000000000001", 0, 17, 17}, {"49.95", 1, 500, 500}, {"49.85", 1, 499, 498}, {"55", -1, 6, 6}, {"45", -1, 5, 4}, {"0", 2, 0, 0},
	} {
		x, _ := new(big.Rat).SetString(tt.x)
		if up, even := RoundRat(x, tt.decimals, false), RoundRat(x, tt.decimals, true); up.Int64() != tt.up || even.Int64() != tt.even {
			t.Errorf("%s to %d decimals: %v and %v, want %d and %d", tt.x, tt.decimals, up, even, tt.up, tt.even)
		}
	}
}

// Whatever is printed, in either spelling, reads back as the same digits.
func TestPrintParse(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 1))
	for range 20000 {
		d := Decimal{r.Int64N(2e12) - 1e12, -r.IntN(8)}
		if d.Coef == 0 {
			continue // −0 has no sign to come back
		}
		for sign, c := range map[rune]Convention{'.': PointSign, ',': CommaSign} {
			printed := Spelling{Sign: sign}.Decimal(d)
			if got, err := ParseDecimal(printed, c); err != nil || got != d {
				t.Fatalf("%#v prints as %q and reads as %#v %v", d, printed, got, err)
			}
		}
		if got, err := strconv.ParseFloat(d.String(), 64); err != nil || got != d.Float() {
			t.Fatalf("%#v is %v, but %s reads as %v %v", d, d.Float(), d, got, err)
		}
	}
}

func FuzzParseDecimal(f *testing.F) {
	for _, s := range []string{"14.2", "1.024,0", "1,000", "14..2", "1O.4", "−2", "1e5", "1'024", "NaN", "\u00a0", "1e-99", "9223372036854775807"} {
		f.Add(s, byte(0))
	}
	f.Fuzz(func(t *testing.T, s string, c byte) {
		d, err := ParseDecimal(s, Convention(c%3))
		if err != nil {
			if d != (Decimal{}) || err.Error() == "" {
				t.Errorf("%q: %v with %v", s, d, err)
			}
			return
		}
		again, err := ParseDecimal(d.String(), PointSign)
		if d.Coef != 0 && (err != nil || again.Cmp(d) != 0) && len(d.String()) < 19 {
			t.Errorf("%q reads as %v, which reads as %v %v", s, d, again, err)
		}
	})
}
