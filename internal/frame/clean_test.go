package frame_test

import (
	"math/rand/v2"
	"slices"
	"testing"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"saltline/internal/frame"
)

func TestClean(t *testing.T) {
	for _, c := range []struct {
		name, in, want string
		changes        []frame.Change
	}{
		{"plain", "50 mg/m2", "50 mg/m2", nil},
		{"signs", "≤ 50 µS/cm ± 3\u00a0%", "≤ 50 µS/cm ± 3\u00a0%", nil},
		{"composed", "e\u0301", "é", nil},
		{"line ends", "a\r\nb\rc\nd\u2028e", "a\nb\nc\nd\ne", nil},
		{"tab", "a\tb", "a b", nil},
		{"control", "a\x00b\x7f", "ab", []frame.Change{{Was: 0}, {Was: 0x7f}}},
		{"direction", "a\u202egnp.exe\u2069", "agnp.exe", []frame.Change{{Was: 0x202e}, {Was: 0x2069}}},
		{"no width", "\ufeffa\u200bb\u00ad", "ab", []frame.Change{{Was: 0xfeff}, {Was: 0x200b}, {Was: 0xad}}},
		{"last of the plane", "\ufffc", "\ufffc", nil},
		{"not a character", "\uffff", "\ufffd", []frame.Change{{Was: 0xffff, Now: 0xfffd}}},
		{"first beyond the plane", "\U00010000", "\ufffd", []frame.Change{{Was: 0x10000, Now: 0xfffd}}},
		{"picture with selector", "✔\ufe0f", "✔", []frame.Change{{Was: 0xfe0f}}},
		{"bad bytes", "a\xb5S", "a\ufffdS", []frame.Change{{Was: 0xfffd, Now: 0xfffd}}},
		{"written as such", "a\ufffdS", "a\ufffdS", nil},
	} {
		got, changes := frame.Clean(c.in)
		if got != c.want || !slices.Equal(changes, c.changes) {
			t.Errorf("%s: got %q with %+v, want %q with %+v", c.name, got, changes, c.want, c.changes)
		}
	}
}

// What is clean stays as it is, and is fit for a page.
func FuzzClean(f *testing.F) {
	for _, s := range []string{"", "50 µS", "e\u0301\u202e\x00\xff😀\uffff", "\u0344\u2126\r\n"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) { checkClean(t, s) })
}

func TestCleanRandomly(t *testing.T) {
	seed := rand.Uint64()
	rng := rand.New(rand.NewPCG(seed, 0))
	for range 5000 {
		b := make([]byte, rng.IntN(24))
		for i := range b {
			b[i] = byte(rng.Uint32())
		}
		checkClean(t, string(b))
	}
	if t.Failed() {
		t.Logf("seed %d", seed)
	}
}

func checkClean(t *testing.T, s string) {
	t.Helper()
	got, _ := frame.Clean(s)
	if again, changes := frame.Clean(got); again != got || len(changes) > 0 {
		t.Errorf("%q is cleaned to %q and that to %q with %+v", s, got, again, changes)
	}
	if !utf8.ValidString(got) || !norm.NFC.IsNormalString(got) {
		t.Errorf("%q is cleaned to %q, which is not composed UTF-8", s, got)
	}
	for _, r := range got {
		if r > 0xFFFF || r < ' ' && r != '\n' {
			t.Errorf("%q is cleaned to %q, which holds %U", s, got, r)
		}
	}
}
