package cms

import (
	"crypto"
	"crypto/subtle"
	"crypto/x509"
	"errors"
	"fmt"
	"math/big"
	"time"
)

// Errors of time stamps, beside those of Check.
var (
	// ErrStamp: what stands where the time stamp should is none, or there are
	// several.
	ErrStamp = errors.New("the time stamp cannot be read")
	// ErrImprint: the time stamp is over another signature value.
	ErrImprint = errors.New("the time stamp is over another signature")
	// ErrStamper: the certificate is not for stamping times, and nothing else:
	// RFC 3161, 2.3.
	ErrStamper = errors.New("the certificate of the time stamp is not one of a time-stamp service")
)

// A Stamp is a token of RFC 3161: a service states that the signature was
// there at a time. Neither is known to be true before Check and Trust.
type Stamp struct {
	Time        time.Time           // as stated
	Certificate *x509.Certificate   // the service's; nil for a stamp that cannot be read
	Others      []*x509.Certificate // that came with it

	message *message
	imprint imprint
	nonce   *big.Int // nil for none
	err     error    // why it cannot be read
}

// An imprint is what a stamp is over: RFC 3161, 2.4.1.
type imprint struct {
	hash  crypto.Hash // 0 for one that is not accepted
	value []byte
}

// of says whether the imprint is that of the signature value.
func (i imprint) of(value []byte) bool {
	return i.hash != 0 && subtle.ConstantTimeCompare(i.value, sum(i.hash, value)) == 1
}

// stamp gives the stamp that a message carries.
func (m *message) stamp() *Stamp {
	var tokens [][]byte
	there := false
	for _, a := range m.unsigned {
		if a.oid == oidStamp {
			there = true
			tokens = append(tokens, a.values...)
		}
	}
	switch {
	case !there:
		return nil
	case len(tokens) != 1:
		return &Stamp{err: fmt.Errorf("%w: there are %d, where one is expected", ErrStamp, len(tokens))}
	}
	t, err := parseStamp(tokens[0])
	if err != nil {
		return &Stamp{err: err}
	}
	return t
}

// parseStamp reads a token: a message whose content is a TSTInfo.
func parseStamp(der []byte) (*Stamp, error) {
	m, err := parse(der)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrStamp, err)
	}
	if m.kind != oidStampText || m.content == nil {
		return nil, fmt.Errorf("%w: its content is of type %s", ErrStamp, m.kind)
	}
	t := &Stamp{Certificate: m.certificate, Others: m.others, message: m}
	r := read(m.content)
	t.readText(r.in(tagSequence, "the text of the stamp"))
	r.end("the text of the stamp")
	if *r.err != nil {
		return nil, fmt.Errorf("%w: %w", ErrStamp, *r.err)
	}
	return t, nil
}

// readText reads the TSTInfo: RFC 3161, 2.4.2.
func (t *Stamp) readText(r *reader) {
	var version int
	r.leaf(tagInteger, &version, "the version of the stamp")
	if *r.err == nil && version != 1 {
		r.fail("the version of the stamp is %d", version)
	}
	r.oid("the policy of the stamp")
	t.imprint = readImprint(r)
	var serial *big.Int
	r.leaf(tagInteger, &serial, "the number of the stamp")
	r.leaf(tagTime, &t.Time, "the time of the stamp")
	t.Time = t.Time.UTC()
	if r.has(tagSequence) {
		r.raw(tagSequence, "the accuracy of the stamp")
	}
	if r.has(tagBoolean) {
		r.raw(tagBoolean, "the ordering of the stamp")
	}
	if r.has(tagInteger) {
		r.leaf(tagInteger, &t.nonce, "the nonce of the stamp")
	}
	for _, tag := range []byte{tagConstruct, tagConstruct + 1} { // the service's name; extensions
		if r.has(tag) {
			r.raw(tag, "the end of the stamp")
		}
	}
	r.end("the text of the stamp")
}

func readImprint(r *reader) (i imprint) {
	in := r.in(tagSequence, "the imprint of the stamp")
	a := readAlgorithm(in)
	if a.plain() {
		i.hash = digests[a.oid]
	}
	i.value = in.body(tagOctets, "the imprint of the stamp")
	in.end("the imprint of the stamp")
	return i
}

// Check says whether the stamp is whole, over this signature value, and
// signed with a certificate for stamping within its period. The errors are
// those of Signature.Check and Signature.Valid, and ErrStamp, ErrImprint and
// ErrStamper. As RFC
// 3161 wants it, a token may name its certificate by SHA-1 (signing-certificate
// of RFC 2634); everything else is digested with what Signature.Check accepts.
func (t *Stamp) Check(value []byte) error {
	if t.err != nil {
		return t.err
	}
	err := t.message.check(oidStampText, func(h crypto.Hash) ([]byte, error) { return sum(h, t.message.content), nil }, true)
	if err != nil {
		return err
	}
	if !t.imprint.of(value) {
		return ErrImprint
	}
	purposes := t.Certificate.ExtKeyUsage
	_, critical := stated(t.Certificate, oidPurpose)
	if !critical || len(t.Certificate.UnknownExtKeyUsage) > 0 || len(purposes) != 1 || purposes[0] != x509.ExtKeyUsageTimeStamping {
		return ErrStamper
	}
	return valid(t.Certificate, t.Time)
}

// Trust says whether a chain leads from the service's certificate to one of
// the roots, valid at the time stated. The errors are ErrStamp and ErrTrust.
func (t *Stamp) Trust(roots *x509.CertPool) error {
	if t.err != nil {
		return t.err
	}
	return trust(t.Certificate, t.Others, roots, t.Time, x509.ExtKeyUsageTimeStamping)
}
