package main

import (
	"bytes"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"saltline/testdata/outside"
)

// A notary is a folder in which openssl issues certificates and time stamps. It
// is thrown away with its keys.
type notary struct {
	t       *testing.T
	openssl string
	dir     string
}

const notarySettings = `
[req]
distinguished_name = name
prompt = no
[name]
O = Invented Yard
[root]
basicConstraints = critical, CA:TRUE
keyUsage = critical, keyCertSign, cRLSign
subjectKeyIdentifier = hash
[person]
basicConstraints = critical, CA:FALSE
keyUsage = critical, digitalSignature, nonRepudiation
subjectKeyIdentifier = hash
[stamping]
keyUsage = critical, digitalSignature
extendedKeyUsage = critical, timeStamping
[service]
serial = serial
crypto_device = builtin
signer_digest = sha256
default_policy = 1.3.6.1.4.1.32473.2
digests = sha256
ess_cert_id_alg = sha256
`

func newNotary(t *testing.T) notary {
	t.Helper()
	n := notary{t, outside.Program(t, "openssl"), t.TempDir()}
	n.write("settings", []byte(notarySettings))
	n.write("serial", []byte("01\n"))
	n.run("genpkey", "-algorithm", "EC", "-pkeyopt", "ec_paramgen_curve:P-256", "-out", "root.key")
	n.run("req", "-new", "-x509", "-config", "settings", "-key", "root.key", "-subj", "/CN=Invented Root", "-days", "3650", "-extensions", "root", "-out", "root.pem")
	return n
}

func (n notary) write(name string, data []byte) {
	n.t.Helper()
	if err := os.WriteFile(filepath.Join(n.dir, name), data, 0o600); err != nil {
		n.t.Fatal(err)
	}
}

func (n notary) run(args ...string) string {
	n.t.Helper()
	c := exec.Command(n.openssl, args...)
	c.Dir = n.dir
	out, err := c.CombinedOutput()
	if err != nil {
		n.t.Fatalf("openssl %s: %v\n%s", strings.Join(args, " "), err, out)
	}
	return string(out)
}

// issues makes a key and a certificate of its own for it.
func (n notary) issues(file, name, use string, key ...string) {
	n.t.Helper()
	n.run(append([]string{"genpkey", "-out", file + ".key"}, key...)...)
	n.run("req", "-new", "-config", "settings", "-key", file+".key", "-subj", "/CN="+name, "-out", file+".csr")
	n.run("x509", "-req", "-in", file+".csr", "-CA", "root.pem", "-CAkey", "root.key", "-days", "365", "-extfile", "settings", "-extensions", use, "-out", file+".pem")
}

// identity is the file of an identity as openssl writes it.
func (n notary) identity(file, name string, key ...string) string {
	n.t.Helper()
	n.issues(file, name, "person", key...)
	n.run("pkcs12", "-export", "-inkey", file+".key", "-in", file+".pem", "-certfile", "root.pem", "-out", file+".p12", "-passout", "pass:"+secretWord)
	return filepath.Join(n.dir, file+".p12")
}

// seals signs a document by the command, with an identity from a file.
func (n notary) seals(data []byte, role, identity string, more ...string) []byte {
	n.t.Helper()
	out := filepath.Join(n.t.TempDir(), "sealed.pdf")
	args := append([]string{"seal", fileWith(n.t, "document.pdf", data), "--identity", identity, "--role", role,
		"--password-file", fileWith(n.t, "word", []byte(secretWord)), "-o", out}, more...)
	if status, says := does(args...); status != 0 {
		n.t.Fatalf("seal: status %d\n%s", status, says)
	}
	return []byte(textOf(n.t, out))
}

// service answers questions as openssl does, over loopback.
func (n notary) service() string {
	n.t.Helper()
	n.issues("stamping", "Invented Time", "stamping", "-algorithm", "RSA", "-pkeyopt", "rsa_keygen_bits:2048")
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		question, err := io.ReadAll(r.Body)
		if err != nil {
			n.t.Error(err)
		}
		n.write("question", question)
		n.run("ts", "-reply", "-config", "settings", "-section", "service", "-queryfile", "question", "-signer", "stamping.pem", "-inkey", "stamping.key", "-chain", "root.pem", "-out", "answer")
		w.Header().Set("Content-Type", "application/timestamp-reply")
		w.Write([]byte(textOf(n.t, filepath.Join(n.dir, "answer"))))
	}))
	n.t.Cleanup(server.Close)
	return server.URL
}

