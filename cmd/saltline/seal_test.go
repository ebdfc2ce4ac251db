package main

import (
	"bytes"
	"crypto"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/rsa"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"math/big"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	pkcs12 "software.sslmate.com/src/go-pkcs12"

	"saltline/internal/cms"
	"saltline/internal/objects"
	"saltline/internal/pdf/judge"
	"saltline/internal/seal"
)

// A small job, whose report has a field for each of the three people in it.
var smallJob = map[string]string{
	"readings.csv": "\"Limit: at most 50 mg/m², total salts\",,,,,,,,\n" +
		"test,date,area,spot,blank_uS_cm,extract_uS_cm,volume_ml,recorded_mg_m2,verdict\n" +
		"1,2026-04-03,A,plate 1,1.5,9.0,3,9.0,pass\n" +
		"2,2026-04-03,A,plate 2,1.5,19.0,3,21.0,pass\n" +
		"3,2026-04-03,A,plate 3,1.5,63.2,3,74.0,fail\n",
	"people.csv": "name,role\nIlse Korvan,inspector\nTomas Rell,QC manager\nRowan Ansbrook,owner's representative\n",
}

const (
	inspectorName = "Ilse Korvan"
	qcName        = "Tomas Rell"
	ownerName     = "Rowan Ansbrook"
	secretWord    = "salt & water"
)

// folderOf writes files into a new folder called name.
func folderOf(t testing.TB, name string, files map[string]string) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), name)
	for file, text := range files {
		path := filepath.Join(dir, filepath.FromSlash(file))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// fileWith writes a file of a name into a new folder.
func fileWith(t testing.TB, name string, data []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// does runs a command line and gives its status and all that it says.
func does(args ...string) (status int, says string) {
	var out bytes.Buffer
	status = run(args, strings.NewReader(""), &out, &out)
	return status, out.String()
}

// written is what a command writes to standard output.
func written(t testing.TB, args ...string) []byte {
	t.Helper()
	var out, said bytes.Buffer
	if status := run(append(args, "-o", "-"), strings.NewReader(""), &out, &said); status != 0 && status != 3 {
		t.Fatalf("saltline %s: status %d\n%s", strings.Join(args, " "), status, said.String())
	}
	return out.Bytes()
}

var smallOnce = struct {
	sync.Mutex
	data []byte
}{}

// small is the report of the small job.
func small(t testing.TB) []byte {
	t.Helper()
	smallOnce.Lock()
	defer smallOnce.Unlock()
	if smallOnce.data == nil {
		smallOnce.data = written(t, "report", folderOf(t, "job", smallJob), "--produced", "2026-04-20")
	}
	return bytes.Clone(smallOnce.data)
}

// A person is somebody with a key and a certificate that states it, issued by
// whoever holds it.
type person struct {
	key  crypto.Signer
	cert *x509.Certificate
}

// A period is that of a certificate, from a moment to another.
type period struct{ from, to time.Time }

func around() period { return period{time.Now().Add(-time.Hour), time.Now().Add(time.Hour)} }

func newPerson(t testing.TB, name string, key crypto.Signer, valid period) person {
	t.Helper()
	of := &x509.Certificate{
		SerialNumber: big.NewInt(7), Subject: pkix.Name{CommonName: name}, NotBefore: valid.from, NotAfter: valid.to,
		KeyUsage: x509.KeyUsageDigitalSignature | x509.KeyUsageContentCommitment,
	}
	der, err := x509.CreateCertificate(rand.Reader, of, of, key.Public(), key)
	if err != nil {
		t.Fatal(err)
	}
	cert, err := x509.ParseCertificate(der)
	if err != nil {
		t.Fatal(err)
	}
	return person{key, cert}
}

// curve is a new key on P-256, which is made in no time.
func curve(t testing.TB) crypto.Signer {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	return key
}

func someone(t testing.TB, name string) person {
	t.Helper()
	return newPerson(t, name, curve(t), around())
}

func (p person) identity() cms.Identity { return cms.Identity{Key: p.key, Certificate: p.cert} }

// file is the identity of a person, as PKCS #12.
func (p person) file(t testing.TB) string {
	t.Helper()
	data, err := pkcs12.Modern.Encode(p.key, p.cert, nil, secretWord)
	if err != nil {
		t.Fatal(err)
	}
	return fileWith(t, "who.p12", data)
}

func (p person) trust(t testing.TB) string {
	t.Helper()
	return fileWith(t, "trust.pem", pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: p.cert.Raw}))
}

