package report_test

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"saltline/internal/certificate"
	"saltline/internal/certificate/testdata/complete"
	"saltline/internal/dossier"
	"saltline/internal/export"
)

// A told is what other programs are told of a job: what its documents say must
// be the same.
type told struct {
	Tests []toldTest
	Areas []struct {
		Area, Verdict  string
		Required       *int
		Valid, Void    int
		NotEstablished int `json:"not_established"`
		Open, Cleared  []string
		N              int
		Min            *float64 `json:"min_mg_m2"`
		Median         *float64 `json:"median_mg_m2"`
		Mean           *float64 `json:"mean_mg_m2"`
		SD             *float64 `json:"sd_mg_m2"`
		Max            *float64 `json:"max_mg_m2"`
	}
	Certificates []struct {
		Area, Number string
		Issued       bool
		Stated       []string
		Above        []string `json:"above_at_first_test"`
		Rows         string   `json:"rows_sha256"`
		Reports      []toldReport
	}
	Dossier struct {
		Open           int `json:"open_points"`
		Reconciliation []struct {
			Counts map[string]int
			Agrees *bool
		}
		Reports []toldReport
	}
}

type toldTest struct {
	Test, Area, Location, Date, Kind, Verdict string
	Density                                   *float64 `json:"density_mg_m2"`
	At25                                      *float64 `json:"density_at_25_C_mg_m2"`
	Recorded                                  *float64 `json:"recorded_mg_m2"`
}

type toldReport struct {
	Date, Number, Revision string
	Rows                   string `json:"rows_sha256"`
	Tests                  int
}

func tell(t *testing.T, c closed) *told {
	t.Helper()
	var b bytes.Buffer
	if err := export.JSON(&b, export.Input{Result: c.result, Certificates: certificate.Of(c.result), Dossier: dossier.Of(c.result, strings.Repeat("0", 64)), Words: c.words}); err != nil {
		t.Fatal(err)
	}
	out := new(told)
	if err := json.Unmarshal(b.Bytes(), out); err != nil {
		t.Fatal(err)
	}
	return out
}

// toldJobs are the jobs whose closing documents are held to what is told of them, each
// with the densities of its record that are of no test.
func toldJobs(t *testing.T) map[string]toldJob {
	of := closingSamples(t)
	return map[string]toldJob{
		"quillmere-lock": {of["quillmere-lock"], []string{"50", "8.2"}},     // limit, and stated uncertainty
		"oskerley-pier":  {of["oskerley-pier"], []string{"30", "4", "4.0"}}, // likewise
		"dolphins":       {closed{complete.New(t, "").Judge(t), words(t, nil)}, []string{"50"}},
		"many days":      {closed{complete.New(t, longerJobs["in order"]).Judge(t), words(t, nil)}, []string{"50"}},
	}
}

type toldJob struct {
	closed
	known []string
}

// TestPrintedIsJudged holds every count and every density of certificates and
// dossiers to what is told of the job.
func TestPrintedIsJudged(t *testing.T) {
	for name, job := range toldJobs(t) {
		r := reader{told: tell(t, job.closed), known: job.known}
		r.dossier(job.dossier(t))
		for _, s := range r.differs {
			t.Errorf("%s: %s", name, s)
		}
		if r.read < 10*len(r.Tests) {
			t.Errorf("%s: only %d values were compared", name, r.read)
		}
		t.Logf("%s: %d values compared", name, r.read)
	}
}

// TestPrintedIsCompared sees that whatever was judged otherwise would be found.
func TestPrintedIsCompared(t *testing.T) {
	job := toldJobs(t)["oskerley-pier"]
	summary, all := job.dossier(t)
	for name, change := range map[string]func(*told){
		"a density":  func(d *told) { *d.Tests[12].Density += 0.1 },
		"a verdict":  func(d *told) { d.Tests[13].Verdict = "PASS" },
		"a location": func(d *told) { d.Tests[15].Location = "South girder, bay 6, web" },
		"a test more": func(d *told) {
			d.Tests = append(d.Tests, toldTest{Test: "35", Area: "GW", Date: "2026-09-09", Verdict: "PASS", Density: d.Tests[5].Density})
		},
		"a fail more":        func(d *told) { d.Certificates[0].Above = []string{"5"} },
		"a test more stated": func(d *told) { d.Certificates[1].Stated = append(d.Certificates[1].Stated, "34") },
		"a median":           func(d *told) { *d.Areas[0].Median += 0.1 },
		"a fail open":        func(d *told) { d.Areas[1].Open = []string{"14"} },
		"the required":       func(d *told) { *d.Areas[1].Required = 15 },
		"a refusal":          func(d *told) { d.Certificates[0].Issued = false },
		"a digest":           func(d *told) { d.Certificates[1].Rows = strings.Repeat("0", 64) },
		"a report":           func(d *told) { d.Dossier.Reports[1].Number = "OP-DR-2B" },
		"a balance":          func(d *told) { d.Dossier.Reconciliation[4].Counts["drawn"] = 31 },
		"an open point":      func(d *told) { d.Dossier.Open = 1 },
	} {
		r := reader{told: tell(t, job.closed), known: job.known}
		change(r.told)
		if r.dossier(summary, all); len(r.differs) == 0 {
			t.Errorf("nothing is said of %s", name)
		}
	}
}
