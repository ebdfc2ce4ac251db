package heading

import "testing"

func TestKey(t *testing.T) {
	for _, c := range []struct{ in, key, unit string }{
		{"Volumen (ml)", "volume", "ml"}, {"Date", "date", ""}, {"Grenzwert", "limit", ""}, {"Prüfer", "inspector", ""},
		{"Maître d'ouvrage", "owner", ""}, {"Jobb nr.", "job number", ""}, {"Medidor", "meter", ""},
		{"Reading", "", ""}, // doubtful: no values bear it out
		{"Telephone", "", ""}, {"", "", ""},
	} {
		if key, unit := Key(c.in); key != c.key || unit != c.unit {
			t.Errorf("Key(%q) = %q, %q, want %q, %q", c.in, key, unit, c.key, c.unit)
		}
	}
}
