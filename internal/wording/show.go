package wording

import (
	"fmt"
	"math"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"text/template"
	"unicode"
	"unicode/utf8"

	"saltline/internal/diag"
	"saltline/internal/unit"
)

// A format is how a language writes numbers, dates and lists.
type format struct {
	unit.Spelling
	and, yes, no, row string
	clause            string // stands between two clauses
	lead              string // stands between what is spoken of and what is said of it
	singular          []int  // the counts that take the singular
	lowers            bool   // a title inside a sentence begins with a small letter
}

func (w *Words) readFormat() (format, error) {
	var f format
	var sign, months, dates, singular, inside, clauses, leads string
	for key, into := range map[string]*string{
		"format/decimal-sign": &sign,
		"format/months":       &months,
		"format/date-pattern": &dates,
		"format/singular":     &singular,
		"format/inside":       &inside,
		"format/clauses":      &clauses,
		"format/leads":        &leads,
		"format/and":          &f.and,
		"format/yes":          &f.yes,
		"format/no":           &f.no,
		"format/row":          &f.row,
	} {
		var err error
		if *into, err = w.Say(key, nil); err != nil {
			return f, err
		}
	}
	names := strings.Fields(months)
	if copy(f.Months[:], names) != 12 || len(names) != 12 {
		return f, fmt.Errorf("text %q: %d month names, but wanted 12", "format/months", len(names))
	}
	if sign != "." && sign != "," {
		return f, fmt.Errorf("text %q: found %q, but wanted a point or a comma", "format/decimal-sign", sign)
	}
	f.Sign = rune(sign[0])
	if f.Dates = unit.Pattern(dates); !f.Dates.Valid() {
		return f, fmt.Errorf("text %q: found %q, but wanted D, M and Y for day, month and year, in this order, as in \"D M Y\"", "format/date-pattern", dates)
	}
	for count := range strings.FieldsSeq(singular) {
		n, err := strconv.Atoi(count)
		if err != nil {
			return f, fmt.Errorf("text %q: found %q, but wanted the counts that take the singular", "format/singular", singular)
		}
		f.singular = append(f.singular, n)
	}
	if inside != "lower" && inside != "same" {
		return f, fmt.Errorf("text %q: found %q, but wanted lower or same", "format/inside", inside)
	}
	f.lowers = inside == "lower"
	var err error
	if f.clause, err = between("format/clauses", clauses); err == nil {
		f.lead, err = between("format/leads", leads)
	}
	return f, err
}

// between is what stands between A and B in a text of the format.
func between(key, text string) (string, error) {
	s, first := strings.CutPrefix(text, "A")
	s, second := strings.CutSuffix(s, "B")
	if !first || !second {
		return "", fmt.Errorf("text %q: found %q, but wanted what stands between A and B, as in \"A; B\"", key, text)
	}
	return s, nil
}

// funcs are the functions that a text may use.
//
//	show x        a quantity with its unit, a date, a time, text
//	bare x        the number of a quantity alone
//	digits x n    a number with n decimals
//	plural n a b  a for a count that takes the singular, b otherwise
//	list xs       "1, 2 and 3"
//	yesno b       yes or no
//	term s        what a name of the program is called; terms ss does it for several
//	written s     a number as the record spells it, with the decimal sign of the language
func (w *Words) funcs() template.FuncMap {
	return template.FuncMap{
		"show":    w.Show,
		"bare":    w.Bare,
		"digits":  w.digits,
		"plural":  w.plural,
		"list":    w.List,
		"yesno":   w.YesNo,
		"term":    w.Term,
		"terms":   w.terms,
		"written": w.Written,
		"lower":   strings.ToLower,
	}
}

