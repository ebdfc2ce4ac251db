package workbook

import (
	"fmt"
	"slices"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/slip"
	"saltline/internal/table"
	"saltline/internal/unit"
)

// A row is one test on the sheet of recomputed values.
type row struct {
	*sheet
	*assess.Line
	n int // of the sheet, from 1

	// live: the row has both readings, constant and area, so that its density
	// is a formula. open: the volume alone is missing; the formulas wait for
	// one on the sheet of assumptions.
	live, open bool
	own        table.Entry // the volume of the row
	found      []string    // what was read otherwise than it is typed here
}

func (s *sheet) row(l *assess.Line, n int) *row {
	r := &row{sheet: s, Line: l, n: n}
	t := l.Test
	r.open = t.Blank().Known() && t.Extract().Known() && l.PatchArea().Known && l.Constant().Known &&
		l.Volume() == (assess.Used[unit.Volume]{})
	r.live = l.Density.Known || r.open
	return r
}

// at is the cell of a column in this row.
func (r *row) at(key string) string { return fmt.Sprintf("%s%d", diag.ColumnName(r.cols[key]), r.n) }

// formula is a formula of the row with its result. While the volume is
// missing it gives nothing.
func (r *row) formula(expression string, result any, format string) table.Entry {
	if r.open {
		expression, result = fmt.Sprintf(`IF(ISNUMBER(%s),%s,"")`, r.at("volume"), expression), ""
	}
	return table.Computed(expression, result, format).As(table.Result)
}

// none is a cell that has nothing to say.
func none() table.Entry { return table.Words("–") }

// reading is a number of the row: live, typed, or what is said in its place.
func reading[Q any](r *row, name string, g record.Given[Q]) table.Entry {
	switch g.State {
	case record.Absent, record.NotDone:
		return none()
	case record.Unreadable:
		return long(r.say("as-found", g.Text)).As(table.Undecided)
	}
	e, typed := r.received.number(g.Pos, g.Dec)
	if g.State == record.Below { // the number is the bound
		e = table.Num(g.Dec.Float(), `"<"`+decimals(g.Dec)).As(table.Input)
	}
	if typed && (g.State == record.Below || g.Text != g.Dec.String() || converted(g)) {
		r.found = append(r.found, name+" "+quoted(r.corrector, g))
	}
	return e
}

// volume is the one for all rows where there is one, else that of the row,
// which stands by itself so that it is seen what the row had.
func (r *row) volume() table.Entry {
	r.own = r.ownVolume()
	if !r.open && !r.Volume().Known {
		return r.own
	}
	var result any = ""
	if r.Volume().Known {
		result = float64(r.Volume().Val)
	}
	return table.Computed(fmt.Sprintf("IF(ISNUMBER(%s),%[1]s,%s)", r.sheet.cells.allRows, r.at("own-volume")), result, decimals(r.Volume().Dec))
}

func (r *row) ownVolume() table.Entry {
	t := r.Line.Test
	job := r.Report.Job.Terms.Volume
	switch {
	case r.open:
		ref := r.sheet.cells.volume
		return table.Computed(fmt.Sprintf(`IF(ISNUMBER(%s),%[1]s,"")`, ref), "", "0.0").As(table.Undecided)
	case r.Volume().Known && job.Known() && r.Volume().Pos == job.Pos:
		return table.Computed(r.sheet.cells.volume, float64(r.Volume().Val), decimals(r.Volume().Dec))
	case r.Volume().Known && !t.Volume().Known(): // what was injected
		return reading(r, "V", t.Injected())
	}
	return reading(r, "V", firstSaid(t.Volume(), job))
}

func (r *row) patchArea() table.Entry {
	t, job := r.Line.Test, r.Report.Job.Terms.PatchArea
	switch {
	case !r.PatchArea().Known:
		return reading(r, "A", firstSaid(t.PatchArea(), job))
	case r.PatchArea().Assumed > 0, job.Known() && r.PatchArea().Pos == job.Pos:
		return table.Computed(r.sheet.cells.patchArea, float64(r.PatchArea().Val), decimals(r.PatchArea().Dec))
	case t.PatchArea().Known():
		return reading(r, "A", t.PatchArea())
	}
	e, _ := r.received.number(r.PatchArea().Pos, r.PatchArea().Dec) // of the patch that the test names
	return e
}

func (r *row) constant() table.Entry {
	if !r.Constant().Known {
		return none()
	}
	return table.Computed(r.sheet.cells.constant, float64(r.Constant().Val), decimals(r.Constant().Dec))
}

