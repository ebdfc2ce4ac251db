package cms

import (
	"bytes"
	"crypto"
	"crypto/ecdsa"
	"crypto/rand"
	"crypto/rsa"
	"crypto/sha256"
	"crypto/x509"
	"errors"
	"fmt"
	"io"

	pkcs12 "software.sslmate.com/src/go-pkcs12"
)

// Errors of identities.
var (
	// ErrPassword: the password does not open the file.
	ErrPassword = errors.New("the password does not open the identity")
	// ErrIdentity: the file is no identity of the form PKCS #12 (RFC 7292),
	// is larger than MaxSize, or lacks the key or the certificate.
	ErrIdentity = errors.New("not an identity to sign with")
	// ErrKey: the key is of a kind that is not accepted; see ErrAlgorithm.
	ErrKey = errors.New("the key of the identity is not accepted")
	// ErrPair: the key belongs to none of the certificates.
	ErrPair = errors.New("the key of the identity belongs to another certificate")
)

// An Identity is a key with the certificate that says whose it is, and with
// those above it as far as they are known, its issuer's first.
type Identity struct {
	Key         crypto.Signer
	Certificate *x509.Certificate
	Chain       []*x509.Certificate
}

// OpenIdentity opens a file of the form PKCS #12, in its present form and in
// those of old, with the password that its owner gave it. Whose certificate
// it is, is found by the key; whatever is not above it is left out, so that a
// signature gives away nothing but its own chain.
//
// The file is its owner's own: how often it has the password digested is not
// bounded.
func OpenIdentity(p12 []byte, password string) (Identity, error) {
	if len(p12) > MaxSize {
		return Identity{}, fmt.Errorf("%w: %d bytes, and at most %d are read", ErrIdentity, len(p12), MaxSize)
	}
	key, first, rest, err := pkcs12.DecodeChain(p12, password)
	if errors.Is(err, pkcs12.ErrIncorrectPassword) || errors.Is(err, pkcs12.ErrDecryption) {
		return Identity{}, ErrPassword
	} else if err != nil {
		return Identity{}, fmt.Errorf("%w: %w", ErrIdentity, err)
	}
	signer, ok := key.(crypto.Signer)
	if !ok {
		return Identity{}, fmt.Errorf("%w: a key of the kind %T", ErrKey, key)
	}
	if err := acceptable(signer.Public()); err != nil {
		return Identity{}, fmt.Errorf("%w: %w", ErrKey, err)
	}
	id := Identity{Key: signer}
	all := append([]*x509.Certificate{first}, rest...)
	for _, c := range all {
		if id.Certificate == nil && samePair(c, signer) {
			id.Certificate = c
		}
	}
	if id.Certificate == nil {
		return Identity{}, ErrPair
	}
	id.Chain = above(id.Certificate, all)
	return id, nil
}

// samePair says whether a certificate is for the key.
func samePair(c *x509.Certificate, key crypto.Signer) bool {
	public, ok := c.PublicKey.(interface{ Equal(crypto.PublicKey) bool })
	return ok && public.Equal(key.Public())
}

// above gives the certificates above one, its issuer's first.
func above(c *x509.Certificate, among []*x509.Certificate) (chain []*x509.Certificate) {
	for !bytes.Equal(c.RawIssuer, c.RawSubject) && len(chain) < maxCertificates-1 {
		found := false
		for _, up := range among {
			if bearable(up) && bytes.Equal(up.RawSubject, c.RawIssuer) && c.CheckSignatureFrom(up) == nil {
				chain, c, found = append(chain, up), up, true
				break
			}
		}
		if !found {
			break
		}
	}
	return chain
}

