package export

import (
	"slices"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/salt"
)

// test writes a test. There may be a million of them: see writer.
func (x *exporter) test(l *assess.Line) {
	t, date, start, read := l.Test, l.Test.Date(), l.Test.Start(), l.Test.Read()
	area, original := t.Area(), t.OfTest()
	known, at25 := l.Judged().Known, l.At25()
	volume, patchArea := l.Volume(), l.PatchArea()
	low, high := l.Span()
	expanded, sodiumChloride, chloride := l.Uncertainty().Expanded, l.SodiumChloride(), l.ChlorideBound()
	explanations := l.Explanations()
	x.open('{')
	x.text("test", check.Number(x.Result.Lines, l.Index), true)
	x.text("area", area.Val, area.Known())
	asFound(x, "location", t.Location())
	x.text("date", date.Val.ISO(), date.Known())
	x.text("start", start.Val.String(), start.Known())
	x.text("read", read.Val.String(), read.Known())
	x.text("kind", kinds[t.Kind().Val], true)
	x.text("of_test", original.Val, original.Known())
	x.source(t.Row())
	blank, extract := t.Blank(), t.Extract()
	asGiven(x, "blank_uS_cm", blank)
	asGiven(x, "extract_uS_cm", extract)
	x.number("difference_uS_cm", float64(l.Difference()), blank.Known() && extract.Known())
	x.number("volume_ml", float64(volume.Val), volume.Known)
	x.number("patch_area_mm2", float64(patchArea.Val), patchArea.Known)
	x.number("factor_mg_m2_per_uS_cm", l.Factor(), l.Factor() != 0)
	x.number("density_mg_m2", float64(l.Density.Value), l.Density.Known)
	x.number("density_at_25_C_mg_m2", float64(at25.Value), at25.Known)
	x.number("low_mg_m2", float64(low), l.Density.Known || l.Density.Bounded)
	x.number("high_mg_m2", float64(high), l.Density.Known || l.Density.Bounded)
	x.bool("bounded", l.Density.Bounded)
	x.number("expanded_uncertainty_mg_m2", float64(expanded), known && expanded > 0)
	x.number("probability_of_conformity", l.Conforms(), true)
	x.number("sodium_chloride_equivalent_mg_m2", float64(sodiumChloride), known && sodiumChloride > 0)
	x.number("chloride_upper_bound_mg_m2", float64(chloride), known && chloride > 0)
	recorded := t.Recorded()
	asGiven(x, "recorded_mg_m2", recorded)
	asFound(x, "recorded_text", recorded)
	x.text("agreement", l.Agreement.String(), true)
	x.list("explanations", len(explanations), func(i int) {
		e := &explanations[i]
		x.value(explanation{e.Name, number(e.Value, true), e.Says()})
	})
	x.text("verdict", l.Verdict.String(), l.OfSteel())
	asFound(x, "recorded_verdict", t.RecordedVerdict())
	x.key("findings")
	x.checks(l.Findings())
	x.close('}')
}

// asGiven is a number that somebody wrote down, or null.
func asGiven[Q ~float64](x *exporter, name string, g record.Given[Q]) {
	x.number(name, float64(g.Val), g.Known())
}

// asFound is text as found, or null where nothing was written.
func asFound[Q any](x *exporter, name string, g record.Given[Q]) {
	x.text(name, g.Text, g.State != record.Absent)
}

// source is the row of a test.
func (x *exporter) source(row diag.Pos) {
	x.key("source")
	x.open('{')
	x.text("file", row.File(), true)
	x.text("sheet", row.Sheet(), true)
	x.number("row", float64(row.Row()), true)
	x.close('}')
}

// checks names the checks of findings, each once.
func (x *exporter) checks(findings []int) {
	x.open('[')
	for i, n := range findings {
		c := x.Result.Findings[n].Check
		if !slices.ContainsFunc(findings[:i], func(n int) bool { return x.Result.Findings[n].Check == c }) {
			x.string(c.Name)
		}
	}
	x.close(']')
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
	Open           later    `json:"open"`
	Cleared        later    `json:"cleared"`
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
	fails := func(chains []assess.Chain) later {
		return func(w *writer) {
			w.items(len(chains), func(i int) { w.string(check.Number(x.Result.Lines, chains[i].Fail)) })
		}
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
