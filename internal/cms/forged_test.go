package cms

import (
	"crypto"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"errors"
	"math/big"
	"slices"
	"testing"
	"time"
)

// Signatures here are made by the key's own holder, valid but for one thing;
// no program that signs can be asked for them.

// holder makes a key and a certificate that it signed itself.
func holder(t testing.TB, serial int64) Identity {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	c := &x509.Certificate{
		SerialNumber: big.NewInt(serial),
		Subject:      pkix.Name{CommonName: "B. Lunde", Organization: []string{"Invented Yard"}},
		NotBefore:    time.Date(2027, 1, 1, 0, 0, 0, 0, time.UTC),
		NotAfter:     time.Date(2027, 12, 31, 23, 59, 59, 0, time.UTC),
		KeyUsage:     x509.KeyUsageDigitalSignature,
	}
	der, err := x509.CreateCertificate(rand.Reader, c, c, key.Public(), key)
	if err != nil {
		t.Fatal(err)
	}
	if c, err = x509.ParseCertificate(der); err != nil {
		t.Fatal(err)
	}
	return Identity{Key: key, Certificate: c}
}

// signAs signs the attributes as they stand.
func (id Identity) signAs(t testing.TB, attributes [][]byte) []byte {
	t.Helper()
	over := sha256.Sum256(element(tagSet, attributes...))
	value, err := ecdsa.SignASN1(rand.Reader, id.Key.(*ecdsa.PrivateKey), over[:])
	if err != nil {
		t.Fatal(err)
	}
	return id.assemble(attributes, value)
}

func TestForgedAttributes(t *testing.T) {
	id, other := holder(t, 1), holder(t, 2)
	digest := digestOf(content)
	plain := id.attributes(digest)
	// By length, they stand in this order.
	kind, print, meant := plain[0], plain[1], plain[2]
	attribute := func(oid string, values ...[]byte) []byte {
		return sequence(dotted(oid), element(tagSet, values...))
	}
	set := func(all ...[]byte) [][]byte { return sorted(slices.Clone(all)) }
	// signing-certificate-v2 with another digest, and with the default spelled.
	byDigest := func(oid string, print []byte) []byte {
		id := sequence(sequence(dotted(oid)), spell(print))
		return attribute(oidReference, sequence(sequence(id)))
	}
	sum512, sum256 := sum(digests[oidSHA512], id.Certificate.Raw), sum(digests[oidSHA256], id.Certificate.Raw)
	for _, c := range []struct {
		name       string
		attributes [][]byte
		want       error
	}{
		{"plain", plain, nil},
		{"one more", set(kind, print, meant, attribute("1.2.3.4", spell("x"), spell("y"))), nil},
		{"certificate by SHA-512", set(kind, print, byDigest(oidSHA512, sum512)), nil},
		{"certificate by SHA-256, spelled", set(kind, print, byDigest(oidSHA256, sum256)), nil},
		{"certificate by an unknown digest", set(kind, print, byDigest("1.2.3.4", sum256)), ErrAlgorithm},
		{"out of order", [][]byte{print, kind, meant}, ErrOrder},
		{"no content type", set(print, meant), ErrMissing},
		{"no digest", set(kind, meant), ErrMissing},
		{"digest without value", set(kind, attribute(oidDigest), meant), ErrMissing},
		{"no certificate named", set(kind, print), ErrNoReference},
		{"certificate without value", set(kind, print, attribute(oidReference)), ErrNoReference},
		{"another certificate named", set(kind, print, other.attributes(digest)[2]), ErrReference},
		{"certificate by part of its digest", set(kind, print, byDigest(oidSHA256, sum256[:20])), ErrReference},
		{"an empty list of certificates", set(kind, print, attribute(oidReference, sequence(sequence()))), ErrReference},
		{"digest twice", set(kind, print, attribute(oidDigest, spell(sum256)), meant), ErrRepeated},
		{"digest twice, the same", set(kind, print, print, meant), ErrRepeated},
		{"two digests in one", set(kind, attribute(oidDigest, spell(digest[:]), spell(sum256)), meant), ErrRepeated},
		{"certificate named twice", set(kind, print, meant, other.attributes(digest)[2]), ErrRepeated},
		{"type twice", set(kind, kind, print, meant), ErrRepeated},
		{"another type", set(attribute(oidType, dotted("1.2.3.4")), print, meant), ErrType},
		{"a type that is none", set(attribute(oidType, spell("data")), print, meant), ErrType},
		{"a digest of another form", set(kind, attribute(oidDigest, spell("digest")), meant), ErrDigest},
		{"another digest", set(kind, attribute(oidDigest, spell(sum256)), meant), ErrDigest},
	} {
		s, err := Parse(id.signAs(t, c.attributes))
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if err := s.Check(digest); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", c.name, err, c.want)
		}
	}
}

