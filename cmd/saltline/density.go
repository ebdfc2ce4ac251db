package main

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/pflag"

	"saltline/internal/salt"
	"saltline/internal/unit"
)

const densityUsage = `usage: saltline density --blank 2 --extract 42 --volume "3 ml" [OPTION]…

Prints ρ = 100·c·V·(γ₂ − γ₁)/A in mg/m², step by step. Values may carry their
unit ("0.2 mS/m", "12.5 cm2"); without one they are in µS/cm, ml, mm² and
mg/m². The volume must be given: two honest procedures differ in it by five.
`

// A densityInput is what the arithmetic needs, exact.
type densityInput struct {
	blank, extract  unit.Decimal // µS/cm
	method          salt.Method
	assumedArea     bool
	assumedConstant bool
	limit           *salt.Limit
}

func runDensity(args []string, s stream) error {
	flags := pflag.NewFlagSet("density", pflag.ContinueOnError)
	blank := flags.String("blank", "", "conductivity of the water before, γ₁")
	extract := flags.String("extract", "", "conductivity of the extract, γ₂")
	volume := flags.String("volume", "", "volume V of the water that γ₂ is read in")
	area := flags.String("patch-area", "", "area A of steel wetted (1250 mm² is assumed, and said so)")
	constant := flags.String("constant", "", "constant c (5 is assumed, and said so)")
	limit := flags.String("limit", "", "limit of total salts to compare with")
	less := flags.Bool("less-than", false, "a value equal to the limit does not conform (<)")
	decimal := flags.String("decimal", "", `decimal sign, "." or ",", where a number can be read two ways`)
	asJSON := flags.Bool("json", false, "print one JSON object")
	if err := parseFlags("density", densityUsage, flags, args, s); err != nil {
		return err
	}
	if flags.NArg() > 0 {
		return usageError(fmt.Sprintf("unexpected argument %q", flags.Arg(0)), "values are given as options: --blank, --extract, --volume")
	}
	sign, err := conventionFlag(*decimal)
	if err != nil {
		return err
	}
	var in densityInput
	for _, v := range []struct {
		flag, text string
		parse      func(text, heading string, c unit.Convention) unit.Reading
		into       *unit.Decimal
		usual      int64 // stands in for a value that is not given; 0 for none
		assumed    *bool
	}{
		{"blank", *blank, unit.ParseConductivity, &in.blank, 0, nil},
		{"extract", *extract, unit.ParseConductivity, &in.extract, 0, nil},
		{"volume", *volume, unit.ParseVolume, &in.method.Volume, 0, nil},
		{"patch-area", *area, unit.ParsePatchArea, &in.method.Area, 1250, &in.assumedArea},
		{"constant", *constant, unit.ParseConstant, &in.method.Constant, 5, &in.assumedConstant},
	} {
		if v.text == "" && v.usual != 0 {
			*v.into, *v.assumed = unit.Int(v.usual), true
			continue
		}
		if *v.into, err = densityValue(v.flag, v.parse(v.text, "", sign)); err != nil {
			return err
		}
	}
	if err := in.method.Check(); err != nil {
		return usageError(err.Error(), "give a volume, a patch area and a constant above zero")
	}
	if *limit != "" {
		value, err := densityValue("limit", unit.ParseDensity(*limit, "", sign))
		if err != nil {
			return err
		}
		in.limit = &salt.Limit{Value: value, Basis: salt.TotalSalts, Comparison: salt.AtMost}
		if *less {
			in.limit.Comparison = salt.LessThan
		}
	}
	if *asJSON {
		return in.writeJSON(s.out)
	}
	return in.writeText(s.out)
}

func conventionFlag(decimal string) (unit.Convention, error) {
	switch decimal {
	case "":
		return unit.AnySign, nil
	case ".":
		return unit.PointSign, nil
	case ",":
		return unit.CommaSign, nil
	}
	return 0, usageError(fmt.Sprintf("--decimal: found %q, but wanted a point or a comma", decimal), `write --decimal "," or --decimal "."`)
}

// densityValue takes the value of a reading that must be known.
func densityValue(flag string, r unit.Reading) (unit.Decimal, error) {
	switch r.State {
	case unit.Known:
		return r.Value, nil
	case unit.Blank:
		return r.Value, usageError(fmt.Sprintf("--%s is not given", flag), fmt.Sprintf("give it with its unit, as in %s", densityExamples[flag]))
	}
	reason := r.Reason()
	if reason == "" {
		reason = fmt.Sprintf("found %q, but wanted one number", r.Text)
	}
	return r.Value, usageError(fmt.Sprintf("--%s: %s", flag, reason), fmt.Sprintf("give one number, with its unit, as in %s", densityExamples[flag]))
}

var densityExamples = map[string]string{
	"blank":      `--blank "2 µS/cm"`,
	"extract":    `--extract "42 µS/cm"`,
	"volume":     `--volume "3 ml"`,
	"patch-area": `--patch-area "1250 mm2"`,
	"constant":   `--constant 5`,
	"limit":      `--limit "50 mg/m2"`,
}

