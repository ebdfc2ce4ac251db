package salt

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"saltline/internal/unit"
	"saltline/testdata/published"
)

// TestPublished holds every row of salt.csv and conductivity.csv against
// this package and the conversions of unit.
func TestPublished(t *testing.T) {
	var rows []published.Row
	for _, name := range []string{"salt.csv", "conductivity.csv"} {
		more, err := published.Rows(name)
		if err != nil {
			t.Fatal(err)
		}
		rows = append(rows, more...)
	}
	t.Log(published.Tally(rows))
	for _, row := range rows {
		t.Run(row.ID, func(t *testing.T) {
			got, err := runners[row.Quantity].run(row)
			if err != nil {
				t.Fatal(err)
			}
			// Both readings of an equality in the last digit count as equal.
			if !(math.Abs(got-row.Expected) <= row.Tolerance+1e-12*math.Abs(row.Expected)) {
				t.Errorf("%s %v: got %.12g, want %v ± %g %s (%s)", row.Quantity, row.Inputs, got, row.Expected, row.Tolerance, row.Unit, row.Source)
			}
		})
	}
}

// inputs are the numbers of a row.
type inputs map[string]float64

// A runner computes what rows of one quantity publish.
type runner func(in inputs, row published.Row) (float64, error)

func (f runner) run(row published.Row) (float64, error) {
	if f == nil {
		return 0, fmt.Errorf("no runner for %q: the row checks nothing", row.Quantity)
	}
	in := inputs{}
	for key, text := range row.Inputs {
		if v, err := strconv.ParseFloat(text, 64); err == nil {
			in[key] = v
		}
	}
	return f(in, row)
}

// method is the method of a row's volume and area, with c = 5.
func (in inputs) method() Method {
	v, _ := unit.FromFloat(in["V_ml"])
	a, _ := unit.FromFloat(in["A_mm2"])
	return Method{unit.Int(5), v, a}
}

func (in inputs) decimal(key string) unit.Decimal {
	d, _ := unit.FromFloat(in[key])
	return d
}

// density is the exact density of a row, after a check that the
// floating-point one agrees.
func (in inputs) density(blank, extract string) (float64, error) {
	m := in.method()
	if err := m.Check(); err != nil {
		return 0, err
	}
	exact := m.ExactDensity(in.decimal(blank), in.decimal(extract)).Float()
	quick := float64(m.Density(unit.Conductivity(in[blank]), unit.Conductivity(in[extract])))
	if math.Abs(quick-exact) > 1e-9*(1+math.Abs(exact)) {
		return 0, fmt.Errorf("floating point gives %v, exact %v", quick, exact)
	}
	return exact, nil
}

func fahrenheit(celsius unit.Temperature, err error) (float64, error) {
	return float64(celsius)*9/5 + 32, err
}

// celsius converts by the parser that reads what sites write.
func celsius(fahrenheit float64) unit.Temperature {
	return unit.Temperature(unit.ParseTemperature(fmt.Sprintf("%.3f °F", fahrenheit), "", unit.PointSign).Value.Float())
}

