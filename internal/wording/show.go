package wording

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"text/template"

	"saltline/internal/unit"
)

// A format is how a language writes numbers, dates and lists.
type format struct {
	unit.Spelling
	and, yes, no string
}

func (w *Words) readFormat() (format, error) {
	var f format
	var sign, months string
	for key, into := range map[string]*string{
		"format/decimal-sign": &sign,
		"format/months":       &months,
		"format/and":          &f.and,
		"format/yes":          &f.yes,
		"format/no":           &f.no,
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
	return f, nil
}

// funcs are the functions that a text may use.
//
//	show x        a quantity with its unit, a date, a time, text
//	bare x        the number of a quantity alone
//	digits x n    a number with n decimals
//	plural n a b  a for one, b otherwise
//	list xs       "1, 2 and 3"
//	yesno b       yes or no
func (w *Words) funcs() template.FuncMap {
	return template.FuncMap{
		"show":   w.Show,
		"bare":   w.Bare,
		"digits": w.digits,
		"plural": plural,
		"list":   w.List,
		"yesno":  w.YesNo,
		"lower":  strings.ToLower,
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

// Date writes d as "11 Mar 2025", its parts kept on one line.
func (w *Words) Date(d unit.Date) string { return w.format.Date(d) }

// Spelling is how the language writes numbers and dates.
func (w *Words) Spelling() unit.Spelling { return w.format.Spelling }

// YesNo says yes or no.
func (w *Words) YesNo(b bool) string {
	if b {
		return w.format.yes
	}
	return w.format.no
}

// List joins "1", "2", "3" to "1, 2 and 3".
func (w *Words) List(items []string) string {
	switch n := len(items); n {
	case 0:
		return ""
	case 1:
		return items[0]
	default:
		return strings.Join(items[:n-1], ", ") + " " + w.format.and + " " + items[n-1]
	}
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}
