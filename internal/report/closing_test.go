package report_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/certificate"
	"saltline/internal/certificate/testdata/complete"
	"saltline/internal/check"
	"saltline/internal/doc"
	"saltline/internal/dossier"
	"saltline/internal/layout"
	"saltline/internal/record"
	"saltline/internal/report"
	"saltline/internal/unit"
	"saltline/internal/wording"
	"saltline/testdata/jobs"
)

const (
	documentsTable = "documents: document,area or day,number,revision,issued on,data digest,what changed\n"
	otherRows      = "rows 0123456789abcdef"
)

// closingJobs are changes of the complete job, each with what its certificates
// and its dossier say and the others do not.
var closingJobs = map[string]string{
	"complete": "",
	"terms, names and numbers that do not hold": documentsTable + "documents: +certificate,D1,SK-C-1,0,,,\ndocuments: +certificate,D2,SK-C-1,0,,,\ndocuments: +certificate,D3,SK-C-3,0,,,\n" +
		"documents: +daily report,2026-03-04,DR-02,0,2026-03-04,rows 0123456789abcdef,\nsignatures: #6 | name=Inga Solem\npeople: Inga Solem | expiry=next year\n" +
		"job: decision rule | value=guarded with U = 4\njob: +limit basis,chloride ion\nreadings: 10 | extract=42.0; recorded=50.4; recorded verdict=fail",
	"signed": documentsTable + "documents: +certificate,D2,SK-C-2,0,,,\ndocuments: +dossier,,SK-H,0,,,\nsignatures: add area\nsignatures: add number\n" +
		"signatures: +certificate,0,,QC manager,Paul Amsel,,2026-03-05 09:00,wet ink,D2,SK-C-2\nsignatures: +certificate,0,,owner's representative,Rita Vaz,,2026-03-05 10:00,wet ink,D2,SK-C-2\n" +
		"signatures: +handover dossier,0,,QC manager,Paul Amsel,,2026-03-06 09:00,wet ink,,SK-H\nsignatures: +handover dossier,0,,owner's representative,Rita Vaz,,2026-03-06 10:00,wet ink,,SK-H",
	"nothing but readings": "meters: none\npeople: none\nextracts: none\nwater: none\nchecks: none\nambient: none\nsignatures: none\ndays: none\npatches: none\nareas: none\n" +
		"treatments: none\nreadings: drop inspector\nreadings: drop meter\njob: -hours to coating\njob: -sampling rule",
	"no date":     "readings: drop date",
	"no checks":   "checks: none",
	"no time":     "readings: 10 | read=",
	"no hours":    "job: -hours to coating\nchecks: #1 | meter=",
	"concessions": "concessions: for,clause,agreed by,date,text\nconcessions: +D2,6.2,owner,2026-03-01,One test on the fender is left out.\nconcessions: +D2,6.3,owner,2026-03-01,The shaft is tested before it is dry.\nconcessions: +all areas,6.4,owner,2026-03-01,The water is of grade 3.",

	"no tests":       "areas: +D3,Dolphin 3,50,carbon steel,",
	"open fail":      "readings: 9 | extract=57.3; recorded=67.3; recorded verdict=fail",
	"no limit":       "job: -limit",
	"no basis":       "job: -limit basis",
	"limits differ":  "readings: 10 | remark=\nreadings: add limit (mg/m2)\nreadings: 10 | limit=60",
	"no rule":        "job: -sampling rule",
	"no size":        "job: sampling rule | value=3 for the first 100 m2, then 1 per further 100 m2 or part\nareas: D2 | size=",
	"too few":        "job: sampling rule | value=4",
	"unproven":       "readings: 10 | blank=",
	"spot types":     "job: +spot types required,\"weld, flange\"",
	"failed control": "job: sampling rule | value=3 for the first 100 m2, then 1 per further 100 m2 or part\nareas: +D2,the same,95,carbon steel,",
	"two digests":    "signatures: add data digest\nsignatures: #4 | data digest=aa01\nsignatures: #5 | data digest=bb02",

	"certificate issued with others": documentsTable + "documents: +certificate,D2,SK-C-2,0,2026-03-05," + otherRows + ",",
	"certificate issued twice":       documentsTable + "documents: +certificate,D2,SK-C-2,0,2026-03-05,0123,\ndocuments: +certificate,D2,SK-C-2,0,2026-03-05,4567,",
	"certificate not explained":      documentsTable + "documents: +certificate,D2,SK-C-2,0,2026-03-05,0123,\ndocuments: +certificate,D2,SK-C-2,1,,,",
	"certificate explained":          documentsTable + "documents: +certificate,D2,SK-C-2,0,2026-03-05,0123,\ndocuments: +certificate,D2,SK-C-2,1,,,size corrected",
	"dossier issued with others":     documentsTable + "documents: +dossier,,SK-H,0,2026-03-06," + otherRows + ",",
	"dossier issued twice":           documentsTable + "documents: +dossier,,SK-H,0,2026-03-06,0123,\ndocuments: +dossier,,SK-H,0,2026-03-06,4567,",
	"dossier not explained":          documentsTable + "documents: +dossier,,SK-H,0,2026-03-06,0123,\ndocuments: +dossier,,SK-H,1,,,",

	"no diary":         "days: -2026-03-04",
	"no report number": "days: 2026-03-04 | report number=",
	"not signed":       "signatures: #5 | role=foreman",
	"signed early":     "signatures: #5 | signed at=2026-03-04 09:16",
	"changed since":    "signatures: add data digest\nsignatures: #5 | data digest=" + otherRows,
	"no reason":        "days: +2026-03-04,07:00,12:00,\"calm, dry\",Salt tests on dolphin 2,DR-02,1,",
	"same number":      "days: 2026-03-04 | report number=dr-01",
	"undated":          "readings: 10 | date=\njob: sampling rule | value=2",

	"only glass":       "areas: none\nreadings: 1 | kind=procedural blank; recorded verdict=; area=\n" + withoutTests(2, 10) + "treatments: none\ndays: -2026-03-04",
	"report between":   "days: 2026-03-04 | report number=DR-03",
	"number missing":   "readings: 10 | test=13",
	"meter not listed": "meters: none",
	"other instrument": "meters: +T-4,thermometer,-20 to 60 °C,0.1 °C,0.5,,C-31,2025-12-01,2026-12-01,Skarsund Calibration",
	"not listed":       "people: -Inga Solem",
	"card expired":     "people: Inga Solem | expiry=2026-03-03",
	"card without end": "people: Inga Solem | expiry=",
	"off by a patch":   "patches: P | closing stock=29",

	"a week and a month": "days: +2026-03-05,,,rain,,,,\ndays: +2026-03-06,,,,nothing to do,,,\ndays: +2026-03-07,,,,,,,\ndays: +2026-03-08,,,,,,,\ndays: +2026-03-09,,,,,,,\n" +
		"days: +2026-03-12,,,,,,,\ndays: +2026-03-16,,,,,,,\ndays: +2026-04-20,,,rain,no testing,,,",

	"prices": "patches: add unit price\npatches: add water cost\npatches: add check solution cost\npatches: add syringes cost\npatches: add taxi cost\n" +
		"patches: P | unit price=2.50; water cost=4.20; check solution cost=6.30; syringes cost=5.00; taxi cost=9.00\njob: +currency,EUR\n" +
		"patches: +R,reusable magnetic ring,1250,,,,120.00,,,,\npatches: add maximum uses\npatches: R | maximum uses=1\n",
	"prices in two currencies": "patches: add unit price\npatches: add water cost\npatches: P | unit price=2.50 NOK; water cost=4.20 EUR",
	"no prices":                "patches: add water cost\npatches: P | water cost=much",
	"rings": "patches: add unit price\npatches: add maximum uses\npatches: add water cost\npatches: add check solution cost\npatches: add syringes cost\n" +
		"patches: +R,reusable magnetic ring,1250,,,,120.00,2,1,1,1\npatches: +S,sleeve,1250,,,,20.00,,,,\npatches: +U,,1250,,,,20.00,500,,,\nreadings: add patch use\n" +
		"readings: 1 | patch=R; patch use=1\nreadings: 2 | patch=R; patch use=2\nreadings: 3 | patch=R; patch use=3\nreadings: 4 | patch=S; patch use=1\nreadings: 5 | patch=U; patch use=4\nreadings: 6 | patch=U; patch use=5\n" +
		"readings: 7 | patch=X-9\nreadings: 8 | patch=\nreadings: 9 | patch=-",
	"rings with all prices": "patches: none\npatches: batch or id,kind,patch area (mm²),unit price,maximum uses,water cost,check solution cost,syringes cost\npatches: +R,reusable magnetic ring,1250,120.00,200,4.00,5.00,6.00\n" +
		"readings: drop patch kind\nreadings: drop patch\njob: +currency,EUR",
}

