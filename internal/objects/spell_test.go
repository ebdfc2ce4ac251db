package objects

import (
	"math"
	"reflect"
	"strings"
	"testing"
)

// Spellings by the rules of 7.3, each written by hand. Both ways: what is
// spelled so is read so.
var spellings = []struct {
	value Value
	want  string
}{
	{nil, "null"},
	{true, "true"},
	{false, "false"},
	{int64(0), "0"},
	{int64(-17), "-17"},
	{int64(999_999_999_999_999_999), "999999999999999999"},
	{0.5, "0.5"},
	{-0.002, "-0.002"},
	{595.276, "595.276"},
	{Name("Name1"), "/Name1"},
	{Name(""), "/"},
	{Name("Lime Green"), "/Lime#20Green"},
	{Name("paired()parentheses"), "/paired#28#29parentheses"},
	{Name("text/csv"), "/text#2Fcsv"},
	{Name("A#B"), "/A#23B"},
	{Name("µ"), "/#C2#B5"},
	{String(""), "()"},
	{String("a (b) \\"), `(a \(b\) \\)`},
	{String("line\n"), "<6C696E650A>"},
	{String{0, 0xff}, "<00FF>"},
	{Ref{12, 3}, "12 3 R"},
	{Array{}, "[]"},
	{Array{int64(1), Ref{2, 0}, int64(3), Name("N"), Array{int64(4)}}, "[1 2 0 R 3 /N [4]]"},
	{Dict{}, "<<>>"},
	{Dict{"B": int64(1), "Type": Name("T"), "A": Dict{"Z": true, "Y": String("s")}}, "<</Type /T/A <</Y (s)/Z true>>/B 1>>"},
}

func TestSpell(t *testing.T) {
	for _, s := range spellings {
		got, err := Spell(nil, s.value)
		if err != nil || string(got) != s.want {
			t.Errorf("%#v is spelled %s, want %s (%v)", s.value, got, s.want, err)
		}
		back, err := parse(s.want)
		if err != nil || !reflect.DeepEqual(back, s.value) {
			t.Errorf("%s is read as %#v, want %#v (%v)", s.want, back, s.value, err)
		}
	}
	for value, want := range map[Value]string{7: "7", 12.0: "12", math.Copysign(0, -1): "0", 1e-7: "0.0000001", 4e19: "40000000000000000000.0"} {
		if got, err := Spell(nil, value); string(got) != want || err != nil {
			t.Errorf("%v is spelled %s, want %s (%v)", value, got, want, err)
		}
	}
	if got, _ := Spell(nil, Array{Raw("<</X  1>>")}); string(got) != "[<</X  1>>]" {
		t.Errorf("what is spelled already is written %s", got)
	}
}

func TestSpellRefuses(t *testing.T) {
	deep := Array{}
	for range maxDepth + 1 {
		deep = Array{deep}
	}
	for _, v := range []Value{math.NaN(), math.Inf(1), 1e39, Name("a\x00"), deep, "string", Array{&Stream{}}} {
		if got, err := Spell(nil, v); err == nil {
			t.Errorf("%T is spelled %.40s", v, got)
		}
	}
}

// parse reads one value, and makes sure that a dry reading agrees.
func parse(s string) (Value, error) {
	p := parser{in: []byte(s), end: len(s), refs: true, limit: maxWeight}
	v, err := p.value(0)
	dry := parser{in: []byte(s), end: len(s), refs: true, limit: maxWeight, dry: true}
	nothing, dryErr := dry.value(0)
	if (err == nil) != (dryErr == nil) || dry.at != p.at || dry.weight != p.weight {
		panic("a dry reading differs: " + s)
	}
	switch nothing.(type) {
	case nil, bool:
	default:
		panic("a dry reading gives a value: " + s)
	}
	return v, err
}

