package workbook

import (
	"strings"

	"saltline/internal/assess"
	"saltline/internal/audit"
	"saltline/internal/check"
	"saltline/internal/table"
)

// mostNamed bounds how many tests or cells one sentence names; the rest are
// counted.
const mostNamed = 200

// list joins names as the language does.
func (k *corrector) list(names []string) string {
	if len(names) <= mostNamed {
		return k.Words.List(names)
	}
	return strings.Join(names[:mostNamed], ", ") + " " + k.text("report/cells-more", len(names)-mostNamed)
}

// findings is the sheet of everything that was found, the weightiest first and
// the patterns last, each with the rule, the ordinary explanation and the next
// step.
func (k *corrector) findings() table.Page {
	cols := []struct {
		key   string
		width float64
	}{
		{"mark", 6}, {"severity", 15}, {"finding", 48}, {"rule", 36}, {"innocent", 34}, {"next", 36},
		{"owner", 15}, {"direction", 13}, {"tests", 18}, {"first-place", 16}, {"places", 30},
	}
	p := table.Page{
		Name: k.sheets.findings, Head: 3, Side: 1,
	}
	var heads []string
	for _, c := range cols {
		p.Widths = append(p.Widths, c.width)
		heads = append(heads, k.say("head-"+c.key, nil))
	}
	p.Print = k.print(p.Widths, p.Side)
	p.Lines = append(p.Lines,
		line(table.Entry{}, table.Words(k.say("findings-title", nil)).As(table.Title)), // beside the column that every printed page repeats
		line(table.Entry{}, table.Words(k.say("findings-lead", nil)).As(table.Aside)),
		headed(heads...))
	for _, patterns := range []bool{false, true} {
		for n := range k.Report.Findings {
			if audit.IsPattern(&k.Report.Findings[n]) == patterns {
				p.Lines = append(p.Lines, k.finding(n))
			}
		}
	}
	indent(p.Lines, p.Head)
	if len(k.Report.Findings) == 0 {
		p.Lines = append(p.Lines, line(table.Entry{}, table.Entry{}, table.Words(k.say("findings-none", nil))))
	}
	return p
}

// finding is the line of the n-th finding.
func (k *corrector) finding(n int) table.Line {
	f := &k.Report.Findings[n]
	fill := check.Filling(k.Report.Result, f, k.list)
	key := "checks/" + f.Check.Name + "/"
	innocent := ""
	if k.Words.Has(key + "innocent") {
		innocent = k.text(key+"innocent", fill)
	}
	direction := map[assess.Direction]string{
		assess.SafeSide: k.text("report/side-safe", nil), assess.UnsafeSide: k.text("report/side-unsafe", nil),
	}[f.Direction]
	places := f.Places
	if len(places) == 0 {
		for _, i := range f.Tests {
			places = append(places, k.Report.Lines[i].Test.Row())
		}
	}
	var names []string
	first := table.Entry{}
	for i, p := range places {
		names = append(names, k.cellName(p))
		if i == 0 {
			first = k.link(p, names[0])
			first.Wrapped = true
		}
	}
	return line(
		table.Words(k.Report.Marks[n]),
		long(k.text("report/severity-"+hyphens(f.Severity.String()), nil)),
		long(k.text(key+"title", fill)+": "+k.text(key+"found", fill)),
		long(k.text(key+"rule", fill)),
		long(innocent),
		long(k.text(key+"next", fill)),
		long(k.text("report/role-"+hyphens(f.Check.Owner.String()), nil)),
		long(direction),
		long(k.list(check.Numbers(k.Report.Lines, f.Tests))),
		first,
		long(k.list(names)),
	)
}
