package main

import (
	"bytes"
	"crypto/sha256"
	"crypto/x509"
	"encoding/json"
	"fmt"
	"io"
	"path/filepath"
	"slices"

	"github.com/spf13/pflag"

	"saltline/internal/cms"
	"saltline/internal/objects"
	"saltline/internal/readback"
	"saltline/internal/seal"
)

const verifyUsage = `usage: saltline verify FILE.pdf [OPTION]…

Takes a document of this program apart, makes it again from the record that it
carries, and says what differs: in the results, on the pages, in what it
carries. Checks each signature: whether it holds, what it covers, what was
changed after it, whether its certificate was valid and, with --trust, whose.

Exit status 3 says that something does not hold.
`

// A verifyRun holds the options of one run of the command.
type verifyRun struct {
	extract, trust string
	quiet          bool
}

func runVerify(args []string, s stream) error {
	var r verifyRun
	flags := pflag.NewFlagSet("verify", pflag.ContinueOnError)
	flags.StringVar(&r.trust, "trust", "", "a file of certificates (PEM) that signers' certificates have to lead to")
	flags.StringVar(&r.extract, "extract", "", "a folder to write the attached files to")
	flags.BoolVar(&r.quiet, "quiet", false, "say only what does not hold")
	if err := parseFlags("verify", verifyUsage, flags, args, s); err != nil {
		return err
	}
	if flags.NArg() != 1 {
		return usageError(fmt.Sprintf("%d files given, but wanted one", flags.NArg()), "saltline verify FILE.pdf")
	}
	return r.run(flags.Arg(0), s)
}

func (r *verifyRun) run(path string, s stream) error {
	data, err := readFile(path)
	if err != nil {
		return err
	}
	var roots *x509.CertPool
	if r.trust != "" {
		text, err := readFile(r.trust)
		if err == nil {
			roots, _, err = cms.RootsFromPEM(text)
		}
		if err != nil {
			return trouble(fmt.Sprintf("--trust %s: %v", r.trust, err), "wanted a file of certificates in PEM")
		}
	}
	v := &verification{out: s.out, quiet: r.quiet}
	d, err := v.document(path, data, roots, s)
	if err != nil {
		return err
	}
	if r.extract != "" {
		if err := extract(d.first, r.extract); err != nil {
			return err
		}
	}
	if v.faults > 0 {
		return &statusError{3, fmt.Sprintf("%s: %s", path, counted(v.faults, "thing does not hold", "things do not hold")), "ask whoever handed it over for the file as it was written, and compare"}
	}
	return nil
}

// document verifies a document: as it was first written, and what was added.
func (v *verification) document(path string, data []byte, roots *x509.CertPool, s stream) (*sealing, error) {
	f, d, m, err := openDocument(path, data)
	if err != nil {
		return nil, err
	}
	v.holds("%s: %s, written by %s", path, d.Title, d.Producer)
	v.travels(d, m)
	if err := v.again(d, m, data[:f.Updates()[0].End], s); err != nil {
		return nil, err
	}
	return &sealing{f, d, m}, v.signatures(f, data, roots)
}

// openDocument takes a document apart as it was first written; f is the file
// with all that was added.
func openDocument(path string, data []byte) (f *objects.File, d *readback.Document, m *made, err error) {
	if f, err = objects.Read(data); err != nil {
		return nil, nil, nil, trouble(fmt.Sprintf("%s: %v", path, err), "the file is damaged, or no PDF as this program writes them; ask for it as it was written")
	}
	first, err := f.At(0)
	if err != nil {
		return nil, nil, nil, err
	}
	if d, err = readback.Of(first); err != nil {
		return nil, nil, nil, trouble(fmt.Sprintf("%s: %v", path, err), "no document of this program, or one that was changed; ask for it as it was written")
	}
	m, err = madeOf(path, d)
	return f, d, m, err
}

// madeOf reads how a document was made.
func madeOf(path string, d *readback.Document) (*made, error) {
	f := d.Attached(madeName)
	if f == nil {
		return nil, trouble(fmt.Sprintf("%s, written by %q, carries no record", path, d.Producer), "only documents that carry their record can be made again: those of saltline 0.2.0 and later")
	}
	m := &made{}
	if err := json.Unmarshal(f.Data, m); err != nil {
		return nil, trouble(fmt.Sprintf("%s: its %s cannot be read: %v", path, madeName, err), "the file was changed; ask for it as it was written")
	}
	return m, nil
}

