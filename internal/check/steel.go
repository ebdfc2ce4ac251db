package check

import (
	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// hottestSteel bounds what can be a temperature of steel that somebody tests.
const hottestSteel = 90 // °C

// dampSteel: the steel was at or below the dew point, or the remark speaks of
// damp or of flash rust. Water on the steel thins the extract, and flash rust
// shows that salt has worked since the blasting.
var dampSteel = &assess.Check{
	Name:     "damp-steel",
	Group:    assess.PatchAndSubstrate,
	Severity: assess.UnprovenPass,
	Owner:    assess.Contractor,
	Settings: []string{assess.AmbientGap},
	Run: func(v *assess.Review) {
		tests := steel(v)
		if len(v.Ambient) == 0 {
			tests = remarked(v)
		}
		damp := among(v, tests, func(l *assess.Line) bool {
			s := surroundingOf(v, l.Index)
			return s.marginKnown && s.margin <= atDewPoint || remarksDamp(l.Test)
		})
		for _, tests := range byDay(v, damp) {
			var rows []dampRow
			for _, i := range tests {
				s := surroundingOf(v, i)
				row := dampRow{Test: Number(v.Lines, i), Remarked: remarksDamp(v.Lines[i].Test), Remark: v.Lines[i].Test.Remark().Text}
				if !row.Remarked {
					row.At, row.Below = s.margin >= -atDewPoint, -s.margin
				}
				rows = append(rows, row)
			}
			few, more := upTo(mostShown, rows)
			report(v, assess.Finding{
				Tests: tests, Places: places(v, tests, func(t *record.Test) diag.Pos {
					if remarksDamp(t) {
						return t.Remark().Pos
					}
					return t.Steel().Pos
				}),
				Args: map[string]any{"Rows": few, "More": more},
			})
		}
	},
}

type dampRow struct {
	Test     string
	Remarked bool
	Remark   string
	At       bool             // at the dew point
	Below    unit.Temperature // below it
}

func remarksDamp(t *record.Test) bool {
	return wetWords.in(t.Remark().Val) && !driedWords.in(t.Remark().Val) || rustWords.in(t.Remark().Val)
}

var (
	wetWords = lexiconOf("wet", "damp", "moist", "moisture", "condensation", "condensed", "nass", "naß", "feucht", "kondenswasser", "betaut",
		"húmedo", "húmeda", "mojado", "mojada", "condensación", "humide", "mouillé", "mouillée", "våt", "vått", "fuktig", "kondens").
		butNotBeside("bulb", "film", "ring", "ink", "blast", "blasting", "blasted", "weather", "air", "method")
	driedWords = lexiconOf("dried", "dry", "getrocknet", "trocken", "abgetrocknet", "secado", "secada", "seco", "séché", "séchée", "sec", "tørket", "tørr", "tørt")
	rustWords  = lexiconOf("flash rust*", "flashrust*", "rust bloom", "flugrost", "oxidación instantánea", "óxido instantáneo", "rouille instantanée", "fleurs de rouille", "flyverust")
)

// atDewPoint is the margin that is none: the formula of the dew point is not
// exact to the last digit.
const atDewPoint = 1e-9 // °C

// steelTooHot: above this water dries under the patch, which raises its
// conductivity, and adhesive softens. 40 °C is the house setting.
var steelTooHot = &assess.Check{
	Name:     "steel-too-hot",
	Group:    assess.TemperatureAndAmbient,
	Severity: assess.UnprovenPass,
	Owner:    assess.Inspector,
	Settings: []string{assess.SteelMax, assess.AmbientGap},
	Run: func(v *assess.Review) {
		most, _ := v.Basis.Setting(assess.SteelMax)
		reportSteel(v, most, assess.AsDeclared, func(t unit.Temperature) bool { return float64(t) > most.Value })
	},
}

// steelTooCold: below this salt dissolves slowly and adhesive holds badly.
// 5 °C is the house setting. At 0 °C and below the water freezes to the
// steel: no extraction then.
var steelTooCold = &assess.Check{
	Name:     "steel-too-cold",
	Group:    assess.TemperatureAndAmbient,
	Severity: assess.UnprovenPass,
	Owner:    assess.Inspector,
	Settings: []string{assess.SteelMin, assess.AmbientGap},
	Run: func(v *assess.Review) {
		least, _ := v.Basis.Setting(assess.SteelMin)
		const freezes = 0 // °C
		reportSteel(v, least, assess.VoidsTest, func(t unit.Temperature) bool { return t <= freezes })
		reportSteel(v, least, assess.AsDeclared, func(t unit.Temperature) bool { return t > freezes && float64(t) < least.Value })
	},
}

// reportSteel reports the tests on steel of a temperature that is out of
// bounds, those of a day together.
func reportSteel(v *assess.Review, bound assess.Setting, severity assess.Severity, out func(unit.Temperature) bool) {
	tests := steel(v)
	if len(v.Ambient) == 0 {
		tests = steelRead(v)
	}
	beyond := among(v, tests, func(l *assess.Line) bool {
		s := surroundingOf(v, l.Index)
		return s.steelKnown && out(s.steel)
	})
	for _, tests := range byDay(v, beyond) {
		var rows []steelRow
		var cells []diag.Pos
		for _, i := range tests {
			s := surroundingOf(v, i)
			rows = append(rows, steelRow{Number(v.Lines, i), s.steel, s.own, decimalsApart(s.steel, bound.Value, 1)})
			cells = append(cells, s.steelPos)
		}
		few, more := upTo(mostShown, rows)
		report(v, assess.Finding{
			Severity: severity, Tests: tests, Places: cells,
			Args: map[string]any{"Rows": few, "More": more, "Bound": unit.Temperature(bound.Value), "House": bound.House, "Frozen": severity == assess.VoidsTest},
		})
	}
}

type steelRow struct {
	Test     string
	Steel    unit.Temperature
	Own      bool // read for this test, not taken from the nearest set
	Decimals int  // that tell Steel from the bound
}
