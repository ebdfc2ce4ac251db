package report

import (
	"strings"

	"saltline/internal/doc"
	"saltline/internal/frame"
	"saltline/internal/record"
)

// extracts shows what is recorded of the abrasive and the wash water.
func (c *composer) extracts() []doc.Block {
	list := c.extractList()
	if len(list) == 0 {
		return nil
	}
	head := func(key string) string { return c.say("report/head-"+key, nil) }
	return []doc.Block{c.heading("report/extracts-title", ""), doc.Tabulate([]doc.Col[*record.Extract]{
		doc.Left(head("date"), "", func(e *record.Extract) string { return cell(c, e.Date) }),
		doc.Left(head("kind"), "", func(e *record.Extract) string { return cell(c, e.Kind) }),
		doc.Left(head("batch"), "", func(e *record.Extract) string { return cell(c, e.Batch) }),
		doc.Left(head("method"), "", func(e *record.Extract) string { return cell(c, e.Method) }),
		doc.Decimal(head("conductivity"), "µS/cm", func(e *record.Extract) string { return cell(c, e.Conductivity) }),
		doc.Decimal(head("extract-limit"), "µS/cm", func(e *record.Extract) string { return cell(c, e.Limit) }),
		doc.Left(head("oil"), "", func(e *record.Extract) string { return cell(c, e.Oil) }),
		doc.Left(head("by"), "", func(e *record.Extract) string { return cell(c, e.By) }),
	}, list, func(e *record.Extract, r *doc.Row) {
		r.Emphasis = e.Conductivity.Known() && e.Limit.Known() && e.Conductivity.Val > e.Limit.Val
	})}
}

// extractList are the tests up to the day: an abrasive is in use until the
// next batch.
func (c *composer) extractList() []*record.Extract {
	var list []*record.Extract
	for i := range c.job.Extracts {
		if e := &c.job.Extracts[i]; !e.Date.Known() || e.Date.Val.Compare(c.Date) <= 0 {
			list = append(list, e)
		}
	}
	return list
}

// photos lists the photographs that the record names, word for word.
func (c *composer) photos() []doc.Block {
	var items []string
	for _, l := range c.lines {
		if p := l.Test.Photo; p.Known() {
			items = append(items, c.say("report/photo", map[string]any{
				"Photo": p.Val, "Test": c.number(l.Index), "Location": written(c, l.Test.Location)}))
		}
	}
	if len(items) == 0 {
		return nil
	}
	return []doc.Block{
		c.heading("report/photos-title", ""),
		doc.Paragraph{Text: doc.Plain(c.say("report/photos", strings.Join(items, "; ")))},
	}
}

// remarks is the diary of the day, word for word.
func (c *composer) remarks() []doc.Block {
	fields := c.diary()
	if len(fields) == 0 {
		return nil
	}
	return []doc.Block{c.heading("report/remarks-title", ""), doc.Fields{Columns: 2, Items: fields}}
}

func (c *composer) diary() []doc.Field {
	if c.day == nil {
		return nil
	}
	var fields []doc.Field
	add := func(key string, w record.Words) {
		if w.State != record.Absent {
			fields = append(fields, doc.Labelled(c.say("report/label-"+key, nil), doc.Plain(written(c, w))))
		}
	}
	add("work", c.day.WorkDone)
	if c.day.Stops.State != record.Absent {
		fields = append(fields, doc.Labelled(c.say("report/label-stops", nil), doc.Plain(written(c, c.day.Stops))))
	}
	add("delays", c.day.Delays)
	add("instructions", c.day.Instructions)
	add("visitors", c.day.Visitors)
	add("remarks", c.day.Remarks)
	return fields
}

// A signer is one of the three who sign a daily report.
type signer struct {
	key   string   // of its texts
	roles []string // how a record may name the role, in lower case
}

var signers = []signer{
	{"inspector", []string{"inspector", "coating inspector", "inspektor", "prüfer", "inspecteur", "contrôleur", "inspektør", "kontrollør"}},
	{"qc", []string{"qc manager", "quality manager", "qc", "qs-leiter", "responsable de calidad", "responsable qualité", "kvalitetsleder"}},
	{"owner", []string{"owner's representative", "owner’s representative", "owner representative", "owner's rep", "vertreter des bauherrn", "representante de la propiedad", "représentant du maître d'ouvrage", "byggherrens representant"}},
}

