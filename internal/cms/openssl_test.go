package cms

import (
	"bytes"
	"crypto/sha256"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
)

// Whatever is made here is made by openssl, in a folder of its own, and thrown
// away with its keys at the end.

const password = "salt & water"

var content = []byte("Frame 18, 11 extracts, 4 May 2027.\n")

// openssl runs the program and gives what it wrote.
func openssl(t testing.TB, dir string, args ...string) []byte {
	t.Helper()
	out, err := trial(dir, args...)
	if err != nil {
		t.Fatalf("openssl %s: %v\n%s", strings.Join(args, " "), err, out)
	}
	return out
}

// trial is openssl where it may refuse.
func trial(dir string, args ...string) ([]byte, error) {
	c := exec.Command("openssl", args...)
	c.Dir = dir
	return c.CombinedOutput()
}

func put(t testing.TB, dir, name string, data []byte) string {
	t.Helper()
	if err := os.WriteFile(filepath.Join(dir, name), data, 0o600); err != nil {
		t.Fatal(err)
	}
	return name
}

func get(t testing.TB, dir, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(dir, name))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

const settings = `
[req]
distinguished_name = name
prompt = no
[name]
O = Invented Yard
[root]
basicConstraints = critical, CA:TRUE
keyUsage = critical, keyCertSign, cRLSign
subjectKeyIdentifier = hash
[between]
basicConstraints = critical, CA:TRUE, pathlen:0
keyUsage = critical, keyCertSign
subjectKeyIdentifier = hash
[person]
basicConstraints = critical, CA:FALSE
keyUsage = critical, digitalSignature, nonRepudiation
subjectKeyIdentifier = hash
[committed]
keyUsage = critical, nonRepudiation
[enciphering]
keyUsage = critical, keyEncipherment
[unstated]
subjectKeyIdentifier = hash
[strange]
1.3.6.1.4.1.32473.1 = critical, ASN1:UTF8String:unknown
[stamping]
keyUsage = critical, digitalSignature
extendedKeyUsage = critical, timeStamping
[mixed]
keyUsage = critical, digitalSignature
extendedKeyUsage = timeStamping
[both]
keyUsage = critical, digitalSignature
extendedKeyUsage = critical, timeStamping, emailProtection
[service]
serial = serial
crypto_device = builtin
signer_digest = sha256
default_policy = 1.3.6.1.4.1.32473.2
digests = sha256, sha384, sha512
accuracy = secs:1
clock_precision_digits = 3
ordering = yes
tsa_name = yes
ess_cert_id_chain = no
ess_cert_id_alg = sha256
[oldest]
serial = serial
crypto_device = builtin
signer_digest = sha512
default_policy = 1.3.6.1.4.1.32473.2
digests = sha256
ess_cert_id_alg = sha1
[refusing]
serial = serial
crypto_device = builtin
signer_digest = sha256
default_policy = 1.3.6.1.4.1.32473.2
digests = sha512
`

// keys says how openssl makes each kind.
var keys = map[string][]string{
	"rsa1024":   {"RSA", "rsa_keygen_bits:1024"},
	"rsa2048":   {"RSA", "rsa_keygen_bits:2048"},
	"rsa3072":   {"RSA", "rsa_keygen_bits:3072"},
	"p224":      {"EC", "ec_paramgen_curve:P-224"},
	"p256":      {"EC", "ec_paramgen_curve:P-256"},
	"p384":      {"EC", "ec_paramgen_curve:P-384"},
	"p521":      {"EC", "ec_paramgen_curve:P-521"},
	"secp256k1": {"EC", "ec_paramgen_curve:secp256k1"},
	"ed25519":   {"ED25519"},
}

// A yard is a folder with a root, one between, one of another root, and one
// certificate of each kind of key; NAME.key and NAME.pem, chain.pem, root.pem.
type yard struct{ dir string }

var madeYard = sync.OnceValues(func() (dir string, err error) {
	if _, err := exec.LookPath("openssl"); err != nil {
		return "", err
	}
	return os.MkdirTemp("", "cms-test-")
})

var fillYard sync.Once

func TestMain(m *testing.M) {
	code := m.Run()
	if dir, err := madeYard(); err == nil {
		os.RemoveAll(dir)
	}
	os.Exit(code)
}

