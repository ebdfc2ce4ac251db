package cms

import (
	"crypto"
	_ "crypto/sha1"   // by which old time stamps name their certificate
	_ "crypto/sha256" // the digests that are accepted
	_ "crypto/sha512"
	"encoding/asn1"
	"strconv"
	"strings"
)

// Object identifiers, each with where it is from.
const (
	oidData       = "1.2.840.113549.1.7.1"       // RFC 5652, 4
	oidSigned     = "1.2.840.113549.1.7.2"       // RFC 5652, 5.1
	oidType       = "1.2.840.113549.1.9.3"       // RFC 5652, 11.1
	oidDigest     = "1.2.840.113549.1.9.4"       // RFC 5652, 11.2
	oidReference  = "1.2.840.113549.1.9.16.2.47" // signing-certificate-v2: RFC 5035, 3
	oidReference1 = "1.2.840.113549.1.9.16.2.12" // signing-certificate: RFC 2634, 5.4
	oidStamp      = "1.2.840.113549.1.9.16.2.14" // RFC 3161, appendix A
	oidStampText  = "1.2.840.113549.1.9.16.1.4"  // TSTInfo: RFC 3161, 2.4.2

	oidSHA256 = "2.16.840.1.101.3.4.2.1" // RFC 5754, 2
	oidSHA384 = "2.16.840.1.101.3.4.2.2"
	oidSHA512 = "2.16.840.1.101.3.4.2.3"

	oidRSA      = "1.2.840.113549.1.1.1" // RFC 8017, appendix C
	oidMGF1     = "1.2.840.113549.1.1.8"
	oidPSS      = "1.2.840.113549.1.1.10"
	oidRSA256   = "1.2.840.113549.1.1.11"
	oidRSA384   = "1.2.840.113549.1.1.12"
	oidRSA512   = "1.2.840.113549.1.1.13"
	oidECDSA256 = "1.2.840.10045.4.3.2" // RFC 5754, 3.3
	oidECDSA384 = "1.2.840.10045.4.3.3"
	oidECDSA512 = "1.2.840.10045.4.3.4"
	oidKeyUsage = "2.5.29.15" // RFC 5280, 4.2.1.3
	oidPurpose  = "2.5.29.37" // extKeyUsage: RFC 5280, 4.2.1.12
	oidStamping = "1.3.6.1.5.5.7.3.8"
)

// digests are the ones accepted: RFC 5754, 2; without SHA-1 and SHA-224,
// which ETSI TS 119 312 no longer recommends (from memory).
var digests = map[string]crypto.Hash{
	oidSHA256: crypto.SHA256,
	oidSHA384: crypto.SHA384,
	oidSHA512: crypto.SHA512,
}

// dotted makes an identifier out of its dotted form.
func dotted(s string) []byte {
	var id asn1.ObjectIdentifier
	for part := range strings.SplitSeq(s, ".") {
		n, err := strconv.Atoi(part)
		if err != nil {
			panic("cms: " + s + " is no object identifier")
		}
		id = append(id, n)
	}
	return spell(id)
}

// sum digests what is given.
func sum(h crypto.Hash, data []byte) []byte {
	w := h.New()
	w.Write(data)
	return w.Sum(nil)
}
