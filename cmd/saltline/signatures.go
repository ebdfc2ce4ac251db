package main

import (
	"crypto/sha256"
	"crypto/x509"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"saltline/internal/frame"
	"saltline/internal/papers"
	"saltline/internal/record"
	"saltline/internal/seal"
)

// How a time of signing and the ends of a certificate are written.
const (
	clock = "2006-01-02 15:04:05 -07:00"
	day   = "2006-01-02"
)

// signatures says of each signature whether it holds, and of everything else
// that was added to a file that it is no signature.
func (v *verification) signatures(d *sealing, data []byte, roots *x509.CertPool) error {
	all, changes, err := seal.Check(d.now, data)
	if errors.Is(err, seal.ErrMany) {
		v.fault("signatures: %v; none was checked", err)
		return nil
	}
	if err != nil {
		return err
	}
	whole := false
	for _, s := range all {
		v.signature(s, roots)
		v.onCard(d, s)
		whole = whole || s.Err == nil && s.Whole
	}
	for _, c := range changes {
		var signed []string
		for _, s := range all {
			if s.Err == nil && s.Update < c.Update {
				signed = append(signed, s.Name)
			}
		}
		after := "before anybody signed"
		if len(signed) > 0 {
			after = "after " + strings.Join(signed, " and ") + " signed"
		}
		v.fault("changed %s: %s", after, c.What)
	}
	if len(all) > 0 && !whole {
		v.fault("something stands in the file that no signature covers")
	}
	v.unsigned(d, len(all))
	return nil
}

// unsigned says which places for signatures are empty, and what was not asked of
// those that are not.
func (v *verification) unsigned(d *sealing, signed int) {
	var empty []string
	for _, f := range seal.Fields(d.now) {
		if !f.Signed {
			empty = append(empty, f.Name)
		}
	}
	switch {
	case signed == 0 && len(empty) == 0:
		v.holds("signatures: none, and no place for one")
	case signed == 0:
		v.holds("signatures: none; not signed as %s", strings.Join(empty, ", "))
	case len(empty) > 0:
		v.holds("not signed as %s", strings.Join(empty, ", "))
	}
	if signed > 0 {
		v.holds("not checked: whether a certificate was revoked; ask whoever issued it")
	}
}

// signature says whether one signature holds, and whose it is.
func (v *verification) signature(s seal.Signed, roots *x509.CertPool) {
	of := fmt.Sprintf("signature %q in the name of %q", s.Field, s.Name)
	if s.Err != nil {
		v.fault("%s: %v", of, s.Err)
		return
	}
	cert := s.Signature.Certificate
	if name := cert.Subject.CommonName; name != s.Name {
		v.fault("%s: its certificate is of %q", of, name)
	}
	if name := cert.Subject.CommonName; s.Shows != "" && !names(unspaced(s.Shows), unspaced(name)) {
		v.fault("%s: what the field shows, %.80q, does not name %q", of, s.Shows, name)
	}
	at := s.At
	known := at.Format(clock) + " by the signer's clock"
	if at.IsZero() {
		known = "at no time that it states"
	}
	if t := s.Signature.Stamp; t != nil {
		if said, ok := v.stamp(of, s, roots); ok {
			at, known = t.Time, said
		}
	}
	v.holds("%s: what it signs is as it was: signed %s", of, known)
	v.holds("  certificate valid from %s to %s, SHA-256 %x", cert.NotBefore.UTC().Format(day), cert.NotAfter.UTC().Format(day), sha256.Sum256(cert.Raw))
	if at.IsZero() {
		v.fault("%s: without a time, whether its certificate was valid then cannot be said", of)
		return
	}
	if err := s.Signature.Valid(at); err != nil {
		v.fault("%s: %v", of, err)
	}
	if roots == nil {
		v.holds("  not checked: whose certificate it is: anybody can make one in any name; --trust FILE.pem names whose to trust")
		return
	}
	if err := s.Signature.Trust(roots, at); err != nil {
		v.untrusted++
		v.fault("%s: its certificate leads to none of those trusted", of)
		return
	}
	v.holds("  its certificate leads to one of those trusted")
}

// unspaced is a text as a page can carry it, without its spaces, which depend on
// where lines end.
func unspaced(s string) string {
	carried, _ := frame.Clean(s)
	return strings.Join(strings.Fields(carried), "")
}

// names reports whether what a field shows holds a name. What no face has stands
// there as a substitute sign.
func names(shown, name string) bool {
	return strings.Contains(shown, strings.Map(func(r rune) rune {
		if !strings.ContainsRune(shown, r) {
			return '\ufffd'
		}
		return r
	}, name))
}

// mostApart is how far the clock of a signer and a time stamp may be apart without a
// word.
const mostApart = 10 * time.Minute

// stamp says whether the time stamp of a signature holds, and what it states.
func (v *verification) stamp(of string, s seal.Signed, roots *x509.CertPool) (known string, ok bool) {
	t := s.Signature.Stamp
	if err := t.Check(s.Signature.Value); err != nil {
		v.fault("%s: its time stamp: %v", of, err)
		return "", false
	}
	known = fmt.Sprintf("%s by a time stamp of %q", t.Time.Format(clock), t.Certificate.Subject.CommonName)
	if !s.At.IsZero() && t.Time.Sub(s.At).Abs() > mostApart {
		known += fmt.Sprintf(" (%s by the signer's clock)", s.At.Format(clock))
	}
	if roots == nil {
		return known + ", whose certificate was not checked either", true
	}
	if err := t.Trust(roots); err != nil {
		v.untrusted++
		v.fault("%s: the certificate of its time stamp leads to none of those trusted", of)
		return "", false // who is not trusted states no time
	}
	return known, true
}

// onCard says whether the record carries whoever signed for the role.
func (v *verification) onCard(d *sealing, s seal.Signed) {
	if s.Err != nil || signerOf(s.Field) == nil {
		return
	}
	names, err := d.carried(s.Field)
	name := s.Signature.Certificate.Subject.CommonName
	switch {
	case err != nil:
		v.fault("signature %q of %q: who is to sign as %s cannot be read from the record: %v", s.Field, s.Name, s.Field, err)
	case !isAmong(name, names):
		v.fault("signature %q of %q: the record does not carry %q as %s", s.Field, s.Name, name, s.Field)
	}
}

// signerOf is the signer of a daily report whose role is called key; nil for
// others, such as an auditor, whom the record does not know.
func signerOf(key string) *papers.Signer {
	i := slices.IndexFunc(papers.Signers, func(s papers.Signer) bool { return s.Key == key })
	if i < 0 {
		return nil
	}
	return &papers.Signers[i]
}

// carried are the names that the record carries for a role: in the table of
// people, or where the role has signed already.
func (d *sealing) carried(key string) (names []string, err error) {
	role := signerOf(key)
	if d.job == nil {
		if d.job, err = d.made.job(d.first, d.large); err != nil {
			return nil, err
		}
	}
	carries := func(as, who record.Words) {
		if role.Is(as) && who.Known() && !slices.Contains(names, who.Val) {
			names = append(names, who.Val)
		}
	}
	for i := range d.job.People {
		carries(d.job.People[i].Role, d.job.People[i].Name)
	}
	for i := range d.job.Signatures {
		carries(d.job.Signatures[i].Role, d.job.Signatures[i].Name)
	}
	return names, nil
}

// isAmong reports whether a name is one of those, however it is spaced and
// capitalised.
func isAmong(name string, names []string) bool {
	return slices.ContainsFunc(names, func(n string) bool { return record.Folded(n) == record.Folded(name) })
}
