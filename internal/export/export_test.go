package export_test

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/export"
	"saltline/internal/wording"
	"saltline/templates"
	"saltline/testdata/jobs"
)

func object(t *testing.T, path string) map[string]any {
	t.Helper()
	words, err := wording.Load(templates.Files, nil, "en")
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := export.JSON(&b, export.Input{Result: assess.Run(jobs.Read(t, path), check.All()), Words: words, Tool: "saltline 0.0.0"}); err != nil {
		t.Fatal(err)
	}
	var v map[string]any
	if err := json.Unmarshal(b.Bytes(), &v); err != nil {
		t.Fatal(err)
	}
	return v
}

// The keys that other programs may rely on.
var (
	keys = strings.Fields("tool inputs day basis tests areas ambient findings changes systematic reading")
	of   = map[string][]string{
		"basis": strings.Fields("constant volume_ml patch_area_mm2 limit_mg_m2 limit_basis comparison decision_rule from"),
		"tests": strings.Fields(`test area location date kind of_test source blank_uS_cm extract_uS_cm difference_uS_cm volume_ml
			patch_area_mm2 factor_mg_m2_per_uS_cm density_mg_m2 low_mg_m2 high_mg_m2 expanded_uncertainty_mg_m2
			recorded_mg_m2 recorded_text agreement explanations verdict recorded_verdict findings`),
		"areas": strings.Fields(`area size_m2 required valid short void failed open cleared n min_mg_m2 median_mg_m2 mean_mg_m2
			sd_mg_m2 max_mg_m2 max_at verdict`),
		"ambient":    strings.Fields("date time air_C humidity_pct steel_C recorded_dew_C dew_C margin_C hold"),
		"findings":   strings.Fields("check severity message next tests places direction"),
		"changes":    strings.Fields("pass_to_fail fail_to_pass pass_to_not_established"),
		"systematic": strings.Fields("explanation rows of"),
		"reading":    strings.Fields("used skipped converted"),
	}
)

// A key is there whatever the record holds, null where nothing is known.
func TestKeys(t *testing.T) {
	for _, path := range []string{"../../samples/quillmere-lock", "../../samples/faehre-lirra.xlsx", "../../testdata/jobs/emptiest.csv", "../../testdata/jobs/every"} {
		v := object(t, path)
		for _, k := range keys {
			if _, ok := v[k]; !ok {
				t.Errorf("%s: no key %q", path, k)
			}
		}
		for part, want := range of {
			items, ok := v[part].([]any)
			if !ok {
				items = []any{v[part]}
			}
			for _, item := range items {
				for _, k := range want {
					if _, ok := item.(map[string]any)[k]; !ok {
						t.Errorf("%s: %s: no key %q in %v", path, part, k, item)
					}
				}
			}
		}
	}
}

// What is not known is null and not zero: the emptiest log holds two
// conductivities and a volume.
func TestNull(t *testing.T) {
	v := object(t, "../../testdata/jobs/emptiest.csv")
	test := v["tests"].([]any)[0].(map[string]any)
	for k, want := range map[string]any{
		"blank_uS_cm": 2.0, "extract_uS_cm": 42.0, "difference_uS_cm": 40.0, "volume_ml": 3.0, "density_mg_m2": 48.0,
		"recorded_mg_m2": nil, "recorded_text": nil, "date": nil, "location": nil, "recorded_verdict": nil,
		"agreement": "not recorded", "verdict": "NOT ESTABLISHED", "kind": "original",
	} {
		if test[k] != want {
			t.Errorf("%s: got %v, want %v", k, test[k], want)
		}
	}
	basis := v["basis"].(map[string]any)
	for _, k := range []string{"constant", "volume_ml", "limit_mg_m2", "limit_basis", "comparison", "procedure"} {
		if basis[k] != nil {
			t.Errorf("basis %s: got %v, want null", k, basis[k])
		}
	}
	area := v["areas"].([]any)[0].(map[string]any)
	for _, k := range []string{"size_m2", "required", "short", "mean_mg_m2", "max_at"} {
		if area[k] != nil {
			t.Errorf("area %s: got %v, want null", k, area[k])
		}
	}
}
