package samples

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strings"
	"testing"
	"time"

	"golang.org/x/text/encoding/charmap"

	"saltline/internal/table"
)

// The site log of the ferry is described once, here: each field with what a
// German spreadsheet shows, which is what it saves as CSV, and with what the
// workbook stores.

// A field is one cell of the log.
type field struct {
	shown string
	entry table.Entry
}

// A logRow is one row of the log.
type logRow struct {
	fields         []field
	bold           bool
	hidden, struck bool
}

func text(s string) field { return field{s, table.Words(s)} }

func texts(words ...string) []field {
	var fields []field
	for _, w := range words {
		if w == "" {
			fields = append(fields, field{})
			continue
		}
		fields = append(fields, text(w))
	}
	return fields
}

// tenths is a number with one decimal: 148 is 14,8.
func tenths(n int) field { return field{comma(n), table.Num(float64(n)/10, "0.0")} }

// typedText is the same number stored as a text with its decimal comma.
func typedText(n int) field { return text(comma(n)) }

// result is a formula with the stored result n tenths.
func result(formula string, n int) field {
	return field{comma(n), table.Computed(formula, float64(n)/10, "0.0")}
}

func whole(n int) field { return field{fmt.Sprint(n), table.Num(float64(n), "0")} }

func comma(tenths int) string { return fmt.Sprintf("%d,%d", tenths/10, tenths%10) }

// A ferryTest is one test of the log. Conductivities, temperatures and the
// typed result are in tenths of their units.
type ferryTest struct {
	number         int
	spot           string
	hour, minute   int
	blank, extract int // µS/cm
	weather        ferryWeather
	verdict        string
	remark         string
	typed          int  // mg/m², typed over the formula; 0 for none
	asText         bool // the two conductivities are stored as texts
	hidden, struck bool
}

// A ferryWeather is one set of ambient readings, written beside each test
// that it stands for.
type ferryWeather struct {
	air      int // °C
	humidity int // %, whole
	dew      int // °C
	steel    int // °C
}

var (
	morning = ferryWeather{air: 98, humidity: 72, dew: 50, steel: 91}
	midday  = ferryWeather{air: 124, humidity: 65, dew: 60, steel: 117}
	early   = ferryWeather{air: 136, humidity: 61, dew: 62, steel: 129} // early afternoon
)

var portTank = []ferryTest{
	{number: 1, spot: "Spant 3, Boden", hour: 7, minute: 42, blank: 15, extract: 148, weather: morning},
	{number: 2, spot: "Spant 3, Längsschott", hour: 7, minute: 56, blank: 15, extract: 223, weather: morning},
	{number: 3, spot: "Spant 4, Außenhaut", hour: 8, minute: 9, blank: 15, extract: 96, weather: morning},
	{number: 4, spot: "Spant 4, Schweißnaht", hour: 8, minute: 25, blank: 15, extract: 312, weather: morning, remark: "Rand dicht"},
	{number: 5, spot: "Spant 5, Stringer unten", hour: 8, minute: 38, blank: 15, extract: 189, weather: morning, asText: true},
	{number: 6, spot: "Spant 6, Boden", hour: 9, minute: 2, blank: 19, extract: 471, weather: morning, verdict: "n.i.O.", struck: true},
	{number: 7, spot: "Spant 6, Boden, 10 cm daneben", hour: 9, minute: 17, blank: 19, extract: 156, weather: morning},
	{number: 8, spot: "Spant 7, Längsschott", hour: 9, minute: 31, blank: 19, extract: 267, weather: morning, asText: true},
	{number: 9, spot: "Spant 7, Außenhaut", hour: 9, minute: 44, blank: 19, extract: 121, weather: morning},
	{number: 10, spot: "Spant 8, Boden", hour: 9, minute: 59, blank: 19, extract: 204, weather: morning},
}

