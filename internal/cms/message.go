package cms

import (
	"bytes"
	"crypto/rsa"
	"crypto/x509"
	"errors"
	"fmt"
	"math/big"
)

// Errors of reading.
var (
	// ErrForm: the bytes are not a SignedData of one signer in DER, or larger
	// than MaxSize.
	ErrForm = errors.New("not a signature in the Cryptographic Message Syntax")
	// ErrSigner: the certificate that the signature names as the signer's is
	// not in it, is in it in two forms, or cannot be read.
	ErrSigner = errors.New("the signer's certificate is not in the signature")
)

// Bounds on what is read.
const (
	MaxSize         = 256 << 10 // bytes of a signature
	maxCertificates = 32
	maxModulus      = 8192 // bits of an RSA key: a chain of larger ones takes seconds to check
)

// An attribute says something about the signature, signed or not.
type attribute struct {
	oid    string
	values [][]byte // each one element in DER
	raw    []byte   // the whole attribute
}

// An algorithm is an AlgorithmIdentifier: RFC 5280, 4.1.1.2.
type algorithm struct {
	oid        string
	parameters []byte // one element in DER; nil for none
}

// plain says whether there are no parameters, in either spelling of it.
func (a algorithm) plain() bool {
	return a.parameters == nil || bytes.Equal(a.parameters, []byte{tagNull, 0})
}

// A message is a SignedData of one signer: RFC 5652, 5.
type message struct {
	kind        string // content type
	content     []byte // nil for one that stands elsewhere
	certificate *x509.Certificate
	others      []*x509.Certificate
	digest      algorithm
	signing     algorithm
	hasSigned   bool
	signedRaw   []byte // the signed attributes, as they stand
	signed      []attribute
	value       []byte
	unsigned    []attribute

	before []byte // the elements of the SignedData before its signers
	signer []byte // the elements of the signer before the unsigned attributes
}

// parse reads a message to its last byte.
func parse(der []byte) (*message, error) {
	r := read(der)
	if len(der) > MaxSize {
		r.fail("%d bytes, and at most %d are read", len(der), MaxSize)
	}
	m := new(message)
	outer := r.in(tagSequence, "the content")
	r.end("the content")
	if oid := outer.oid("the content type"); *r.err == nil && oid != oidSigned {
		r.fail("the content is of type %s, not signed data", oid)
	}
	explicit := outer.in(tagConstruct, "the signed data")
	outer.end("the signed data")
	sd := explicit.in(tagSequence, "the signed data")
	explicit.end("the signed data")
	who := m.readSigned(sd)
	if *r.err != nil {
		return nil, fmt.Errorf("%w: %w", ErrForm, *r.err)
	}
	if err := m.find(who); err != nil {
		return nil, err
	}
	return m, nil
}

// readSigned reads the SignedData: RFC 5652, 5.1.
func (m *message) readSigned(sd *reader) (who signerName) {
	all := sd.rest
	var version int
	sd.leaf(tagInteger, &version, "the version")
	digests := sd.in(tagSet, "the digest algorithms")
	var named []algorithm
	for digests.more() {
		named = append(named, readAlgorithm(digests))
	}
	inner := sd.in(tagSequence, "the encapsulated content")
	m.kind = inner.oid("the type of the encapsulated content")
	if inner.more() {
		explicit := inner.in(tagConstruct, "the encapsulated content")
		m.content = append([]byte{}, explicit.body(tagOctets, "the encapsulated content")...)
		explicit.end("the encapsulated content")
	}
	inner.end("the encapsulated content")
	want := 1
	if m.kind != oidData {
		want = 3
	}
	if sd.has(tagConstruct) {
		want = max(want, m.readCertificates(sd.in(tagConstruct, "the certificates")))
	}
	if sd.has(tagConstruct + 1) { // lists of revoked certificates are of no use here
		for lists := sd.in(tagConstruct+1, "the revocation lists"); lists.more(); {
			if raw := lists.any("a revocation list"); len(raw) > 0 && raw[0] != tagSequence {
				want = 5
			}
		}
	}
	if *sd.err != nil {
		return
	}
	m.before = all[:len(all)-len(sd.rest)]
	signers := sd.in(tagSet, "the signers")
	sd.end("the signers")
	if !signers.more() {
		signers.fail("there is no signer")
	}
	who = m.readSigner(signers.in(tagSequence, "the signer"))
	signers.end("the signer; one is expected")
	if who.key != nil {
		want = max(want, 3)
	}
	if *sd.err == nil && version != want {
		sd.fail("the version is %d, and should be %d", version, want)
	}
	for _, a := range named {
		if a.oid == m.digest.oid && a.plain() {
			return who
		}
	}
	sd.fail("the signer's digest algorithm is not among those named")
	return who
}

