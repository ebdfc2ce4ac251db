package cms

import (
	"bytes"
	"crypto/x509"
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	pkcs12 "software.sslmate.com/src/go-pkcs12"
)

// openssl verifies what is signed here, for each kind of key, and refuses it
// over other content.
func TestSignJudged(t *testing.T) {
	y := newYard(t)
	for _, kind := range []string{"rsa2048", "rsa3072", "p256", "p384", "p521"} {
		id := y.identity(t, kind)
		digest := digestOf(content)
		der, err := id.Sign(digest)
		if err != nil {
			t.Fatalf("%s: %v", kind, err)
		}
		if out, err := y.judge(t, der, content); err != nil {
			t.Errorf("%s: openssl does not verify it: %s", kind, out)
		}
		if out, err := y.judge(t, der, append(content, ' ')); err == nil {
			t.Errorf("%s: openssl verifies it over other content: %s", kind, out)
		}
		if over := id.Size() - len(der); over < 0 || over > 16 {
			t.Errorf("%s: Size says %d, and the signature has %d bytes", kind, id.Size(), len(der))
		}
		again, _ := id.Sign(digest)
		if !bytes.Equal(der, again) {
			t.Errorf("%s: signing again gave other bytes", kind)
		}
	}
}

// The size holds for every digest: ECDSA values differ in length.
func TestSize(t *testing.T) {
	y := newYard(t)
	for _, kind := range []string{"p256", "p521"} {
		id := y.identity(t, kind)
		size, shortest := id.Size(), 1<<20
		for i := range 100 {
			der, err := id.Sign([32]byte{byte(i), byte(i >> 8)})
			if err != nil || len(der) > size {
				t.Fatalf("%s: digest %d: %d bytes, Size says %d; %v", kind, i, len(der), size, err)
			}
			shortest = min(shortest, len(der))
		}
		t.Logf("%s: Size %d, shortest %d", kind, size, shortest)
	}
}

// What openssl's own reader sees in a signature: three signed attributes, no
// time of signing, no content.
func TestSignedAttributes(t *testing.T) {
	y := newYard(t)
	der, err := y.identity(t, "p256").Sign(digestOf(content))
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	put(t, dir, "signature", der)
	out := string(openssl(t, dir, "cms", "-cmsout", "-print", "-noout", "-inform", "DER", "-in", "signature"))
	for _, want := range []string{"eContent: <ABSENT>", "id-smime-aa-signingCertificateV2", "messageDigest", "contentType", "unsignedAttrs:\n          <ABSENT>", "ecdsa-with-SHA256"} {
		if !strings.Contains(out, want) {
			t.Errorf("openssl prints no %q in\n%s", want, out)
		}
	}
	_, attributes, _ := strings.Cut(out, "signedAttrs:")
	if n := strings.Count(attributes, "object: "); n != 3 {
		t.Errorf("openssl prints %d attributes", n)
	}
	if strings.Contains(out, "signingTime") {
		t.Error("there is a time of signing")
	}
}

func TestOpenIdentity(t *testing.T) {
	y := newYard(t)
	legacy := []string{"-legacy"}
	if out, err := trial(y.dir, "list", "-providers", "-provider", "legacy"); err != nil {
		t.Logf("openssl has no old ciphers, those of today are tried alone: %s", out)
		legacy = nil
	}
	forms := map[string][]string{
		"of today":          nil,
		"two, whole chain":  {"-name", "A. Nyman"},
		"3DES":              {"-keypbe", "PBE-SHA1-3DES", "-certpbe", "PBE-SHA1-3DES", "-macalg", "sha1"},
		"certificates open": {"-certpbe", "NONE"},
	}
	if legacy != nil {
		forms["RC2"] = legacy
	}
	for form, more := range forms {
		for _, kind := range []string{"rsa2048", "p384"} {
			id := y.identity(t, kind, more...)
			var chain []string
			for _, c := range append([]*x509.Certificate{id.Certificate}, id.Chain...) {
				chain = append(chain, c.Subject.CommonName)
			}
			if diff := cmp.Diff([]string{kind, "between", "Invented Root"}, chain); diff != "" {
				t.Errorf("%s, %s: chain %s", form, kind, diff)
			}
			if _, err := OpenIdentity(y.p12(t, kind, kind, "", more...), password+"?"); !errors.Is(err, ErrPassword) {
				t.Errorf("%s, %s: the wrong password gives %v", form, kind, err)
			}
		}
	}
}

