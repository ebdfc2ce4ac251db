// Package cms signs digests and checks signatures in the Cryptographic
// Message Syntax.
//
// The form is the one that ETSI EN 319 142-1 wants for PDF: baseline B-B, and
// B-T with a time stamp. It knows nothing of PDF, reads no clock, and asks
// nothing of the network but through the client that AddStamp is given.
//
// A signature is read, and then asked one thing at a time: Check, whether it
// is whole and over this content; Valid, whether the certificate was for that
// use at that time; Trust, whether its chain ends where the reader trusts.
// What these say of a certificate rests on the signature alone: lists of
// revoked certificates are asked nowhere.
//
// RFC 5652 is the syntax, RFC 5035 the signing certificate, RFC 3161 the time
// stamp, RFC 5280 the certificates. Their clauses, and those of ETSI EN
// 319 142-1, are given from memory.
package cms

import (
	"crypto"
	"crypto/x509"
	"fmt"
	"slices"
)

// A Signature is one that was read. Nothing of it is known to be true before
// Check has passed, and nothing of its certificate before Trust.
type Signature struct {
	Certificate *x509.Certificate   // the signer's
	Others      []*x509.Certificate // that came with it, in no order
	Value       []byte              // the signature value, over which the stamp is
	Stamp       *Stamp              // nil for none; one that cannot be read says so when checked

	message *message
}

// Parse reads a signature from its first byte to its last, in DER; Trim
// takes off what fills it up in a PDF. The bytes may come from anyone. Errors are
// ErrForm and ErrSigner.
func Parse(der []byte) (*Signature, error) {
	m, err := parse(der)
	if err != nil {
		return nil, err
	}
	return &Signature{
		Certificate: m.certificate,
		Others:      m.others,
		Value:       m.value,
		Stamp:       m.stamp(),
		message:     m,
	}, nil
}

// Check says whether the signer's key signed the SHA-256 digest of content
// that stands elsewhere. The errors are ErrAlgorithm to ErrDigest.
func (s *Signature) Check(digest [32]byte) error { return s.CheckHash(crypto.SHA256, digest[:]) }

// Hash is what the content is to be digested with for CheckHash, and 0 for an
// algorithm that is not accepted.
func (s *Signature) Hash() crypto.Hash {
	h, _ := s.message.hash()
	return h
}

// CheckHash is Check with the digest of another of the accepted algorithms.
func (s *Signature) CheckHash(hash crypto.Hash, digest []byte) error {
	if s.message.content != nil {
		return fmt.Errorf("%w: it holds content of its own", ErrType)
	}
	return s.message.check(oidData, func(h crypto.Hash) ([]byte, error) {
		if h != hash {
			return nil, fmt.Errorf("%w: %v was signed, and %v of the content is at hand", ErrAlgorithm, h, hash)
		}
		return digest, nil
	}, false)
}

// Trim takes the zero bytes off that fill the hole which a PDF keeps for a
// signature (ISO 32000-2, 12.8.3.3.1, from memory), by the length that the
// signature states: it may itself end in zeros. Anything else behind it is
// ErrForm.
func Trim(padded []byte) ([]byte, error) {
	r := read(padded)
	der := r.raw(tagSequence, "the content")
	if i := slices.IndexFunc(r.rest, func(b byte) bool { return b != 0 }); i >= 0 {
		r.fail("%d bytes behind it, there is one that is not zero", i)
	}
	if *r.err != nil {
		return nil, fmt.Errorf("%w: %w", ErrForm, *r.err)
	}
	return der, nil
}