// extract writes the attached files below a folder that is not there yet.
func extract(d *readback.Document, folder string) error {
	if standing(folder) {
		return trouble(fmt.Sprintf("%s exists", folder), "name a folder that is not there yet")
	}
	for _, f := range d.Files {
		to, err := below(folder, f.Name)
		if err != nil {
			return err
		}
		if err := writeFile(to, f.Data, false); err != nil {
			return err
		}
	}
	return nil
}

// below is where a file of a name goes below a folder, made ready for it; never
// beside it.
func below(folder, name string) (string, error) {
	local := filepath.FromSlash(name)
	if !filepath.IsLocal(local) {
		return "", trouble(fmt.Sprintf("the attachment %q names a place outside its folder", name), "the file was made by another program, or changed; do not open its attachments")
	}
	to := filepath.Join(folder, local)
	return to, makeFolder(filepath.Dir(to))
}

// signatures says of each signature whether it holds, and of everything else
// that was added to a file that it is no signature.
func (v *verification) signatures(f *objects.File, data []byte, roots *x509.CertPool) error {
	all, changes, err := seal.Check(f, data)
	if err != nil {
		return err
	}
	for _, s := range all {
		v.signature(s, roots)
	}
	for _, c := range changes {
		after := "before anybody signed"
		for _, s := range all {
			if s.Update < c.Update && s.Err == nil {
				after = "after " + s.Name + " signed"
			}
		}
		v.fault("changed %s: %s", after, c.What)
	}
	if n := len(all); n > 0 && all[n-1].Err == nil && !all[n-1].Whole {
		v.fault("something stands in the file behind what the last signature covers")
	}
	if len(all) == 0 {
		v.holds("signatures: none")
	}
	return nil
}

// signature says whether one signature holds, and whose it is.
func (v *verification) signature(s seal.Signed, roots *x509.CertPool) {
	of := fmt.Sprintf("signature %q of %q", s.Field, s.Name)
	if s.Err != nil {
		v.fault("%s: %v", of, s.Err)
		return
	}
	cert := s.Signature.Certificate
	if name := cert.Subject.CommonName; name != s.Name {
		v.fault("%s: its certificate is of %q", of, name)
	}
	at, known := s.At, "by the signer's clock"
	if t := s.Signature.Stamp; t != nil {
		if err := t.Check(s.Signature.Value); err != nil {
			v.fault("%s: its time stamp: %v", of, err)
		} else {
			at, known = t.Time, "by a time stamp of "+t.Certificate.Subject.CommonName
			if roots != nil {
				if err := t.Trust(roots); err != nil {
					v.fault("%s: its time stamp: %v", of, err)
				}
			}
		}
	}
	v.holds("%s holds: signed %s %s, certificate SHA-256 %x", of, at.Format("2006-01-02 15:04:05 -07:00"), known, sha256.Sum256(cert.Raw))
	if err := s.Signature.Valid(at); err != nil {
		v.fault("%s: %v", of, err)
	}
	if roots == nil {
		v.holds("  whether the certificate is to be trusted was not asked; name those to trust with --trust")
		return
	}
	if err := s.Signature.Trust(roots, at); err != nil {
		v.fault("%s: %v", of, err)
		return
	}
	v.holds("  its certificate leads to one of those trusted")
}

// A verification says what holds and what does not.
type verification struct {
	out    io.Writer
	quiet  bool
	faults int
}

// holds says something that is so.
func (v *verification) holds(format string, args ...any) {
	if !v.quiet {
		fmt.Fprintf(v.out, format+"\n", args...)
	}
}

// fault says something that does not hold.
func (v *verification) fault(format string, args ...any) {
	v.faults++
	fmt.Fprintf(v.out, "DOES NOT HOLD: "+format+"\n", args...)
}