// Passwords of every kind open what they closed.
func TestPasswords(t *testing.T) {
	y := newYard(t)
	for _, word := range []string{"", "x", "blåsesand og sjøvann", "Σαλτ 1", "with \"quotes\" and \\", strings.Repeat("long ", 30)} {
		for form, more := range map[string][]string{"today": nil, "3DES": {"-keypbe", "PBE-SHA1-3DES", "-certpbe", "PBE-SHA1-3DES", "-macalg", "sha1"}} {
			p12 := y.p12(t, "p256", "p256", "", append([]string{"-passout", "pass:" + word}, more...)...)
			if _, err := OpenIdentity(p12, word); err != nil {
				t.Errorf("%q, %s: %v", word, form, err)
			}
			for _, other := range []string{word + " ", "wrong"} {
				if _, err := OpenIdentity(p12, other); !errors.Is(err, ErrPassword) {
					t.Errorf("%q, %s, opened with %q: %v", word, form, other, err)
				}
			}
		}
	}
}

func TestOpenIdentityRefuses(t *testing.T) {
	y := newYard(t)
	for _, c := range []struct {
		kind string
		want error
		says string
	}{
		{"rsa1024", ErrKey, "RSA key of 1024 bits"},
		{"p224", ErrKey, "ECDSA key on P-224"},
		{"ed25519", ErrKey, "ed25519"},
		{"secp256k1", ErrIdentity, "curve"},
	} {
		_, err := OpenIdentity(y.p12(t, c.kind, c.kind, "chain.pem"), password)
		if !errors.Is(err, c.want) || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, want %v with %q", c.kind, err, c.want, c.says)
		}
	}
	whole := y.p12(t, "p256", "p256", "chain.pem")
	for n := 0; n < len(whole); n += 41 {
		if _, err := OpenIdentity(whole[:n], password); err == nil {
			t.Errorf("%d of %d bytes open", n, len(whole))
		}
	}
	for name, data := range map[string][]byte{"text": []byte("no identity"), "certificate": y.roots(t, "p256"), "large": make([]byte, MaxSize+1)} {
		if _, err := OpenIdentity(data, password); !errors.Is(err, ErrIdentity) {
			t.Errorf("%s: %v, want ErrIdentity", name, err)
		}
	}
	// openssl writes no key beside another's certificate; the library does.
	id, other := y.identity(t, "p256"), y.identity(t, "p384")
	mixed, err := pkcs12.Modern.Encode(id.Key, other.Certificate, other.Chain, password)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := OpenIdentity(mixed, password); !errors.Is(err, ErrPair) {
		t.Errorf("a key beside another's certificate: %v", err)
	}
	// Nor does it put the key's certificate last, nor a stranger's among them.
	strange, _ := x509.ParseCertificate(other.Certificate.Raw)
	mixed, err = pkcs12.Modern.Encode(id.Key, strange, append(slices.Clone(id.Chain), id.Certificate), password)
	if err != nil {
		t.Fatal(err)
	}
	found, err := OpenIdentity(mixed, password)
	if err != nil || !found.Certificate.Equal(id.Certificate) || len(found.Chain) != 2 {
		t.Errorf("the certificate of the key is last: %v, %d above it, %v", found.Certificate.Subject, len(found.Chain), err)
	}
	// One between of the right name and the wrong key is not part of the chain.
	beside, err := OpenIdentity(y.p12(t, "p256", "p256", "otherbetween.pem"), password)
	if err != nil || len(beside.Chain) != 0 {
		t.Errorf("%d above it, want none: %v", len(beside.Chain), err)
	}
	id.Certificate = other.Certificate
	if _, err := id.Sign(digestOf(content)); !errors.Is(err, ErrPair) {
		t.Errorf("a key with another's certificate signs: %v", err)
	}
	if id.Size() == 0 {
		t.Error("Size of a pair that does not match is 0")
	}
	if _, err := (Identity{}).Sign(digestOf(content)); !errors.Is(err, ErrIdentity) || (Identity{}).Size() != 0 {
		t.Errorf("no key signs: %v", err)
	}
}