// Show writes a quantity with its unit, a date or a time of day as the
// language does. Densities are printed to 0.1 mg/m², temperatures and margins
// to 0.1 °C, conductivities to 0.1 µS/cm, volumes to 0.1 ml where they are not
// whole.
func (w *Words) Show(x any) (string, error) {
	switch x := x.(type) {
	case unit.Date:
		return w.Date(x), nil
	case unit.Clock:
		return x.String(), nil
	case unit.Decimal: // the digits as the record wrote them
		return w.format.Decimal(x), nil
	case string:
		return x, nil
	case int:
		return fmt.Sprint(x), nil
	case bool:
		return w.YesNo(x), nil
	}
	number, err := w.Bare(x)
	if err != nil {
		return "", err
	}
	return unit.With(number, printed[reflect.TypeOf(x)].quantity), nil
}

// Bare writes the number of a quantity, without its unit.
func (w *Words) Bare(x any) (string, error) {
	if n, is := x.(int); is {
		return strconv.Itoa(n), nil
	}
	v := reflect.ValueOf(x)
	switch {
	case x == nil:
		return "", fmt.Errorf("nothing to show")
	case v.Kind() == reflect.Int:
		return fmt.Sprint(v.Int()), nil
	case v.Kind() != reflect.Float64:
		return "", fmt.Errorf("cannot show %T", x)
	}
	if decimals := printed[v.Type()].decimals; decimals != asNeeded {
		return w.Number(v.Float(), decimals), nil
	}
	return w.Figure(v.Float()), nil
}

// asNeeded are the decimals of a quantity of which a whole number is written as
// one: a syringe holds 3 ml, and nobody has read the nought of 3.0.
const asNeeded = -1

// printed tells how each quantity is printed.
var printed = map[reflect.Type]struct {
	quantity unit.Quantity
	decimals int
}{
	reflect.TypeFor[unit.Conductivity]():   {unit.OfConductivity, 1},
	reflect.TypeFor[unit.SurfaceDensity](): {unit.OfDensity, 1},
	reflect.TypeFor[unit.Volume]():         {unit.OfVolume, asNeeded},
	reflect.TypeFor[unit.PatchArea]():      {unit.OfPatchArea, 0},
	reflect.TypeFor[unit.SteelArea]():      {unit.OfSteelArea, 0},
	reflect.TypeFor[unit.Temperature]():    {unit.OfTemperature, 1},
	reflect.TypeFor[unit.Humidity]():       {unit.OfHumidity, 0},
	reflect.TypeFor[unit.Length]():         {unit.OfLength, 1},
	reflect.TypeFor[unit.Minutes]():        {unit.OfTime, 0},
	reflect.TypeFor[unit.Percent]():        {unit.OfPercent, 1},
	reflect.TypeFor[unit.Constant]():       {unit.OfConstant, 1},
	reflect.TypeFor[unit.Money]():          {unit.Pure, 2},
	reflect.TypeFor[float64]():             {unit.Pure, 1},
}

// Number writes v with so many decimals, with the decimal sign of the language
// and a true minus.
func (w *Words) Number(v float64, decimals int) string { return w.format.Float(v, decimals) }

// Figure writes v without decimals where it is whole, and with one where not:
// a setting or a tolerance, which has no digits of its own.
func (w *Words) Figure(v float64) string {
	if v == math.Trunc(v) {
		return w.Number(v, 0)
	}
	return w.Number(v, 1)
}

func (w *Words) digits(v any, decimals int) (string, error) {
	f := reflect.ValueOf(v)
	if f.Kind() != reflect.Float64 {
		return "", fmt.Errorf("cannot show %T with %d decimals", v, decimals)
	}
	return w.Number(f.Float(), decimals), nil
}

// Date writes d as "11 Mar 2025", or as the language does, its parts kept on
// one line.
func (w *Words) Date(d unit.Date) string { return w.format.Date(d) }

// DayMonth writes d without its year, where that is known already.
func (w *Words) DayMonth(d unit.Date) string {
	s := w.format.Date(d)
	if cut := strings.LastIndex(s, strconv.Itoa(d.Year)); cut > 0 {
		return strings.TrimRight(s[:cut], " \u00a0")
	}
	return s
}

// Spelling is how the language writes numbers and dates.
func (w *Words) Spelling() unit.Spelling { return w.format.Spelling }