var starboardTank = []ferryTest{
	{number: 11, spot: "Spant 3, Boden", hour: 10, minute: 41, blank: 12, extract: 173, weather: midday},
	{number: 12, spot: "Spant 3, Längsschott", hour: 10, minute: 54, blank: 12, extract: 522, weather: midday, typed: 162},
	{number: 13, spot: "Spant 4, Außenhaut", hour: 11, minute: 10, blank: 12, extract: 135, weather: midday},
	{number: 14, spot: "Spant 5, Stringer unten", hour: 11, minute: 23, blank: 12, extract: 249, weather: midday, hidden: true},
	{number: 15, spot: "Spant 5, Schweißnaht", hour: 11, minute: 39, blank: 12, extract: 118, weather: midday, remark: "Rand dicht"},
	{number: 16, spot: "Spant 6, Boden", hour: 12, minute: 44, blank: 17, extract: 330, weather: early, asText: true},
	{number: 17, spot: "Spant 6, Längsschott", hour: 12, minute: 58, blank: 17, extract: 196, weather: early, verdict: "ungültig", remark: "Wasser verloren"},
	{number: 18, spot: "Spant 7, Außenhaut", hour: 13, minute: 13, blank: 17, extract: 92, weather: early},
	{number: 19, spot: "Spant 7, Boden", hour: 13, minute: 26, blank: 17, extract: 284, weather: early},
	{number: 20, spot: "Spant 8, Boden", hour: 13, minute: 42, blank: 17, extract: 161, weather: early},
}

// result is 1.2 times the difference, rounded to tenths as the formula of the
// sheet rounds it. Twelve times whole tenths never ends in a tie of 5.
func (f ferryTest) result() int { return (12*(f.extract-f.blank) + 5) / 10 }

// row is the test as row n of the sheet; area is shown on the first row of
// its block, whose cell is merged over the block.
func (f ferryTest) row(n int, area string) logRow {
	reading, clock := tenths, field{fmt.Sprintf("%02d:%02d", f.hour, f.minute), table.Clock(f.hour, f.minute)}
	if f.asText {
		reading = typedText
	}
	recorded := result(fmt.Sprintf("ROUND((F%d-E%d)*1.2,1)", n, n), f.result())
	if f.typed != 0 {
		recorded = tenths(f.typed)
	}
	verdict := f.verdict
	if verdict == "" {
		verdict = "i.O."
	}
	fields := []field{whole(f.number)}
	fields = append(fields, texts(area, f.spot)...)
	fields = append(fields, clock, reading(f.blank), reading(f.extract),
		typedText(f.weather.air), whole(f.weather.humidity), typedText(f.weather.dew), typedText(f.weather.steel),
		recorded)
	fields = append(fields, texts(verdict, f.remark)...)
	return logRow{fields: fields, hidden: f.hidden, struck: f.struck}
}

// A ferryLog is the sheet as it stands.
type ferryLog struct {
	rows   []logRow
	merged []string
}

func (l *ferryLog) add(fields ...field) { l.rows = append(l.rows, logRow{fields: fields}) }

// block adds the heading, its units, the tests, and the empty rows still to
// be filled, with the mean and the limit below.
func (l *ferryLog) block(area string, tests []ferryTest, empty ...int) {
	l.rows = append(l.rows,
		logRow{bold: true, fields: texts("Nr.", "Bereich", "Messstelle", "Uhrzeit", "Blindwert", "Messwert",
			"Lufttemp.", "rel.\nFeuchte", "Taupunkt", "Stahltemp.", "Salzgehalt", "i.O.?", "Bemerkung")},
		logRow{fields: texts("", "", "", "", "µS/cm", "µS/cm", "°C", "%", "°C", "°C", "mg/m²")})
	first, sum := len(l.rows)+1, 0
	for i, test := range tests {
		name := ""
		if i == 0 {
			name = area
		}
		l.rows = append(l.rows, test.row(first+i, name))
		if sum += test.result(); test.typed != 0 {
			sum += test.typed - test.result()
		}
	}
	last := len(l.rows)
	l.merged = append(l.merged, fmt.Sprintf("B%d:B%d", first, last))
	for _, number := range empty {
		l.add(whole(number))
	}
	mean := float64(sum) / float64(10*len(tests))
	below := func(name string, value field) {
		l.add(append(texts("", "", name, "", "", "", "", "", "", ""), value)...)
	}
	below("Mittelwert", field{
		strings.Replace(fmt.Sprintf("%.1f", mean), ".", ",", 1),
		table.Computed(fmt.Sprintf("AVERAGE(K%d:K%d)", first, last), mean, "0.0"),
	})
	below("Grenzwert", tenths(500))
	l.add()
}