func (s signer) is(role record.Words) bool {
	r := strings.ToLower(known(role))
	for _, name := range s.roles {
		if r == name {
			return true
		}
	}
	return false
}

// signature is the record's signature of a role under the report of the day:
// the last one, since a later one is of a later revision.
func (c *composer) signature(s signer) *record.Signature {
	var last *record.Signature
	for i := range c.job.Signatures {
		g := &c.job.Signatures[i]
		if g.Date.Known() && g.Date.Val == c.Date && s.is(g.Role) && g.SignedAt.Known() && g.Name.Known() &&
			(!g.Revision.Known() || g.Revision.Val == c.revision()) {
			last = g
		}
	}
	return last
}

// status is the line that stands on every page until all have signed.
func (c *composer) status() string {
	for _, s := range signers {
		if c.signature(s) == nil {
			return c.say("report/status-draft", nil)
		}
	}
	return c.say("report/status-signed", nil)
}

// person is the card of somebody with a role, by name where one is signed.
func (c *composer) person(s signer, name string) *record.Person {
	for i := range c.job.People {
		p := &c.job.People[i]
		if name != "" && strings.EqualFold(known(p.Name), name) {
			return p
		}
	}
	if name != "" {
		return nil
	}
	var only *record.Person
	for i := range c.job.People {
		if p := &c.job.People[i]; s.is(p.Role) {
			if only != nil {
				return nil // which of the two will sign is not for the tool to say
			}
			only = p
		}
	}
	return only
}

// signOff is where the three sign, with what each signs to.
func (c *composer) signOff() []doc.Block {
	var list []doc.Signature
	for _, s := range signers {
		list = append(list, c.signBlock(s))
	}
	return []doc.Block{c.heading("report/sign-title", ""), doc.Signatures{Items: list}}
}

func (c *composer) signBlock(s signer) doc.Signature {
	g := c.signature(s)
	name := ""
	if g != nil {
		name = g.Name.Val
	}
	p := c.person(s, name)
	line := func(key string, value string) doc.Field {
		f := doc.Field{Label: c.say("report/label-"+key, nil)}
		if value != "" {
			f.Value = doc.Plain(value)
		}
		return f
	}
	var printed, employer, card, expiry, date string
	if s.key == "inspector" {
		printed = c.soleInspector()
	}
	if p != nil {
		printed, employer = known(p.Name), known(p.Employer)
		card = strings.TrimSpace(known(p.Qualification) + " " + known(p.CardNumber))
		if p.Expiry.Known() {
			expiry = c.Words.Date(p.Expiry.Val)
		}
	}
	b := doc.Signature{
		Role:      c.say("report/role-name-"+s.key, nil),
		Statement: c.say("report/statement-"+s.key, map[string]any{"Witnessed": c.witnessed()}),
		Sign:      c.say("report/label-signature", nil),
	}
	if g == nil {
		b.State = c.say("report/not-signed", nil)
	} else {
		printed = g.Name.Val
		date = c.moment(g.SignedAt.Val)
		b.State = c.say("report/signed", map[string]any{"When": date, "Method": written(c, g.Method)})
		if c.Image != nil && g.Image.Known() {
			data, err := c.Image(g.Image.Val)
			if err == nil {
				_, err = frame.NewImage(data, 1, 1, "")
			}
			if err != nil {
				b.State += "; " + c.say("report/image-missing", g.Image.Val)
			} else {
				b.Image = data
			}
		}
	}
	b.Fields = []doc.Field{
		line("name", printed), line("employer", employer), line("qualification", card), line("expiry", expiry), line("signed-at", date),
	}
	return b
}

// soleInspector is the inspector whom all tests of the day name; "" where they
// name several or none.
func (c *composer) soleInspector() string {
	name := ""
	for _, l := range c.lines {
		switch who := known(l.Test.Inspector); {
		case who == "" || name != "" && !strings.EqualFold(name, who):
			return ""
		default:
			name = who
		}
	}
	return name
}

func (c *composer) moment(m record.Moment) string {
	s := c.Words.Date(m.Date)
	if m.HasClock {
		s += ", " + m.Clock.String()
	}
	return s
}

// witnessed names the tests that were made for a witness.
func (c *composer) witnessed() string {
	var tests []int
	for _, l := range c.lines {
		if l.Test.Kind.Known() && l.Test.Kind.Val == record.Witness {
			tests = append(tests, l.Index)
		}
	}
	return c.numbers(tests)
}