// firstSaid is what the row says of a value, else what the job says.
func firstSaid[Q any](own, job record.Given[Q]) record.Given[Q] {
	if own.State.Silent() {
		return job
	}
	return own
}

func (r *row) factor() table.Entry {
	if r.Factor() == 0 && !r.open {
		return none()
	}
	return r.formula(fmt.Sprintf("100*%s*%s/%s", r.at("constant"), r.at("volume"), r.at("area")), r.Factor(), "0.0###")
}

// difference stands also where no density follows from it.
func (r *row) difference() table.Entry {
	t := r.Line.Test
	if !t.Blank().Known() || !t.Extract().Known() {
		return none()
	}
	d := unit.Decimal{Exp: min(t.Blank().Dec.Exp, t.Extract().Dec.Exp)}
	return table.Computed(fmt.Sprintf("%s-%s", r.at("extract"), r.at("blank")), float64(r.Difference()), decimals(d)).As(table.Result)
}

func (r *row) density() table.Entry {
	switch {
	case r.live:
		return r.formula(r.at("factor")+"*"+r.at("difference"), float64(r.Density.Value), densityFormat)
	case r.Density.Bounded:
		low, high := r.Span()
		return long(r.say("bounded", map[string]any{"Low": max(0, low), "High": high})).As(table.Undecided)
	}
	return none()
}

// densityFormat shows enough digits that a value beside its limit does not
// look like it.
const densityFormat = "0.0###"

// bound is the density at one end of what the digits allow, or of what is
// known where a reading is only bounded.
func (r *row) bound(sign string, value unit.SurfaceDensity) table.Entry {
	switch {
	case r.live:
		return r.formula(fmt.Sprintf("%s*(%s%s(%s+%s)/2)", r.at("factor"), r.at("difference"), sign, r.at("blank-step"), r.at("extract-step")),
			float64(value), densityFormat)
	case r.Density.Bounded && r.Factor() != 0:
		rise := clean(float64(value) / r.Factor())
		return r.formula(fmt.Sprintf("%s*%v", r.at("factor"), rise), float64(value), densityFormat)
	}
	return none()
}

// clean is x without what is left of binary fractions behind ten digits.
func clean(x float64) float64 {
	var y float64
	if _, err := fmt.Sscan(fmt.Sprintf("%.10g", x), &y); err != nil {
		return x
	}
	return y
}

// steps are what the digits of the two readings resolve, by the digits and by
// the meter, in µS/cm.
func (r *row) steps() (blank, extract float64) {
	t := r.Line.Test
	coarse := float64(r.Resolution())
	blank, extract = t.Blank().Dec.Step().Float(), t.Extract().Dec.Step().Float()
	if coarse > max(blank, extract) { // the meter shows less than the digits
		return coarse, coarse
	}
	if r.Density.Known {
		low, high := r.Span()
		fine := clean(float64(high-low)/r.Factor()) - coarse
		if blank < extract {
			return clean(fine), extract
		}
		return blank, clean(fine)
	}
	return blank, extract
}

func (r *row) step(of string) table.Entry {
	if !r.live {
		return table.Entry{}
	}
	blank, extract := r.steps()
	if of == "blank" {
		return table.Num(blank, "")
	}
	return table.Num(extract, "")
}

// factorTo25 is what a reading is multiplied by to refer it to 25 °C.
func (r *row) factorTo25(own, other record.Given[unit.Temperature]) float64 {
	at := own
	if !at.Known() {
		at = other
	}
	const unitReading = 1
	v, err := r.Report.Basis.Correction.To25(unitReading, at.Val)
	if err != nil {
		return unitReading
	}
	return float64(v)
}

func (r *row) to25(of string) table.Entry {
	if !r.At25().Known {
		return table.Entry{}
	}
	t := r.Line.Test
	if of == "blank" {
		return table.Num(r.factorTo25(t.BlankTemperature(), t.SolutionTemperature()), "0.0###")
	}
	return table.Num(r.factorTo25(t.SolutionTemperature(), t.SolutionTemperature()), "0.0###")
}

func (r *row) at25() table.Entry {
	if !r.At25().Known {
		return table.Entry{}
	}
	return r.formula(r.rise25(), float64(r.At25().Value), densityFormat)
}

// rise25 is the density with both readings referred to 25 °C.
func (r *row) rise25() string {
	return fmt.Sprintf("%s*(%s*%s-%s*%s)", r.at("factor"), r.at("extract"), r.at("extract-to-25"), r.at("blank"), r.at("blank-to-25"))
}