var runners = map[string]runner{
	"surface density of a rise": func(in inputs, _ published.Row) (float64, error) {
		return in.density("", "dgamma_uS_cm")
	},
	"surface density from two readings": func(in inputs, _ published.Row) (float64, error) {
		return in.density("gamma1_uS_cm", "gamma2_uS_cm")
	},
	"surface density of an unsubtracted blank": func(in inputs, _ published.Row) (float64, error) {
		return in.density("", "gamma1_uS_cm")
	},
	"surface density SI path": func(in inputs, _ published.Row) (float64, error) { // m³, m², S/m, kg/m²
		m := Method{unit.Int(5), in.decimal("V_m3").Shift(6), in.decimal("A_m2").Shift(6)}
		f := m.ExactDensity(unit.Int(0), in.decimal("dgamma_S_m").Shift(4)).Float()
		return f / 1e6, nil
	},
	"mass dissolved": func(in inputs, _ published.Row) (float64, error) { // µg, on any area
		in["A_mm2"] = 1250
		rho, err := in.density("", "dgamma_uS_cm")
		return rho * 1250 / 1000, err
	},
	"difference of two readings": func(in inputs, _ published.Row) (float64, error) {
		in["V_ml"], in["A_mm2"] = 3, 1250
		m := in.method()
		return float64(m.Rise(m.Density(unit.Conductivity(in["gamma1_uS_cm"]), unit.Conductivity(in["gamma2_uS_cm"])))), nil
	},
	"unit conversion": func(in inputs, row published.Row) (float64, error) { return convert(row) },
	"length in mm": func(_ inputs, row published.Row) (float64, error) {
		r := unit.ParseLength(row.Inputs["text"], "", unit.AnySign)
		return r.Value.Float(), r.Err
	},
	"patch compartment area": func(_ inputs, row published.Row) (float64, error) {
		r := unit.ParsePatchArea(row.Inputs["designation"], "", unit.AnySign)
		return r.Value.Float(), r.Err
	},
	"nominal compartment fill volume at 2.6e-3 ml/mm2": func(_ inputs, row published.Row) (float64, error) {
		r := unit.ParsePatchArea(row.Inputs["designation"], "", unit.AnySign)
		_, nominal, _ := Fill(unit.PatchArea(r.Value.Float()))
		return float64(nominal), r.Err
	},
	"number of tests": func(in inputs, _ published.Row) (float64, error) {
		r := SamplingRule{PerArea, int(in["first"]), unit.SteelArea(in["first_m2"]), int(in["then"]), unit.SteelArea(in["step_m2"])}
		n, err := r.Required(unit.SteelArea(in["area_m2"]), 0)
		return float64(n), err
	},
	"cost of a test": func(in inputs, _ published.Row) (float64, error) {
		cost, err := CostPerTest(unit.Money(in["price"]), int(in["uses"]))
		return float64(cost), err
	},
	"tests of each patch": func(in inputs, _ published.Row) (float64, error) {
		return TestsPerPatch(int(in["tests"]), int(in["patches"]))
	},

	"molar conductivity of NaCl": func(in inputs, _ published.Row) (float64, error) {
		return MolarConductivity(in["c_mol_L"])
	},
	"conductivity rise of NaCl at given surface density": func(in inputs, _ published.Row) (float64, error) {
		rise, err := in.method().SodiumChlorideRise(unit.SurfaceDensity(in["rho_mg_m2"]))
		return float64(rise), err
	},
	"ISO-factor reading of a true 50 mg/m2 NaCl surface": func(in inputs, _ published.Row) (float64, error) {
		m := in.method()
		rise, err := m.SodiumChlorideRise(unit.SurfaceDensity(in["rho_mg_m2"]))
		return float64(m.Density(0, rise)), err
	},
	"NaCl surface that reads 50 mg/m2 by ISO factor": func(in inputs, _ published.Row) (float64, error) {
		m := in.method()
		rho, err := m.SodiumChlorideDensity(m.Rise(unit.SurfaceDensity(in["rho_mg_m2"])))
		return float64(rho), err
	},
	"chloride mass fraction of NaCl": func(inputs, published.Row) (float64, error) { return ChlorideShare, nil },
	"chloride mg/L per uS/cm for pure NaCl, infinite dilution": func(inputs, published.Row) (float64, error) {
		m := Method{unit.Int(5), unit.Int(1), unit.Int(1000)} // 1 mg/m² is 1 mg/l
		bound, err := m.ChlorideUpperBound(1e-9)
		return float64(bound) / 1e-9, err
	},

	"conductivity of KCl, molal": func(in inputs, _ published.Row) (float64, error) {
		return potassiumChloride.conductivity(in["m_mol_kg"], in["t_C"]), nil
	},
	"conductivity of KCl, demal": func(in inputs, _ published.Row) (float64, error) { // a mass of KCl in 1000 g of solution
		const molarPotassiumChloride = 74.551 // g/mol
		grams := in["KCl_g_per_kg_solution"]
		return potassiumChloride.conductivity(grams/molarPotassiumChloride/(1-grams/1000), in["t_C"]), nil
	},
	"conductivity of KCl": func(in inputs, _ published.Row) (float64, error) {
		return 1000 * in["c_mol_L"] * potassiumChloride.molar(in["c_mol_L"], in["t_C"]), nil
	},
	"molar conductivity of KCl": func(in inputs, _ published.Row) (float64, error) {
		return potassiumChloride.molar(in["c_mol_L"], in["t_C"]), nil
	},
	"KCl check solution without compensation": func(in inputs, _ published.Row) (float64, error) {
		read, err := CheckSolution(unit.Conductivity(in["nominal_uS_cm"]), unit.Temperature(in["t_C"]))
		return float64(read), err
	},
	"conductivity of NaCl by McCleskey": func(in inputs, _ published.Row) (float64, error) {
		return 1000 * in["c_mol_L"] * mccleskeySodiumChloride.molar(in["c_mol_L"], in["t_C"]), nil
	},
	"molar conductivity of NaCl by McCleskey": func(in inputs, _ published.Row) (float64, error) {
		return mccleskeySodiumChloride.molar(in["c_mol_L"], in["t_C"]), nil
	},
	"density of water": func(in inputs, _ published.Row) (float64, error) { return waterDensity(in["t_C"]), nil },

	"f25": func(in inputs, _ published.Row) (float64, error) {
		k, err := Correction{Kind: NaturalWater}.To25(1, unit.Temperature(in["t_C"]))
		return float64(k), err
	},
	"linear compensation": func(in inputs, _ published.Row) (float64, error) {
		c := Correction{Linear, unit.Percent(in["alpha_pct"])}
		k, err := c.To25(unit.Conductivity(in["kappa_uS_cm"]), unit.Temperature(in["t_C"]))
		return float64(k), err
	},
	"KCl 0.01 m: error of 2 % linear rule at 0C": func(in inputs, _ published.Row) (float64, error) {
		k, err := Correction{Linear, 2}.To25(unit.Conductivity(in["k0"]), 0)
		return 100 * (float64(k)/in["k25"] - 1), err
	},

	"dew point": func(in inputs, _ published.Row) (float64, error) {
		td, err := DewPoint(unit.Temperature(in["T_C"]), unit.Humidity(in["RH"]))
		return float64(td), err
	},
	"frost point": func(in inputs, _ published.Row) (float64, error) {
		td, err := FrostPoint(unit.Temperature(in["T_C"]), unit.Humidity(in["RH"]))
		return float64(td), err
	},
	"dew point in Fahrenheit": func(in inputs, _ published.Row) (float64, error) {
		return fahrenheit(DewPoint(celsius(in["T_F"]), unit.Humidity(in["RH"])))
	},
	"dew point of a wet bulb": func(in inputs, _ published.Row) (float64, error) {
		dry, wet := celsius(in["dry_F"]), celsius(in["wet_F"])
		rh, err := HumidityFromWetBulb(dry, wet, PressureAt(in["alt_ft"]*0.3048))
		if err != nil {
			return 0, err
		}
		return fahrenheit(DewPoint(dry, rh))
	},
	"dew point depression": func(in inputs, _ published.Row) (float64, error) {
		air := unit.Temperature(in["T_C"])
		td, err := DewPoint(air, unit.Humidity(in["RH"]))
		return float64(Margin(air, td)), err
	},
	"humidity at a depression of 3 C": func(in inputs, _ published.Row) (float64, error) {
		air := unit.Temperature(in["T_C"])
		at, err := VapourPressure(air)
		below, err2 := VapourPressure(air - 3)
		return 100 * below / at, errors.Join(err, err2)
	},

	"conformance probability": func(in inputs, _ published.Row) (float64, error) { // between two limits
		y, u := unit.SurfaceDensity(in["y"]), unit.SurfaceDensity(in["u"])
		return Conformity(y, u, unit.SurfaceDensity(in["TU"])) - Conformity(y, u, unit.SurfaceDensity(in["TL"])), nil
	},
	"conformance probability, upper limit": func(in inputs, _ published.Row) (float64, error) {
		return Conformity(unit.SurfaceDensity(in["y"]), unit.SurfaceDensity(in["u"]), unit.SurfaceDensity(in["TU"])), nil
	},
	"conformance probability, lower limit": func(in inputs, _ published.Row) (float64, error) { // the upper one, mirrored
		return Conformity(unit.SurfaceDensity(-in["y"]), unit.SurfaceDensity(in["u"]), unit.SurfaceDensity(-in["TL"])), nil
	},
	"relative uncertainty of a density": func(in inputs, _ published.Row) (float64, error) {
		b, rho := in.budget()
		return float64(b.Standard / rho), nil
	},
	"uncertainty of a density": func(in inputs, _ published.Row) (float64, error) {
		b, _ := in.budget()
		return float64(b.Standard), nil
	},
	"uncertainty of a difference": func(in inputs, _ published.Row) (float64, error) {
		m := Method{unit.Int(1), unit.Int(1), unit.Int(100)} // K = 1
		d := Doubt{Blank: unit.Conductivity(in["u1"]), Extract: unit.Conductivity(in["u2"])}
		return float64(m.Budget(0, 0, d, 2).Standard), nil
	},
	"rectangular": func(in inputs, _ published.Row) (float64, error) { return Rectangular(in["a"]), nil },
}