// Other spellings of the same, from the examples of 7.3 or by its rules.
func TestParse(t *testing.T) {
	for in, want := range map[string]Value{
		"+17":                          int64(17),
		"-.002":                        -0.002,
		"4.":                           4.0,
		"34.5":                         34.5,
		"00012":                        int64(12),
		"(a\\\nb)":                     String("ab"),
		"(a\\\r\nb)":                   String("ab"),
		"(a\r\nb\rc\nd)":               String("a\nb\nc\nd"),
		"(\\n\\r\\t\\b\\f\\(\\)\\\\)":  String("\n\r\t\b\f()\\"),
		"(\\245\\053\\53\\5x)":         String("\xa5++\x05x"),
		"(\\0053)":                     String("\x053"),
		"(\\q)":                        String("q"),
		"((balanced (twice)))":         String("(balanced (twice))"),
		"<901FA>":                      String{0x90, 0x1f, 0xa0},
		"< 90 1f\nA3 >":                String{0x90, 0x1f, 0xa3},
		"/A;Name_With-Various***Chars": Name("A;Name_With-Various***Chars"),
		"/#41#42":                      Name("AB"),
		"[0 R]":                        nil,
		"[1 0 R 2 0 obj]":              nil,
		"[12 0 R%c\n]":                 Array{Ref{12, 0}},
		"[1 2 3 R 4]":                  Array{int64(1), Ref{2, 3}, int64(4)},
		"<</A null/B%c\n1>>":           Dict{"B": int64(1)},
		"<</A/B/C(d)>>":                Dict{"A": Name("B"), "C": String("d")},
	} {
		got, err := parse(in)
		if want == nil {
			if err == nil {
				t.Errorf("%q is read as %#v", in, got)
			}
		} else if err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%q is read as %#v, want %#v (%v)", in, got, want, err)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	for in, want := range map[string]string{
		"":                         "a value is missing at byte 0",
		"--5":                      `"--5" is no number at byte 0`,
		"5-3":                      `"5-3" is no number at byte 0`,
		"1e5":                      `"1e5" is no number at byte 0`,
		"1.2.3":                    `"1.2.3" is no number at byte 0`,
		"-":                        `"-" is no number at byte 0`,
		".":                        `"." is no number at byte 0`,
		"1234567890123456789":      `the integer "123456789012" has more than 18 digits at byte 0`,
		"/A#4":                     `the name "/A#4" has a number sign without two digits at byte 0`,
		"/A#xy":                    `the name "/A#xy" has a number sign without two digits at byte 0`,
		"/A#00":                    `the name "/A#00" has a number sign without two digits at byte 0`,
		" (a":                      "a string does not end at byte 1",
		"(a\\":                     "a string does not end at byte 0",
		"<12":                      "a string of hexadecimal digits does not end at byte 0",
		"<1g>":                     `"g>" is no hexadecimal digit at byte 2`,
		"[1":                       "an array does not end at byte 0",
		"[1 )]":                    `a value is expected, and ")]" stands there at byte 3`,
		"<</A 1":                   "a dictionary does not end at byte 0",
		"<</A 1>":                  "a dictionary ends with one > alone at byte 6",
		"<<1 2>>":                  `a key is expected, and "1 2>>" stands there at byte 2`,
		"<</A>>":                   `a value is expected, and ">>" stands there at byte 4`,
		"<</A 1/#41 2>>":           "the key /A is there twice at byte 6",
		"nulls":                    `a value is expected, and "nulls" stands there at byte 0`,
		strings.Repeat("[", 70):    "values are nested more than 64 deep at byte 65",
		strings.Repeat("<</A", 70): "values are nested more than 64 deep at byte 260",
	} {
		if got, err := parse(in); err == nil || err.Error() != want {
			t.Errorf("%q is read as %#v, with the error %v, want %s", in, got, err, want)
		}
	}
	// More keys than are compared one by one.
	keys := "<<"
	for i := range 3 * few {
		keys += "/K" + strings.Repeat("x", i) + " 0"
	}
	if _, err := parse(keys + ">>"); err != nil {
		t.Error(err)
	}
	if _, err := parse(keys + "/Kxx 1>>"); err == nil {
		t.Error("a key that is there twice among many is taken")
	}
}

// What a small file can grow to in memory is bounded.
func TestWeight(t *testing.T) {
	for _, in := range []string{
		"[" + strings.Repeat("<<>>", maxWeight/dictWeight) + "]",
		"[" + strings.Repeat("0 ", maxWeight/valueWeight) + "]",
	} {
		p := parser{in: []byte(in), end: len(in), dry: true, limit: maxWeight}
		if _, err := p.value(0); err == nil || !strings.Contains(err.Error(), "memory") {
			t.Errorf("%.10s… is taken: %v", in, err)
		}
	}
}

func TestText(t *testing.T) {
	for s, want := range map[string]String{
		"plain (text)": String("plain (text)"),
		"":             {},
		"µg":           {0xfe, 0xff, 0, 0xb5, 0, 'g'},
		"\x1b":         {0xfe, 0xff, 0, 0x1b},
		"𝜌":            {0xfe, 0xff, 0xd8, 0x35, 0xdf, 0x0c}, // U+1D70C, by RFC 2781
	} {
		if got := Text(s); !reflect.DeepEqual(got, want) {
			t.Errorf("%q becomes %x, want %x", s, got, want)
		}
		if got := Text(s).Text(); got != s {
			t.Errorf("%q comes back as %q", s, got)
		}
	}
	for _, test := range []struct {
		in   String
		want string
	}{
		{String("\xef\xbb\xbfµ\xff"), "µ\uFFFD"},
		{String("\xb5g \x84 \xa0 \x92 \x18 \x9f\x7f\xad"), "µg — € ™ ˘ \uFFFD\uFFFD\uFFFD"},
		{String{0xfe, 0xff, 0, 'a', 0}, "a\uFFFD"},
		{String{0xfe, 0xff, 0xd8, 0x35}, "\uFFFD"},
	} {
		if got := test.in.Text(); got != test.want {
			t.Errorf("%x is read as %q, want %q", []byte(test.in), got, test.want)
		}
	}
}
