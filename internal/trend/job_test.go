package trend_test

import (
	"fmt"
	"math"
	"math/rand/v2"

	"saltline/internal/assess"
	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// known is a value that the record holds.
func known[Q any](v Q) record.Given[Q] {
	return record.Given[Q]{Val: v, State: record.Known, Text: fmt.Sprint(v)}
}

// figure is a number with so many decimals, as a meter shows it.
func figure[Q ~float64](v float64, decimals int) record.Given[Q] {
	scale := math.Pow10(decimals)
	g := known(Q(math.Round(v*scale) / scale))
	g.Dec = unit.Decimal{Coef: int64(math.Round(v * scale)), Exp: -decimals}
	return g
}

// A plan is a job to be made up. What is left out of it is as on an honest
// job, by chance; the functions plant what is to be found.
type plan struct {
	seed, job uint64
	days      int

	areas, batches, inspectors, meters, sources int  // 0: by chance
	apart                                       bool // the inspectors work on different days

	blank  func(day int) float64              // added to the blanks of a day, µS/cm
	check  func(check int) float64            // added to the deviation of a check of the first meter, %
	times  func(batch, inspector int) float64 // by which densities are multiplied
	washed func(source int) float64           // by which those after a wash are
	voids  func(inspector int) float64        // share; 0.04 where nil
}

// start is a Monday.
var start = unit.Date{Year: 2026, Month: 3, Day: 2}

// make makes the job up: areas that differ, days that differ a little, tests
// that scatter as on blasted steel, bottles that differ, a meter with an offset
// of its own whose mornings differ, retests after a wash.
func (p plan) make() *record.Job {
	rnd := rand.New(rand.NewPCG(p.seed, p.job))
	among := func(given, least, most int) int {
		if given > 0 {
			return given
		}
		return least + rnd.IntN(most-least+1)
	}
	areas, batches := among(p.areas, 4, 12), among(p.batches, 1, 4)
	inspectors, meters, sources := among(p.inspectors, 1, 3), among(p.meters, 1, 2), among(p.sources, 1, 2)
	apart := p.apart || p.inspectors == 0 && rnd.IntN(2) == 0
	limit := figure[unit.SurfaceDensity](50, 0)
	limit.Unit = "mg/m²"
	job := &record.Job{Terms: record.Terms{
		Limits: []record.Limit{{
			Value: limit, Basis: known(salt.TotalSalts), Comparison: known(salt.AtMost),
			Rounding: known(salt.Rounding{}), Clause: known("7.3"),
		}},
		Procedure: known(record.Direct), Volume: figure[unit.Volume](3, 0), PatchArea: figure[unit.PatchArea](1250, 0), Constant: figure[unit.Constant](5, 0),
	}}
	level := make([]float64, areas)
	for a := range areas {
		level[a] = math.Exp(3.0 + 0.35*rnd.NormFloat64())
		job.Areas = append(job.Areas, record.Area{
			Name: known(fmt.Sprintf("A%d", a+1)), Size: figure[unit.SteelArea](400, 0), AbrasiveBatch: known(fmt.Sprintf("G-%d", 20+a*batches/areas)),
		})
	}
	offset := make([]float64, meters)
	for m := range meters {
		offset[m] = 0.6 * rnd.NormFloat64()
	}
	checked, washes := 0, 0
	for d, date := 0, start; d < p.days; d, date = d+1, date.Add(1) {
		if date.Weekday() == 0 { // Sunday
			date = date.Add(1)
		}
		job.Days = append(job.Days, record.Day{Date: known(date)})
		morning := make([]float64, meters)
		for m := range meters {
			morning[m] = 0.25 * rnd.NormFloat64()
		}
		for _, hour := range []int{7, 12, 16} {
			for m := range meters {
				deviation := offset[m] + morning[m] + 0.4*rnd.NormFloat64()
				if m == 0 && p.check != nil {
					deviation += p.check(checked)
				}
				job.Checks = append(job.Checks, record.MeterCheck{
					Date: known(date), Time: known(unit.ClockAt(hour, 0)), Meter: known(fmt.Sprintf("K-%d", m+1)),
					Nominal: figure[unit.Conductivity](84, 0), Reading: figure[unit.Conductivity](84*(1+deviation/100), 1),
				})
			}
			checked++
		}
		day := 0.15 * rnd.NormFloat64()
		first := d * areas / p.days
		n := 20 + rnd.IntN(20)
		bottle := 0.0
		for i := range n {
			if i%(n/2) == 0 { // another bottle
				bottle = 1.1 + rnd.Float64()
				if p.blank != nil {
					bottle += p.blank(d)
				}
				job.Water = append(job.Water, record.Water{Bottle: known(fmt.Sprintf("W-%d-%d", d, i)), Date: known(date),
					Time: known(unit.ClockAt(8+i*8/n, 0)), Conductivity: figure[unit.Conductivity](bottle, 1)})
			}
			area := first
			if i >= n*2/3 && first+1 < areas && d%2 == 0 {
				area++
			}
			who := rnd.IntN(inspectors)
			if apart {
				who = d % inspectors
			}
			batch := area * batches / areas
			density := level[area] * math.Exp(day+0.45*rnd.NormFloat64())
			if p.times != nil {
				density *= p.times(batch, who)
			}
			voids := 0.04
			if p.voids != nil {
				voids = p.voids(who)
			}
			t := newTest(len(job.Tests)+1, date, area, who)
			f := t.Own()
			f.Read = known(unit.ClockAt(8+i*8/n, i*8*60/n%60))
			blank := bottle + 0.1*rnd.NormFloat64()
			f.Blank, f.Extract = figure[unit.Conductivity](blank, 1), figure[unit.Conductivity](blank+density/1.2, 1)
			if rnd.Float64() < voids {
				f.RecordedVerdict = known(record.WrittenVoid)
			}
			job.Tests = append(job.Tests, t)
			if density > 50 && !t.RecordedVerdict().Known() { // washed, and tested again
				washes++
				name, source := fmt.Sprintf("T%d", washes), d*sources/p.days
				job.Treatments = append(job.Treatments, record.Treatment{
					Name: known(name), What: known("fresh-water wash"), Date: known(date), WaterSource: known(fmt.Sprintf("hydrant %d", source+1)),
				})
				again := newTest(len(job.Tests)+1, date, area, who)
				f := again.Own()
				f.Kind, f.OfTest, f.Treatment = known(record.Retest), t.Number(), known(name)
				after := 15 * math.Exp(0.4*rnd.NormFloat64())
				if p.washed != nil {
					after *= p.washed(source)
				}
				f.Blank, f.Extract = figure[unit.Conductivity](bottle, 1), figure[unit.Conductivity](bottle+after/1.2, 1)
				job.Tests = append(job.Tests, again)
			}
		}
	}
	return job
}

func newTest(number int, date unit.Date, area, who int) record.Test {
	t := record.NewTest()
	f := t.Own()
	f.Number, f.Area = known(fmt.Sprint(number)), known(fmt.Sprintf("A%d", area+1))
	f.Date, f.Inspector = known(date), known(fmt.Sprintf("inspector %d", who+1))
	f.Volume, f.PatchArea = figure[unit.Volume](3, 0), figure[unit.PatchArea](1250, 0)
	f.Meter, f.Compensated = known("K-1"), known(true)
	return t
}

func judged(job *record.Job) *assess.Result { return assess.Run(job, nil) }
