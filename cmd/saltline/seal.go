package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"net/http"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"saltline/fonts"
	"saltline/internal/cms"
	"saltline/internal/frame"
	"saltline/internal/objects"
	"saltline/internal/papers"
	"saltline/internal/pdf"
	"saltline/internal/readback"
	"saltline/internal/record"
	"saltline/internal/report"
	"saltline/internal/seal"
)

const sealUsage = `usage: saltline seal FILE.pdf --identity FILE.p12 --role ROLE [OPTION]…

Adds a person's digital signature to a document of this program, in the field
of that role: inspector, qc or owner, and auditor on the report of an audit.
The name in the certificate has to be one that the record carries for the role.
The document is not changed: a file with the signature is written beside it, or
where -o says. Several people sign one after the other, each the file that the
one before has signed.

The password of the identity is asked for on the terminal; or it is read from
the file that --password-file names, or from the environment variable
SALTLINE_PASSWORD. It is never an argument, which others could see.
`

// A sealRun holds the options of one run of the command.
type sealRun struct {
	identity, role, out, password, stamp string
	quiet, large                         bool
}

func runSeal(args []string, s stream) error {
	var r sealRun
	flags := pflag.NewFlagSet("seal", pflag.ContinueOnError)
	flags.StringVar(&r.identity, "identity", "", "the file (PKCS #12) with the person's key and certificate")
	flags.StringVar(&r.role, "role", "", "inspector, qc, owner or auditor")
	flags.StringVarP(&r.out, "output", "o", "", "file to write (FILE-ROLE.pdf)")
	flags.StringVar(&r.password, "password-file", "", "a file whose first line is the password of the identity")
	flags.StringVar(&r.stamp, "timestamp", "", "address of a time-stamp service (RFC 3161) that states when it was signed")
	flags.BoolVar(&r.large, "large", false, largeUsage)
	flags.BoolVar(&r.quiet, "quiet", false, "print no summary")
	if err := parseFlags("seal", sealUsage, flags, args, s); err != nil {
		return err
	}
	switch {
	case flags.NArg() != 1:
		return usageError(fmt.Sprintf("%d files given, but wanted one", flags.NArg()), "saltline seal FILE.pdf --identity FILE.p12 --role ROLE")
	case r.identity == "":
		return usageError("no identity given", "name the file with the key and the certificate with --identity FILE.p12")
	}
	key := roleKey(r.role)
	if key == "" {
		return usageError(fmt.Sprintf("--role: found %q, but wanted %s", r.role, strings.Join(roleKeys, ", ")), "name the role in which the person signs")
	}
	r.role = key
	return r.run(flags.Arg(0), s)
}

// auditor is the role of whoever doubts the record, which the record does not
// know.
const auditor = "auditor"

// roleKeys are the roles that documents have fields for.
var roleKeys = []string{papers.Inspector.Key, papers.QCManager.Key, papers.Owner.Key, auditor}

// roleKey is the role that a text names, by its key or as a record may name it; ""
// for none.
func roleKey(text string) string {
	if k := strings.ToLower(strings.TrimSpace(text)); slices.Contains(roleKeys, k) {
		return k
	}
	for _, s := range papers.Signers {
		if s.Is(record.Words{Val: text, Text: text, State: record.Known}) {
			return s.Key
		}
	}
	return ""
}