// The older signing-certificate is not enough for a signature.
func TestOlderReference(t *testing.T) {
	id := holder(t, 1)
	digest := digestOf(content)
	all := id.attributes(digest)
	print := sum(crypto.SHA1, id.Certificate.Raw)
	old := sequence(dotted(oidReference1), element(tagSet, sequence(sequence(sequence(spell(print))))))
	s, err := Parse(id.signAs(t, sorted([][]byte{all[0], all[1], old})))
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Check(digest); !errors.Is(err, ErrNoReference) {
		t.Errorf("%v, want ErrNoReference", err)
	}
}

// Two that could each be the signer's are refused, and the same one twice is
// read as one.
func TestTwoCertificates(t *testing.T) {
	id, other := holder(t, 1), holder(t, 1)
	der := id.signAs(t, id.attributes(digestOf(content)))
	for name, c := range map[string]struct {
		more *x509.Certificate
		want error
	}{
		"the same":            {id.Certificate, nil},
		"another of its name": {other.Certificate, ErrSigner},
	} {
		with := id
		with.Chain = []*x509.Certificate{c.more}
		m, err := parse(der)
		if err != nil {
			t.Fatal(err)
		}
		s, err := Parse(with.assemble(id.attributes(digestOf(content)), m.value))
		if !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", name, err, c.want)
		}
		if c.want == nil && s.Check(digestOf(content)) != nil {
			t.Errorf("%s: %v", name, s.Check(digestOf(content)))
		}
	}
}

// What else may stand among the certificates asks for another version of the
// whole: RFC 5652, 5.1.
func TestVersion(t *testing.T) {
	id := holder(t, 1)
	digest := digestOf(content)
	m, err := parse(id.signAs(t, id.attributes(digest)))
	if err != nil {
		t.Fatal(err)
	}
	r := read(m.before)
	r.raw(tagInteger, "the version")
	algorithms, inner, own := r.raw(tagSet, "it"), r.raw(tagSequence, "it"), id.Certificate.Raw
	certificates := func(more ...[]byte) []byte { return element(tagConstruct, append(more, own)...) }
	lists := func(more ...[]byte) []byte { return element(tagConstruct+1, more...) }
	algorithm := sequence(dotted(oidSHA512))
	for _, c := range []struct {
		name    string
		version int // 0 for one that is read with none
		parts   [][]byte
	}{
		{"plain", 1, [][]byte{algorithms, inner, certificates()}},
		{"one that cannot be read", 1, [][]byte{algorithms, inner, certificates(sequence(spell(1)))}},
		{"an attribute certificate", 3, [][]byte{algorithms, inner, certificates(element(tagConstruct+1, spell(1)))}},
		{"a later one", 4, [][]byte{algorithms, inner, certificates(element(tagConstruct+2, spell(1)))}},
		{"another", 5, [][]byte{algorithms, inner, certificates(element(tagConstruct+3, spell(1)))}},
		{"none of these", 0, [][]byte{algorithms, inner, certificates(element(tagConstruct+4, spell(1)))}},
		{"a tag of two bytes", 0, [][]byte{algorithms, inner, certificates([]byte{0xbf, 0x22, 0})}},
		{"a revocation list", 1, [][]byte{algorithms, inner, certificates(), lists(sequence())}},
		{"another list", 5, [][]byte{algorithms, inner, certificates(), lists(element(tagConstruct+1, spell(1)))}},
		{"more digests", 1, [][]byte{element(tagSet, algorithm, sequence(dotted(oidSHA256), []byte{tagNull, 0})), inner, certificates()}},
		{"another digest", 0, [][]byte{element(tagSet, algorithm), inner, certificates()}},
		{"no digest", 0, [][]byte{element(tagSet), inner, certificates()}},
	} {
		for version := range 7 {
			s, err := Parse(wrap(slices.Concat(append([][]byte{spell(version)}, c.parts...)...), sequence(m.signer)))
			if version == 0 || version != c.version {
				if !errors.Is(err, ErrForm) {
					t.Errorf("%s, version %d: %v, want ErrForm", c.name, version, err)
				}
			} else if err != nil || s.Check(digest) != nil {
				t.Errorf("%s, version %d: %v", c.name, version, err)
			}
		}
	}
}

