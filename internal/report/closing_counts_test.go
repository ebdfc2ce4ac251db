package report_test

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"saltline/internal/doc"
)

// blankKind is the kind of a blank on glass.
const blankKind = "procedural blank"

// A reader compares documents with what was told, and keeps what differs.
type reader struct {
	*told
	known   []string // densities that are of no test: limits, uncertainties
	differs []string
	read    int // how many values were compared
}

func (r *reader) hold(what string, got, want any) {
	r.read++
	if g, w := fmt.Sprint(got), fmt.Sprint(want); g != w {
		r.differs = append(r.differs, fmt.Sprintf("%s: %s is printed, %s was judged", what, g, w))
	}
}

// near holds a printed number to a value: it is the value rounded to its own
// last digit.
func (r *reader) near(what, printed string, want *float64) {
	r.read++
	if want == nil {
		if printed != "–" {
			r.differs = append(r.differs, fmt.Sprintf("%s: %s is printed, and there is none", what, printed))
		}
		return
	}
	if !rounds(printed, *want) {
		r.differs = append(r.differs, fmt.Sprintf("%s: %s is printed, %v was judged", what, printed, *want))
	}
}

func rounds(printed string, v float64) bool {
	printed = strings.ReplaceAll(printed, "−", "-")
	x, err := strconv.ParseFloat(printed, 64)
	_, decimals, _ := strings.Cut(printed, ".")
	return err == nil && math.Abs(x-v) <= 0.5*math.Pow10(-len(decimals))+1e-9
}

// plain is a text with ordinary spaces.
func plain(s string) string { return strings.ReplaceAll(s, "\u00a0", " ") }

// tablesOf are all tables of a document.
func tablesOf(blocks []doc.Block) []doc.Table {
	var all []doc.Table
	for _, b := range blocks {
		switch b := b.(type) {
		case doc.Table:
			all = append(all, b)
		case doc.Group:
			all = append(all, tablesOf(b.Blocks)...)
		case doc.Box:
			all = append(all, tablesOf(b.Blocks)...)
		}
	}
	return all
}

// columns finds the columns of a table by their heads; nil where one is not
// there.
func columns(t doc.Table, heads ...string) []int {
	var at []int
	for _, head := range heads {
		i := slices.IndexFunc(t.Columns, func(c doc.Column) bool { return plain(c.Head) == head })
		if i < 0 {
			return nil
		}
		at = append(at, i)
	}
	return at
}

// tests compares the tables of single tests in a document: of each test where
// it was made, its density and its verdict. It returns their numbers.
func (r *reader) tests(d *doc.Document, ticked []string) []string {
	var numbers []string
	for _, t := range tablesOf(d.Blocks) {
		at := columns(t, "No.", "Location", "ρ", "Verdict")
		if at == nil {
			continue
		}
		warm, tick := columns(t, "ρ at 25 °C"), columns(t, "Stated")
		for _, row := range t.Rows {
			if row.Group {
				continue
			}
			cell := func(i int) string { return plain(row.Cells[i].String()) }
			number := cell(at[0])
			numbers = append(numbers, number)
			i := slices.IndexFunc(r.Tests, func(o toldTest) bool { return o.Test == number })
			if i < 0 {
				r.differs = append(r.differs, "test "+number+" is printed, and there is none")
				continue
			}
			of := &r.Tests[i]
			r.hold("location of test "+number, cell(at[1]), of.Location)
			density := of.Density
			if warm == nil && of.At25 != nil {
				density = of.At25
			}
			r.near("density of test "+number, cell(at[2]), density)
			if of.Kind == blankKind {
				r.hold("verdict of blank "+number, cell(at[3]), "")
			} else {
				r.hold("verdict of test "+number, cell(at[3]), of.Verdict)
			}
			if tick != nil {
				r.hold("tick of test "+number, cell(tick[0]) == "✓", slices.Contains(ticked, number))
			}
		}
	}
	return numbers
}

