package record

import "testing"

// What spreadsheet programs store of numbers that somebody typed, or that a
// formula gave: the shortest spelling of the binary fraction, 17 digits of it,
// or 15 digits rounded or cut off.
func TestStored(t *testing.T) {
	for raw, want := range map[string]string{
		"15.9":                "15.9",
		"15.899999999999999":  "15.9",
		"15.8999999999999":    "15.9",
		"14.6000000000000":    "14.6",
		"9.6000000000000014":  "9.6",
		"0.29999999999999999": "0.3",
		"1250":                "1250",
		"0.0384":              "0.0384",
		"12.3456789":          "12.3456789",
		"0.333333333333333":   "0.333333333333333", // a third has no end
		"3.14159265358979":    "3.14159265358979",
		"1E+2":                "100",
	} {
		if d, ok := stored(raw); !ok || d.String() != want {
			t.Errorf("%s is read as %v, want %s", raw, d, want)
		}
	}
	for _, raw := range []string{"", "NaN", "1e999999999999999", "12 34567890123456"} {
		if d, ok := stored(raw); ok {
			t.Errorf("%q is read as %v", raw, d)
		}
	}
}
