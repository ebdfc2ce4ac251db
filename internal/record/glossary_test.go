package record

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"
)

// A glossary knows what a map knows: of texts of any length, of such as are the
// beginnings of others, and of such as hold zeros.
func TestGlossaryIsAMap(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 0))
	text := func() string {
		switch r.IntN(4) {
		case 0:
			return fmt.Sprintf("%d.%d", r.IntN(300), r.IntN(10))
		case 1:
			return strings.Repeat("\x00", r.IntN(18))
		case 2:
			return "frame 12, port side"[:r.IntN(20)]
		}
		b := make([]byte, r.IntN(20))
		for i := range b {
			b[i] = "ab\x00\xff"[r.IntN(4)]
		}
		return string(b)
	}
	for range 40 {
		var g glossary
		want := map[string]uint16{}
		for range r.IntN(3000) {
			s := text()
			if got := g.find(s); got != want[s] {
				t.Fatalf("%q stands for %d, want %d", s, got, want[s])
			}
			if r.IntN(2) == 0 {
				is := uint16(1 + r.IntN(1<<16-1))
				g.add(s, is)
				want[s] = is
			}
		}
		if g.texts() != len(want) {
			t.Fatalf("%d texts are known, want %d", g.texts(), len(want))
		}
		if g.leave(); g.texts() != 0 || g.find("1.5") != 0 {
			t.Fatal("a glossary that was left knows texts")
		}
	}
}