// YesNo says yes or no.
func (w *Words) YesNo(b bool) string {
	if b {
		return w.format.yes
	}
	return w.format.no
}

// Term is what the language calls something that the program has a name for:
// the text of that name in terms.txt, as terms/the-row-above for "the row
// above". A name without a text, such as "3.25 ml", is the same in all
// languages, but for the decimal sign.
func (w *Words) Term(name string) (string, error) {
	if key := "terms/" + termKey(name); w.Has(key) {
		return w.Say(key, nil)
	}
	return decimalPoint.ReplaceAllString(name, "${1}"+string(w.format.Sign)+"${2}"), nil
}

func (w *Words) terms(names []string) ([]string, error) {
	out := make([]string, len(names))
	for i, name := range names {
		var err error
		if out[i], err = w.Term(name); err != nil {
			return nil, err
		}
	}
	return out, nil
}

var decimalPoint = regexp.MustCompile(`(\d)\.(\d)`)

// Written is a number as the record spells it, with its unit if it has one,
// but with the decimal sign of the language, as it stands in the tables. Any
// other text is as it was.
func (w *Words) Written(text string) string {
	if !writtenNumber.MatchString(text) {
		return text
	}
	return strings.Map(func(r rune) rune {
		if r == '.' || r == ',' {
			return w.format.Sign
		}
		return r
	}, text)
}

// writtenNumber is one number with one decimal sign and perhaps a unit. One
// with three decimals may be grouped, and is left as it is.
var writtenNumber = regexp.MustCompile(`^[<>≤≥]?\s?[-−]?\d+[.,](?:\d{1,2}|\d{4,})(?:[\s\x{a0}][^\d.,]+\S*)?$`)

// termKey spells a name as the keys of texts are: its words in lower case with
// hyphens between them.
func termKey(name string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }), "-")
}

// Place names a place in a file, as its String does, with the language's word
// for a row where no column is meant.
func (w *Words) Place(p diag.Pos) string { return w.inRow(p, p.String()) }

// Cell names a place in its sheet, as its Cell does, with the language's word
// for a row where no column is meant.
func (w *Words) Cell(p diag.Pos) string { return w.inRow(p, p.Cell()) }

func (w *Words) inRow(p diag.Pos, name string) string {
	if p.Row() == 0 || p.Col() != 0 {
		return name
	}
	return strings.TrimSuffix(name, p.Cell()) + w.Row(p.Row())
}

// Row names a row of a table.
func (w *Words) Row(n int) string { return w.format.row + " " + strconv.Itoa(n) }

// Inside is a title as it stands inside a sentence: with a small letter, except
// where the language writes its nouns with a capital one.
func (w *Words) Inside(title string) string {
	if title == "" || !w.format.lowers {
		return title
	}
	r, n := utf8.DecodeRuneInString(title)
	return string(unicode.ToLower(r)) + title[n:]
}

// Clauses joins clauses of one sentence: "1 to 3 (F2); 5 (F3)".
func (w *Words) Clauses(clauses []string) string { return strings.Join(clauses, w.format.clause) }

// Lead says something of a thing: "open: no treatment is recorded".
func (w *Words) Lead(of, says string) string { return of + w.format.lead + says }

// List joins "1", "2", "3" to "1, 2 and 3". A test without a number is called
// after its row by packages that speak no language, "row 14", and here as the
// language says it.
func (w *Words) List(items []string) string {
	if w.format.row != "row" {
		items = slices.Clone(items)
		for i, s := range items {
			if n, is := strings.CutPrefix(s, "row "); is && strings.Trim(n, "0123456789") == "" {
				items[i] = w.format.row + " " + n
			}
		}
	}
	switch n := len(items); n {
	case 0:
		return ""
	case 1:
		return items[0]
	default:
		return strings.Join(items[:n-1], ", ") + " " + w.format.and + " " + items[n-1]
	}
}

func (w *Words) plural(n int, one, many string) string {
	if slices.Contains(w.format.singular, n) {
		return one
	}
	return many
}
