package export

import (
	"strings"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/salt"
)

type source struct {
	File  string `json:"file"`
	Sheet string `json:"sheet"`
	Row   int    `json:"row"`
}

type test struct {
	Test            string        `json:"test"`
	Area            *string       `json:"area"`
	Location        *string       `json:"location"`
	Date            *string       `json:"date"`
	Start           *string       `json:"start"`
	Read            *string       `json:"read"`
	Kind            string        `json:"kind"`
	OfTest          *string       `json:"of_test"`
	Source          source        `json:"source"`
	Blank           *float64      `json:"blank_uS_cm"`
	Extract         *float64      `json:"extract_uS_cm"`
	Difference      *float64      `json:"difference_uS_cm"`
	Volume          *float64      `json:"volume_ml"`
	PatchArea       *float64      `json:"patch_area_mm2"`
	Factor          *float64      `json:"factor_mg_m2_per_uS_cm"`
	Density         *float64      `json:"density_mg_m2"`
	DensityAt25     *float64      `json:"density_at_25_C_mg_m2"`
	Low             *float64      `json:"low_mg_m2"`
	High            *float64      `json:"high_mg_m2"`
	Bounded         bool          `json:"bounded"`
	Uncertainty     *float64      `json:"expanded_uncertainty_mg_m2"`
	Conforms        *float64      `json:"probability_of_conformity"`
	NaCl            *float64      `json:"sodium_chloride_equivalent_mg_m2"`
	Chloride        *float64      `json:"chloride_upper_bound_mg_m2"`
	Recorded        *float64      `json:"recorded_mg_m2"`
	RecordedText    *string       `json:"recorded_text"`
	Agreement       string        `json:"agreement"`
	Explanations    []explanation `json:"explanations"`
	Verdict         *string       `json:"verdict"`
	RecordedVerdict *string       `json:"recorded_verdict"`
	Findings        []string      `json:"findings"`
}

func (x *exporter) test(l *assess.Line) test {
	t := l.Test
	out := test{
		Test: check.Number(x.Result.Lines, l.Index), Area: words(t.Area()), Location: found(t.Location()), Date: date(t.Date()),
		Start: clock(t.Start()), Read: clock(t.Read()), Kind: kinds[t.Kind().Val], OfTest: words(t.OfTest()),
		Source: source{t.Row().File(), t.Row().Sheet(), t.Row().Row()},
		Blank:  given(t.Blank()), Extract: given(t.Extract()),
		Difference: number(l.Difference, t.Blank().Known() && t.Extract().Known()),
		Volume:     number(l.Volume.Val, l.Volume.Known), PatchArea: number(l.PatchArea.Val, l.PatchArea.Known),
		Factor:  number(l.Factor, l.Factor != 0),
		Density: number(l.Density.Value, l.Density.Known), DensityAt25: number(l.At25().Value, l.At25().Known),
		Low: number(l.Density.Low, l.Density.Known || l.Density.Bounded), High: number(l.Density.High, l.Density.Known || l.Density.Bounded),
		Bounded:     l.Density.Bounded,
		Uncertainty: number(l.Uncertainty.Expanded, l.Judged().Known && l.Uncertainty.Expanded > 0),
		Conforms:    number(l.Conforms(), true),
		NaCl:        number(l.SodiumChloride, l.Judged().Known && l.SodiumChloride > 0), Chloride: number(l.ChlorideBound, l.Judged().Known && l.ChlorideBound > 0),
		Recorded: given(t.Recorded()), RecordedText: found(t.Recorded()),
		Agreement: l.Agreement.String(), Explanations: explanations(l.Explanations),
		RecordedVerdict: found(t.RecordedVerdict()), Findings: []string{},
	}
	if l.OfSteel() {
		v := l.Verdict.String()
		out.Verdict = &v
	}
	seen := map[string]bool{}
	for _, n := range l.Findings {
		if c := x.Result.Findings[n].Check.Name; !seen[c] {
			seen[c] = true
			out.Findings = append(out.Findings, c)
		}
	}
	return out
}

type area struct {
	Area           string   `json:"area"`
	Size           *float64 `json:"size_m2"`
	Required       *int     `json:"required"`
	Valid          int      `json:"valid"`
	Short          *int     `json:"short"`
	Void           int      `json:"void"`
	Failed         int      `json:"failed"`
	NotEstablished int      `json:"not_established"`
	Open           []string `json:"open"`
	Cleared        []string `json:"cleared"`
	N              int      `json:"n"`
	Min            *float64 `json:"min_mg_m2"`
	Median         *float64 `json:"median_mg_m2"`
	Mean           *float64 `json:"mean_mg_m2"`
	SD             *float64 `json:"sd_mg_m2"`
	Max            *float64 `json:"max_mg_m2"`
	MaxAt          *string  `json:"max_at"`
	Coverage       *float64 `json:"share_conforming_at_least"`
	Touched        *float64 `json:"touched_pct"`
	Verdict        string   `json:"verdict"`
}