func withoutTests(from, to int) string {
	var s strings.Builder
	for n := from; n <= to; n++ {
		fmt.Fprintf(&s, "readings: -%d\n", n)
	}
	return s.String()
}

// A furtherDay is a day that follows those of the complete job, with one test
// of the second dolphin.
type furtherDay struct {
	date, meter string
	number      string // of its report
	late        bool   // it is signed after its test
	digest      string // that the signatures name
}

// further adds days to the complete job. Whatever a day leaves out is missing.
func further(days ...furtherDay) string {
	var s strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&s, format+"\n", args...) }
	line("signatures: add data digest")
	line("patches: P | closing stock=%d", 30-len(days))
	meters := map[string]bool{"K-1": true}
	for i, d := range days {
		n := 11 + i
		line("readings: +%d,D2,\"west, %d.6 m\",plate,%s,09:01,09:14,1.3,W-%d,3.0,3.0,2.7,4,%d.8,14.7,on,1250,single-use adhesive,P-%d,%s,,,Inga Solem,,,,", n, i, d.date, n, 20+i, n, d.meter)
		line("water: +W-%d,ISO 3696 grade 3,%s,2026-12-31,%s,08:45,1.3,water", n, d.date, d.date)
		line("checks: +%s,08:35,%s,potassium chloride,84,S-9,2026-10-31,14.9,83.5,5,as found,Inga Solem", d.date, d.meter)
		line("checks: +%s,09:50,%s,potassium chloride,84,S-9,2026-10-31,15.7,84.2,5,as found,Inga Solem", d.date, d.meter)
		line("ambient: +%s,08:50,\"D2, shade\",8.6,64,2.2,9.4,\"calm, dry\",Inga Solem", d.date)
		if !meters[d.meter] {
			meters[d.meter] = true
			line("meters: +%s,conductivity,0 to 1999 µS/cm,0.1 µS/cm,2,\"on, 2 %%/°C\",C-1%s,2025-11-12,2026-11-12,Skarsund Calibration", d.meter, d.meter)
		}
		if d.number != "" {
			line("days: +%s,07:00,12:00,\"calm, dry\",Salt tests on dolphin 2,%s,0,", d.date, strings.TrimSpace(d.number))
		}
		at := "08:40"
		if d.late {
			at = "11:40"
		}
		for _, who := range []string{"inspector,Inga Solem", "QC manager,Paul Amsel", "owner's representative,Rita Vaz"} {
			line("signatures: +daily report,0,%s,%s,,%s %s,wet ink,%s", d.date, who, d.date, at, d.digest)
		}
	}
	return s.String()
}

