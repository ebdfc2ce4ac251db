package trend

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"unicode"

	"saltline/internal/assess"
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/stat"
	"saltline/internal/unit"
)

// A Meter is a meter with its checks over the job, as found: what it read in
// check solutions before anybody adjusted it.
type Meter struct {
	Name      string // as the first check writes it
	Checks    []Check
	Charted   bool       // there are two checks or more
	Chart     stat.Chart // of individuals: % of nominal
	Outside   int        // checks outside its limits
	Line      Line       // of the daily medians, % a day
	Tolerance float64    // %, the narrowest of its checks
}

// A Check is one check of a meter.
type Check struct {
	Entry     *record.MeterCheck
	Deviation float64 // reading over nominal less 1, %
	Referred  bool    // over what the solution has at its temperature: the meter does not compensate
	Outside   bool    // outside the limits of the chart
}

// meters gathers the checks that have a reading, a nominal value and a day, in
// order of time.
func (w *work) meters() []Meter {
	var meters []Meter
	at := map[string]int{}
	for i := range w.Job.Checks {
		k := &w.Job.Checks[i]
		if !k.Date.Known() || !k.Reading.Known() || !k.Nominal.Known() || k.Nominal.Val <= 0 || k.AsLeft() {
			continue
		}
		n, known := at[plate(k.Meter.Val)]
		if !known {
			n = len(meters)
			at[plate(k.Meter.Val)] = n
			meters = append(meters, Meter{Name: k.Meter.Val, Tolerance: math.Inf(1)})
		}
		m := &meters[n]
		if tolerance := w.tolerance(k); tolerance < m.Tolerance {
			m.Tolerance = tolerance
		}
		m.Checks = append(m.Checks, Check{Entry: k})
	}
	for i := range meters {
		w.chart(&meters[i])
	}
	return meters
}

func (w *work) tolerance(k *record.MeterCheck) float64 {
	return float64(w.Basis.ToleranceOf(k))
}

// chart works out what there is to see of a meter.
func (w *work) chart(m *Meter) {
	slices.SortStableFunc(m.Checks, func(a, b Check) int {
		return cmp.Or(a.Entry.Date.Val.Compare(b.Entry.Date.Val), cmp.Compare(a.Entry.Time.Val, b.Entry.Time.Val))
	})
	plain := w.notCompensating(m.Name)
	for i := range m.Checks {
		c := &m.Checks[i]
		expected := c.Entry.Nominal.Val
		if c.Entry.Temperature.Known() && plain {
			if at, err := salt.CheckSolution(expected, c.Entry.Temperature.Val); err == nil {
				expected, c.Referred = at, true
			}
		}
		c.Deviation = 100 * (float64(c.Entry.Reading.Val)/float64(expected) - 1)
	}
	chart, err := stat.Individuals(m.deviations())
	m.Charted = err == nil
	if m.Charted {
		m.Chart = chart
		for i := range m.Checks {
			c := &m.Checks[i]
			const rounding = 1e-9 // of binary fractions
			c.Outside = c.Deviation > chart.Upper+rounding || c.Deviation < chart.Lower-rounding
			if c.Outside {
				m.Outside++
			}
		}
	}
	m.Line = m.line()
}

func (m *Meter) deviations() []float64 {
	xs := make([]float64, len(m.Checks))
	for i := range m.Checks {
		xs[i] = m.Checks[i].Deviation
	}
	return xs
}

// line is that of the daily medians: the checks of one day resemble each other
// more than they do those of other days, and would count as proof thrice.
func (m *Meter) line() Line {
	xs := m.deviations()
	var days []Day
	for from := 0; from < len(m.Checks); {
		to := from
		for to < len(m.Checks) && m.Checks[to].Entry.Date.Val == m.Checks[from].Entry.Date.Val {
			to++
		}
		median := stat.Median(xs[from:to])
		days = append(days, Day{Date: m.Checks[from].Entry.Date.Val, Median: unit.SurfaceDensity(median)})
		from = to
	}
	return lineOf(days, func(d *Day) float64 { return float64(d.Median) })
}

// notCompensating reports whether a meter is known not to refer its readings
// to 25 °C: by the list of meters, else by every test that was read with it.
func (w *work) notCompensating(meter string) bool {
	serial := plate(meter)
	for i := range w.Job.Meters {
		if m := &w.Job.Meters[i]; m.Compensates.Known() && serial != "" && plate(m.Serial.Val) == serial {
			return !m.Compensates.Val
		}
	}
	read := false
	for i := range w.Lines {
		l := &w.Lines[i]
		if l.Test.Meter().Val == meter || plate(l.Test.Meter().Val) == serial {
			if l.Compensation != assess.NotCompensated {
				return false
			}
			read = true
		}
	}
	return read
}

// plate spells the number of an instrument for comparison: "K-0417" and
// "k 0417" are one meter.
func plate(serial string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, serial)
}

