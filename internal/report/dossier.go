package report

import (
	"slices"
	"strconv"

	"saltline/internal/assess"
	"saltline/internal/certificate"
	"saltline/internal/doc"
	"saltline/internal/dossier"
	"saltline/internal/papers"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// A Dossier is what the handover dossier of a job is made from.
type Dossier struct {
	Record
	Dossier *dossier.Dossier
	Costs   bool   // what the tests cost is printed
	Files   []File // that the record was read from, and the photographs beside it
}

// A File is one file of the record.
type File struct {
	Name   string
	Size   int    // bytes; 0 where it is not known
	SHA256 string // hex
}

// A Bound is a composed dossier, and what the terminal shows of it.
type Bound struct {
	Volume  doc.Volume
	Summary string
}

// Compose composes the dossier. Its parts are made when they are laid out; an
// error in one of them is returned there.
func (d Dossier) Compose() (Bound, error) {
	if d.index == nil {
		var err error
		if d.Record, err = d.Indexed(); err != nil {
			return Bound{}, err
		}
	}
	c := d.composer()
	v := doc.Volume{Document: c.front()}
	for _, p := range dossierParts {
		v.Parts = append(v.Parts, d.part(c, p))
		switch p.sections[len(p.sections)-1].key {
		case "certificates":
			for i := range d.Dossier.Areas {
				v.Parts = append(v.Parts, d.boundCertificate(c, &d.Dossier.Areas[i]))
			}
		case "reports":
			for i := range d.Dossier.Reports {
				v.Parts = append(v.Parts, d.boundReport(c, &d.Dossier.Reports[i]))
			}
		case "method":
			v.Cautions = doc.InPart(len(v.Parts)-1, anchorCautions)
		}
	}
	return Bound{v, c.summary()}, c.err
}

// A dossierPart is one or more of the numbered sections behind the cover and
// the contents, which are the first two. Short ones share their pages.
type dossierPart struct {
	key      string // of its title, where it has several sections
	sections []dossierSection
}

type dossierSection struct {
	number int
	key    string
	blocks func(*dossierComposer) []doc.Block
}

var dossierParts = []dossierPart{
	{"standing", []dossierSection{
		{3, "summary", (*dossierComposer).areas},
		{4, "specification", (*dossierComposer).specification},
	}},
	{"registers", []dossierSection{
		{5, "register", (*dossierComposer).register},
		{6, "fails", (*dossierComposer).failPart},
		{7, "certificates", (*dossierComposer).certificates}, // and the certificates behind it
	}},
	{"", []dossierSection{{8, "reports", (*dossierComposer).calendar}}},
	{"", []dossierSection{{9, "trends", (*dossierComposer).trendPart}}},
	{"means", []dossierSection{
		{10, "instruments", (*dossierComposer).instruments},
		{11, "consumables", (*dossierComposer).consumables},
		{12, "extracts", (*dossierComposer).extractPart},
		{13, "people", (*dossierComposer).people},
		{14, "photographs", (*dossierComposer).photographs},
	}},
	{"closing", []dossierSection{
		{15, "open", (*dossierComposer).openPoints},
		{16, "reconciliation", (*dossierComposer).reconciliation},
	}},
	{"", []dossierSection{{17, "method", (*dossierComposer).methodAndCautions}}},
	{"", []dossierSection{{18, "files", (*dossierComposer).files}}},
}

// A dossierComposer composes what the dossier says itself. Every part has one
// of its own, for parts are composed side by side.
type dossierComposer struct {
	*composer
	of    *dossier.Dossier
	costs bool
	read  []File
}

func (d Dossier) composer() *dossierComposer {
	c := &composer{
		Record: d.Record,
		job:    d.Result.Job,
		mark:   make(map[*assess.Finding]string),
		why:    make(map[int]string),
	}
	for i := range d.Dossier.Areas {
		c.standing = append(c.standing, d.Dossier.Areas[i].Standing)
	}
	c.several = len(c.standing) > 1
	for _, i := range d.Dossier.Register {
		c.lines = append(c.lines, &d.Result.Lines[i])
	}
	if n := len(d.Dossier.Calendar); n > 0 {
		c.Date = d.Dossier.Calendar[n-1].Until
	}
	return &dossierComposer{c, d.Dossier, d.Costs, d.Files}
}

// document is a document of the dossier without its blocks.
func (c *dossierComposer) document(title, scope string) doc.Document {
	out := doc.Document{
		Title:  title,
		Number: c.of.Issue.Number,
		Job:    c.job.Terms.JobNumber.OrZero(),
		Scope:  scope,
		Lang:   c.Words.Lang(),
		Status: c.status(),
		Words:  c.pageWords(),
		Footer: c.footer(),
	}
	out.Footer.Cautions = "" // those of the part that has them
	if r := c.of.Issue.Revision; r != "" {
		out.Revision = c.say("report/revision-short", r)
	}
	return out
}

func (c *dossierComposer) status() string {
	switch {
	case !c.of.Issuable():
		return c.say("dossier/status-not-issuable", nil)
	case slices.ContainsFunc(certifiers, func(s papers.Signer) bool { return c.signature(s) == nil }):
		return c.say("report/status-draft", nil)
	}
	return c.say("certificate/status-signed", len(certifiers))
}

func (c *dossierComposer) signature(s papers.Signer) *record.Signature {
	return papers.SignatureOf(c.job, papers.Dossier, s, "", c.of.Issue.Number, c.of.Issue.Revision)
}

// entry is a section as contents, bookmarks and running heads name it.
func (c *dossierComposer) entry(s dossierSection) string {
	return strconv.Itoa(s.number) + " " + c.say("dossier/part-"+s.key, nil)
}

// part is a part of the dossier's own. Here and below, front is the composer of
// what stands in front: it names the parts, and what it could not say is an
// error of the whole.
func (d Dossier) part(front *dossierComposer, p dossierPart) doc.Part {
	out := doc.Part{Level: 1}
	if len(p.sections) == 1 {
		out.Entry = front.entry(p.sections[0])
	}
	out.Make = func() (doc.Document, error) {
		c := d.composer()
		title := out.Entry
		if title == "" {
			title = c.say("dossier/parts-"+p.key, map[string]any{"From": p.sections[0].number, "To": p.sections[len(p.sections)-1].number})
		}
		made := c.document(title, c.say("dossier/title", nil))
		for _, s := range p.sections {
			if out.Entry == "" {
				made.Blocks = append(made.Blocks, doc.Heading{Level: 1, Text: c.entry(s), Large: true})
			}
			made.Blocks = append(made.Blocks, s.blocks(c)...)
		}
		made.Words.End = ""
		if last := dossierParts[len(dossierParts)-1]; p.sections[0].number == last.sections[0].number {
			made.Words.End = c.say("report/page-end", nil)
		}
		return made, c.err
	}
	return out
}

// boundReport is the daily report of a day, without what stands once for all.
func (d Dossier) boundReport(front *dossierComposer, p *papers.Report) doc.Part {
	entry := front.dayOf(p.Date)
	if p.Number != "" {
		entry = front.say("dossier/entry-report", map[string]any{"Report": front.reportName(p), "Day": entry})
	}
	return doc.Part{Entry: entry, Level: 2, Own: true, Make: func() (doc.Document, error) {
		day := Daily{Record: d.Record, Date: p.Date}
		c := newComposer(day)
		out := c.documentOf(c.dailyOnce())
		out.Footer.Cautions, out.Words.End = "", ""
		return out, c.err
	}}
}

// boundCertificate is the certificate of an area, or the sheet that says why
// there is none.
func (d Dossier) boundCertificate(front *dossierComposer, a *certificate.Certificate) doc.Part {
	key := "dossier/entry-certificate"
	if a.Refused() {
		key = "dossier/entry-refused"
	}
	entry := front.say(key, map[string]any{"Area": front.areaName(a.Standing.Name), "Number": a.Issue.Number})
	return doc.Part{Entry: entry, Level: 2, Own: true, Make: func() (doc.Document, error) {
		of := Certificate{Record: d.Record, Area: a}
		c := &certificateComposer{composer: of.composer(), of: a}
		out := c.document(true)
		out.Words.End = ""
		return out, c.err
	}}
}

// front is the cover with the revisions, and the contents.
func (c *dossierComposer) front() doc.Document {
	t := &c.job.Terms
	out := c.document(c.say("dossier/title", nil), "")
	if !c.of.Issuable() {
		out.Title = c.say("dossier/title-not-issuable", nil)
		out.Blocks = append(out.Blocks, c.notIssuable()...)
	}
	out.Words.End = ""
	var fields []doc.Field
	add := func(key, value string) {
		fields = append(fields, doc.Labelled(c.say(key, nil), doc.Plain(value)))
	}
	number := c.say("report/report-number", map[string]any{"Number": c.of.Issue.Number, "Revision": c.of.Issue.Revision})
	if c.of.Issue.Formed {
		number = c.say("dossier/number-formed", number)
	}
	add("dossier/label-number", number)
	for _, f := range []struct {
		key  string
		w    record.Words
		must bool
	}{
		{"job", t.JobNumber, true}, {"title", t.Title, false}, {"client", t.Client, true}, {"owner", t.Owner, false},
		{"contractor", t.Contractor, true}, {"contract", t.Contract, false}, {"site", t.Site, true}, {"structure", t.Structure, true},
		{"plan", t.InspectionPlan, false},
	} {
		if f.must || f.w.State != record.Absent {
			add("report/label-"+f.key, written(c.composer, f.w))
		}
	}
	add("dossier/label-dates", c.span())
	out.Blocks = append(out.Blocks, doc.Heading{Level: 1, Text: "1 " + c.say("dossier/part-cover", nil)},
		doc.Fields{Columns: 2, Items: fields})
	out.Blocks = append(out.Blocks, c.counts()...)
	out.Blocks = append(out.Blocks, c.revisions()...)
	out.Blocks = append(out.Blocks,
		doc.Heading{Level: 1, Text: "2 " + c.say("dossier/part-contents", nil), NewPage: len(c.of.Areas)+len(c.of.Reports) > shortContents}, doc.Contents{Depth: 2})
	return out
}

// shortContents is how many certificates and reports leave room for the contents
// on the cover.
const shortContents = 6

// span is the time of testing.
func (c *dossierComposer) span() string {
	var first, last unit.Date
	for i := range c.of.Reports {
		if d := c.of.Reports[i].Date; !d.IsZero() {
			if first.IsZero() {
				first = d
			}
			last = d
		}
	}
	if first.IsZero() {
		return c.say("format/not-recorded", nil)
	}
	if first == last {
		return c.Words.Date(first)
	}
	return c.say("certificate/dates", map[string]any{"From": first, "Until": last, "Days": daysOf(c.of.Reports)})
}

// counts is the job in a few numbers.
func (c *dossierComposer) counts() []doc.Block {
	certified, open, cleared := 0, 0, 0
	for i := range c.of.Areas {
		a := &c.of.Areas[i]
		if !a.Refused() {
			certified++
		}
		open += len(a.Standing.Open)
		cleared += len(a.Standing.Cleared)
	}
	glass := c.onGlass(c.of.Register)
	return c.para("dossier/counts", map[string]any{"Tests": len(c.of.Register) - glass, "Glass": glass, "Days": daysOf(c.of.Reports), "Areas": len(c.of.Areas),
		"Certified": certified, "Open": open, "Cleared": cleared, "Points": len(c.of.Open)})
}
