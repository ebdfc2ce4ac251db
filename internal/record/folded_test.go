package record

import "testing"

// Names are equal whatever their case and their spaces are.
func TestFolded(t *testing.T) {
	for text, want := range map[string]string{
		"": "", " ": "", "frame 1": "frame 1", "Frame 1": "frame 1", " frame 1": "frame 1", "frame 1 ": "frame 1", "frame  1": "frame 1",
		"frame\t1": "frame 1", "frame\n 1": "frame 1", "Süd\u00a0Turm": "süd turm", "ÅRE": "åre", "a": "a", "a b c": "a b c",
	} {
		if got := Folded(text); got != want {
			t.Errorf("%q: got %q, want %q", text, got, want)
		}
	}
}