// seals has a person sign a document by the command.
func (p person) seals(t testing.TB, data []byte, role string, more ...string) []byte {
	t.Helper()
	target := filepath.Join(t.TempDir(), "sealed.pdf")
	args := append([]string{"seal", fileWith(t, "document.pdf", data), "--identity", p.file(t), "--role", role,
		"--password-file", fileWith(t, "word", []byte(secretWord+"\n")), "-o", target}, more...)
	if status, says := does(args...); status != 0 {
		t.Fatalf("seal: status %d\n%s", status, says)
	}
	sealed, err := os.ReadFile(target)
	if err != nil {
		t.Fatal(err)
	}
	return sealed
}

// signs has a person sign any file, whatever the record says, at a time.
func (p person) signs(t testing.TB, data []byte, role, as string, at time.Time) []byte {
	t.Helper()
	sealed, err := seal.Sign(data, seal.Signing{Field: role, Name: as, Reason: "signed", At: at}, p.identity())
	if err != nil {
		t.Fatal(err)
	}
	return sealed
}

// Three people sign one after the other, with keys of three kinds. Not a byte of
// what each has signed is changed by the next, and the file stays what archives
// and readers that cannot see ask for.
func TestSealOneAfterTheOther(t *testing.T) {
	long, err := rsa.GenerateKey(rand.Reader, 3072)
	if err != nil {
		t.Fatal(err)
	}
	short, err := rsa.GenerateKey(rand.Reader, 2048)
	if err != nil {
		t.Fatal(err)
	}
	data := small(t)
	for _, by := range []struct {
		role string
		person
	}{
		{"inspector", newPerson(t, inspectorName, long, around())},
		{"qc", someone(t, qcName)},
		{"owner", newPerson(t, ownerName, short, around())},
	} {
		sealed := by.seals(t, data, by.role)
		if !bytes.HasPrefix(sealed, data) {
			t.Fatalf("%s: what was there was changed", by.role)
		}
		if bs := judge.File(sealed, judge.Accessible); len(bs) > 0 {
			t.Errorf("%s:\n%s", by.role, judge.Report(bs))
		}
		data = sealed
	}
	status, says := does("verify", fileWith(t, "sealed.pdf", data))
	if status != 0 || strings.Count(says, ": what it signs is as it was: signed ") != 3 || strings.Contains(says, "not signed as") {
		t.Errorf("status %d\n%s", status, says)
	}
}

