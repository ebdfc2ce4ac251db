package samples

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/unit"
	"saltline/testdata/jobs"
)

var verdictWords = map[assess.Verdict]string{
	assess.NotEstablished: "NOT ESTABLISHED", assess.Pass: "PASS", assess.Fail: "FAIL", assess.Void: "VOID",
}

var areaWords = map[assess.AreaVerdict]string{
	assess.AreaNotEstablished: "NOT ESTABLISHED", assess.AcceptedForSalt: "ACCEPTED FOR SALT", assess.NotAccepted: "NOT ACCEPTED",
}

var agreementWords = map[assess.Agreement]string{
	assess.NotRecorded: "not recorded", assess.Agrees: "agrees", assess.AgreesThroughUnseenDigits: "agrees only through unseen digits",
	assess.DoesNotFollow: "does not follow", assess.CannotBeComputed: "cannot be computed",
}

// TestOutcome holds every form of the samples, judged with all checks, to
// what was computed and marked by hand.
func TestOutcome(t *testing.T) {
	for sample, want := range map[string]string{
		"quillmere-lock":      "expected.csv",
		"quillmere-lock.xlsx": "expected.csv",
		"faehre-lirra.xlsx":   "expected-faehre.csv",
		"faehre-lirra.csv":    "expected-faehre.csv",
		"torrel-bridge.xlsx":  "expected-torrel.csv",
	} {
		t.Run(sample, func(t *testing.T) {
			holdLines(t, assess.Run(jobs.Read(t, sample), check.All()), want)
		})
	}
}

// holdLines holds each judged test to its row of expected values.
func holdLines(t *testing.T, r *assess.Result, want string) {
	t.Helper()
	rows := records(t, want)
	if len(r.Lines) != len(rows) {
		t.Fatalf("%d tests, want %d", len(r.Lines), len(rows))
	}
	for i, row := range rows {
		l := &r.Lines[i]
		if got := l.Test.Number().Val; got != row["test"] {
			t.Errorf("test %s stands where %s is wanted", got, row["test"])
		}
		verdict := verdictWords[l.Verdict]
		if !l.OfSteel() {
			verdict = ""
		}
		if verdict != row["verdict"] {
			t.Errorf("test %s: verdict %q, want %q", row["test"], verdict, row["verdict"])
		}
		if got := agreementWords[l.Agreement]; got != row["agreement"] {
			t.Errorf("test %s: %q, want %q", row["test"], got, row["agreement"])
		}
		density, err := strconv.ParseFloat(row["density (mg/m²)"], 64)
		if known := err == nil; known != l.Density.Known || known && math.Abs(density-float64(l.Density.Value)) > 1e-9 {
			t.Errorf("test %s: density %v, want %s", row["test"], l.Density.Value, row["density (mg/m²)"])
		}
		var names []string
		for _, e := range l.Explanations() {
			names = append(names, e.Name)
		}
		switch name := row["explanation among"]; {
		case name == "none" && len(names) > 0:
			t.Errorf("test %s: explanations %q, want none", row["test"], names)
		case name != "" && name != "none" && !slices.Contains(names, name):
			t.Errorf("test %s: explanations %q, want %q among them", row["test"], names, name)
		}
	}
}

// TestOutcomeOfAreas does so for the areas of the lock at the end of each day.
func TestOutcomeOfAreas(t *testing.T) {
	holdAreas(t, assess.Run(jobs.Read(t, "quillmere-lock.xlsx"), check.All()), "expected-areas.csv")
}

// holdAreas holds the standing of the areas at the end of each day to the rows
// of expected values.
func holdAreas(t *testing.T, r *assess.Result, want string) {
	t.Helper()
	for _, row := range records(t, want) {
		s := standing(t, r, row["date"], row["area"])
		if s == nil {
			t.Errorf("%s: no area %s", row["date"], row["area"])
			continue
		}
		var open []string
		for _, c := range s.Open {
			open = append(open, r.Lines[c.Fail].Test.Number().Val)
		}
		for _, c := range []struct{ what, got string }{
			{"required", strconv.Itoa(s.Required)}, {"valid", strconv.Itoa(s.Valid)}, {"pass", strconv.Itoa(s.Passes)},
			{"fail", strconv.Itoa(s.Fails)}, {"not established", strconv.Itoa(s.NotEstablished)}, {"void", strconv.Itoa(s.Voids)},
			{"short", strconv.Itoa(s.Short)}, {"verdict", areaWords[s.Verdict]}, {"open fails", strings.Join(open, " ")},
		} {
			if want := row[c.what]; strings.Join(strings.FieldsFunc(want, func(r rune) bool { return r == ',' || r == ' ' || r == ';' }), " ") != c.got && want != c.got {
				t.Errorf("%s, %s: %s %s, want %s", row["date"], row["area"], c.what, c.got, want)
			}
		}
	}
}

// standing is how an area stands at the end of a day; nil where there is no
// such area.
func standing(t *testing.T, r *assess.Result, date, area string) *assess.Standing {
	t.Helper()
	readings, err := unit.ParseDate(date)
	if err != nil || len(readings) != 1 {
		t.Fatal(date)
	}
	areas := r.Standing(readings[0].Date)
	i := slices.IndexFunc(areas, func(s *assess.Standing) bool { return s.Name == area })
	if i < 0 {
		return nil
	}
	return areas[i]
}
