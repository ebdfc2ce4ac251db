package heading

import (
	"fmt"
	"iter"
	"slices"
	"strconv"
	"strings"

	"saltline/internal/diag"
	"saltline/internal/pattern"
	"saltline/internal/table"
)

var testAcross = pattern.Of(`^(?:(?:test|prufung|messung|probe|ensayo|prueba|lectura|essai|mesure|prove|maling|reading|result|t|no|` + spots + `) ?)?(\d{1,2})$`)

// spots are the words, as they are folded, for the place of one test.
const spots = `spot|point|punto|punkt|stelle|messstelle|prufstelle|sted|malested|patch|pt|p`

// testPartAcross is a heading of one column of a test that has several: "Test 1
// blank", "Spot 1 extract", "P1 mg/m²"; partOfTestAcross has them the other way
// round.
var (
	testPartAcross   = pattern.Of(`^(?:test|prufung|probe|ensayo|prueba|essai|prove|sample|` + spots + `) ?(\d{1,2}) (.+)$`)
	partOfTestAcross = pattern.Of(`^(.+) (?:test|prufung|probe|ensayo|prueba|essai|prove|sample|` + spots + `) ?(\d{1,2})$`)
	partNumbered     = pattern.Of(`^(.+) (\d{1,2})$`)
)

// A part is one heading of a row of headings, as seen by who looks for tests
// side by side.
type part struct {
	*entry
	thing string // the heading without the number of its test, folded
	n     int    // the number of its test; 0 where it has none
	bare  bool   // its number has no word for what it counts: "Blank 1"
	alone bool   // each test has no more than this one, "Test 1"
	told  bool   // the user has said what it is
	aside bool   // … that it is none of ours
}

// parts are the headings in rows, which stand below one another.
func parts(rows []table.Row, given Mapping) []part {
	var ps []part
	several := false
	for _, e := range entries(rows, nil) {
		p := part{entry: e}
		var column string
		column, p.told = given.of(e.pos, e.text, e.name, e.own)
		p.aside = p.told && column == aside
		name := fold(e.name)
		number := ""
		if m := testAcross().FindStringSubmatch(name); m != nil {
			number = m[1]
		} else if m := testPartAcross().FindStringSubmatch(name); m != nil {
			number, p.thing = m[1], m[2]
		} else if m := partOfTestAcross().FindStringSubmatch(name); m != nil {
			number, p.thing = m[2], m[1]
		} else if m := partNumbered().FindStringSubmatch(name); m != nil && e.reading(m[1]) != "" {
			number, p.thing, p.bare = m[2], m[1], true
		} else {
			p.thing = name
		}
		p.n, _ = strconv.Atoi(number)
		several = several || p.n > 0 && p.thing != ""
		ps = append(ps, p)
	}
	for i := range ps {
		ps[i].alone = ps[i].n > 0 && !several
	}
	return ps
}

// reading is which of the values of one test thing, a heading without the
// number of its test, stands for: "blank", "extract", "difference" or
// "recorded"; "" for none.
func (e *entry) reading(thing string) string {
	for _, m := range words().tables["readings"].means(thing) {
		switch m.column {
		case "blank", "extract", "difference", "recorded":
			if e.class == "" || m.kind.takes(e.class) {
				return m.column
			}
		}
	}
	if e.class == "density" || unitClass(thing) == "density" {
		return "recorded"
	}
	return ""
}

// wide recognises the heading of a table that has one row for each area and
// its tests 1, 2, 3 … across. Such a row is not read: which of its values are
// one test is for its writer to say, by rows. What the user has set aside does
// not count. Where each test has several columns, to name those of one is not
// enough: the others would be lost without a word.
func wide(rows []table.Row, given Mapping) (diag.Diagnostic, bool) {
	for ps := range headingLines(rows, given) {
		ps = slices.DeleteFunc(ps, func(p part) bool { return p.aside })
		if run := across(ps); run != nil {
			hint := "put each test on a row of its own, with its area, blank, extract and volume"
			if run[0].alone {
				hint += fmt.Sprintf("; if they are readings of one extract, name the one that counts with --map %q and set the others aside with =-",
					oneLine(run[0].text)+"=extract")
			}
			return diag.Diagnostic{
				Pos:   run[0].pos,
				Level: diag.Failure,
				Check: "wide-form",
				Msg: fmt.Sprintf("found tests side by side from %s to %s, one area in each row, but wanted one test in each row",
					called(run, 0), called(run, len(run)-1)),
				Hint: hint,
			}, true
		}
	}
	return diag.Diagnostic{}, false
}