// longerJobs are jobs of more days and meters than a page has room for: one in
// order, and one with a gap of every kind.
var longerJobs = map[string]string{
	"in order": further(furtherDay{"2026-03-05", "K-2", "DR-03", true, ""}, furtherDay{"2026-03-06", "K-3", "DR-04", true, ""}, furtherDay{"2026-03-09", "K-1", "DR-05", true, ""}),
	"every gap": further(
		furtherDay{"2026-03-05", "K-2", "", true, ""}, furtherDay{"2026-03-06", "K-1", " ", true, ""}, furtherDay{"2026-03-07", "K-1", "DR-05", true, ""},
		furtherDay{"2026-03-09", "K-1", "DR-06", false, ""}, furtherDay{"2026-03-10", "K-1", "DR-07", true, otherRows}, furtherDay{"2026-03-11", "K-1", "DR-08", true, ""},
		furtherDay{"2026-03-12", "K-1", "DR-02", true, ""}) +
		"signatures: #14 | role=foreman\ndays: +2026-03-11,,,,,DR-08,1,\nsignatures: #18 | name=Inga Solem\nsignatures: #22 | revision=1\nsignatures: #23 | revision=1\nsignatures: #24 | revision=1\nreadings: 10 | date=\n" + documentsTable + "documents: +daily report,2026-03-10,DR-07,,2026-03-10,rows 0123456789abcdef,",
}

// A closed is what the closing documents of a job are made of.
type closed struct {
	result *assess.Result
	words  *wording.Words
}