func (r *sealRun) run(path string, s stream) error {
	target := r.out
	if target == "" {
		ext := filepath.Ext(path)
		target = strings.TrimSuffix(path, ext) + "-" + r.role + ext
	}
	if standing(target) {
		return trouble(fmt.Sprintf("%s exists", target), "give another name with -o; seal replaces no file")
	}
	data, err := readFile(path)
	if err != nil {
		return err
	}
	d, err := r.sound(path, data)
	if err != nil {
		return err
	}
	field, err := r.field(path, d.now)
	if err != nil {
		return err
	}
	identity, err := r.open(s)
	if err != nil {
		return err
	}
	name := identity.Certificate.Subject.CommonName
	if err := r.onCard(d, name); err != nil {
		return err
	}
	at := time.Now()
	look, statement, err := r.look(d, field, identity, at)
	if err != nil {
		return err
	}
	signed, err := seal.Sign(data, seal.Signing{Field: r.role, Name: name, Reason: statement, At: at, Look: look}, stamping{identity, r.stamp})
	if err != nil {
		return sealTrouble(path, err)
	}
	if err := r.looksRight(path, signed); err != nil {
		return err
	}
	if err := writeFile(target, signed, false); err != nil {
		return err
	}
	if r.quiet {
		return nil
	}
	_, err = fmt.Fprintf(s.out, "%s\nsigned as %s by %s\n", target, field.Says, name)
	if err == nil && signerOf(r.role) != nil {
		_, err = fmt.Fprintln(s.out, "the record does not know of it: what rests on signatures, such as a certificate, asks for a row in the table signatures")
	}
	return err
}

// A sealing is a document that may be signed.
type sealing struct {
	now   *objects.File
	first *readback.Document // as it was first written
	made  *made
	job   *record.Job // that it carries; nil until somebody asks
	large bool        // as of the verification
}

// sound makes sure that a document is worth a signature: it follows from its
// record byte for byte, its signatures hold, and nobody has changed it.
func (r *sealRun) sound(path string, data []byte) (*sealing, error) {
	var said bytes.Buffer
	v := &verification{out: &said, quiet: true, large: r.large}
	d, err := v.document(path, data, nil, stream{in: strings.NewReader(""), out: &said, err: &said})
	if err != nil {
		return nil, err
	}
	switch {
	case v.faults > 0:
		return nil, trouble(fmt.Sprintf("%s is not signed:\n%s", path, strings.TrimSpace(said.String())), "sign a file as it was written, or as somebody before has signed it")
	case !v.exact:
		return nil, trouble(fmt.Sprintf("%s is not signed: it says that %s wrote it, and %s makes another file of its record", path, d.made.Tool, tool),
			"sign it with the version that wrote it, or make the document anew")
	}
	return d, nil
}

// field is the field of the role in a document.
func (r *sealRun) field(path string, f *objects.File) (seal.Field, error) {
	var has []string
	for _, field := range seal.Fields(f) {
		if field.Name == r.role {
			if field.Signed {
				return field, trouble(fmt.Sprintf("%s is signed already as %s", path, r.role), "each role signs once; what was signed by mistake is made and signed anew, as a revision")
			}
			return field, nil
		}
		has = append(has, field.Name)
	}
	if len(has) == 0 {
		return seal.Field{}, trouble(fmt.Sprintf("%s has no place to sign", path), "a certificate that is not issued and a dossier that is not issuable have none: do first what their first page says")
	}
	return seal.Field{}, trouble(fmt.Sprintf("%s has no place for the role %s", path, r.role), "it has one for "+strings.Join(has, ", "))
}

// open opens the identity.
func (r *sealRun) open(s stream) (cms.Identity, error) {
	data, err := readFile(r.identity)
	if err != nil {
		return cms.Identity{}, trouble(fmt.Sprintf("--identity: %v", err), "")
	}
	password, err := r.secret(s)
	if err != nil {
		return cms.Identity{}, err
	}
	identity, err := cms.OpenIdentity(data, password)
	switch {
	case errors.Is(err, cms.ErrPassword):
		return identity, trouble(fmt.Sprintf("%s: %v", r.identity, err), "try again; it is the one that was given when the file was made")
	case err != nil:
		what := err
		for _, known := range []error{cms.ErrIdentity, cms.ErrPair} { // of a key, which was found is worth telling
			if errors.Is(err, known) {
				what = known
			}
		}
		return identity, trouble(fmt.Sprintf("%s: %v", r.identity, what), "wanted a file of the form PKCS #12 (.p12, .pfx) with a key for RSA or ECDSA and its certificate")
	}
	return identity, nil
}

