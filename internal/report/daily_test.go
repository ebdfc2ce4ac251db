package report_test

import (
	"bytes"
	"flag"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"

	"saltline/fonts"
	"saltline/internal/assess"
	"saltline/internal/certificate"
	"saltline/internal/certificate/testdata/complete"
	"saltline/internal/check"
	"saltline/internal/doc"
	"saltline/internal/dossier"
	"saltline/internal/frame"
	"saltline/internal/layout"
	"saltline/internal/record"
	"saltline/internal/report"
	"saltline/internal/unit"
	"saltline/internal/wording"
	"saltline/templates"
	"saltline/testdata/jobs"
)

var update = flag.Bool("update", false, "rewrite the golden files")

const samples = "../../samples/"

// judge reads a job and judges it. Each set is "key=value".
func judge(t *testing.T, path string, sets ...string) *assess.Result {
	t.Helper()
	return assess.Run(jobs.Read(t, path, sets...), check.All())
}

func words(t *testing.T, over fs.FS) *wording.Words {
	t.Helper()
	w, err := wording.Load(templates.Files, over, "en")
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func faces(t *testing.T) *frame.Fonts {
	t.Helper()
	f, err := frame.LoadFonts(fonts.Files)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// compose makes the document of one day as the command does.
func compose(t *testing.T, r *assess.Result, day unit.Date, w *wording.Words) report.Report {
	t.Helper()
	d := report.Daily{Date: day, Record: report.Record{Result: r, Words: w, Fonts: faces(t), Width: layout.A4().TextWidth(), Tool: "saltline 0.0.0", Digest: strings.Repeat("0", 64),
		Produced: unit.Date{Year: 2026, Month: 4, Day: 17},
		Image:    func(string) ([]byte, error) { return nil, fs.ErrNotExist }}}
	composed, err := d.Compose()
	if err != nil {
		t.Fatal(err)
	}
	return composed
}

func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("../../testdata/report", name)
	if *update {
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(string(want), string(got)); d != "" {
		t.Errorf("%s (−want +got; after reading it, -update takes it):\n%s", name, d)
	}
}

// TestSays holds what the reports of the samples say, in reading order.
func TestSays(t *testing.T) {
	for name, path := range map[string]string{
		"quillmere-lock": samples + "quillmere-lock",
		"faehre-lirra":   samples + "faehre-lirra.xlsx",
		"emptiest":       "../../testdata/jobs/emptiest.csv",
	} {
		r := judge(t, path)
		for _, day := range report.Days(r) {
			suffix := "-" + day.ISO()
			if day.IsZero() {
				suffix = ""
			}
			t.Run(name+suffix, func(t *testing.T) {
				d := compose(t, r, day, words(t, nil))
				var b bytes.Buffer
				if err := d.Document.WriteText(&b, 100); err != nil {
					t.Fatal(err)
				}
				golden(t, name+suffix+".txt", b.Bytes())
			})
		}
	}
}

// TestLaidOut holds where everything of the shortest report stands.
func TestLaidOut(t *testing.T) {
	d := compose(t, judge(t, "../../testdata/jobs/emptiest.csv"), unit.Date{}, words(t, nil))
	pages, err := layout.Pages(&d.Document, layout.A4(), faces(t))
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	for _, p := range pages.Pages {
		b.WriteString(p.String())
	}
	golden(t, "emptiest-pages.txt", []byte(b.String()))
}

// variants of the sample that say what it does not say by itself.
var variants = [][]string{
	{},
	{"procedure=beaker return", "volume=15 ml"},
	{"decision rule=guarded", "spots chosen=at random"},
	{"decision rule=guarded rejection", "limit rounding=to 1 mg/m2"},
	{"limit comparison=less than", "temperature correction=natural water"},
	{"limit basis=conductivity of sodium chloride", "temperature correction=none"},
	{"limit basis=chloride ion", "limit=30 mg/m2"},
	{"limit 2=20 mg/m2", "limit basis="},
	{"sampling rule=", "spot types required=weld, edge"},
	{"retest rule=beside the old footprint, 4 adjacent", "house drying time=400 min"},
	{"humidity limit=50 %", "dew point margin=9 °C"},
}

// TestEveryText sees every text filled at least once: each is marked with its
// key, and the marks are looked for in the reports and the audits of the fullest
// and the emptiest job, of the records made for the audit, and in variants of
// the sample.
func TestEveryText(t *testing.T) {
	marked := mark(t, "report", "statistics", "method", "cautions", "audit")
	w := words(t, marked.files)
	var said strings.Builder
	note := func(s string) { said.WriteString(s); said.WriteByte('\n') }
	takeOne := func(composed report.Report) {
		note(composed.Summary)
		d := composed.Document
		note(d.Title + d.Scope + d.Status + d.Footer.Digest + d.Footer.Produced + d.Words.PageOf + d.Words.Cautions + d.Words.Continued + d.Words.End)
		d.EachText(note)
		for _, b := range d.Blocks {
			if f, ok := b.(doc.Figure); ok {
				note(f.Alt + f.Draw(0).String())
			}
		}
	}
	take := func(r *assess.Result) {
		for _, day := range report.Days(r) {
			takeOne(compose(t, r, day, w))
		}
		closing := report.Record{Result: r, Words: w, Fonts: faces(t), Width: layout.A4().TextWidth()}
		for _, area := range certificate.Of(r) {
			made, err := report.Certificate{Record: closing, Area: &area}.Compose()
			if err != nil {
				t.Fatal(err)
			}
			takeOne(made)
		}
		for _, d := range dossierOf(t, closing, r) {
			takeOne(report.Report{Document: d})
		}
		a := auditOf(t, r, w)
		composed, err := a.Compose()
		if err != nil {
			t.Fatal(err)
		}
		takeOne(composed)
		questions, err := a.Questions()
		if err != nil {
			t.Fatal(err)
		}
		note(questions)
		_, table, err := a.Terminal()
		if err != nil {
			t.Fatal(err)
		}
		note(table.Empty)
		for _, record := range table.Records() {
			note(strings.Join(record, " "))
		}
	}
	for _, sets := range variants {
		take(judge(t, samples+"quillmere-lock", sets...))
	}
	take(judge(t, samples+"faehre-lirra.xlsx"))
	for _, pattern := range []string{"../../testdata/jobs/*", "../../testdata/report/*"} {
		paths, err := filepath.Glob(pattern)
		if err != nil {
			t.Fatal(err)
		}
		for _, path := range paths {
			if ext := filepath.Ext(path); ext != ".go" && ext != ".txt" {
				take(judge(t, path))
			}
		}
	}
	for _, log := range []string{"recovered", "retests"} {
		take(judge(t, "../../testdata/audit/"+log+".csv", "limit=50 mg/m2", "limit basis=total salts"))
	}
	for _, c := range firstPages {
		take(judgeText(t, c.log, c.sets...))
	}
	take(judgeText(t, "test,remark,blank (µS/cm),extract (µS/cm),volume (ml)\n1,中\u202e,1.0,12.0,3\n"))
	take(judgeText(t, "test,mood,blank (µS/cm),extract (µS/cm),volume (ml)\n1,grey,1.0,12.0,3\n"))
	take(complete.New(t, "signatures: add data digest\nsignatures: #1 | data digest=rows 0123456789abcdef\nsignatures: #2 | data digest=0123456789abcdef\njob: +paint system,two coats").Judge(t))
	take(assess.Run(new(record.Job), check.All()))
	take(slippedVolume(t))
	for _, key := range marked.keys {
		if !strings.Contains(said.String(), "‹"+key+"›") {
			t.Errorf("no report says %q", key)
		}
	}
}

// dossierOf makes the dossier of a job, its front and all of its parts.
func dossierOf(t *testing.T, record report.Record, r *assess.Result) []doc.Document {
	t.Helper()
	made, err := report.Dossier{Record: record, Dossier: dossier.Of(r, strings.Repeat("0", 64)), Costs: true}.Compose()
	if err != nil {
		t.Fatal(err)
	}
	all := []doc.Document{made.Volume.Document}
	for _, p := range made.Volume.Parts {
		d, err := p.Make()
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, d)
	}
	return all
}

// A marking is a set of texts that begin with their own keys.
type marking struct {
	files fstest.MapFS
	keys  []string
}

func mark(t *testing.T, files ...string) marking {
	t.Helper()
	m := marking{files: fstest.MapFS{}}
	begin := regexp.MustCompile(`(?m)^= (\S+)\n`)
	for _, f := range files {
		name := "en/" + f + ".txt"
		data, err := fs.ReadFile(templates.Files, name)
		if err != nil {
			t.Fatal(err)
		}
		for _, k := range begin.FindAllSubmatch(data, -1) {
			m.keys = append(m.keys, f+"/"+string(k[1]))
		}
		m.files[name] = &fstest.MapFile{Data: begin.ReplaceAll(data, []byte("= $1\n‹"+f+"/$1› "))}
	}
	slices.Sort(m.keys)
	return m
}

// TestQuiet sees that an honest day with everything recorded raises nothing.
func TestQuiet(t *testing.T) {
	r := judge(t, "../../testdata/jobs/quiet")
	for _, f := range r.Findings {
		t.Errorf("%s speaks: %v", f.Check.Name, f.Args)
	}
	for i := range r.Lines {
		if r.Lines[i].Verdict != assess.Pass || r.Lines[i].Agreement != assess.Agrees {
			t.Errorf("test %s: %v, %v", r.Lines[i].Test.Number().Text, r.Lines[i].Verdict, r.Lines[i].Agreement)
		}
	}
	if s := r.Standing(unit.Date{}); len(s) != 1 || s[0].Verdict != assess.AcceptedForSalt {
		t.Errorf("the area stands otherwise than accepted: %+v", s)
	}
}

// unsaid is what no document may state of steel, of ions or of people.
var unsaid = regexp.MustCompile(`(?i)\b(is clean|salt-free|free of salts?|uncontaminated|approved for coating|fit for coating|guarantee|warranty|falsified|fraud|cheat)`)

func TestNeverSaid(t *testing.T) {
	for _, sets := range variants {
		r := judge(t, samples+"quillmere-lock", sets...)
		for _, day := range report.Days(r) {
			d := compose(t, r, day, words(t, nil)).Document
			d.EachText(func(s string) {
				if m := unsaid.FindString(s); m != "" {
					t.Errorf("%v: %q is said: %s", sets, m, s)
				}
			})
		}
	}
}