// When the checks of a meter are asked about.
const (
	row          = 6  // checks that go one way are a drift (common practice, after the rules of Nelson for control charts)
	fewestChecks = 10 // for limits that mean something (house rule)

	// Of normal values about a known centre 0.27 % lie outside three standard
	// deviations, which E2 × mean moving range estimates. One of sixty checks
	// is then outside in one job of seven, so that a single one is asked about
	// only where it is half as far again from the centre as the limits (house
	// rule), and several where chance does not give so many.
	outsideByLuck = 0.0027
	farOutside    = 1.5
)

// askMeters asks of each meter whether its checks wander. Flags of a row have
// N, the values From and To and the days; of a drift N days, the line and the
// days; of points outside N of Of, those Expected, and From and To, the limits.
func (w *work) askMeters(t *Trends) {
	for i := range t.Meters {
		m := &t.Meters[i]
		w.askRow(t, m, len(t.Meters))
		w.askDrift(t, m, len(t.Meters))
		w.askOutside(t, m, len(t.Meters))
	}
}

// askRow asks for the longest stretch of checks that each went further the same
// way. Six are asked for, and more where so many checks give six by chance; and
// they must go somewhere.
func (w *work) askRow(t *Trends, m *Meter, meters int) {
	if len(m.Checks) < row {
		t.TooFew = append(t.TooFew, Silence{Kind: ChecksInARow, Who: m.Name, N: len(m.Checks), Need: row})
		return
	}
	xs := m.deviations()
	from, to := longestRun(xs)
	n := to - from
	chance := runByLuck(n, len(xs))
	if n < row || chance >= byLuck/float64(meters) || math.Abs(xs[to-1]-xs[from]) < toleranceShare*m.Tolerance {
		return
	}
	t.Flags = append(t.Flags, Flag{
		Kind: ChecksInARow, Who: m.Name, N: n, Of: len(xs), From: xs[from], To: xs[to-1], Chance: chance,
		First: m.Checks[from].Entry.Date.Val, Last: m.Checks[to-1].Entry.Date.Val,
	})
}

// longestRun is the longest stretch of values that each move the same way from
// the one before; the first of several.
func longestRun(xs []float64) (from, to int) {
	start := 0
	for i := 1; i < len(xs); i++ {
		step := cmp.Compare(xs[i], xs[i-1])
		switch {
		case step == 0:
			start = i
		case i-1 > start && cmp.Compare(xs[i-1], xs[i-2]) != step:
			start = i - 1
		}
		if i+1-start > to-from {
			from, to = start, i+1
		}
	}
	return from, to
}

// runByLuck bounds the chance of a stretch of k values or more that go one way
// among n values in random order, by the number of such stretches to expect:
// 2/k! at the front, and 2k/(k + 1)! at each of the n − k other places, where
// the value before must not belong to it.
func runByLuck(k, n int) float64 {
	if k < 2 || k > n {
		return 1
	}
	return min(1, 2*math.Exp(-factorial(k))+2*float64(n-k)*float64(k)*math.Exp(-factorial(k+1)))
}

// askDrift asks whether the daily medians go one way.
func (w *work) askDrift(t *Trends, m *Meter, meters int) {
	l := &m.Line
	if l.N < fewestDays {
		t.TooFew = append(t.TooFew, Silence{Kind: ChecksDrifting, Who: m.Name, N: l.N, Need: fewestDays})
		return
	}
	chance := 2 * min(l.Rising, l.Falling)
	if chance >= byLuck/float64(meters) || math.Abs(l.Change()) < toleranceShare*m.Tolerance {
		return
	}
	t.Flags = append(t.Flags, Flag{
		Kind: ChecksDrifting, Who: m.Name, N: l.N, Slope: l.Slope, From: m.Checks[0].Deviation, To: m.Checks[len(m.Checks)-1].Deviation,
		Chance: chance, First: m.Checks[0].Entry.Date.Val, Last: m.Checks[len(m.Checks)-1].Entry.Date.Val,
	})
}

// askOutside asks for points outside the limits that chance does not put there.
func (w *work) askOutside(t *Trends, m *Meter, meters int) {
	n := len(m.Checks)
	if n < fewestChecks {
		t.TooFew = append(t.TooFew, Silence{Kind: ChecksOutside, Who: m.Name, N: n, Need: fewestChecks})
		return
	}
	if m.Outside == 0 {
		return
	}
	f := Flag{Kind: ChecksOutside, Who: m.Name, N: m.Outside, Of: n, From: m.Chart.Lower, To: m.Chart.Upper, Expected: outsideByLuck * float64(n)}
	farthest := 0.0
	for i := range m.Checks {
		if c := &m.Checks[i]; c.Outside {
			farthest = max(farthest, math.Abs(c.Deviation-m.Chart.Centre))
			f.Last = c.Entry.Date.Val
			if f.First.IsZero() {
				f.First = c.Entry.Date.Val
			}
		}
	}
	half := m.Chart.Upper - m.Chart.Centre
	many, _ := stat.BinomialTail(m.Outside, n, outsideByLuck)
	far := min(1, float64(n)*2*normalAbove(3*farthest/half))
	f.Chance = min(many, far)
	if f.Chance < byLuck/float64(meters) && farthest >= max(farOutside*half, toleranceShare*m.Tolerance) {
		t.Flags = append(t.Flags, f)
	}
}