// numbersIn holds the numbers that a sentence gives. The pattern has a group for
// each.
func (r *reader) numbersIn(what, text, pattern string, want ...any) {
	m := regexp.MustCompile(pattern).FindStringSubmatch(text)
	if m == nil {
		r.differs = append(r.differs, fmt.Sprintf("%s: nothing says %q", what, pattern))
		return
	}
	for i, w := range want {
		r.hold(fmt.Sprintf("%s, number %d", what, i+1), m[i+1], w)
	}
}

// textOf is all text of a document in one line.
func textOf(d *doc.Document) string {
	var all []string
	d.EachText(func(s string) { all = append(all, plain(s)) })
	return strings.Join(all, " ¶ ")
}

// densityText is a density in a sentence.
var densityText = regexp.MustCompile(`(−?\d+(?:\.\d+)?) mg/m²`)

// certificate compares one certificate, or the sheet of a refused one.
func (r *reader) certificate(n int, d *doc.Document) {
	c, a := &r.Certificates[n], &r.Areas[n]
	text := textOf(d)
	what := "certificate of " + c.Area
	count, void := 0, 0
	var stated []float64
	var open []string
	for _, o := range r.Tests {
		if o.Area != c.Area || o.Kind == blankKind {
			continue
		}
		count++
		if o.Verdict == "VOID" {
			void++
		}
		if o.Verdict == "NOT ESTABLISHED" {
			open = append(open, o.Test)
		}
		if slices.Contains(c.Stated, o.Test) {
			v := o.Density
			if o.At25 != nil {
				v = o.At25
			}
			stated = append(stated, *v)
		}
	}
	required := "?"
	if a.Required != nil {
		required = strconv.Itoa(*a.Required)
	}
	r.numbersIn(what, text, `(\d+) valid original tests?, (\d+|\?) required`, a.Valid, required)
	if a.Required == nil && c.Issued {
		r.differs = append(r.differs, what+": issued, and nobody knows how many tests are required")
	}
	tests := strconv.Itoa(count)
	switch {
	case void > 0 && len(open) > 0:
		tests += fmt.Sprintf(", of them %d void and %d not established", void, len(open))
	case void > 0:
		tests += fmt.Sprintf(", of them %d void", void)
	case len(open) > 0:
		tests += fmt.Sprintf(", of them %d not established", len(open))
	}
	r.numbersIn(what, text, `All tests made ¶ ([^¶]*) ¶`, tests)
	above := "none"
	if len(c.Above) > 0 {
		above = strconv.Itoa(len(c.Above))
	}
	r.numbersIn(what, text, `At first test ¶ (\d+|none) of \d+ above`, above)
	cleared := "none"
	if len(a.Cleared) > 0 {
		cleared = strconv.Itoa(len(a.Cleared))
	}
	r.numbersIn(what, text, `Treated and cleared ¶ (\d+|none)\b`, cleared)
	if m := regexp.MustCompile(`n = (\d+); lowest (\S+), median (\S+), highest (\S+) mg/m²`).FindStringSubmatch(text); m == nil {
		r.differs = append(r.differs, what+": no values are given")
	} else {
		r.hold(what+", n", m[1], a.N)
		r.near(what+", lowest", m[2], a.Min)
		r.near(what+", median", m[3], a.Median)
		r.near(what+", highest", m[4], a.Max)
	}
	if !c.Issued {
		return
	}
	// What is stated is what the values are of, and no more.
	slices.Sort(stated)
	r.hold(what+", stated", len(stated), a.N)
	r.near(what+", lowest stated", strconv.FormatFloat(*a.Min, 'f', 2, 64), &stated[0])
	r.near(what+", highest stated", strconv.FormatFloat(*a.Max, 'f', 2, 64), &stated[len(stated)-1])
	r.numbersIn(what, text, `At the (\d+) locations? marked`, len(c.Stated))
	r.numbersIn(what, text, `speaks of the (\d+) tests? marked ✓ of (\d+) made`, len(c.Stated), count)
	r.hold(what+", rows of the annex", len(r.tests(d, c.Stated)), count)
	r.numbersIn(what, text, `digest of its rows: ([0-9a-f]{64})\.`, c.Rows)
	for _, t := range tablesOf(d.Blocks) {
		at := columns(t, "Daily report", "Rev.", "Digest of its rows")
		if at == nil {
			continue
		}
		r.hold(what+", reports", len(t.Rows), len(c.Reports))
		for i, row := range t.Rows {
			r.hold(what+", report", row.Cells[at[0]].String(), c.Reports[i].Number)
			r.hold(what+", revision", row.Cells[at[1]].String(), c.Reports[i].Revision)
			r.hold(what+", rows", strings.HasPrefix(c.Reports[i].Rows, row.Cells[at[2]].String()), true)
		}
	}
}