// budget is the uncertainty of a row that gives the standard uncertainty of
// the rise as one figure.
func (in inputs) budget() (Budget, unit.SurfaceDensity) {
	m := in.method()
	d := Doubt{Extract: unit.Conductivity(in["u_uS_cm"]), Volume: unit.Volume(in["uV_ml"]), Area: unit.PatchArea(in["uA_mm2"])}
	extract := unit.Conductivity(in["dgamma_uS_cm"])
	return m.Budget(0, extract, d, 2), m.Density(0, extract)
}

// convert parses the row's value in its unit and shifts it to the unit
// wanted.
func convert(row published.Row) (float64, error) {
	written := map[string]string{
		"mg_m2": "mg/m2", "ug_cm2": "ug/cm2", "mS_m": "mS/m", "mS_cm": "mS/cm", "S_m": "S/m", "uS_cm": "µS/cm", "g_m2": "g/m2",
	}
	scale := map[string]float64{"mg/m2": 1, "ug/cm2": 0.1, "uS/cm": 1, "mS/m": 0.1, "mS/cm": 1e-3, "S/m": 1e-4}
	for key, value := range row.Inputs {
		text := value + " " + written[key]
		r := unit.ParseConductivity(text, "", unit.PointSign)
		if strings.Contains(written[key], "g/") {
			r = unit.ParseDensity(text, "", unit.PointSign)
		}
		to, ok := scale[row.Unit]
		if r.State != unit.Known || !ok {
			return 0, fmt.Errorf("%q to %q: %v %v", text, row.Unit, r.State, r.Err)
		}
		return r.Value.Float() * to, nil
	}
	return 0, errors.New("no input")
}