// eachValue gives each signature of a file and the two pieces that it signs.
func eachValue(t *testing.T, data []byte) (ders, over [][]byte) {
	t.Helper()
	for _, at := range ranges.FindAllSubmatch(data, -1) {
		var r [4]int
		for i := range r {
			r[i], _ = strconv.Atoi(string(at[i+1]))
		}
		piece := bytes.Clone(data[:r[2]+r[3]])
		ders = append(ders, valueOf(t, piece))
		over = append(over, append(piece[:r[1]:r[1]], piece[r[2]:]...))
	}
	return ders, over
}

// One, two and three signatures, with the keys of three kinds, are judged by
// programs that are not ours.
func TestSealedForOtherJudges(t *testing.T) {
	pdfsig, qpdf := outside.Program(t, "pdfsig"), outside.Program(t, "qpdf")
	n := newNotary(t)
	data := small(t)
	rsaKey := func(bits string) []string {
		return []string{"-algorithm", "RSA", "-pkeyopt", "rsa_keygen_bits:" + bits}
	}
	for i, by := range []struct {
		role, name string
		key        []string
	}{
		{"inspector", inspectorName, rsaKey("2048")},
		{"qc", qcName, rsaKey("3072")},
		{"owner", ownerName, []string{"-algorithm", "EC", "-pkeyopt", "ec_paramgen_curve:P-256"}},
	} {
		data = n.seals(data, by.role, n.identity(by.role, by.name, by.key...))
		path := fileWith(t, "sealed.pdf", data)
		out, err := exec.Command(pdfsig, "-nocert", path).CombinedOutput()
		said := string(out)
		if err != nil || strings.Count(said, "Signature is Valid.") != i+1 || strings.Count(said, "ETSI.CAdES.detached") != i+1 {
			t.Errorf("%d signatures: %v\n%s", i+1, err, said)
		}
		sections := strings.Split(said, "Signature #") // the empty fields among them
		last := sections[min(i+1, len(sections)-1)]
		if !strings.Contains(last, "  - Total document signed\n") || strings.Count(said, "Not total document signed") != i || !strings.Contains(last, "Common Name: "+by.name) {
			t.Errorf("%d signatures: the last is\n%s", i+1, last)
		}
		if out, err := exec.Command(qpdf, "--check", path).CombinedOutput(); err != nil {
			t.Errorf("%d signatures: %v\n%s", i+1, err, out)
		}
		ders, over := eachValue(t, data)
		if len(ders) != i+1 {
			t.Fatalf("%d signatures were found, want %d", len(ders), i+1)
		}
		for k := range ders {
			n.write("signature", trimmed(ders[k]))
			n.write("content", over[k])
			n.run("cms", "-verify", "-cades", "-binary", "-inform", "DER", "-in", "signature", "-content", "content", "-CAfile", "root.pem", "-purpose", "any", "-out", os.DevNull)
		}
		if status, says := does("verify", path, "--trust", filepath.Join(n.dir, "root.pem")); status != 0 || strings.Count(says, "leads to one of those trusted") != i+1 {
			t.Errorf("%d signatures: status %d\n%s", i+1, status, says)
		}
	}

	// The second of three people signed byte 50,000, and so did the others.
	altered := bytes.Clone(data)
	altered[50_000] ^= 1
	out, _ := exec.Command(pdfsig, "-nocert", fileWith(t, "altered.pdf", altered)).CombinedOutput()
	if strings.Count(string(out), "Digest Mismatch") != 3 {
		t.Errorf("of a changed byte it is said:\n%s", out)
	}
}

// trimmed is a value in DER without what fills it up.
func trimmed(der []byte) []byte { return der[:4+int(der[2])<<8+int(der[3])] } // two bytes of length: ITU-T X.690, 8.1.3

var stampedAt = regexp.MustCompile(`as it was: signed \S+ \S+ \+00:00 by a time stamp of "Invented Time"`)