// The signer's own version goes by how the signer is named: RFC 5652, 5.3.
func TestSignerVersion(t *testing.T) {
	id := holder(t, 1)
	digest := digestOf(content)
	m, err := parse(id.signAs(t, id.attributes(digest)))
	if err != nil {
		t.Fatal(err)
	}
	rest := m.signer[len(spell(1)):]
	for version := range 5 {
		_, err := Parse(wrap(m.before, sequence(spell(version), rest)))
		if version == 1 && err != nil || version != 1 && !errors.Is(err, ErrForm) {
			t.Errorf("version %d: %v", version, err)
		}
	}
}

func TestTrim(t *testing.T) {
	der := sequence(spell("salt"), []byte{tagOctets, 2, 0, 0}) // it ends in zeros itself
	for n := range 3 {
		got, err := Trim(append(slices.Clone(der), make([]byte, n*100)...))
		if err != nil || !slices.Equal(got, der) {
			t.Errorf("%d zeros behind it: %x, %v", n*100, got, err)
		}
	}
	for name, padded := range map[string][]byte{
		"nothing": nil, "zeros": make([]byte, 9), "cut": der[:len(der)-1], "a byte far behind": append(append(slices.Clone(der), make([]byte, 50)...), 1),
	} {
		if _, err := Trim(padded); !errors.Is(err, ErrForm) {
			t.Errorf("%s: %v, want ErrForm", name, err)
		}
	}
}

// Attributes that are not signed are put in order, whatever there was.
func TestWith(t *testing.T) {
	id := holder(t, 1)
	m, err := parse(id.signAs(t, id.attributes(digestOf(content))))
	if err != nil {
		t.Fatal(err)
	}
	long := sequence(dotted("1.2.3.4"), element(tagSet, spell("some words")))
	short := sequence(dotted("1.2.3.5"), element(tagSet))
	again, err := parse(m.with(short))
	if err != nil {
		t.Fatal(err)
	}
	s, err := Parse(again.with(long))
	if err != nil || s.Check(digestOf(content)) != nil {
		t.Fatal(err)
	}
	if all := s.message.unsigned; len(all) != 2 || !slices.Equal(all[0].raw, short) || !slices.Equal(all[1].raw, long) {
		t.Errorf("%d attributes, or not in order", len(all))
	}
}

// The value of another key over the same attributes.
func TestOtherKey(t *testing.T) {
	id, other := holder(t, 1), holder(t, 1)
	other.Certificate = id.Certificate
	s, err := Parse(other.signAs(t, id.attributes(digestOf(content))))
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Check(digestOf(content)); !errors.Is(err, ErrValue) {
		t.Errorf("%v, want ErrValue", err)
	}
}

func TestValid(t *testing.T) {
	s := &Signature{Certificate: holder(t, 1).Certificate}
	for _, c := range []struct {
		at   string
		want error
	}{
		{"2026-12-31T23:59:59Z", ErrEarly},
		{"2027-01-01T00:00:00Z", nil},
		{"2027-12-31T23:59:59Z", nil},
		{"2027-12-31T23:59:59.001Z", ErrExpired},
		{"2028-01-01T00:00:00Z", ErrExpired},
		{"2028-01-01T00:30:00+01:00", nil}, // half past eleven of the last evening
	} {
		at, err := time.Parse(time.RFC3339, c.at)
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Valid(at); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", c.at, err, c.want)
		}
	}
}

// Serial numbers and names of any length are written as DER wants them.
func TestElement(t *testing.T) {
	for _, n := range []int{0, 1, 127, 128, 255, 256, 65535, 65536} {
		want, err := asn1.Marshal(make([]byte, n))
		if err != nil {
			t.Fatal(err)
		}
		got := element(tagOctets, make([]byte, n))
		if !slices.Equal(got, want) {
			t.Errorf("%d bytes are headed %x, want %x", n, got[:4], want[:4])
		}
		r := read(got)
		if body := r.body(tagOctets, "it"); len(body) != n || *r.err != nil {
			t.Errorf("%d bytes are read as %d: %v", n, len(body), *r.err)
		}
	}
	for name, der := range map[string]string{
		"empty": "", "tag alone": "\x04", "cut": "\x04\x02a", "indefinite": "\x04\x80\x00\x00", "four bytes of length": "\x04\x84\x00\x00\x00\x01a",
		"long form of a short length": "\x04\x81\x01a", "zero in front of the length": "\x04\x82\x00\x80" + string(make([]byte, 128)), "length cut": "\x04\x82\x01",
		"another tag": "\x05\x00",
	} {
		r := read([]byte(der))
		if r.body(tagOctets, "it"); *r.err == nil {
			t.Errorf("%s is read", name)
		}
	}
}
