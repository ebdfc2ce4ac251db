package main

import (
	"cmp"
	"crypto/x509"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"saltline/internal/cms"
	"saltline/internal/objects"
	"saltline/internal/readback"
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
	quiet, large   bool
}

func runVerify(args []string, s stream) error {
	var r verifyRun
	flags := pflag.NewFlagSet("verify", pflag.ContinueOnError)
	flags.StringVar(&r.trust, "trust", "", "a file of certificates (PEM) that signers' certificates have to lead to")
	flags.StringVar(&r.extract, "extract", "", "a folder to write the attached files to")
	flags.BoolVar(&r.large, "large", false, largeUsage)
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
	if r.extract != "" && standing(r.extract) {
		return trouble(fmt.Sprintf("%s exists", r.extract), "name a folder that is not there yet")
	}
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
	v := &verification{out: plainWriter{s.out}, quiet: r.quiet, large: r.large}
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
		hint := "ask whoever handed it over for the file as it was written, and compare"
		if v.faults == v.untrusted {
			hint = "ask whoever signed by whom the certificate was issued, and decide whether to trust them: --trust names whose certificates are"
		}
		return &statusError{3, fmt.Sprintf("%s: %s", path, counted(v.faults, "thing does not hold", "things do not hold")), hint}
	}
	v.holds("what was checked holds; what was not is said above")
	return nil
}

// document verifies a document: as it was first written, and what was added.
func (v *verification) document(path string, data []byte, roots *x509.CertPool, s stream) (*sealing, error) {
	f, d, m, err := openDocument(path, data)
	if err != nil {
		return nil, err
	}
	v.holds("%s: %s, written by %s", path, d.Title, d.Producer)
	if m.Tool != d.Producer {
		v.fault("it says that %q wrote it, and its %s says that %q did", d.Producer, madeName, m.Tool)
	}
	v.travels(d, m)
	v.how(m)
	original := data // with whatever stands behind its end
	if all := f.Updates(); len(all) > 1 {
		original = data[:all[0].End]
	}
	if len(original) < len(data) {
		v.holds("as it stood before anything was added to it:")
	}
	if err := v.again(d, m, original, s); err != nil {
		return nil, err
	}
	v.untold(m)
	of := &sealing{now: f, first: d, made: m, large: v.large}
	return of, v.signatures(of, data, roots)
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
	d, err = readback.Of(first)
	if d != nil && d.Attached(madeName) == nil {
		return nil, nil, nil, trouble(fmt.Sprintf("%s, written by %q, carries no record", path, cmp.Or(d.Producer, "an unnamed program")), "only documents that carry their record can be made again: those of saltline 0.2.0 and later")
	}
	if err != nil {
		return nil, nil, nil, trouble(fmt.Sprintf("%s: %v", path, err), "no document of this program, or one that was changed; ask for it as it was written")
	}
	m, err = madeOf(path, d)
	return f, d, m, err
}

// madeOf reads how a document was made.
func madeOf(path string, d *readback.Document) (*made, error) {
	f := d.Attached(madeName)
	m := &made{}
	if len(f.Data) > mostMade {
		return nil, trouble(fmt.Sprintf("%s: its %s is larger than %d MiB", path, madeName, mostMade>>20), "the file was changed; ask for it as it was written")
	}
	if err := json.Unmarshal(f.Data, m); err != nil {
		return nil, trouble(fmt.Sprintf("%s: its %s cannot be read: %v", path, madeName, err), "the file was changed; ask for it as it was written")
	}
	return m, nil
}

// mostMade bounds how a document says that it was made, and mostResults the
// results that are held against each other one by one, in bytes: in memory they
// take many times the room.
const (
	mostMade    = 8 << 20
	mostResults = 16 << 20
)

// extract writes the attached files below a folder.
func extract(d *readback.Document, folder string) error {
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

// A verification says what holds and what does not.
type verification struct {
	out    io.Writer
	quiet  bool
	faults int

	untrusted int // those of the faults that only say who is not trusted

	exact bool // made again, it is the same file
	large bool // the record may take more memory than others
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
	expected := map[string]bool{}
	expect := func(name string) {
		if f := carriedAs(d, name); f != nil {
			name = f.Name
		}
		expected[name] = true
	}
	for _, name := range []string{madeName, resultsName, m.Job} {
		expect(name)
	}
	sources := 0
	for _, k := range m.Records {
		for _, f := range k.Files {
			expect(f)
		}
	}
	for _, name := range m.Texts {
		expect(textsFolder + name)
	}
	for _, name := range m.Images {
		expect(imageFolder + name)
	}
	var more []string
	for _, f := range d.Files {
		if !expected[f.Name] {
			more = append(more, f.Name)
		}
		if f.Kind == "Source" {
			sources++
		}
		delete(expected, f.Name)
	}
	delete(expected, "")
	v.faultEach("it carries %q, of which it does not say that it was made", more)
	v.faultEach("it was made of %q, which it does not carry", slices.Sorted(maps.Keys(expected)))
	v.holds("record: %s attached, with the digests that the document gives; together SHA-256 %s, as its foot has it",
		counted(sources, "file", "files"), m.digest(d))
	for i, f := range d.Files {
		if i < mostShown && f.Kind == "Source" {
			v.holds("  %q, SHA-256 %s", f.Name, f.SHA256())
		}
	}
}

// faultEach says the same of each of some names, and of many how many more.
func (v *verification) faultEach(format string, names []string) {
	for i, name := range names {
		if i == mostShown {
			v.fault("%d more of these", len(names)-i)
			return
		}
		v.fault(format, name)
	}
}

// how says what the command line gave that was not in the record, and whose
// words the document speaks in.
func (v *verification) how(m *made) {
	var own []string
	for _, o := range m.Options {
		own = append(own, strings.ReplaceAll(fmt.Sprintf("%q", o), "\"", ""))
	}
	v.holds("made with: %s %s", m.Command, strings.Join(own, " "))
	if len(m.Texts) > 0 {
		v.holds("not checked: its words: those of %s took the place of the built-in ones, and may say of a verdict what they like", strings.Join(m.Texts, ", "))
	}
}

// untold says what cannot be checked with what the document carries.
func (v *verification) untold(m *made) {
	v.holds("not checked: whether the record is true: one that was changed before its document was made follows from itself as well; " +
		"compare its SHA-256 with that of what was received at the time")
	seen := 0
	for _, p := range m.Photos {
		if p.SHA256 != "" {
			seen++
		}
	}
	if seen > 0 {
		v.holds("not checked: %s named, not carried: hold the files against the SHA-256 that %s gives of each, and by eye against the pictures", counted(seen, "photograph", "photographs"), madeName)
	}
}
