package cms

import (
	"bytes"
	"crypto/x509"
	"encoding/pem"
	"errors"
	"strings"
	"testing"
	"time"
)

// hours is added to now, for certificates of a year that were made just now.
func hours(n int) time.Time { return time.Now().Add(time.Duration(n) * time.Hour) }

func TestTrust(t *testing.T) {
	y := newYard(t)
	read := func(pem []byte) *x509.CertPool {
		pool, _, err := RootsFromPEM(pem)
		if err != nil {
			t.Fatal(err)
		}
		return pool
	}
	root, other, self := read(y.roots(t, "root")), read(y.roots(t, "otherroot")), read(y.roots(t, "p256"))
	both := read(append(y.roots(t, "otherroot"), y.roots(t, "root")...))
	day := hours(24)
	for _, c := range []struct {
		name  string
		who   string
		chain string
		roots *x509.CertPool
		at    time.Time
		valid error
		trust error
	}{
		{"whole chain", "p256", "chain.pem", root, day, nil, nil},
		{"without the root", "p256", "between.pem", root, day, nil, nil},
		{"among several roots", "p256", "between.pem", both, day, nil, nil},
		{"its own root", "p256", "root.pem", self, day, nil, nil},
		{"without the one between", "p256", "root.pem", root, day, nil, ErrTrust},
		{"another one between, of the same name", "p256", "otherbetween.pem", root, day, nil, ErrTrust},
		{"another one between, and its root", "p256", "otherbetween.pem", both, day, nil, ErrTrust},
		{"another root, of the same name", "p256", "chain.pem", other, day, nil, ErrTrust},
		{"no roots", "p256", "chain.pem", x509.NewCertPool(), day, nil, ErrTrust},
		{"roots of this machine", "p256", "chain.pem", nil, day, nil, ErrTrust},
		{"no time", "p256", "chain.pem", root, time.Time{}, ErrEarly, ErrTrust},
		{"a day before", "p256", "chain.pem", root, hours(-24), ErrEarly, ErrTrust},
		{"two years after", "p256", "chain.pem", root, hours(2 * 365 * 24), ErrExpired, ErrTrust},
		{"self-signed, trusted", "root", "between.pem", root, day, ErrUsage, nil},
		{"self-signed, not trusted", "otherroot", "between.pem", root, day, ErrUsage, ErrTrust},
		{"nonRepudiation alone", "committed", "chain.pem", root, day, nil, nil},
		{"for enciphering", "enciphering", "chain.pem", root, day, ErrUsage, nil},
		{"no use stated", "unstated", "chain.pem", root, day, nil, nil},
		{"critical and unknown", "strange", "chain.pem", root, day, nil, ErrTrust},
	} {
		s, err := Parse(y.sign(t, c.who, "-cades", "-certfile", c.chain))
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if err := s.Check(digestOf(content)); err != nil {
			t.Errorf("%s: Check: %v", c.name, err)
		}
		if err := s.Valid(c.at); !errors.Is(err, c.valid) {
			t.Errorf("%s: Valid: %v, want %v", c.name, err, c.valid)
		}
		if err := s.Trust(c.roots, c.at); !errors.Is(err, c.trust) {
			t.Errorf("%s: Trust: %v, want %v", c.name, err, c.trust)
		} else if given := c.roots != nil && !c.at.IsZero(); err != nil && strings.Contains(err.Error(), "are given") == given {
			t.Errorf("%s: Trust: %v", c.name, err) // this machine's roots, or its clock, were asked
		}
	}
}

// openssl, asked the same of some of them, says the same.
func TestTrustJudged(t *testing.T) {
	y := newYard(t)
	for chain, want := range map[string]bool{"chain.pem": true, "between.pem": true, "root.pem": false, "otherbetween.pem": false} {
		der := y.sign(t, "p256", "-cades", "-certfile", chain)
		out, err := y.judge(t, der, content)
		if got := err == nil; got != want {
			t.Errorf("%s: openssl trusts it: %v, want %v: %s", chain, got, want, out)
		}
	}
}

func TestRootsFromPEM(t *testing.T) {
	y := newYard(t)
	root, between := y.roots(t, "root"), y.roots(t, "between")
	block, _ := pem.Decode(root)
	bad := pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: block.Bytes[:len(block.Bytes)-1]})
	for _, c := range []struct {
		name string
		data []byte
		n    int
	}{
		{"one", root, 1},
		{"two, with words between", bytes.Join([][]byte{[]byte("# trusted since May\n"), root, []byte("\nand\n"), between}, nil), 2},
		{"a key beside it", append(get(t, y.dir, "p256.key"), root...), 1},
		{"lines ended as on other machines", bytes.ReplaceAll(root, []byte("\n"), []byte("\r\n")), 1},
		{"nothing", nil, 0},
		{"words", []byte("none"), 0},
		{"DER", block.Bytes, 0},
		{"a key alone", get(t, y.dir, "p256.key"), 0},
		{"the second cut short", append(bytes.Clone(root), between[:len(between)/2]...), 0},
		{"the second without its head", append(bytes.Clone(root), between[40:]...), 1},
		{"one that cannot be read", append(bytes.Clone(root), bad...), 0},
	} {
		_, n, err := RootsFromPEM(c.data)
		if n != c.n || errors.Is(err, ErrRoots) != (c.n == 0) {
			t.Errorf("%s: %d, %v; want %d", c.name, n, err, c.n)
		}
	}
	if _, _, err := RootsFromPEM(append(root, bad...)); err == nil || !strings.Contains(err.Error(), "certificate 2") {
		t.Errorf("the one that cannot be read is not named: %v", err)
	}
}

// What a stranger wrote into a certificate comes out without its control
// characters: here the name of an unknown service's host.
func TestPrintable(t *testing.T) {
	id := holder(t, 1)
	c := *id.Certificate
	c.DNSNames = []string{"a\x1b[2Jb"}
	err := c.VerifyHostname("stamps.example")
	if err == nil || !strings.Contains(err.Error(), "\x1b") {
		t.Fatalf("the library says %q: there is nothing to keep out", err)
	}
	p := printable{err}
	if got := p.Error(); strings.Contains(got, "\x1b") || !strings.Contains(got, "a\ufffd[2Jb") || !errors.Is(p, err) {
		t.Errorf("%q", got)
	}
}