// What openssl signs is checked here.
func TestCheckForeign(t *testing.T) {
	y := newYard(t)
	at := time.Now()
	roots, n, err := RootsFromPEM(y.roots(t, "root"))
	if err != nil || n != 1 {
		t.Fatal(n, err)
	}
	pss := []string{"-keyopt", "rsa_padding_mode:pss"}
	for _, c := range []struct {
		name, who string
		more      []string
		want      error
	}{
		{"RSA 2048", "rsa2048", nil, nil},
		{"RSA 3072", "rsa3072", nil, nil},
		{"RSA-PSS", "rsa2048", pss, nil},
		{"RSA-PSS with a salt of 20", "rsa2048", append(pss[:2:2], "-keyopt", "rsa_pss_saltlen:20"), nil},
		{"RSA-PSS without salt", "rsa2048", append(pss[:2:2], "-keyopt", "rsa_pss_saltlen:0"), ErrAlgorithm},
		{"RSA-PSS, masked by SHA-1", "rsa2048", append(pss[:2:2], "-keyopt", "rsa_mgf1_md:sha1"), ErrAlgorithm},
		{"P-256", "p256", nil, nil},
		{"P-384", "p384", nil, nil},
		{"P-521", "p521", nil, nil},
		{"by key identifier", "p256", []string{"-keyid"}, nil},
		{"short RSA key", "rsa1024", nil, ErrAlgorithm},
		{"P-224", "p224", nil, ErrAlgorithm},
		{"SHA-1", "rsa2048", []string{"-md", "sha1"}, ErrAlgorithm},
		{"SHA-224", "rsa2048", []string{"-md", "sha224"}, ErrAlgorithm},
		{"SHA3-256", "rsa2048", []string{"-md", "sha3-256"}, ErrAlgorithm},
		{"SHA-512, asked for SHA-256", "rsa2048", []string{"-md", "sha512"}, ErrAlgorithm},
		{"content inside", "p256", []string{"-nodetach"}, ErrType},
		{"another type", "p256", []string{"-econtent_type", "1.2.3.4"}, ErrType},
	} {
		der := y.sign(t, c.who, append([]string{"-cades"}, c.more...)...)
		s, err := Parse(der)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if err := s.Check(digestOf(content)); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", c.name, err, c.want)
		}
		if c.want != nil {
			continue
		}
		if err := s.Check(digestOf(append(content, ' '))); !errors.Is(err, ErrDigest) {
			t.Errorf("%s over other content: %v", c.name, err)
		}
		if err := errors.Join(s.Valid(at), s.Trust(roots, at)); err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
		if s.Stamp != nil || s.Certificate.Subject.CommonName != c.who || len(s.Others) != 2 {
			t.Errorf("%s: signer %s, %d others", c.name, s.Certificate.Subject, len(s.Others))
		}
	}
	for name, c := range map[string]struct {
		more []string
		want error
	}{
		"no signing certificate": {nil, ErrNoReference},
		"no attributes":          {[]string{"-noattr"}, ErrMissing},
	} {
		s, err := Parse(y.sign(t, "p256", c.more...))
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if err := s.Check(digestOf(content)); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", name, err, c.want)
		}
	}
	if _, err := Parse(y.sign(t, "p256", "-cades", "-nocerts")); !errors.Is(err, ErrSigner) {
		t.Errorf("without certificates: %v", err)
	}
	two := y.sign(t, "p256", "-cades", "-signer", "p384.pem", "-inkey", "p384.key")
	if _, err := Parse(two); !errors.Is(err, ErrForm) {
		t.Errorf("of two signers: %v", err)
	}
	if _, err := Parse(y.sign(t, "p256", "-cades", "-stream", "-nodetach")); !errors.Is(err, ErrForm) {
		t.Errorf("of undetermined length: %v", err)
	}
}

// The other accepted digests.
func TestCheckHash(t *testing.T) {
	y := newYard(t)
	for _, md := range []string{"sha256", "sha384", "sha512"} {
		for _, who := range []string{"rsa2048", "p256", "p521"} {
			s, err := Parse(y.sign(t, who, "-cades", "-md", md))
			if err != nil {
				t.Fatal(err)
			}
			h := s.Hash()
			if err := s.CheckHash(h, sum(h, content)); err != nil {
				t.Errorf("%s, %s: %v", md, who, err)
			}
			if err := s.CheckHash(h, sum(h, content)[:h.Size()-1]); !errors.Is(err, ErrDigest) {
				t.Errorf("%s, %s, a digest cut short: %v", md, who, err)
			}
			if want := strings.ToUpper(strings.Replace(md, "sha", "sha-", 1)); h.String() != want {
				t.Errorf("%s: Hash says %v", md, h)
			}
		}
	}
}