// onCard makes sure that the record carries a name for the role.
func (r *sealRun) onCard(d *sealing, name string) error {
	if signerOf(r.role) == nil {
		return nil // an auditor is not of the record
	}
	names, err := d.carried(r.role)
	if err != nil {
		return err
	}
	if isAmong(name, names) {
		return nil
	}
	hint := "put the person into the table people with that role, spelt as the certificate does, and make the document anew"
	if len(names) > 0 {
		hint = "it carries " + strings.Join(names, " and ") + "; if that is the person, spell the name in the table people as the certificate does and make the document anew"
	}
	return trouble(fmt.Sprintf("the certificate is of %q, whom the record does not carry as %s", name, r.role), hint)
}

// look is what the field shows of a signature, and what is stated by it.
func (r *sealRun) look(d *sealing, field seal.Field, identity cms.Identity, at time.Time) (*objects.File, string, error) {
	lang := d.first.String(d.first.Catalog()["Lang"]).Text()
	t, err := tongueOf("", "")
	if err != nil {
		return nil, "", err
	}
	t.code, _ = languageCalled(lang)
	words, err := t.words(record.Words{}, stream{})
	if err != nil {
		return nil, "", err
	}
	faces, err := frame.LoadFonts(fonts.Files)
	if err != nil {
		return nil, "", err
	}
	drawn, statement, err := report.Seal{
		Name: identity.Certificate.Subject.CommonName, Role: field.Says, At: at, Certificate: sha256.Sum256(identity.Certificate.Raw),
		Words: words, Fonts: faces, W: field.W, H: field.H,
	}.Draw()
	if err != nil {
		return nil, "", err
	}
	var b bytes.Buffer
	if err := pdf.Write(&b, frame.Print{Pages: []*frame.Frame{drawn}}, faces, pdf.Meta{Title: statement, Lang: lang, Producer: tool, Created: at}); err != nil {
		return nil, "", err
	}
	look, err := objects.Read(b.Bytes())
	return look, statement, err
}

// looksRight checks a signature before anybody gets it.
func (r *sealRun) looksRight(path string, signed []byte) error {
	f, err := objects.Read(signed)
	if err != nil {
		return err
	}
	all, changes, err := seal.Check(f, signed)
	if err != nil {
		return err
	}
	i := slices.IndexFunc(all, func(s seal.Signed) bool { return s.Field == r.role })
	if i < 0 || all[i].Err != nil || len(changes) > 0 {
		return errors.New("a fault of the program: the signature that was made does not hold; nothing is written")
	}
	at := all[i].At
	if t := all[i].Signature.Stamp; t != nil {
		at = t.Time
	}
	if err := all[i].Signature.Valid(at); err != nil {
		return trouble(fmt.Sprintf("%s is not signed: %s: %v", path, r.identity, err), "sign with a certificate that is for signing and valid today; whoever issued this one gives another")
	}
	return nil
}

// stamping is an identity whose signatures are stamped by a service, if one is
// given.
type stamping struct {
	cms.Identity
	service string
}

func (s stamping) Size() int {
	if s.service == "" {
		return s.Identity.Size()
	}
	return s.Identity.Size() + cms.StampRoom
}

func (s stamping) Sign(digest [32]byte) ([]byte, error) {
	signed, err := s.Identity.Sign(digest)
	if err != nil || s.service == "" {
		return signed, err
	}
	return cms.AddStamp(context.Background(), http.DefaultClient, s.service, signed)
}

// sealTrouble is what keeps a signature from being made, with what to do.
func sealTrouble(path string, err error) error {
	switch {
	case errors.Is(err, cms.ErrService), errors.Is(err, cms.ErrRefused), errors.Is(err, cms.ErrNonce):
		return trouble(fmt.Sprintf("%s is not signed: %v", path, err), "try again, name another service with --timestamp, or sign without a time stamp")
	}
	return trouble(fmt.Sprintf("%s is not signed: %v", path, err), "")
}