// What keeps a document from being signed, with the status.
func TestSealRefuses(t *testing.T) {
	ilse, tomas := someone(t, inspectorName), someone(t, qcName)
	word := fileWith(t, "word", []byte(secretWord+"\r\nand a second line\n"))
	plain := fileWith(t, "report.pdf", small(t))
	sealed := fileWith(t, "sealed.pdf", ilse.seals(t, small(t), "inspector"))
	longer := append(small(t), '\n')
	nobody := fileWith(t, "nobody.pdf", written(t, "report", folderOf(t, "job", map[string]string{"readings.csv": smallJob["readings.csv"]}), "--produced", "2026-04-20"))
	unissued := fileWith(t, "unissued.pdf", written(t, "certificate", folderOf(t, "job", smallJob), "--area", "A", "--produced", "2026-04-20"))
	spelled := someone(t, "ILSE  KORVAN")
	for _, c := range []struct {
		name   string
		args   []string // behind seal; OUT is a file that is not there
		status int
		says   string
	}{
		{"the wrong password", []string{plain, "--identity", ilse.file(t), "--role", "inspector", "--password-file", fileWith(t, "word", []byte("water"))}, 1, "the password does not open the identity"},
		{"no terminal to ask on", []string{plain, "--identity", ilse.file(t), "--role", "inspector"}, 2, "no terminal to ask for the password on"},
		{"no file of the password", []string{plain, "--identity", ilse.file(t), "--role", "inspector", "--password-file", "none"}, 1, "--password-file"},
		{"no identity", []string{plain, "--role", "inspector"}, 2, "no identity given"},
		{"an identity that is none", []string{plain, "--identity", word, "--role", "inspector", "--password-file", word}, 1, "PKCS #12"},
		{"no role", []string{plain, "--identity", ilse.file(t)}, 2, "--role"},
		{"a role that nobody has", []string{plain, "--identity", ilse.file(t), "--role", "foreman"}, 2, "inspector, qc, owner, auditor"},
		{"a role without a field", []string{plain, "--identity", ilse.file(t), "--role", "auditor", "--password-file", word}, 1, "no place for the role auditor"},
		{"another's role", []string{plain, "--identity", tomas.file(t), "--role", "inspector", "--password-file", word}, 1, "it carries Ilse Korvan"},
		{"no people in the record", []string{nobody, "--identity", ilse.file(t), "--role", "inspector", "--password-file", word}, 1, "does not carry as inspector"},
		{"signed already", []string{sealed, "--identity", ilse.file(t), "--role", "inspector", "--password-file", word}, 1, "is signed already as inspector"},
		{"a certificate that is not issued", []string{unissued, "--identity", ilse.file(t), "--role", "inspector", "--password-file", word}, 1, "has no place to sign"},
		{"a document that was changed", []string{fileWith(t, "longer.pdf", longer), "--identity", ilse.file(t), "--role", "inspector", "--password-file", word}, 1, "is not signed:"},
		{"a text", []string{word, "--identity", ilse.file(t), "--role", "inspector", "--password-file", word}, 1, "no PDF"},
		{"two documents", []string{plain, sealed, "--identity", ilse.file(t), "--role", "inspector", "--password-file", word}, 2, "wanted one"},
		{"where a file stands", []string{plain, "--identity", ilse.file(t), "--role", "inspector", "--password-file", word, "-o", word}, 1, "exists"},
		{"over itself", []string{plain, "--identity", ilse.file(t), "--role", "inspector", "--password-file", word, "-o", plain}, 1, "exists"},
		{"over a sealed one", []string{sealed, "--identity", tomas.file(t), "--role", "qc", "--password-file", word, "-o", sealed}, 1, "exists"},
		{"a service that is not there", []string{plain, "--identity", ilse.file(t), "--role", "inspector", "--password-file", word, "--timestamp", "http://127.0.0.1:1/"}, 1, "is not signed"},
		{"a name in other letters", []string{plain, "--identity", spelled.file(t), "--role", "inspector", "--password-file", word, "-o", "OUT"}, 0, "signed as Inspector"},
	} {
		t.Run(c.name, func(t *testing.T) {
			out := filepath.Join(t.TempDir(), "out.pdf")
			args := []string{"seal"}
			named := false
			for _, a := range c.args {
				named = named || a == "-o"
				args = append(args, strings.Replace(a, "OUT", out, 1))
			}
			if !named {
				args = append(args, "-o", out)
			}
			before, _ := os.ReadFile(c.args[0])
			status, says := does(args...)
			if status != c.status || !strings.Contains(says, c.says) {
				t.Errorf("status %d, want %d; %q is not in\n%s", status, c.status, c.says, says)
			}
			if strings.Contains(says, secretWord) {
				t.Error("the password is told")
			}
			if standing(out) != (c.status == 0) {
				t.Errorf("status %d, and a file is written: %v", c.status, standing(out))
			}
			if after, _ := os.ReadFile(c.args[0]); !bytes.Equal(before, after) {
				t.Error("the document was changed")
			}
		})
	}
}

