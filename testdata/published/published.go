// Package published gives tests the values from outside the project that
// they check against, each with its source and with how it is known. See
// README.md beside it.
package published

import (
	"embed"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
)

//go:embed *.csv nist/*.txt
var files embed.FS

// A Row is one published value.
type Row struct {
	ID        string
	Quantity  string            // what was published; a test has one runner for each
	Inputs    map[string]string // by name, the unit in the name
	Expected  float64
	Unit      string // of Expected
	Tolerance float64
	Source    string
	Known     string // SEEN, MEMORY, DERIVED(…), COMMON PRACTICE
}

// Rows reads the rows of one of the files of checks, "salt.csv",
// "conductivity.csv" or "stat.csv".
func Rows(name string) ([]Row, error) {
	records, err := Table(name)
	if err != nil {
		return nil, err
	}
	var rows []Row
	for i, r := range records {
		expected, err := strconv.ParseFloat(r[3], 64)
		if err != nil {
			return nil, fmt.Errorf("%s:%d: %w", name, i+2, err)
		}
		tolerance, err := strconv.ParseFloat(r[5], 64)
		if err != nil {
			return nil, fmt.Errorf("%s:%d: %w", name, i+2, err)
		}
		rows = append(rows, Row{r[0], r[1], inputs(r[2]), expected, r[4], tolerance, r[6], r[7]})
	}
	return rows, nil
}

// inputs reads "V_ml=15;A_mm2=1250".
func inputs(text string) map[string]string {
	m := map[string]string{}
	for _, pair := range strings.Split(text, ";") {
		if key, value, ok := strings.Cut(pair, "="); ok {
			m[key] = value
		}
	}
	return m
}

// Table reads a CSV file without its heading.
func Table(name string) ([][]string, error) {
	f, err := files.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil || len(records) == 0 {
		return nil, fmt.Errorf("%s: no rows: %v", name, err)
	}
	return records[1:], nil
}

// Data reads one of the NIST data sets: NumAcc1, Mavro, Michelso, Lew and
// Lottery from their files; NumAcc2, 3 and 4 from their rule, a value and
// then 500 pairs around it.
func Data(name string) ([]float64, error) {
	if centre, ok := map[string]float64{"NumAcc2": 1.2, "NumAcc3": 1000000.2, "NumAcc4": 10000000.2}[name]; ok {
		xs := []float64{centre}
		whole := float64(int(centre))
		for range 500 {
			xs = append(xs, whole+0.1, whole+0.3)
		}
		return xs, nil
	}
	text, err := files.ReadFile("nist/" + name + ".txt")
	if err != nil {
		return nil, err
	}
	var xs []float64
	for _, field := range strings.Fields(string(text)) {
		x, err := strconv.ParseFloat(field, 64)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		xs = append(xs, x)
	}
	return xs, nil
}

// Independent reports whether the expected value comes from elsewhere, and
// not from a calculation with the formula under test.
func (r Row) Independent() bool {
	return strings.HasPrefix(r.Known, "SEEN") || strings.HasPrefix(r.Known, "MEMORY")
}

// Tally says how many values from how many sources rows holds.
func Tally(rows []Row) string {
	sources := map[string]bool{}
	independent := map[string]bool{}
	outside, practice := 0, 0
	for _, r := range rows {
		sources[r.Source] = true
		switch {
		case r.Independent():
			outside++
			independent[r.Source] = true
		case r.Known == "COMMON PRACTICE":
			practice++
		}
	}
	return fmt.Sprintf("%d values from %d sources: %d independent (seen or from memory) from %d sources, %d derived, %d common practice",
		len(rows), len(sources), outside, len(independent), len(rows)-outside-practice, practice)
}