func (x *exporter) area(s *assess.Standing) area {
	fails := func(chains []assess.Chain) []string {
		out := []string{}
		for i := range chains {
			out = append(out, check.Number(x.Result.Lines, chains[i].Fail))
		}
		return out
	}
	known := s.AsCoated.N > 0
	out := area{
		Area: s.Name, Valid: s.Valid, Void: s.Voids, Failed: s.Fails, NotEstablished: s.NotEstablished,
		Open: fails(s.Open), Cleared: fails(s.Cleared), N: s.AsCoated.N,
		Min: number(s.AsCoated.Min, known), Median: number(s.AsCoated.Median, known), Mean: number(s.AsCoated.Mean, known),
		SD: number(s.AsCoated.SD, known), Max: number(s.AsCoated.Max, known),
		Coverage: number(s.Coverage, true), Touched: number(s.Touched, true), Verdict: s.Verdict.String(),
	}
	if s.Area != nil {
		out.Size = given(s.Area.Size)
	}
	if s.RequiredKnown {
		out.Required, out.Short = &s.Required, &s.Short
	}
	if i := s.AsCoated.MaxAt; i >= 0 {
		n := check.Number(x.Result.Lines, i)
		out.MaxAt = &n
	}
	return out
}

type ambient struct {
	Date     *string  `json:"date"`
	Time     *string  `json:"time"`
	Place    *string  `json:"place"`
	Air      *float64 `json:"air_C"`
	Humidity *float64 `json:"humidity_pct"`
	Steel    *float64 `json:"steel_C"`
	Recorded *float64 `json:"recorded_dew_C"`
	Dew      *float64 `json:"dew_C"`
	Margin   *float64 `json:"margin_C"`
	Hold     *bool    `json:"hold"`
}

func (x *exporter) ambient(a *assess.AmbientSet) ambient {
	out := ambient{
		Humidity: number(a.Humidity, a.HumidityFrom != assess.NoHumidity),
		Dew:      number(a.Dew, a.DewKnown), Margin: number(a.Margin, a.MarginKnown),
	}
	if s := a.Set; s != nil {
		out.Date, out.Time, out.Place = date(s.Date), clock(s.Time), words(s.Place)
		out.Air, out.Steel, out.Recorded = given(s.Air), given(s.Steel), given(s.RecordedDew)
	} else {
		t := a.Test
		out.Date, out.Time, out.Place = date(t.Date()), clock(t.Read()), words(t.Location())
		out.Air, out.Steel, out.Recorded = given(t.Air()), given(t.Steel()), given(t.RecordedDew())
	}
	if a.Hold || a.MarginKnown {
		out.Hold = &a.Hold
	}
	return out
}

type basis struct {
	Constant     *float64          `json:"constant"`
	Volume       *float64          `json:"volume_ml"`
	PatchArea    *float64          `json:"patch_area_mm2"`
	Limit        *float64          `json:"limit_mg_m2"`
	LimitBasis   *string           `json:"limit_basis"`
	Comparison   *string           `json:"comparison"`
	Rounding     *float64          `json:"rounding_mg_m2"`
	Clause       *string           `json:"clause"`
	DecisionRule *string           `json:"decision_rule"`
	Uncertainty  *float64          `json:"expanded_uncertainty_mg_m2"`
	Coverage     float64           `json:"coverage_factor"`
	Procedure    *string           `json:"procedure"`
	Correction   *string           `json:"temperature_correction"`
	Settings     []setting         `json:"settings"`
	From         map[string]string `json:"from"`
}

type setting struct {
	Key   string  `json:"key"`
	Value float64 `json:"value"`
	Unit  string  `json:"unit"`
	House bool    `json:"house"`
}

func (x *exporter) basis() basis {
	b, t := &x.Result.Basis, &x.Result.Job.Terms
	out := basis{
		Constant: given(t.Constant), Volume: given(t.Volume), PatchArea: given(t.PatchArea),
		DecisionRule: name(rules, b.Rule), Uncertainty: number(b.Expanded.Val, b.Expanded.Known), Coverage: b.Coverage,
		Procedure: name(procedures, b.Procedure), Settings: []setting{}, From: map[string]string{},
	}
	if t.Correction.Known() {
		s := b.Correction.Kind.String()
		out.Correction = &s
	}
	if len(b.Limits) > 0 {
		l := b.Limits[0]
		out.Limit = number(l.Value, l.Exact.Coef != 0)
		out.LimitBasis, out.Comparison = name(bases, l.Basis), name(comparisons, l.Comparison)
		if l.Rounding != (salt.Rounding{}) {
			out.Rounding = number(l.Rounding.Step.Float(), true)
		}
		if l.Clause != "" {
			out.Clause = &l.Clause
		}
		out.From["limit"] = place(l.Pos)
	}
	from := func(key string, known bool, p diag.Pos) {
		if known {
			out.From[key] = place(p)
		}
	}
	if len(t.Limits) > 0 {
		l := t.Limits[0]
		from("limit basis", l.Basis.Known(), l.Basis.Pos)
		from("limit comparison", l.Comparison.Known(), l.Comparison.Pos)
		from("limit rounding", l.Rounding.Known(), l.Rounding.Pos)
		from("limit clause", l.Clause.Known(), l.Clause.Pos)
	}
	from("constant", t.Constant.Known(), t.Constant.Pos)
	from("volume", t.Volume.Known(), t.Volume.Pos)
	from("patch area", t.PatchArea.Known(), t.PatchArea.Pos)
	from("decision rule", t.DecisionRule.Known(), t.DecisionRule.Pos)
	from("procedure", t.Procedure.Known(), t.Procedure.Pos)
	from("temperature correction", t.Correction.Known(), t.Correction.Pos)
	from("sampling rule", t.Sampling.State != record.Absent, t.Sampling.Pos)
	for _, s := range b.Settings {
		out.Settings = append(out.Settings, setting{strings.TrimPrefix(s.Key, "house "), s.Value, s.Unit, s.House})
		from(s.Key, !s.House, s.Pos)
	}
	return out
}