// The password may stand in the environment.
func TestPasswordOfTheEnvironment(t *testing.T) {
	ilse := someone(t, inspectorName)
	out := filepath.Join(t.TempDir(), "out.pdf")
	args := []string{"seal", fileWith(t, "report.pdf", small(t)), "--identity", ilse.file(t), "--role", "inspector", "-o", out}
	t.Setenv(passwordVariable, "water")
	if status, says := does(args...); status != 1 || !strings.Contains(says, "the password does not open") {
		t.Errorf("the wrong one: status %d\n%s", status, says)
	}
	t.Setenv(passwordVariable, secretWord)
	if status, says := does(args...); status != 0 {
		t.Errorf("status %d\n%s", status, says)
	}
	if data, _ := os.ReadFile(out); bytes.Contains(data, []byte(secretWord)) {
		t.Error("the password stands in the document")
	}
}

// Without -o the file is written beside, with the role in its name.
func TestSealedName(t *testing.T) {
	path := fileWith(t, "day 3.pdf", small(t))
	args := []string{"seal", path, "--identity", someone(t, inspectorName).file(t), "--role", "inspector", "--password-file", fileWith(t, "word", []byte(secretWord))}
	if status, says := does(args...); status != 0 || !strings.Contains(says, "day 3-inspector.pdf\nsigned as Inspector by Ilse Korvan\n") {
		t.Errorf("status %d\n%s", status, says)
	}
	if status, says := does(args...); status != 1 || !strings.Contains(says, "seal replaces no file") {
		t.Errorf("once more: status %d\n%s", status, says)
	}
}

// Whoever can sign can be named, whatever their name is written with.
func TestSealNames(t *testing.T) {
	for _, name := range []string{
		"王小明", "Šárka Ærøskøbing-Ñandú", "A\u0301ngel 😀", "O’Brien & Sons <x>", "שלום", "M (inspector) \\ 2",
		strings.Repeat("M", 64), strings.Repeat("Maximiliane von ", 16) + "Ö",
	} {
		job := map[string]string{"readings.csv": smallJob["readings.csv"], "people.csv": "name,role\n\"" + name + "\",inspector\n"}
		data := written(t, "report", folderOf(t, "job", job), "--produced", "2026-04-20")
		sealed := someone(t, name).seals(t, data, "inspector")
		if status, says := does("verify", fileWith(t, "sealed.pdf", sealed)); status != 0 {
			t.Errorf("%q: status %d\n%s", name, status, says)
		}
	}
}

// A document in German shows its signature in German.
func TestSealSpeaksTheLanguageOfTheDocument(t *testing.T) {
	data := written(t, "report", folderOf(t, "job", smallJob), "--produced", "2026-04-20", "--language", "de")
	sealed := someone(t, inspectorName).seals(t, data, "inspector")
	f, err := objects.Read(sealed)
	if err != nil {
		t.Fatal(err)
	}
	found := false
	for _, r := range f.Refs() {
		d, _ := f.Get(r).(objects.Dict)
		if d["Type"] != objects.Name("Sig") {
			continue
		}
		found = true
		if reason := f.String(d["Reason"]).Text(); !strings.Contains(reason, "signiert als Prüf") {
			t.Errorf("what is stated by signing: %q", reason)
		}
	}
	if !found {
		t.Error("there is no signature")
	}
}

// A sealed file is made again by no command over itself, whatever is said.
func TestSealedIsNeverReplaced(t *testing.T) {
	job := folderOf(t, "job", smallJob)
	sealed := someone(t, inspectorName).seals(t, small(t), "inspector")
	path := fileWith(t, "sealed.pdf", sealed)
	for _, args := range [][]string{
		{"report", job, "--date", "2026-04-03", "-o", path, "--overwrite"},
		{"certificate", job, "--area", "A", "-o", path, "--overwrite"},
		{"handover", job, "-o", path, "--overwrite"},
		{"audit", job, "-o", path, "--overwrite"},
		{"audit", job, "--questions", path, "--overwrite"},
	} {
		if status, says := does(args...); status != 1 || !strings.Contains(says, "is sealed") {
			t.Errorf("%s: status %d\n%s", args[0], status, says)
		}
		if data, err := os.ReadFile(path); err != nil || !bytes.Equal(data, sealed) {
			t.Fatalf("%s: the sealed file was changed (%v)", args[0], err)
		}
	}
}
