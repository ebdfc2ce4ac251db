package cms

import (
	"bytes"
	"crypto/x509"
	"encoding/pem"
	"errors"
	"fmt"
	"strings"
	"time"
	"unicode"
)

// Errors of certificates.
var (
	// ErrEarly: the certificate was not valid yet.
	ErrEarly = errors.New("the certificate was not valid yet")
	// ErrExpired: the certificate was no longer valid.
	ErrExpired = errors.New("the certificate was no longer valid")
	// ErrUsage: the certificate states what its key is for, and signing is
	// not among it.
	ErrUsage = errors.New("the certificate is not for signing")
	// ErrTrust: no chain leads from the certificate to one that is trusted.
	ErrTrust = errors.New("no chain to a trusted certificate")
	// ErrRoots: the certificates to trust cannot be read.
	ErrRoots = errors.New("no certificates to trust")
)

// Valid says whether the signer's certificate was within its own period at
// that time, its ends included, and for signing: digitalSignature or
// nonRepudiation, where it states a use of its key (RFC 5280, 4.2.1.3). The
// errors are ErrEarly, ErrExpired and ErrUsage.
func (s *Signature) Valid(at time.Time) error { return valid(s.Certificate, at) }

func valid(c *x509.Certificate, at time.Time) error {
	limited, _ := stated(c, oidKeyUsage)
	switch {
	case at.Before(c.NotBefore):
		return fmt.Errorf("%w: it is from %s on", ErrEarly, c.NotBefore.UTC().Format(time.RFC3339))
	case at.After(c.NotAfter):
		return fmt.Errorf("%w: it was until %s", ErrExpired, c.NotAfter.UTC().Format(time.RFC3339))
	case limited && c.KeyUsage&(x509.KeyUsageDigitalSignature|x509.KeyUsageContentCommitment) == 0:
		return ErrUsage
	}
	return nil
}

// stated says whether a certificate has an extension, and whether whoever
// does not know it must refuse the certificate.
func stated(c *x509.Certificate, oid string) (there, critical bool) {
	for _, e := range c.Extensions {
		if e.Id.String() == oid {
			return true, e.Critical
		}
	}
	return false, false
}

// Trust says whether a chain leads from the signer's certificate, over those
// that came with it, to one of the roots, every one of them valid at that
// time. An extension that is critical and not known breaks the chain. The
// error is ErrTrust, with the reason.
func (s *Signature) Trust(roots *x509.CertPool, at time.Time) error {
	return trust(s.Certificate, s.Others, roots, at, x509.ExtKeyUsageAny)
}

// trust leaves neither the roots nor the time to the library, which would
// take those of this machine.
func trust(c *x509.Certificate, others []*x509.Certificate, roots *x509.CertPool, at time.Time, use x509.ExtKeyUsage) error {
	if roots == nil || at.IsZero() {
		return fmt.Errorf("%w: no roots or no time are given", ErrTrust)
	}
	between := x509.NewCertPool()
	for _, o := range others {
		between.AddCert(o)
	}
	_, err := c.Verify(x509.VerifyOptions{Roots: roots, Intermediates: between, CurrentTime: at, KeyUsages: []x509.ExtKeyUsage{use}})
	if err != nil {
		return fmt.Errorf("%w: %w", ErrTrust, printable{err})
	}
	return nil
}

// A printable error may repeat what a stranger wrote, in a certificate for
// example, and does so without control characters.
type printable struct{ error }

func (p printable) Unwrap() error { return p.error }

func (p printable) Error() string {
	return strings.Map(func(r rune) rune {
		if unicode.IsPrint(r) {
			return r
		}
		return '\ufffd'
	}, p.error.Error())
}

// RootsFromPEM reads the certificates to trust out of text in PEM (RFC 7468)
// and says how many there are. Text between them, and blocks of other kinds,
// are passed over; a certificate that is cut short or cannot be read is an
// error, ErrRoots, and so is there being none.
func RootsFromPEM(data []byte) (*x509.CertPool, int, error) {
	const kind = "CERTIFICATE"
	pool, n := x509.NewCertPool(), 0
	begun := bytes.Count(data, []byte("-----BEGIN "+kind+"-----"))
	for {
		var block *pem.Block
		block, data = pem.Decode(data)
		if block == nil {
			break
		}
		if block.Type != kind {
			continue
		}
		n++
		c, err := x509.ParseCertificate(block.Bytes)
		if err != nil {
			return nil, 0, fmt.Errorf("%w: certificate %d: %w", ErrRoots, n, err)
		}
		if !bearable(c) {
			return nil, 0, fmt.Errorf("%w: certificate %d has an RSA key of more than %d bits", ErrRoots, n, maxModulus)
		}
		pool.AddCert(c)
	}
	switch {
	case n < begun:
		return nil, 0, fmt.Errorf("%w: %d certificates begin, and %d are whole", ErrRoots, begun, n)
	case n == 0:
		return nil, 0, fmt.Errorf("%w: there is none in PEM", ErrRoots)
	}
	return pool, n, nil
}