func newFerryLog() *ferryLog {
	l := new(ferryLog)
	l.rows = append(l.rows, logRow{bold: true, fields: texts("Salzprüfprotokoll – Flussfähre Lirra, Ballasttanks")})
	l.merged = append(l.merged, "A1:M1")
	l.add(texts("Protokoll Nr.", "", "7", "", "Auftrag:", "FL-26-11")...)
	l.add(texts("Datum:", "", "22.04.2026", "", "Prüfer:", "J. Ostrau")...)
	l.add(texts("LF-Gerät Nr.:", "", "LF-318", "", "Temperaturkompensation ein")...)
	l.add(texts("Vol. Wasser 3 ml, Messfläche 1250 mm²", "", "", "", "Verfahren: direkt")...)
	l.add(texts("Grenzwert max. 50 mg/m² (Gesamtsalz)")...)
	l.add()
	l.block("Tank BB", portTank)
	l.block("Tank StB", starboardTank, 21, 22, 23, 24)
	l.add(texts("Unterschrift Prüfer:", "", "J. Ostrau", "", "Unterschrift Bauleitung:")...)
	return l
}

const ferryColumns = 13

func ferryBook() table.Book {
	log := newFerryLog()
	page := table.Page{
		Name:   "Salzprüfung",
		Widths: []float64{7, 10, 31, 9, 10, 10, 10, 10, 10, 11, 11, 9, 20},
		Merged: log.merged,
	}
	for _, row := range log.rows {
		line := table.Line{Bold: row.bold, Hidden: row.hidden, Struck: row.struck}
		for _, f := range row.fields {
			line.Cells = append(line.Cells, f.entry)
		}
		page.Lines = append(page.Lines, line)
	}
	return table.Book{
		Title: "Salzprüfprotokoll Flussfähre Lirra",
		Date:  time.Date(2026, time.April, 22, 0, 0, 0, 0, time.UTC),
		Pages: []table.Page{page},
	}
}

// ferryCSV is the log as a German spreadsheet saves it: semicolons, decimal
// commas, every row as wide as the sheet, Windows-1252.
func ferryCSV() ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(charmap.Windows1252.NewEncoder().Writer(&b))
	w.Comma, w.UseCRLF = ';', true
	for _, row := range newFerryLog().rows {
		record := make([]string, ferryColumns)
		for i, f := range row.fields {
			record[i] = f.shown
		}
		if err := w.Write(record); err != nil {
			return nil, err
		}
	}
	w.Flush()
	return b.Bytes(), w.Error()
}

// What makes the log wild must survive writing and reading.
func TestFerryWorkbookIsAsWildAsDescribed(t *testing.T) {
	sheet := readSample(t, "faehre-lirra.xlsx").Sheets[0]
	var hidden, struck, formulae, typed, filled, comma int
	for _, row := range sheet.Rows {
		if row.Hidden {
			hidden++
		}
		if row.Struck() {
			struck++
		}
		if spot := row.Cell(3).Text; !strings.HasPrefix(spot, "Spant") {
			continue
		}
		for _, c := range row.Cells() {
			if c.Formula() != "" {
				formulae++
			}
			if c.Stale || c.NoCache {
				t.Errorf("%s: the stored result of %q is not believed", c.Pos, c.Formula())
			}
		}
		if c := row.Cell(11); c.Formula() == "" && c.Kind == table.Number {
			typed++
		}
		if area := row.Cell(2); !area.FillOf().IsZero() && area.Text != "" {
			filled++
		}
		if c := row.Cell(6); c.Kind == table.Text && strings.Contains(c.Text, ",") {
			comma++
		}
	}
	for _, count := range []struct {
		what      string
		got, want int
	}{
		{"hidden rows", hidden, 1},
		{"struck rows", struck, 1},
		{"formula results", formulae, 19},
		{"typed results", typed, 1},
		{"area cells filled from a merged one", filled, 18},
		{"extracts stored as text", comma, 3},
	} {
		if count.got != count.want {
			t.Errorf("%d %s, want %d", count.got, count.what, count.want)
		}
	}
}

func TestFerryCSVIsRead(t *testing.T) {
	sheet := readSample(t, "faehre-lirra.csv").Sheets[0]
	if sheet.Delimiter != ';' || sheet.Encoding != "Windows-1252" {
		t.Errorf("read as %s with %q, want Windows-1252 with ';'", sheet.Encoding, sheet.Delimiter)
	}
	var spots int
	for _, row := range sheet.Rows {
		if strings.HasPrefix(row.Cell(3).Text, "Spant") {
			spots++
		}
	}
	if spots != len(portTank)+len(starboardTank) {
		t.Errorf("%d tests, want %d", spots, len(portTank)+len(starboardTank))
	}
}