// A service states when a document was signed.
func TestSealStamped(t *testing.T) {
	pdfsig := outside.Program(t, "pdfsig")
	n := newNotary(t)
	service := n.service()
	data := n.seals(small(t), "inspector", n.identity("ilse", inspectorName, "-algorithm", "EC", "-pkeyopt", "ec_paramgen_curve:P-256"), "--timestamp", service)
	path := fileWith(t, "sealed.pdf", data)
	root := filepath.Join(n.dir, "root.pem")
	for _, args := range [][]string{{"verify", path}, {"verify", path, "--trust", root}} {
		if status, says := does(args...); status != 0 || !stampedAt.MatchString(says) {
			t.Errorf("status %d\n%s", status, says)
		}
	}
	if out, err := exec.Command(pdfsig, "-nocert", path).CombinedOutput(); err != nil || !bytes.Contains(out, []byte("Signature is Valid.")) {
		t.Errorf("%v\n%s", err, out)
	}

	// Whoever is trusted to say who signed is not trusted for that to say when.
	ilse := someone(t, inspectorName)
	status, says := does("verify", path, "--trust", ilse.trust(t))
	if status != 3 || !faultSays(says, "the certificate of its time stamp leads to none of those trusted") || strings.Contains(says, "by a time stamp of") {
		t.Errorf("nobody trusted: status %d\n%s", status, says)
	}

	// A second person's signature keeps the first with its stamp.
	two := n.seals(data, "qc", n.identity("tomas", qcName, "-algorithm", "EC", "-pkeyopt", "ec_paramgen_curve:P-256"), "--timestamp", service)
	if status, says := does("verify", fileWith(t, "two.pdf", two), "--trust", root); status != 0 || strings.Count(says, "by a time stamp of") != 2 {
		t.Errorf("two: status %d\n%s", status, says)
	}

	// A stamp ends with the signature of whoever gave it.
	value := valueOf(t, data)
	length := len(trimmed(value))
	value[length-10] ^= 1
	status, says = does("verify", fileWith(t, "changed.pdf", withValue(t, data, value)))
	if status != 3 || !faultSays(says, "its time stamp: the signature value is not of this key") || !strings.Contains(says, "by the signer's clock") {
		t.Errorf("a changed stamp: status %d\n%s", status, says)
	}
}

// A service that answers with something else leaves the document as it was.
func TestSealWithoutStamp(t *testing.T) {
	for name, answer := range map[string]func(http.ResponseWriter){
		"an error":     func(w http.ResponseWriter) { w.WriteHeader(http.StatusInternalServerError) },
		"a page":       func(w http.ResponseWriter) { io.WriteString(w, "<html>") },
		"nothing":      func(http.ResponseWriter) {},
		"a wrong form": func(w http.ResponseWriter) { w.Write([]byte{0x30, 0x03, 0x02, 0x01, 0x05}) },
	} {
		server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { answer(w) }))
		out := filepath.Join(t.TempDir(), "out.pdf")
		status, says := does("seal", fileWith(t, "document.pdf", small(t)), "--identity", someone(t, inspectorName).file(t), "--role", "inspector",
			"--password-file", fileWith(t, "word", []byte(secretWord)), "-o", out, "--timestamp", server.URL)
		server.Close()
		if status != 1 || !strings.Contains(says, "is not signed") || !strings.Contains(says, "hint: ") || standing(out) {
			t.Errorf("%s: status %d\n%s", name, status, says)
		}
	}
}

// The password is asked for on a terminal, which does not show it.
func TestPasswordOnTerminal(t *testing.T) {
	script := outside.Program(t, "script")
	dir := t.TempDir()
	program := filepath.Join(dir, "saltline")
	if err := os.Symlink(mustExecutable(t), program); err != nil {
		t.Skip(err)
	}
	out := filepath.Join(dir, "out.pdf")
	line := program + " seal " + fileWith(t, "document.pdf", small(t)) + " --identity " + someone(t, inspectorName).file(t) + " --role inspector -o " + out
	for _, c := range []struct {
		word string
		done bool
	}{{"wrong", false}, {secretWord, true}} {
		cmd := exec.Command(script, "-qec", line, os.DevNull)
		in, err := cmd.StdinPipe()
		if err != nil {
			t.Fatal(err)
		}
		screen, err := cmd.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		var said bytes.Buffer
		asked := false
		for b := make([]byte, 1); ; {
			if _, err := screen.Read(b); err != nil {
				break // the terminal is gone
			}
			said.Write(b)
			if !asked && strings.HasSuffix(said.String(), ".p12: ") {
				asked = true
				time.Sleep(time.Second) // what is typed before it is read would be shown
				io.WriteString(in, c.word+"\n")
			}
		}
		in.Close()
		cmd.Wait()
		if !strings.Contains(said.String(), "password of ") || strings.Contains(said.String(), c.word) || standing(out) != c.done {
			t.Errorf("%q: written: %v\n%s", c.word, standing(out), said.String())
		}
	}
}

func mustExecutable(t *testing.T) string {
	t.Helper()
	path, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	return path
}