// readCertificates keeps the certificates and gives the version that they ask
// of the SignedData. What is no certificate of a key, or one that cannot be
// read, is passed over: it can be neither the signer's nor part of a chain.
func (m *message) readCertificates(r *reader) (version int) {
	for n := 0; r.more(); n++ {
		if n == maxCertificates {
			r.fail("there are more than %d certificates", maxCertificates)
			return
		}
		raw := r.any("a certificate")
		if *r.err != nil {
			return
		}
		switch raw[0] {
		case tagSequence:
			if c, err := x509.ParseCertificate(raw); err == nil && bearable(c) {
				m.others = append(m.others, c)
			}
		case tagConstruct + 1:
			version = max(version, 3)
		case tagConstruct + 2:
			version = max(version, 4)
		case tagConstruct + 3:
			version = 5
		default:
			r.fail("a certificate has the tag %#02x", raw[0])
		}
	}
	return version
}

// bearable says whether a key can be worked with in reasonable time.
func bearable(c *x509.Certificate) bool {
	key, ok := c.PublicKey.(*rsa.PublicKey)
	return !ok || key.N.BitLen() <= maxModulus
}

// A signerName says whose a signature is: by issuer and serial number, or by
// the identifier of the key.
type signerName struct {
	issuer []byte
	serial *big.Int
	key    []byte
}

// readSigner reads the SignerInfo: RFC 5652, 5.3.
func (m *message) readSigner(r *reader) (who signerName) {
	all := r.rest
	var version int
	r.leaf(tagInteger, &version, "the signer's version")
	want := 1
	if r.has(tagContext) {
		who.key, want = r.body(tagContext, "the identifier of the signer's key"), 3
	} else {
		name := r.in(tagSequence, "the signer's name")
		who.issuer = name.raw(tagSequence, "the issuer of the signer's certificate")
		name.leaf(tagInteger, &who.serial, "the number of the signer's certificate")
		name.end("the signer's name")
	}
	if *r.err == nil && version != want {
		r.fail("the signer's version is %d, and should be %d", version, want)
	}
	m.digest = readAlgorithm(r)
	if m.hasSigned = r.has(tagConstruct); m.hasSigned {
		m.signedRaw = r.raw(tagConstruct, "the signed attributes")
		again := &reader{m.signedRaw, r.err}
		m.signed = readAttributes(again.in(tagConstruct, "the signed attributes"))
	}
	m.signing = readAlgorithm(r)
	m.value = r.body(tagOctets, "the signature value")
	if *r.err != nil {
		return
	}
	m.signer = all[:len(all)-len(r.rest)]
	if r.more() {
		m.unsigned = readAttributes(r.in(tagConstruct+1, "the unsigned attributes"))
	}
	r.end("the unsigned attributes")
	return who
}

func readAlgorithm(r *reader) (a algorithm) {
	in := r.in(tagSequence, "an algorithm")
	a.oid = in.oid("an algorithm")
	if in.more() {
		a.parameters = in.any("the parameters of an algorithm")
	}
	in.end("the parameters of an algorithm")
	return a
}

func readAttributes(r *reader) (all []attribute) {
	for r.more() {
		raw := r.raw(tagSequence, "an attribute")
		whole := &reader{raw, r.err}
		in := whole.in(tagSequence, "an attribute")
		a := attribute{oid: in.oid("the name of an attribute"), raw: raw}
		values := in.in(tagSet, "the values of an attribute")
		in.end("the values of an attribute")
		for values.more() {
			a.values = append(a.values, values.any("a value of an attribute"))
		}
		all = append(all, a)
	}
	return all
}

// find takes the signer's certificate out of the others. Two different ones
// of the same name would let two readers see two signers.
func (m *message) find(who signerName) error {
	var rest []*x509.Certificate
	for _, c := range m.others {
		var his bool
		if who.key != nil {
			his = bytes.Equal(c.SubjectKeyId, who.key)
		} else {
			his = bytes.Equal(c.RawIssuer, who.issuer) && c.SerialNumber.Cmp(who.serial) == 0
		}
		switch {
		case !his:
			rest = append(rest, c)
		case m.certificate == nil:
			m.certificate = c
		case !m.certificate.Equal(c):
			return ErrSigner
		}
	}
	m.others = rest
	if m.certificate == nil {
		return ErrSigner
	}
	return nil
}

// with gives the message with an attribute that is not signed added.
func (m *message) with(added []byte) []byte {
	all := [][]byte{added}
	for _, a := range m.unsigned {
		all = append(all, a.raw)
	}
	signer := sequence(m.signer, element(tagConstruct+1, sorted(all)...))
	return wrap(m.before, signer)
}

// wrap makes a message of the parts of its SignedData and its only signer.
func wrap(before, signer []byte) []byte {
	sd := sequence(before, element(tagSet, signer))
	return sequence(dotted(oidSigned), element(tagConstruct, sd))
}
