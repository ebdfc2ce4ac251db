package report

import (
	"slices"
	"strings"

	"saltline/internal/doc"
	"saltline/internal/frame"
	"saltline/internal/papers"
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

// paper is what the record says of the report of the day.
func (c *composer) paper() *papers.Report { return c.index.papers[c.Date] }

// status is the line that stands on every page until all have signed.
func (c *composer) status() string {
	if c.paper().Has(papers.ChangedSince, "") {
		return c.say("report/status-changed", nil)
	}
	if c.paper().SignedAll() {
		return c.say("report/status-signed", nil)
	}
	return c.say("report/status-draft", nil)
}

// signOff is where the three sign, with what each signs to.
func (c *composer) signOff() []doc.Block {
	var list []doc.Signature
	for _, s := range c.paper().Signed {
		printed := ""
		if s.Signer.Key == papers.Inspector.Key {
			printed = c.soleInspector()
		}
		place := c.signPlace(s.Signer, s.Signature, printed,
			c.say("report/statement-"+s.Signer.Key, map[string]any{"Witnessed": c.witnessed()}))
		if c.paper().Has(papers.ChangedSince, s.Signer.Key) {
			place.State = c.Words.Clauses([]string{place.State, c.say("report/signed-otherwise", nil)})
		}
		list = append(list, place)
	}
	return []doc.Block{doc.Group{Blocks: slices.Concat([]doc.Block{c.heading("report/sign-title", "")},
		c.small("report/sign-rows", shortDigest(c.paper().Digest)), []doc.Block{doc.Signatures{Items: list}})}}
}

// signPlace is the place for one person to sign, with the signature that the
// record holds. printed is the name of who will sign where neither a signature
// nor the people table tells.
func (c *composer) signPlace(s papers.Signer, g *record.Signature, printed, statement string) doc.Signature {
	name := ""
	if g != nil {
		name = g.Name.Val
	}
	p := papers.Card(c.job, s, name)
	line := func(key string, value string) doc.Field {
		f := doc.Field{Label: c.say("report/label-"+key, nil)}
		if value != "" {
			f.Value = doc.Plain(value)
		}
		return f
	}
	var employer, card, expiry, date string
	if p != nil {
		printed, employer = p.Name.OrZero(), p.Employer.OrZero()
		card = strings.TrimSpace(p.Qualification.OrZero() + " " + p.CardNumber.OrZero())
		if p.Expiry.Known() {
			expiry = c.Words.Date(p.Expiry.Val)
		}
	}
	b := doc.Signature{
		Role:      c.say("report/role-name-"+s.Key, nil),
		Statement: statement,
		Sign:      c.say("report/label-signature", nil),
		Field:     s.Key,
	}
	if g == nil {
		b.State = c.say("report/unsigned", nil)
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
				b.State = c.Words.Clauses([]string{b.State, c.say("report/image-missing", g.Image.Val)})
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

// brief is a place to sign with fewer lines, for a page that has to hold more.
func (c *composer) brief(b doc.Signature) doc.Signature {
	both := func(a, z doc.Field) doc.Field {
		if len(a.Value) > 0 && len(z.Value) > 0 {
			a.Value = doc.Plain(a.Value.String() + ", " + z.Value.String())
		}
		return a
	}
	name, employer, card, expiry, date := b.Fields[0], b.Fields[1], b.Fields[2], b.Fields[3], b.Fields[4]
	if len(expiry.Value) > 0 {
		expiry.Value = doc.Plain(c.say("certificate/until", expiry.Value.String()))
	}
	b.Fields = []doc.Field{both(name, employer), both(card, expiry), date}
	return b
}

// soleInspector is the inspector whom all tests of the day name; "" where they
// name several or none.
func (c *composer) soleInspector() string {
	name := ""
	for _, l := range c.lines {
		switch who := l.Test.Inspector().OrZero(); {
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
		if l.Test.Kind().Known() && l.Test.Kind().Val == record.Witness {
			tests = append(tests, l.Index)
		}
	}
	return c.numbers(tests)
}
