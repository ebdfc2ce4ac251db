package cms

import (
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

var update = flag.Bool("update", false, "have openssl make the corpus anew")

// testdata/corpus.txt says of signatures that openssl made, over the content,
// what Check, Valid and Trust must say of them at a time: so much is tested
// where openssl is not there. One a line:
//
//	file | time | Check | Valid | Trust | what it is
const corpus = "testdata/corpus.txt"

var named = map[string]error{
	"holds": nil, "algorithm": ErrAlgorithm, "missing": ErrMissing, "no reference": ErrNoReference, "type": ErrType,
	"early": ErrEarly, "expired": ErrExpired, "usage": ErrUsage, "no chain": ErrTrust,
}

func TestCorpus(t *testing.T) {
	if *update {
		writeCorpus(t)
	}
	pem, err := os.ReadFile("testdata/roots.pem")
	if err != nil {
		t.Fatal(err)
	}
	roots, n, err := RootsFromPEM(pem)
	if err != nil || n != 1 {
		t.Fatal(n, err)
	}
	text, err := os.ReadFile(corpus)
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for line := range strings.Lines(string(text)) {
		if strings.HasPrefix(line, "#") {
			continue
		}
		cell := strings.Split(strings.TrimSpace(line), " | ")
		if len(cell) != 6 {
			t.Fatalf("%d cells in %q", len(cell), line)
		}
		seen++
		at, err := time.Parse(time.RFC3339, cell[1])
		if err != nil {
			t.Fatal(err)
		}
		der, err := os.ReadFile(filepath.Join("testdata", cell[0]))
		if err != nil {
			t.Fatal(err)
		}
		s, err := Parse(der)
		if err != nil {
			t.Errorf("%s: %v", cell[0], err)
			continue
		}
		for i, got := range []error{s.Check(digestOf(content)), s.Valid(at), s.Trust(roots, at)} {
			want, ok := named[cell[2+i]]
			if !ok || !errors.Is(got, want) {
				t.Errorf("%s, %s: %v, want %s", cell[0], []string{"Check", "Valid", "Trust"}[i], got, cell[2+i])
			}
		}
		if err := s.Check(digestOf(append(slices.Clone(content), ' '))); err == nil {
			t.Errorf("%s holds over other content", cell[0])
		}
		if stamped := strings.Contains(cell[5], "stamped"); stamped != (s.Stamp != nil) {
			t.Errorf("%s: its stamp: %v", cell[0], s.Stamp)
		} else if stamped {
			if err := errors.Join(s.Stamp.Check(s.Value), s.Stamp.Trust(roots)); err != nil {
				t.Errorf("%s: its stamp: %v", cell[0], err)
			}
		}
	}
	if files, _ := filepath.Glob("testdata/*.der"); len(files) == 0 || seen < len(files) {
		t.Errorf("%d lines for %d files", seen, len(files))
	}
}

// writeCorpus has openssl make everything, and writes what is expected of it,
// known by how it was made. The keys are thrown away.
func writeCorpus(t *testing.T) {
	y := newYard(t)
	now := time.Now().UTC()
	day, before, after := now.AddDate(0, 0, 1), now.AddDate(0, 0, -1), now.AddDate(2, 0, 0)
	server := serve(t, func(q []byte) []byte { return y.reply(t, "service", q) })
	stamped, err := AddStamp(t.Context(), server.Client(), server.URL, y.sign(t, "p256", "-cades"))
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	b.WriteString("# file | time | Check | Valid | Trust | what it is; see corpus_test.go\n")
	for _, c := range []struct {
		file  string
		der   []byte
		at    time.Time
		words string
	}{
		{"rsa", y.sign(t, "rsa2048", "-cades"), day, "holds | holds | holds | RSA of 2048 bits"},
		{"rsa", nil, before, "holds | early | no chain | the day before"},
		{"rsa", nil, after, "holds | expired | no chain | two years later"},
		{"pss", y.sign(t, "rsa2048", "-cades", "-keyopt", "rsa_padding_mode:pss"), day, "holds | holds | holds | RSA-PSS"},
		{"p256", y.sign(t, "p256", "-cades"), day, "holds | holds | holds | ECDSA on P-256"},
		{"p384", y.sign(t, "p384", "-cades"), day, "holds | holds | holds | ECDSA on P-384"},
		{"keyid", y.sign(t, "p256", "-cades", "-keyid"), day, "holds | holds | holds | named by the key's identifier"},
		{"stamped", stamped, day, "holds | holds | holds | ECDSA on P-256, stamped"},
		{"sha1", y.sign(t, "rsa2048", "-cades", "-md", "sha1"), day, "algorithm | holds | holds | SHA-1"},
		{"short", y.sign(t, "rsa1024", "-cades"), day, "algorithm | holds | holds | RSA of 1024 bits"},
		{"plain", y.sign(t, "p256"), day, "no reference | holds | holds | without signing-certificate-v2"},
		{"bare", y.sign(t, "p256", "-noattr"), day, "missing | holds | holds | without signed attributes"},
		{"inside", y.sign(t, "p256", "-cades", "-nodetach"), day, "type | holds | holds | with the content inside"},
		{"usage", y.sign(t, "enciphering", "-cades"), day, "holds | usage | holds | a key for enciphering"},
		{"strange", y.sign(t, "strange", "-cades"), day, "holds | holds | no chain | a critical extension that is not known"},
		{"wrong", y.sign(t, "p256", "-cades", "-certfile", "otherroot.pem"), day, "holds | holds | no chain | without the certificate between"},
		{"self", y.sign(t, "otherbetween", "-cades", "-certfile", "otherroot.pem"), day, "holds | usage | no chain | under a root that is not trusted"},
	} {
		if c.der != nil {
			if err := os.WriteFile(filepath.Join("testdata", c.file+".der"), c.der, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		fmt.Fprintf(&b, "%s.der | %s | %s\n", c.file, c.at.Format(time.RFC3339), c.words)
	}
	roots := append([]byte("The root of an invented yard; its key is thrown away.\n"), y.roots(t, "root")...)
	for name, data := range map[string][]byte{"testdata/roots.pem": roots, corpus: []byte(b.String())} {
		if err := os.WriteFile(name, data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