func (in densityInput) writeText(out io.Writer) error {
	sp := unit.English()
	m := in.method
	diff := in.extract.Ratio().Sub(in.blank.Ratio())
	rho := m.ExactDensity(in.blank, in.extract)
	span := m.Interval(in.blank, in.extract, salt.Steps{Blank: in.blank.Step(), Extract: in.extract.Step()})
	assumed := func(yes bool) string {
		if yes {
			return "   assumed: not given"
		}
		return ""
	}
	var b strings.Builder
	row := func(name, format string, args ...any) {
		fmt.Fprintf(&b, "%-24s %s\n", name, fmt.Sprintf(format, args...))
	}
	row("blank γ₁", "%s µS/cm", sp.Decimal(in.blank))
	row("extract γ₂", "%s µS/cm", sp.Decimal(in.extract))
	row("volume V", "%s ml", sp.Decimal(m.Volume))
	row("patch area A", "%s mm²%s", sp.Decimal(m.Area), assumed(in.assumedArea))
	row("constant c", "%s kg/(m²·S)%s", sp.Decimal(m.Constant), assumed(in.assumedConstant))
	row("difference", "%s − %s = %s µS/cm", sp.Decimal(in.extract), sp.Decimal(in.blank), figure(sp, diff, 0))
	row("factor K = 100·c·V/A", "100 × %s × %s / %s = %s mg/m² per µS/cm",
		sp.Decimal(m.Constant), sp.Decimal(m.Volume), sp.Decimal(m.Area), figure(sp, m.ExactFactor(), 0))
	row("density ρ = K·(γ₂ − γ₁)", "%s × %s = %s mg/m² = %s µg/cm²",
		figure(sp, m.ExactFactor(), 0), figure(sp, diff, 0), figure(sp, rho, 1), figure(sp, rho.Quo(unit.Int(10).Ratio()), 2))
	row("by the written digits", "%s to %s mg/m²", figure(sp, span.Low, 1), figure(sp, span.High, 1))
	if rise := diff.Float(); diff.Sign() < 0 {
		row("note", "the extract conducts less than the blank: not a zero result, read a fresh blank and repeat")
	} else {
		if nacl, err := m.SodiumChlorideDensity(unit.Conductivity(rise)); err == nil {
			row("as sodium chloride", "%s mg/m² of NaCl alone would conduct so", sp.Float(float64(nacl), 1))
		}
		if chloride, err := m.ChlorideUpperBound(unit.Conductivity(rise)); err == nil {
			row("chloride ion", "not above %s mg/m²; conductivity does not measure it", sp.Float(float64(chloride), 1))
		}
	}
	if l := in.limit; l != nil {
		sign := "≤"
		if l.Comparison == salt.LessThan {
			sign = "<"
		}
		row("limit", "%s mg/m² (%s), total salts: %s is %s", sp.Decimal(l.Value), sign,
			sp.Beside(rho, l.Value.Ratio(), 1), map[salt.Outcome]string{salt.Conforms: "within it", salt.NotConforms: "above it"}[l.Compare(rho)])
		if !span.Decides(*l) {
			row("", "the written digits alone do not decide it")
		}
	}
	_, err := io.WriteString(out, b.String())
	return err
}

// figure prints x with at least so many decimals, and with up to two more
// where x has them.
func figure(sp unit.Spelling, x unit.Ratio, least int) string {
	decimals := least
	for ; decimals < least+2; decimals++ {
		if steps := x.Mul(unit.Decimal{Coef: 1, Exp: decimals}.Ratio()); steps.Whole(false).Cmp(steps) == 0 {
			break
		}
	}
	return sp.Ratio(x, decimals)
}

func (in densityInput) writeJSON(out io.Writer) error {
	m := in.method
	rho := m.ExactDensity(in.blank, in.extract)
	span := m.Interval(in.blank, in.extract, salt.Steps{Blank: in.blank.Step(), Extract: in.extract.Step()})
	v := map[string]any{
		"tool":                   tool,
		"blank_uS_cm":            in.blank.Float(),
		"extract_uS_cm":          in.extract.Float(),
		"difference_uS_cm":       in.extract.Ratio().Sub(in.blank.Ratio()).Float(),
		"volume_ml":              m.Volume.Float(),
		"patch_area_mm2":         m.Area.Float(),
		"constant":               m.Constant.Float(),
		"factor_mg_m2_per_uS_cm": m.Factor(),
		"density_mg_m2":          rho.Float(),
		"low_mg_m2":              span.Low.Float(),
		"high_mg_m2":             span.High.Float(),
		"limit_mg_m2":            nil,
		"conforms":               nil,
		"assumed":                assumptions(in),
	}
	if in.limit != nil {
		v["limit_mg_m2"] = in.limit.Value.Float()
		v["conforms"] = in.limit.Compare(rho) == salt.Conforms
	}
	enc := json.NewEncoder(out)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	return enc.Encode(v)
}

func assumptions(in densityInput) []string {
	list := []string{}
	if in.assumedArea {
		list = append(list, "patch_area_mm2")
	}
	if in.assumedConstant {
		list = append(list, "constant")
	}
	return list
}