// unused tells of the tests side by side that the user has set aside: their
// readings are in the log and in no result.
func unused(rows []table.Row, given Mapping) (diag.Diagnostic, bool) {
	for ps := range headingLines(rows, given) {
		for i := range ps {
			ps[i].told = false
		}
		var left []part
		for _, p := range across(ps) {
			if p.aside && !p.alone {
				left = append(left, p)
			}
		}
		if len(left) == 0 {
			continue
		}
		var names []string
		for i := range left {
			names = append(names, called(left, i))
		}
		return diag.Diagnostic{
			Pos:   left[0].pos,
			Level: diag.Problem,
			Check: "tests-set-aside",
			Msg:   "found other tests on the same rows, which are set aside and not in any result: " + strings.Join(names, ", "),
			Hint:  "put each test on a row of its own, and none is left out",
		}, true
	}
	return diag.Diagnostic{}, false
}

// called is the i-th heading of ps, with its cell where another reads like it.
func called(ps []part, i int) string {
	for k, p := range ps {
		if k != i && p.fold == ps[i].fold {
			return fmt.Sprintf("%q in %s", oneLine(ps[i].text), ps[i].pos.Cell())
		}
	}
	return fmt.Sprintf("%q", oneLine(ps[i].text))
}

// deepest is how many rows of a sheet are looked at for tests side by side.
const deepest = 2000

// headingLines are the rows of headings to look at: each row, and all of them
// together where they are one heading.
func headingLines(rows []table.Row, given Mapping) iter.Seq[[]part] {
	return func(yield func([]part) bool) {
		for i := range min(len(rows), deepest) {
			if rows[i].Len() > fewest && rows[i].Len() <= widest && !yield(parts(rows[i:i+1], given)) {
				return
			}
		}
		if 1 < len(rows) && len(rows) <= tallest+1 && !slices.ContainsFunc(rows, func(r table.Row) bool { return !looksLikeHeading(r) }) {
			yield(parts(rows, given))
		}
	}
}

// across are the headings of tests side by side among ps, or nil.
func across(ps []part) []part {
	if run := numbered(ps); run != nil {
		return run
	}
	return repeated(ps)
}

// numbered are the headings that count: Test 1, Test 2, Test 3, or blank and
// extract of spot 1, then those of spot 2. One heading at least has no number.
func numbered(ps []part) []part {
	var run []part
	last, others, open, bare := 0, 0, false, false
	for _, p := range ps {
		switch {
		case p.n == 0:
			others++
		case p.alone && p.told:
		case p.n == last+1, !p.alone && p.n == last && last > 0:
			run, last = append(run, p), p.n
			open, bare = open || !p.told, bare || p.bare
		}
	}
	if len(run) < fewest || last < 2 || others == 0 || !open || bare && !(oneTest(of(run, 1)) && oneTest(of(run, 2))) {
		return nil
	}
	return run
}

// of are the parts of test n.
func of(ps []part, n int) []part {
	return slices.DeleteFunc(slices.Clone(ps), func(p part) bool { return p.n != n })
}

// repeated are headings that come again in the same order, two or more that
// are values of one test: Blank, Extract, Blank, Extract.
func repeated(ps []part) []part {
	for i := range ps {
		for size := (len(ps) - i) / 2; size >= 2; size-- {
			end := i + size
			for end < len(ps) && ps[end].thing == ps[end-size].thing && ps[end].class == ps[end-size].class {
				end++
			}
			end -= (end - i) % size
			run := ps[i:end]
			if len(run) < 2*size || !oneTest(run[:size]) || size >= fewest && len(run) == len(ps) {
				continue // or whole tables side by side, which are read
			}
			if slices.ContainsFunc(run, func(p part) bool { return !p.told }) {
				return run
			}
		}
	}
	return nil
}

// oneTest reports whether ps are different values of one test, a conductivity
// among them.
func oneTest(ps []part) bool {
	kinds := map[string]bool{}
	for _, p := range ps {
		if k := p.reading(p.thing); k != "" {
			kinds[k] = true
		}
	}
	return len(kinds) >= 2 && (kinds["blank"] || kinds["extract"])
}
