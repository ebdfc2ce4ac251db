package samples

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"slices"
	"testing"
)

// records reads a CSV file as one map a row.
func records(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var all []map[string]string
	for _, row := range rows[1:] {
		record := map[string]string{}
		for i, heading := range rows[0] {
			record[heading] = row[i]
		}
		all = append(all, record)
	}
	return all
}

// A judge that speaks of another log than the one beside it judges nothing.
func TestExpectedValuesAreOfThisLog(t *testing.T) {
	sameLog(t, records(t, lockFolder+"/readings.csv"), records(t, "expected.csv"))
	var pier []map[string]string
	for _, b := range pierBooks {
		if !b.superseded {
			pier = append(pier, records(t, filepath.Join(pierFolder, b.folders[0], "readings.csv"))...)
		}
	}
	sameLog(t, pier, records(t, "expected-pier.csv"))
}

func sameLog(t *testing.T, readings, expected []map[string]string) {
	t.Helper()
	if len(readings) != len(expected) {
		t.Fatalf("%d readings, %d expected rows", len(readings), len(expected))
	}
	for i, want := range expected {
		got := readings[i]
		if got["kind"] == "" {
			got["kind"] = "original"
		}
		for _, column := range []string{"test", "area", "date", "kind", "of test", "recorded (mg/m²)", "recorded verdict"} {
			if got[column] != want[column] {
				t.Errorf("test %s: %s is %q in the log and %q among the expected values",
					want["test"], column, got[column], want[column])
			}
		}
	}
}

func TestExpectedWordsAreOurs(t *testing.T) {
	words := map[string][]string{
		"verdict":   {"PASS", "FAIL", "NOT ESTABLISHED", "VOID"},
		"agreement": {"agrees", "agrees only through unseen digits", "does not follow", "cannot be computed", "not recorded"},
		"standing":  {"", "open", "cleared"},
	}
	for _, name := range []string{"expected.csv", "expected-faehre.csv", "expected-torrel.csv", "expected-pier.csv"} {
		for _, row := range records(t, name) {
			for column, allowed := range words {
				if row["kind"] == "procedural blank" && column == "verdict" {
					allowed = []string{""}
				}
				if !slices.Contains(allowed, row[column]) {
					t.Errorf("%s, test %s: %s %q", name, row["test"], column, row[column])
				}
			}
			if failed, standing := row["verdict"] == "FAIL", row["standing"] != ""; failed != standing {
				t.Errorf("%s, test %s: %s with standing %q", name, row["test"], row["verdict"], row["standing"])
			}
			if unfit, explained := row["agreement"] == "does not follow", row["explanation among"] != ""; unfit != explained {
				t.Errorf("%s, test %s: %s with explanation %q", name, row["test"], row["agreement"], row["explanation among"])
			}
		}
	}
	areaVerdicts := []string{"ACCEPTED FOR SALT", "NOT ACCEPTED", "NOT ESTABLISHED"}
	for _, name := range []string{"expected-areas.csv", "expected-pier-areas.csv"} {
		for _, row := range records(t, name) {
			if !slices.Contains(areaVerdicts, row["verdict"]) {
				t.Errorf("%s, area %s on %s: verdict %q", name, row["area"], row["date"], row["verdict"])
			}
		}
	}
}