// dossier compares the documents of a dossier that it composes itself, and of
// the reports that are bound in the tests.
func (r *reader) dossier(summary string, all []bound) {
	steel, glass, certified, cleared, open, days := 0, 0, 0, 0, 0, len(r.Dossier.Reports)
	perDay := r.perDay()
	for _, n := range perDay {
		steel, glass = steel+n[0], glass+n[1]
	}
	for i := range r.Areas {
		cleared, open = cleared+len(r.Areas[i].Cleared), open+len(r.Areas[i].Open)
		if r.Certificates[i].Issued {
			certified++
		}
	}
	onGlass, pattern := []any{steel}, `(\d+) tests? on steel`
	if glass > 0 {
		onGlass, pattern = append(onGlass, glass), pattern+` and (\d+) on glass`
	}
	r.numbersIn("cover", textOf(&all[0].Document), pattern+`, on (\d+) days?; (\d+) of (\d+) areas with a certificate; (\d+) fails? cleared, (\d+) open; (\d+) open points?`,
		append(onGlass, days, certified, len(r.Areas), cleared, open, r.Dossier.Open)...)
	r.numbersIn("terminal", plain(summary), pattern+`, (\d+) days?, (\d+) areas?, (\d+) open points?`, append(onGlass, days, len(r.Areas), r.Dossier.Open)...)
	var inReports []string
	sheets := 0
	for i := range all {
		d := &all[i].Document
		switch {
		case all[i].own && strings.HasPrefix(d.Title, "Certificate"):
			r.certificate(sheets, d)
			sheets++
		case all[i].own:
			inReports = append(inReports, r.tests(d, nil)...)
		case len(columnsOf(d, "Certificate", "Highest", "Fails", "Cleared", "Open")) > 0:
			r.summary(d)
		case len(columnsOf(d, "No.", "Made as", "ρ")) > 0:
			r.hold("register", len(r.tests(d, nil)), len(r.Tests))
			r.groups(d, perDay)
		case len(columnsOf(d, "Day", "What was done")) > 0:
			r.calendar(d, perDay)
		case len(columnsOf(d, "What", "Counted", "Agrees")) > 0:
			r.balances(d)
		}
	}
	r.hold("sheets of areas", sheets, len(r.Areas))
	slices.Sort(inReports)
	r.hold("tests in the reports", len(slices.Compact(inReports)), len(r.Tests))
	for i := range all {
		if strings.HasPrefix(all[i].entry, "9 ") {
			continue // trends have medians of their own, which their own tests hold
		}
		for _, m := range densityText.FindAllStringSubmatch(textOf(&all[i].Document), -1) {
			r.read++
			if !r.anywhere(m[1]) {
				r.differs = append(r.differs, fmt.Sprintf("%s %s: %s mg/m² is a density of nothing", all[i].entry, all[i].Title, m[1]))
			}
		}
	}
}

// anywhere reports whether a printed density is one of the job.
func (r *reader) anywhere(printed string) bool {
	is := func(v *float64) bool { return v != nil && rounds(printed, *v) }
	for _, o := range r.Tests {
		if is(o.Density) || is(o.At25) || is(o.Recorded) {
			return true
		}
	}
	for i := range r.Areas {
		if a := &r.Areas[i]; is(a.Min) || is(a.Median) || is(a.Mean) || is(a.SD) || is(a.Max) {
			return true
		}
	}
	return slices.Contains(r.known, printed)
}