func (r *row) bound25(sign string, value unit.SurfaceDensity) table.Entry {
	if !r.At25().Known {
		return table.Entry{}
	}
	return r.formula(fmt.Sprintf("%s%s%s*(%s*%s+%s*%s)/2", r.at("at-25"), sign, r.at("factor"),
		r.at("blank-step"), r.at("blank-to-25"), r.at("extract-step"), r.at("extract-to-25")), float64(value), densityFormat)
}

// asSodiumChloride is the sodium chloride that alone would make the rise: the
// solution of γ = 1000·m·(126.45 − 89.16·√m), the conductivity in µS/cm of m
// mol/l at 25 °C, as ρ = m · 58.443 · 10⁶ · V / A in mg/m². With a = 126.45 /
// 89.16 it is √m = 4a/3 · sin y · sin(y + π/3) and sin²(3y) = 27·γ·89.16² /
// (4000 · 126.45³). It holds to 0.01 mol/l, a rise of 1175.34 µS/cm; above,
// the value there stands for all that is more.
func (r *row) asSodiumChloride() table.Entry {
	if !r.live {
		return none()
	}
	const steepest = "ASIN(SQRT(27*MIN(MAX(%s,0),1175.34)*89.16^2/(4000*126.45^3)))/3"
	y := fmt.Sprintf(steepest, r.at("difference"))
	return r.formula(fmt.Sprintf("58.443*10^6*%s/%s*(4*126.45/89.16/3*SIN(%s)*SIN(%[3]s+PI()/3))^2", r.at("volume"), r.at("area"), y),
		float64(r.sodiumChloride()), densityFormat)
}

func (r *row) sodiumChloride() unit.SurfaceDensity {
	if !r.Volume().Known {
		return 0
	}
	m := salt.Method{Constant: r.Constant().Dec, Volume: r.Volume().Dec, Area: r.PatchArea().Dec}
	v, err := m.SodiumChlorideDensity(min(max(0, r.Difference()), 1175.34))
	if err != nil {
		return 0
	}
	return v
}

func (r *row) written() table.Entry { return reading(r, "ρ", r.Line.Test.Recorded()) }

// writtenText is the written value as found.
func (r *row) writtenText() table.Entry {
	if g := r.Line.Test.Recorded(); g.State != record.Absent {
		return long(quoted(r.corrector, g))
	}
	return none()
}

func (r *row) writtenStep() table.Entry {
	if g := r.Line.Test.Recorded(); g.Known() {
		return table.Num(g.Dec.Step().Float(), "")
	}
	return table.Entry{}
}

func (r *row) off() table.Entry {
	g := r.Line.Test.Recorded()
	if !g.Known() || !r.live {
		return none()
	}
	return r.formula(r.at("written")+"-"+r.at("density"), float64(g.Val-r.Density.Value), "+0.0###;-0.0###;0.0")
}

// limit is the first limit of the row: that of the job, or its own.
func (r *row) limit() table.Entry {
	if len(r.Limits()) == 0 {
		return none()
	}
	l := r.Limits()[0].Limit
	if slices.Contains(l.Gaps, assess.NoLimit) {
		return table.Words(r.say("as-found", l.Text)).As(table.Undecided)
	}
	if c := r.sheet.cells.limits[0]; r.ofJob(l) {
		return table.Computed(c.value, float64(l.Value), decimals(l.Exact))
	}
	e, _ := r.received.number(l.Pos, l.Exact)
	return e
}

// ofJob reports whether a limit is the first of the job.
func (r *row) ofJob(l *assess.Limit) bool {
	all := r.Report.Basis.Limits
	return len(all) > 0 && all[0].Pos == l.Pos && all[0].Exact == l.Exact
}

// explained lists every slip that gives the written value.
func (r *row) explained() table.Entry {
	switch {
	case len(r.Explanations()) > 0:
	case r.Agreement == assess.DoesNotFollow:
		return long(r.say("explained-none", nil))
	default:
		return table.Entry{}
	}
	var all []string
	for _, e := range r.Explanations() {
		all = append(all, r.explanation(e))
	}
	return long(r.sheet.list(all))
}

func (r *row) explanation(e slip.Explanation) string {
	name := r.text("slips/"+e.Name+"/title", nil)
	digits := max(1, -r.Line.Test.Recorded().Dec.Exp)
	return r.say("explanation", map[string]any{"Name": name, "Detail": e.Detail, "Value": r.Words.Number(float64(e.Value), digits)})
}

// marks are the findings that touch the test.
func (r *row) marks() table.Entry {
	var all []string
	for _, n := range r.Line.Findings() {
		if m := r.corrector.Report.Marks[n]; !slices.Contains(all, m) {
			all = append(all, m)
		}
	}
	return long(r.sheet.list(all))
}
