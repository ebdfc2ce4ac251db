package cms

import (
	"bytes"
	"crypto"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rsa"
	"crypto/subtle"
	"crypto/x509"
	"errors"
	"fmt"
	"slices"
)

// Errors of checking, one for each step, in the order of the steps.
var (
	// ErrAlgorithm: a digest other than SHA-256, SHA-384 and SHA-512, or a
	// signature other than RSA (PKCS #1 v1.5 or PSS, 2048 bits or more) and
	// ECDSA (P-256, P-384, P-521).
	ErrAlgorithm = errors.New("the algorithm is not accepted")
	// ErrMissing: there are no signed attributes, or not the content type and
	// the message digest, which must be there: RFC 5652, 5.3.
	ErrMissing = errors.New("a signed attribute is missing")
	// ErrRepeated: one of them is there twice, or has several values: RFC
	// 5652, 11.
	ErrRepeated = errors.New("a signed attribute is there twice")
	// ErrOrder: the signed attributes do not stand in the order of DER: RFC
	// 5652, 5.4 and ITU-T X.690, 11.6.
	ErrOrder = errors.New("the signed attributes are not in order")
	// ErrType: the content type that was signed is another than the one given,
	// or the content does not stand where it should.
	ErrType = errors.New("the content is not of the type signed")
	// ErrNoReference: no signing-certificate-v2 says which certificate was
	// meant: ETSI EN 319 142-1, 6.3.
	ErrNoReference = errors.New("no signed attribute names the certificate")
	// ErrReference: it means another certificate: RFC 5035, 3.
	ErrReference = errors.New("the certificate is another than the one signed for")
	// ErrValue: the key of the certificate did not make this signature value.
	ErrValue = errors.New("the signature value is not of this key and these attributes")
	// ErrDigest: the signature is whole, and was made over other content.
	ErrDigest = errors.New("the content is another than the one signed")
)

// check goes through the steps of RFC 5652, 5.6, and of RFC 5035, 5. The
// digest of the content comes last: ErrDigest then says that the signature
// itself is whole. The older signing-certificate, which names a certificate
// by its SHA-1, is taken where older is true.
func (m *message) check(kind string, digest func(crypto.Hash) ([]byte, error), older bool) error {
	hash, err := m.hash()
	if err != nil {
		return err
	}
	byName, err := m.attributes()
	if err != nil {
		return err
	}
	typed := read(byName[oidType])
	given := typed.oid("the content type")
	if *typed.err != nil || given != kind || m.kind != kind {
		return fmt.Errorf("%w: %s", ErrType, m.kind)
	}
	if err := m.reference(byName, older); err != nil {
		return err
	}
	over := slices.Concat([]byte{tagSet}, m.signedRaw[1:]) // RFC 5652, 5.4: the tag of a set is digested
	if err := verify(m.certificate, hash, m.signing, sum(hash, over), m.value); err != nil {
		return err
	}
	want, err := digest(hash)
	if err != nil {
		return err
	}
	r := read(byName[oidDigest])
	stated := r.body(tagOctets, "the message digest")
	if *r.err != nil || subtle.ConstantTimeCompare(stated, want) != 1 {
		return ErrDigest
	}
	return nil
}

// hash is what the signer digested with.
func (m *message) hash() (crypto.Hash, error) {
	hash, ok := digests[m.digest.oid]
	if !ok || !m.digest.plain() {
		return 0, fmt.Errorf("%w: digest %s", ErrAlgorithm, m.digest.oid)
	}
	return hash, nil
}

// attributes gives the value of each signed attribute, and sees that they are
// as DER and RFC 5652, 11, want them.
func (m *message) attributes() (map[string][]byte, error) {
	if !m.hasSigned {
		return nil, fmt.Errorf("%w: there are none", ErrMissing)
	}
	byName := map[string][]byte{}
	for i, a := range m.signed {
		if _, twice := byName[a.oid]; twice {
			return nil, fmt.Errorf("%w: %s", ErrRepeated, a.oid)
		}
		if i > 0 && bytes.Compare(m.signed[i-1].raw, a.raw) > 0 {
			return nil, ErrOrder
		}
		byName[a.oid] = nil
		if len(a.values) > 0 {
			byName[a.oid] = a.values[0]
		}
		switch a.oid {
		case oidType, oidDigest, oidReference, oidReference1:
			if len(a.values) > 1 {
				return nil, fmt.Errorf("%w: %s has %d values", ErrRepeated, a.oid, len(a.values))
			}
		}
	}
	for _, oid := range []string{oidType, oidDigest} {
		if byName[oid] == nil {
			return nil, fmt.Errorf("%w: %s", ErrMissing, oid)
		}
	}
	return byName, nil
}

// sorted puts the elements of a set in the order of ITU-T X.690, 11.6.
func sorted(elements [][]byte) [][]byte {
	slices.SortFunc(elements, bytes.Compare)
	return elements
}