// travels says what a document carries, and whether that is what it was made
// of.
func (v *verification) travels(d *readback.Document, m *made) {
	expected := map[string]bool{madeName: true, resultsName: true, m.Job: true}
	sources := 0
	for _, k := range m.Records {
		for _, f := range k.Files {
			expected[f] = true
		}
	}
	for _, name := range m.Texts {
		expected[textsFolder+name] = true
	}
	for _, name := range m.Images {
		expected[imageFolder+name] = true
	}
	for _, f := range d.Files {
		if !expected[f.Name] {
			v.fault("it carries %q, of which it does not say that it was made", f.Name)
		}
		if f.Kind == "Source" {
			sources++
		}
		delete(expected, f.Name)
	}
	for name := range expected {
		if name != "" {
			v.fault("it was made of %q, which it does not carry", name)
		}
	}
	v.holds("record: %s attached, with the digests that the document gives", counted(sources, "file", "files"))
}

// again makes a document again and holds it against what it was.
func (v *verification) again(d *readback.Document, m *made, original []byte, s stream) error {
	data, err := m.run(d)
	if err != nil {
		v.fault("it cannot be made again by %s: %v", tool, err)
		return nil
	}
	if bytes.Equal(data, original) {
		v.holds("made again by %s: the same file, byte for byte", tool)
		return nil
	}
	again, err := readback.Open(data)
	if err != nil {
		return err
	}
	same := m.Tool == tool
	if !same {
		v.holds("written by %s and made again by %s: numbers and verdicts have to agree, words may differ", m.Tool, tool)
	}
	before := v.faults
	v.results(d, again, same)
	v.pages(d, again, same)
	if same && v.faults == before {
		v.fault("results and pages say the same, but from byte %d on the file is not the one that %s makes: its looks, its fonts or its pictures were changed", firstDifference(data, original), tool)
	}
	return nil
}

// firstDifference is the place of the first byte that differs.
func firstDifference(a, b []byte) int {
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			return i
		}
	}
	return min(len(a), len(b))
}

// results holds the results that a document carries against those made again.
func (v *verification) results(d, again *readback.Document, same bool) {
	was, now := d.Attached(resultsName), again.Attached(resultsName)
	if was == nil || now == nil {
		return // said where the attachments are
	}
	differences, err := readback.Results(was.Data, now.Data)
	if err != nil {
		v.fault("its %s cannot be read: %v", resultsName, err)
		return
	}
	v.differences("results", differences, same, func(k readback.Kind) bool { return k == readback.Value })
}

// pages holds what the pages say against what they say made again. Where pages
// end is for each version to settle, and so is what stands at their heads and
// feet.
func (v *verification) pages(d, again *readback.Document, same bool) {
	all := slices.Concat(d.OutOfOrder(), d.Said(again))
	if same {
		all = append(all, d.Stamps(again)...)
	}
	v.differences("pages", all, same, func(k readback.Kind) bool { return k == readback.Value || k == readback.Added || k == readback.Order })
}

// mostShown bounds how many differences of a kind are told one by one.
const mostShown = 20

// differences tells what differs. By another version of the program only some
// kinds are faults.
func (v *verification) differences(of string, all []readback.Difference, same bool, weighs func(readback.Kind) bool) {
	faults, words := 0, 0
	for _, d := range all {
		if !same && !weighs(d.Kind) {
			words++
			continue
		}
		if faults++; faults <= mostShown {
			v.fault("%s, %s", of, told(d))
		}
	}
	if more := faults - mostShown; more > 0 {
		v.fault("%s: %s more", of, counted(more, "difference", "differences"))
	}
	switch {
	case words > 0:
		v.holds("%s: the same, but for %s of wording or of what only one of the versions says", of, counted(words, "difference", "differences"))
	case faults == 0 && len(all) == 0:
		v.holds("%s: the same", of)
	}
}

// told is a difference in words.
func told(d readback.Difference) string {
	switch d.Kind {
	case readback.Lost:
		return fmt.Sprintf("%s: %q is not in the document", d.Where, d.Now)
	case readback.Added:
		return fmt.Sprintf("%s: %q does not follow from the record", d.Where, d.Was)
	case readback.Order:
		return fmt.Sprintf("%s: %s", d.Where, d.Was)
	}
	return fmt.Sprintf("%s: the document says %q, made again it is %q", d.Where, d.Was, d.Now)
}

// counted is a number of things.
func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
