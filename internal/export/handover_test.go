package export_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"saltline/internal/certificate"
	"saltline/internal/certificate/testdata/complete"
	"saltline/internal/dossier"
	"saltline/internal/export"
	"saltline/internal/wording"
	"saltline/templates"
)

// closed is the JSON of a job with its certificates and its dossier.
func closed(t *testing.T, changes string) map[string]any {
	t.Helper()
	words, err := wording.Load(templates.Files, nil, "en")
	if err != nil {
		t.Fatal(err)
	}
	r := complete.New(t, changes).Judge(t)
	var b bytes.Buffer
	in := export.Input{Result: r, Words: words, Tool: "saltline 0.0.0", Certificates: certificate.Of(r), Dossier: dossier.Of(r, strings.Repeat("0", 64))}
	if err := export.JSON(&b, in); err != nil {
		t.Fatal(err)
	}
	var v map[string]any
	if err := json.Unmarshal(b.Bytes(), &v); err != nil {
		t.Fatal(err)
	}
	return v
}

// has sees that an object has these keys and no others.
func has(t *testing.T, what string, object any, keys string) map[string]any {
	t.Helper()
	o := object.(map[string]any)
	var got []string
	for k := range o {
		got = append(got, k)
	}
	slices.Sort(got)
	want := strings.Fields(keys)
	slices.Sort(want)
	if !slices.Equal(got, want) {
		t.Errorf("%s has the keys %q, want %q", what, got, want)
	}
	return o
}

// A key is there whatever the record holds, null where nothing is known.
func TestHandoverKeys(t *testing.T) {
	for _, changes := range []string{"", "signatures: none\ndays: none\nareas: +D3,Dolphin 3,,carbon steel,\nreadings: 10 | date=\npatches: P | closing stock=\nmeters: none\njob: -limit"} {
		v := closed(t, changes)
		for _, c := range v["certificates"].([]any) {
			c := has(t, "a certificate", c, "area number number_formed revision rows_sha256 issued from until stated above_at_first_test reports reasons")
			for _, r := range c["reasons"].([]any) {
				has(t, "a reason", r, "reason tests count names report check")
			}
			for _, r := range c["reports"].([]any) {
				has(t, "a report", r, "date number revision rows_sha256 tests gaps")
			}
		}
		d := has(t, "the dossier", v["dossier"], "number number_formed revision rows_sha256 issuable open_points missing reconciliation reports")
		for _, b := range d["reconciliation"].([]any) {
			has(t, "a balance", b, "what name counts agrees")
		}
		for _, m := range d["missing"].([]any) {
			has(t, "what is missing", m, "reason tests count names report check")
		}
	}
}

func TestHandover(t *testing.T) {
	v := closed(t, "")
	d2 := v["certificates"].([]any)[1].(map[string]any)
	if got := fmt.Sprintln(d2["area"], d2["issued"], d2["from"], d2["until"], d2["stated"], d2["above_at_first_test"], d2["revision"]); got != "D2 true 2026-03-04 2026-03-04 [7 9 10] [] <nil>\n" {
		t.Errorf("certificate %s", got)
	}
	if got := fmt.Sprint(v["dossier"].(map[string]any)["issuable"], v["dossier"].(map[string]any)["missing"]); got != "true []" {
		t.Errorf("dossier %s", got)
	}

	v = closed(t, "readings: 10 | extract=57.3; recorded=67.2; recorded verdict=fail\nsignatures: #5 | role=foreman\ndays: 2026-03-04 | report number=DR-03")
	var got []string
	for _, r := range v["certificates"].([]any)[1].(map[string]any)["reasons"].([]any) {
		r := r.(map[string]any)
		got = append(got, fmt.Sprintf("%v %v %v", r["reason"], r["tests"], r["report"]))
	}
	if s := strings.Join(got, "; "); s != "open-fail [10] <nil>; report-incomplete [] 2026-03-04" {
		t.Errorf("reasons %s", s)
	}
	got = nil
	for _, m := range v["dossier"].(map[string]any)["missing"].([]any) {
		m := m.(map[string]any)
		got = append(got, fmt.Sprintf("%v %v %v", m["reason"], m["names"], m["report"]))
	}
	if s := strings.Join(got, "; "); s != "not-certified [D2] <nil>; report-incomplete [] 2026-03-04; report-missing [DR-02] <nil>" {
		t.Errorf("missing %s", s)
	}
}