func newYard(t testing.TB) yard {
	t.Helper()
	dir, err := madeYard()
	if err != nil {
		t.Skipf("openssl judges here, and is not installed: %v", err)
	}
	y := yard{dir}
	fillYard.Do(func() {
		put(t, dir, "settings", []byte(settings))
		put(t, dir, "serial", []byte("01\n"))
		put(t, dir, "content", content)
		y.root(t, "root", "Invented Root")
		y.root(t, "otherroot", "Invented Root") // the same name, another key
		y.certify(t, "between", "p256", "between", "root")
		y.certify(t, "otherbetween", "p256", "between", "otherroot")
		for _, kind := range []string{"rsa1024", "rsa2048", "rsa3072", "p224", "p256", "p384", "p521", "secp256k1", "ed25519"} {
			y.certify(t, kind, kind, "person", "between")
		}
		for _, use := range []string{"committed", "enciphering", "unstated", "strange", "stamping", "mixed", "both"} {
			y.certify(t, use, "p256", use, "between")
		}
		put(t, dir, "chain.pem", bytes.Join([][]byte{get(t, dir, "between.pem"), get(t, dir, "root.pem")}, nil))
	})
	return y
}

func (y yard) key(t testing.TB, name, kind string) {
	t.Helper()
	how := keys[kind]
	args := []string{"genpkey", "-out", name + ".key", "-algorithm", how[0]}
	if len(how) > 1 {
		args = append(args, "-pkeyopt", how[1])
	}
	openssl(t, y.dir, args...)
}

func (y yard) root(t testing.TB, name, called string) {
	t.Helper()
	y.key(t, name, "p256")
	openssl(t, y.dir, "req", "-new", "-x509", "-config", "settings", "-key", name+".key", "-subj", "/O=Invented Yard/CN="+called,
		"-days", "3650", "-extensions", "root", "-out", name+".pem")
}

// certify makes a key and a certificate for it, of a year.
func (y yard) certify(t testing.TB, name, kind, use, by string) {
	t.Helper()
	y.key(t, name, kind)
	openssl(t, y.dir, "req", "-new", "-config", "settings", "-key", name+".key", "-subj", "/O=Invented Yard/CN="+called(name), "-out", name+".csr")
	openssl(t, y.dir, "x509", "-req", "-in", name+".csr", "-CA", by+".pem", "-CAkey", by+".key", "-days", "365",
		"-extfile", "settings", "-extensions", use, "-out", name+".pem")
}

// called gives the two that stand between the same name.
func called(name string) string {
	return strings.TrimPrefix(name, "other")
}

// identity has openssl write a .p12 and opens it.
func (y yard) identity(t testing.TB, name string, more ...string) Identity {
	t.Helper()
	id, err := OpenIdentity(y.p12(t, name, name, "chain.pem", more...), password)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return id
}

func (y yard) p12(t testing.TB, key, certificate, chain string, more ...string) []byte {
	t.Helper()
	file := filepath.Join(t.TempDir(), "who.p12")
	args := []string{"pkcs12", "-export", "-inkey", key + ".key", "-in", certificate + ".pem", "-out", file, "-passout", "pass:" + password}
	if chain != "" {
		args = append(args, "-certfile", chain)
	}
	openssl(t, y.dir, append(args, more...)...)
	return get(t, "", file)
}

// sign has openssl sign the content.
func (y yard) sign(t testing.TB, who string, more ...string) []byte {
	t.Helper()
	args := []string{"cms", "-sign", "-binary", "-outform", "DER", "-in", "content", "-signer", who + ".pem", "-inkey", who + ".key",
		"-certfile", "chain.pem", "-md", "sha256"}
	return openssl(t, y.dir, append(args, more...)...)
}

// judge has openssl judge a signature over what is given.
func (y yard) judge(t testing.TB, der, over []byte, more ...string) (string, error) {
	t.Helper()
	dir := t.TempDir()
	put(t, dir, "content", over)
	put(t, dir, "signature", der)
	args := []string{"cms", "-verify", "-cades", "-binary", "-inform", "DER", "-in", "signature", "-content", "content",
		"-CAfile", filepath.Join(y.dir, "root.pem"), "-purpose", "any", "-out", os.DevNull}
	out, err := trial(dir, append(args, more...)...)
	return string(out), err
}

func (y yard) roots(t testing.TB, name string) []byte {
	t.Helper()
	return get(t, y.dir, name+".pem")
}

func digestOf(data []byte) [32]byte { return sha256.Sum256(data) }