func (c closed) record(t *testing.T) report.Record {
	t.Helper()
	return report.Record{Result: c.result, Words: c.words, Fonts: faces(t), Width: layout.A4().TextWidth(), Tool: "saltline 0.0.0",
		Digest: strings.Repeat("0", 64), Produced: unit.Date{Year: 2026, Month: 4, Day: 17}}
}

// certificates are those of all areas.
func (c closed) certificates(t *testing.T) []report.Report {
	t.Helper()
	var all []report.Report
	for _, area := range certificate.Of(c.result) {
		made, err := report.Certificate{Record: c.record(t), Area: &area}.Compose()
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, made)
	}
	return all
}

// A bound is one document of a dossier, with the name that it has in the
// contents; its front has none.
type bound struct {
	doc.Document
	entry string
	own   bool
}

// dossier is the dossier, its front first, with what the terminal shows of it.
func (c closed) dossier(t *testing.T) (summary string, all []bound) {
	t.Helper()
	d := report.Dossier{Record: c.record(t), Dossier: dossier.Of(c.result, strings.Repeat("0", 64)), Costs: true,
		Files: []report.File{{Name: "dolphins.xlsx", Size: 81_234, SHA256: strings.Repeat("0123456789abcdef", 4)}}}
	made, err := d.Compose()
	if err != nil {
		t.Fatal(err)
	}
	all = append(all, bound{Document: made.Volume.Document})
	for _, p := range made.Volume.Parts {
		of, err := p.Make()
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, bound{of, p.Entry, p.Own})
	}
	return made.Summary, all
}

// sayAll notes everything that a document says: on the page, in its running
// heads, in its drawings, and to those who cannot see them.
func sayAll(note func(string), d *doc.Document) {
	d.EachText(note)
	eachFigure(d.Blocks, func(f doc.Figure) {
		note(f.Alt)
		texts, _ := drawn(f.Draw(layout.A4().TextWidth()))
		note(strings.Join(texts, " "))
	})
}

func eachFigure(blocks []doc.Block, f func(doc.Figure)) {
	for _, b := range blocks {
		switch b := b.(type) {
		case doc.Figure:
			f(b)
		case doc.Group:
			eachFigure(b.Blocks, f)
		case doc.Box:
			if a := b.Aside; a != nil && a.Element != nil {
				f(doc.Figure{Draw: doc.Drawn(a), Alt: a.Element.Alt})
			}
			eachFigure(b.Blocks, f)
		}
	}
}

// TestEveryClosingText sees every text of certificates and dossiers said by one
// of them: each is marked with its key, and the marks are looked for in what
// jobs say that bring each of them about.
func TestEveryClosingText(t *testing.T) {
	marked := mark(t, "certificate", "dossier", "trends", "stock", "photos", "map")
	w := words(t, marked.files)
	said := map[string]bool{}
	note := func(s string) {
		for {
			_, rest, found := strings.Cut(s, "‹")
			if !found {
				return
			}
			var key string
			key, s, _ = strings.Cut(rest, "›")
			said[key] = true
		}
	}
	take := func(r *assess.Result) {
		c := closed{r, w}
		for _, made := range c.certificates(t) {
			note(made.Summary)
			sayAll(note, &made.Document)
		}
		summary, all := c.dossier(t)
		note(summary)
		for i := range all {
			note(all[i].entry)
			sayAll(note, &all[i].Document)
		}
	}
	for _, name := range sortedKeys(closingJobs) {
		take(complete.New(t, closingJobs[name]).Judge(t))
	}
	for _, name := range sortedKeys(longerJobs) {
		take(complete.New(t, longerJobs[name]).Judge(t))
	}
	take(photographed(t))
	notAtHand := jobs.Read(t, samples+"quillmere-lock")
	notAtHand.Photos = notAtHand.NamedPhotos(nil)
	take(assess.Run(notAtHand, check.All()))
	take(judgeText(t, scattered(90, "x,y", func(int) string { return "1,2" }), "limit=50 mg/m2", "limit basis=total salts"))
	take(judgeText(t, scattered(3, "x,y", func(i int) string { return fmt.Sprintf("%d,%d m", i, i) }), "limit=50 mg/m2", "limit basis=total salts"))
	take(assess.Run(new(record.Job), check.All()))
	for _, f := range followedJobs {
		take(f.judge(t))
	}
	for _, key := range marked.keys {
		if !said[key] {
			t.Errorf("no certificate and no dossier says %q", key)
		}
	}
}

func sortedKeys(m map[string]string) []string {
	var keys []string
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}
