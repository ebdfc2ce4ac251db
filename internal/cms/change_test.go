package cms

import (
	"bytes"
	"crypto/x509"
	"encoding/pem"
	"errors"
	"flag"
	"math/rand/v2"
	"testing"
	"time"
)

var every = flag.Bool("every", false, "change every byte into every other, which takes minutes")

// Every byte is changed in turn. A change is noticed when the signature can no
// longer be read or does not hold, when its time stamp does not or is gone, or
// when a chain no longer leads to the root. Those that are not noticed stand
// outside what is signed, and are these alone:
//
//   - in the copy of the root that came along: the reader's own is trusted,
//     and the copy is not needed;
//   - the name of the algorithm of RSA, which has two spellings with the same
//     meaning, "RSA" and "RSA with SHA-256", one byte apart.
func TestEveryByte(t *testing.T) {
	y := newYard(t)
	roots, _, err := RootsFromPEM(y.roots(t, "root"))
	if err != nil {
		t.Fatal(err)
	}
	block, _ := pem.Decode(y.roots(t, "root"))
	c := changer{roots: roots, root: block.Bytes, at: time.Now().Add(time.Hour), seed: uint64(time.Now().UnixNano())}
	t.Logf("seed %d", c.seed)
	server := serve(t, func(q []byte) []byte { return y.reply(t, "service", q) })
	for _, who := range []string{"rsa2048", "p256"} {
		plain := y.signed(t, who)
		stamped, err := AddStamp(t.Context(), server.Client(), server.URL, plain)
		if err != nil {
			t.Fatal(err)
		}
		for name, der := range map[string][]byte{"own": plain, "stamped": stamped, "foreign": y.sign(t, who, "-cades")} {
			t.Run(who+"/"+name, func(t *testing.T) { c.all(t, der) })
		}
	}
}

// A changer changes bytes and looks whether that is noticed.
type changer struct {
	roots *x509.CertPool
	root  []byte // its certificate
	at    time.Time
	seed  uint64
}

func (c changer) all(t *testing.T, der []byte) {
	t.Helper()
	stamped := bytes.Contains(der, dotted(oidStamp))
	if !c.holds(der, stamped) {
		t.Fatal("it does not hold unchanged")
	}
	free := make([]bool, len(der))
	for i := range der {
		if bytes.HasPrefix(der[i:], c.root) {
			for j := range c.root {
				free[i+j] = true
			}
		}
	}
	random := rand.New(rand.NewPCG(c.seed, 0))
	tried, unnoticed := 0, 0
	for i := range der {
		to := []byte{der[i] ^ 1<<random.IntN(8)}
		if random.IntN(2) == 0 {
			to[0] = byte(random.IntN(256))
		}
		if *every {
			to = to[:0]
			for b := range 256 {
				to = append(to, byte(b))
			}
		}
		for _, b := range to {
			if b == der[i] {
				continue
			}
			tried++
			changed := bytes.Clone(der)
			changed[i] = b
			if !c.holds(changed, stamped) {
				continue
			}
			unnoticed++
			if !free[i] && !otherSpelling(der, changed, i) {
				t.Errorf("byte %d changed from %#02x to %#02x is not noticed", i, der[i], b)
			}
		}
	}
	t.Logf("%d bytes, %d changes, %d not noticed, where that may be", len(der), tried, unnoticed)
}

// holds asks everything that can be asked of a signature.
func (c changer) holds(der []byte, stamped bool) bool {
	s, err := Parse(der)
	if err != nil || s.Check(digestOf(content)) != nil || s.Valid(c.at) != nil || s.Trust(c.roots, c.at) != nil {
		return false
	}
	if s.Stamp == nil {
		return !stamped
	}
	return s.Stamp.Check(s.Value) == nil && s.Stamp.Trust(c.roots) == nil
}

// otherSpelling says whether the change is between the two names of RSA.
func otherSpelling(der, changed []byte, i int) bool {
	if i < 8 {
		return false
	}
	a, b := der[i-8:i+1], changed[i-8:i+1]
	return bytes.Equal(a[:8], dotted(oidRSA)[2:10]) && bytes.Contains(dotted(oidRSA), a) && bytes.Contains(dotted(oidRSA256), b)
}

// Bytes cut off, or added.
func TestLength(t *testing.T) {
	id := holder(t, 1)
	der, err := id.Sign(digestOf(content))
	if err != nil {
		t.Fatal(err)
	}
	for n := range der {
		if _, err := Parse(der[:n]); !errors.Is(err, ErrForm) {
			t.Errorf("%d of %d bytes: %v", n, len(der), err)
		}
	}
	for _, more := range []string{"\x00", "\x00\x00", "x", string(der)} {
		if _, err := Parse(append(bytes.Clone(der), more...)); !errors.Is(err, ErrForm) {
			t.Errorf("%d bytes behind it: %v", len(more), err)
		}
	}
	m, err := parse(der)
	if err != nil {
		t.Fatal(err)
	}
	large := m.with(sequence(dotted("1.2.3.4"), element(tagSet, element(tagOctets, make([]byte, MaxSize)))))
	if _, err := Parse(large); !errors.Is(err, ErrForm) {
		t.Errorf("%d bytes: %v", len(large), err)
	}
	id.Chain = nil
	for i := range int64(maxCertificates + 1) {
		id.Chain = append(id.Chain, holder(t, 100+i).Certificate)
	}
	if _, err := Parse(id.assemble(id.attributes(digestOf(content)), m.value)); !errors.Is(err, ErrForm) {
		t.Errorf("%d certificates: %v", len(id.Chain)+1, err)
	}
}

// A certificate with an RSA key of 20,000 bits is not worked with.
func TestLargeModulus(t *testing.T) {
	y := newYard(t)
	// The number in a certificate of 2048 bits becomes ten times as long; its
	// own signature no longer holds, which nobody asks of one that came along.
	c := y.identity(t, "rsa2048").Certificate
	r := read(c.Raw)
	whole := r.in(tagSequence, "it")
	inner := whole.in(tagSequence, "it")
	var parts [][]byte
	for inner.more() {
		raw := inner.any("a part")
		if bytes.Contains(raw, dotted(oidRSA)) {
			number := append([]byte{1}, make([]byte, 2500)...)
			number[2500] = 1
			key := sequence(element(tagInteger, number), spell(65537))
			raw = sequence(sequence(dotted(oidRSA), []byte{tagNull, 0}), element(tagBits, []byte{0}, key))
		}
		parts = append(parts, raw)
	}
	large, err := x509.ParseCertificate(sequence(append([][]byte{sequence(parts...)}, whole.rest)...))
	if err != nil {
		t.Fatal(err)
	}
	id := holder(t, 1)
	id.Chain = []*x509.Certificate{large, y.identity(t, "p256").Certificate}
	der, err := id.Sign(digestOf(content))
	if err != nil {
		t.Fatal(err)
	}
	s, err := Parse(der)
	if err != nil || len(s.Others) != 1 {
		t.Errorf("%d others, want the other one alone: %v", len(s.Others), err)
	}
}