// reference sees that the first certificate that the signer signed for is
// the signer's: RFC 5035, 3 and 4.
func (m *message) reference(byName map[string][]byte, older bool) error {
	value, isNew := byName[oidReference]
	if !isNew && older {
		value = byName[oidReference1]
	}
	if value == nil {
		return ErrNoReference
	}
	r := read(value)
	outer := r.in(tagSequence, "the certificates signed for")
	r.end("the certificates signed for")
	ids := outer.in(tagSequence, "the certificates signed for")
	id := ids.in(tagSequence, "the certificate signed for")
	hash := crypto.SHA256 // the default of RFC 5035, 4
	if !isNew {
		hash = crypto.SHA1
	} else if id.has(tagSequence) {
		a := readAlgorithm(id)
		var ok bool
		if hash, ok = digests[a.oid]; !ok && *r.err == nil {
			return fmt.Errorf("%w: digest %s", ErrAlgorithm, a.oid)
		}
	}
	stated := id.body(tagOctets, "the digest of the certificate")
	if *r.err != nil || subtle.ConstantTimeCompare(stated, sum(hash, m.certificate.Raw)) != 1 {
		return ErrReference
	}
	return nil
}

// Keys that are accepted, also to sign with: at least minModulus bits of RSA
// (ETSI TS 119 312, from memory), and the curves below.
const minModulus = 2048

// acceptable says what is wrong with a key, in an error that names what was
// found.
func acceptable(key crypto.PublicKey) error {
	switch key := key.(type) {
	case *rsa.PublicKey:
		if n := key.N.BitLen(); n < minModulus || n > maxModulus {
			return fmt.Errorf("an RSA key of %d bits, where %d to %d are accepted", n, minModulus, maxModulus)
		}
		return nil
	case *ecdsa.PublicKey:
		switch key.Curve {
		case elliptic.P256(), elliptic.P384(), elliptic.P521():
			return nil
		}
		return fmt.Errorf("an ECDSA key on %s, where P-256, P-384 and P-521 are accepted", key.Curve.Params().Name)
	case nil:
		return errors.New("a key of an unknown kind, where RSA and ECDSA are accepted")
	}
	return fmt.Errorf("a key of the kind %T, where RSA and ECDSA are accepted", key)
}

// verify sees whether the certificate's key made the value over a digest.
func verify(c *x509.Certificate, hash crypto.Hash, a algorithm, digest, value []byte) error {
	if err := acceptable(c.PublicKey); err != nil {
		return fmt.Errorf("%w: %w", ErrAlgorithm, err)
	}
	var good bool
	switch key := c.PublicKey.(type) {
	case *rsa.PublicKey:
		switch a.oid {
		case oidPSS:
			salt, err := pssSalt(a.parameters, hash)
			if err != nil {
				return err
			}
			good = rsa.VerifyPSS(key, hash, digest, value, &rsa.PSSOptions{SaltLength: salt, Hash: hash}) == nil
		case oidRSA, rsaWith[hash]:
			if !a.plain() {
				return fmt.Errorf("%w: RSA with parameters", ErrAlgorithm)
			}
			good = rsa.VerifyPKCS1v15(key, hash, digest, value) == nil
		default:
			return fmt.Errorf("%w: %s with an RSA key", ErrAlgorithm, a.oid)
		}
	case *ecdsa.PublicKey:
		if a.oid != ecdsaWith[hash] || a.parameters != nil {
			return fmt.Errorf("%w: %s with an ECDSA key", ErrAlgorithm, a.oid)
		}
		good = ecdsa.VerifyASN1(key, digest, value)
	}
	if !good {
		return ErrValue
	}
	return nil
}

var rsaWith = map[crypto.Hash]string{crypto.SHA256: oidRSA256, crypto.SHA384: oidRSA384, crypto.SHA512: oidRSA512}
var ecdsaWith = map[crypto.Hash]string{crypto.SHA256: oidECDSA256, crypto.SHA384: oidECDSA384, crypto.SHA512: oidECDSA512}

// pssSalt reads the parameters of RSASSA-PSS (RFC 4055, 3.1) and gives the
// length of the salt in bytes. Both digests must be the signer's, as RFC 4056
// wants of the first and RFC 4055 recommends of the second. A salt of no bytes
// is refused: the library takes that number for "any".
func pssSalt(parameters []byte, hash crypto.Hash) (int, error) {
	r := read(parameters)
	in := r.in(tagSequence, "the parameters of PSS")
	r.end("the parameters of PSS")
	part := func(n byte) *reader {
		if !in.has(tagConstruct + n) {
			return nil
		}
		return in.in(tagConstruct+n, "a parameter of PSS")
	}
	same := func(a algorithm) bool { return a.plain() && digests[a.oid] == hash }
	ok := false
	if p := part(0); p != nil {
		ok = same(readAlgorithm(p))
		p.end("the digest of PSS")
	}
	if p := part(1); ok && p != nil {
		mask := readAlgorithm(p)
		p.end("the mask of PSS")
		inner := &reader{mask.parameters, r.err}
		ok = mask.oid == oidMGF1 && same(readAlgorithm(inner))
		inner.end("the digest of the mask")
	} else {
		ok = false
	}
	salt, trailer := 20, 1
	if p := part(2); p != nil {
		p.leaf(tagInteger, &salt, "the length of the salt")
		p.end("the length of the salt")
	}
	if p := part(3); p != nil {
		p.leaf(tagInteger, &trailer, "the trailer")
		p.end("the trailer")
	}
	in.end("the parameters of PSS")
	if *r.err != nil || !ok || trailer != 1 || salt < 1 || salt > 512 {
		return 0, fmt.Errorf("%w: parameters of PSS", ErrAlgorithm)
	}
	return salt, nil
}
