package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"flag"
	"fmt"
	"math/rand/v2"
	"regexp"
	"strconv"
	"sync/atomic"
	"testing"
	"time"

	"saltline/internal/crew"
	"saltline/internal/objects"
	"saltline/internal/seal"
)

var everyByte = flag.Bool("every-byte", false, "change every byte of the sealed documents, not a sample of them")

// signatureOver is the signature of a person over two pieces of a file.
func signatureOver(t testing.TB, by person, pieces ...[]byte) []byte {
	t.Helper()
	der, err := by.identity().Sign(sha256.Sum256(bytes.Join(pieces, nil)))
	if err != nil {
		t.Fatal(err)
	}
	return der
}

var contents = regexp.MustCompile(`/Contents ?<([0-9A-Fa-f]{400,})>`)

// lastValue is where the digits of the last signature of a file stand.
func lastValue(t testing.TB, data []byte) (from, to int) {
	t.Helper()
	all := contents.FindAllSubmatchIndex(data, -1)
	if len(all) == 0 {
		t.Fatal("there is no signature")
	}
	last := all[len(all)-1]
	return last[2], last[3]
}

// valueOf is the last signature of a file, with what fills it up.
func valueOf(t testing.TB, data []byte) []byte {
	t.Helper()
	from, to := lastValue(t, data)
	der, err := hex.DecodeString(string(data[from:to]))
	if err != nil {
		t.Fatal(err)
	}
	return der
}

// withValue puts another signature into the place of the last one.
func withValue(t testing.TB, data, der []byte) []byte {
	t.Helper()
	from, to := lastValue(t, data)
	if 2*len(der) > to-from {
		t.Fatalf("%d bytes do not go into %d digits", len(der), to-from)
	}
	out := bytes.Clone(data)
	copy(out[from:to], bytes.Repeat([]byte("0"), to-from))
	hex.Encode(out[from:], der)
	return out
}

var ranges = regexp.MustCompile(`/ByteRange ?\[(\d+) (\d+) (\d+) (\d+)\] *`)

// withRange changes the range that the last signature says it signs.
func withRange(t testing.TB, data []byte, change func(*[4]int)) []byte {
	t.Helper()
	all := ranges.FindAllSubmatchIndex(data, -1)
	if len(all) == 0 {
		t.Fatal("nothing says what is signed")
	}
	last := all[len(all)-1]
	var r [4]int
	for i := range r {
		r[i], _ = strconv.Atoi(string(data[last[2+2*i]:last[3+2*i]]))
	}
	change(&r)
	text := fmt.Appendf(nil, "/ByteRange [%d %d %d %d]", r[0], r[1], r[2], r[3])
	room := last[1] - last[0]
	if len(text) > room {
		t.Fatal("the range does not go into its room")
	}
	out := bytes.Clone(data)
	copy(out[last[0]:last[1]], append(text, bytes.Repeat([]byte(" "), room-len(text))...))
	return out
}

// reported says whether reading a file, or checking its signatures, finds
// anything. Its record is not asked: a signature has to hold what it signs by
// itself.
func reported(data []byte, signatures int) bool {
	f, err := objects.Read(data)
	if err != nil {
		return true
	}
	all, changes, err := seal.Check(f, data)
	if err != nil || len(changes) > 0 {
		return true
	}
	whole := false
	for _, s := range all {
		if s.Err != nil {
			return true
		}
		whole = whole || s.Whole
	}
	return !whole || len(all) != signatures
}

// Each byte of a sealed document is changed in turn, and each change is
// reported: also those of the digits that fill up the value of a signature,
// which has no other place that is not signed.
func TestTamper(t *testing.T) {
	one := someone(t, inspectorName).seals(t, small(t), "inspector")
	two := someone(t, qcName).seals(t, one, "qc")
	for n, data := range [][]byte{one, two} {
		if reported(data, n+1) {
			t.Fatalf("%d signatures: something is reported of the document as it was written", n+1)
		}
		from, to := lastValue(t, data)
		length := len(trimmed(valueOf(t, data)))
		t.Logf("%d signatures: %d bytes, the last value in %d digits, of which %d fill it up", n+1, len(data), to-from, to-from-2*length)

		seed := uint64(time.Now().UnixNano())
		draw := rand.New(rand.NewPCG(seed, 0))
		type change struct {
			at   int
			mask byte
		}
		var changes []change
		masks := []byte{0x01, 0x20, 0xff}
		if *everyByte {
			for at := range data {
				for _, m := range masks {
					changes = append(changes, change{at, m})
				}
			}
		} else {
			t.Logf("seed %d", seed)
			for range 600 {
				changes = append(changes, change{draw.IntN(len(data)), byte(1 + draw.IntN(255))})
			}
			// The parts that are read and not drawn, and what is not signed.
			tail := len(small(t))
			for range 600 {
				changes = append(changes, change{tail + draw.IntN(len(data)-tail), masks[draw.IntN(len(masks))]})
			}
			for range 300 {
				changes = append(changes, change{from - 2 + draw.IntN(to-from+4), masks[draw.IntN(len(masks))]})
			}
		}
		var missed atomic.Int32
		crew.Do(len(changes), func(i int) {
			c := changes[i]
			altered := bytes.Clone(data)
			altered[c.at] ^= c.mask
			if !reported(altered, n+1) && missed.Add(1) <= 10 {
				t.Errorf("%d signatures: nothing is reported of byte %d, %q for %q in %q", n+1, c.at, altered[c.at], data[c.at], data[max(0, c.at-30):min(len(data), c.at+30)])
			}
		})
		t.Logf("%d changes, %d not reported", len(changes), missed.Load())
	}
}

// Each byte of a document that nobody has signed is one that it is made with.
func TestTamperUnsigned(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	draw := rand.New(rand.NewPCG(seed, 1))
	data := small(t)
	for range 25 {
		altered := bytes.Clone(data)
		at, mask := draw.IntN(len(data)), byte(1+draw.IntN(255))
		altered[at] ^= mask
		if status, says := does("verify", fileWith(t, "changed.pdf", altered)); status != 1 && status != 3 {
			t.Errorf("byte %d by %#x: status %d\n%s", at, mask, status, says)
		}
	}
}

func BenchmarkCheckSealed(b *testing.B) {
	data := someone(b, qcName).seals(b, someone(b, inspectorName).seals(b, small(b), "inspector"), "qc")
	for b.Loop() {
		if reported(data, 2) {
			b.Fatal("it does not hold")
		}
	}
}