// Sign signs a SHA-256 digest, as ETSI EN 319 142-1, 6.3, wants a baseline
// signature for PDF (B-B): SignedData without the content, and the signed
// attributes content-type, message-digest and signing-certificate-v2. The time
// of signing is not among them; the PDF states it. What is given back has
// passed Check. An ECDSA key of software signs the same digest the same way
// each time (RFC 6979), and so does one of RSA.
func (id Identity) Sign(digest [32]byte) ([]byte, error) {
	if id.Key == nil || id.Certificate == nil {
		return nil, fmt.Errorf("%w: there is no key, or no certificate", ErrIdentity)
	}
	if err := acceptable(id.Key.Public()); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrKey, err)
	}
	if !samePair(id.Certificate, id.Key) {
		return nil, ErrPair
	}
	attributes := id.attributes(digest)
	over := sha256.Sum256(element(tagSet, attributes...))
	random := io.Reader(rand.Reader)
	if _, software := id.Key.(*ecdsa.PrivateKey); software {
		random = nil
	}
	value, err := id.Key.Sign(random, over[:], crypto.SHA256)
	if err != nil {
		return nil, fmt.Errorf("signing: %w", err)
	}
	der := id.assemble(attributes, value)
	s, err := Parse(der)
	if err == nil {
		err = s.Check(digest)
	}
	if err != nil {
		return nil, fmt.Errorf("the signature just made does not hold: %w", err)
	}
	return der, nil
}

// Size is the number of bytes that Sign gives back at most: exactly that
// many with RSA, up to a dozen fewer with ECDSA. It is 0 where Sign fails
// because of the key. AddStamp adds at most StampRoom.
func (id Identity) Size() int {
	if id.Key == nil || id.Certificate == nil {
		return 0
	}
	var longest int
	switch key := id.Key.Public().(type) {
	case *rsa.PublicKey:
		longest = key.Size()
	case *ecdsa.PublicKey:
		// Two integers, each perhaps with a zero in front, in a sequence.
		number := element(tagInteger, make([]byte, (key.Curve.Params().N.BitLen()+7)/8+1))
		longest = len(sequence(number, number))
	default:
		return 0
	}
	return len(id.assemble(id.attributes([32]byte{}), make([]byte, longest)))
}

// attributes are those signed, in the order of DER.
func (id Identity) attributes(digest [32]byte) [][]byte {
	attribute := func(oid string, value []byte) []byte {
		return sequence(dotted(oid), element(tagSet, value))
	}
	// ESSCertIDv2 of RFC 5035, 4: SHA-256 is the default and not written.
	hash := sha256.Sum256(id.Certificate.Raw)
	issuer := sequence(element(tagConstruct+4, id.Certificate.RawIssuer)) // a directoryName
	meant := sequence(spell(hash[:]), sequence(issuer, spell(id.Certificate.SerialNumber)))
	return sorted([][]byte{
		attribute(oidType, dotted(oidData)),
		attribute(oidDigest, spell(digest[:])),
		attribute(oidReference, sequence(sequence(meant))),
	})
}

// assemble makes the whole of attributes and a signature value.
func (id Identity) assemble(attributes [][]byte, value []byte) []byte {
	version := spell(1)
	digestion := sequence(dotted(oidSHA256)) // no parameters: RFC 5754, 2
	algorithm := sequence(dotted(oidRSA), []byte{tagNull, 0})
	if _, ok := id.Key.Public().(*ecdsa.PublicKey); ok {
		algorithm = sequence(dotted(oidECDSA256))
	}
	name := sequence(id.Certificate.RawIssuer, spell(id.Certificate.SerialNumber))
	signer := sequence(version, name, digestion, element(tagConstruct, attributes...), algorithm, spell(value))

	// The certificates are a set too: RFC 5652, 10.2.3.
	certificates := [][]byte{id.Certificate.Raw}
	for _, c := range id.Chain {
		certificates = append(certificates, c.Raw)
	}
	before := bytes.Join([][]byte{
		version, element(tagSet, digestion), sequence(dotted(oidData)), element(tagConstruct, sorted(certificates)...),
	}, nil)
	return wrap(before, signer)
}
