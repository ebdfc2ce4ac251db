package assess

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"saltline/internal/record"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

// The areas stand at the end of a day as if the log had ended with it, tests
// without a date being made before all others.
func TestCourseOfDays(t *testing.T) {
	for seed := range uint64(300) {
		job := randomCourse(t, rand.New(rand.NewPCG(seed, 0)))
		course := Run(job, nil).Course()
		for day := range daysOfCourse {
			until := firstDay.Add(day)
			got := fmt.Sprintf("%+v", course.Standing(until))
			if want := fmt.Sprintf("%+v", Run(upTo(job, until), nil).Standing(unit.Date{})); got != want {
				t.Fatalf("seed %d, day %d:\ngot  %s\nwant %s", seed, day, got, want)
			}
		}
	}
}

const daysOfCourse = 4

// upTo is a job whose tests and treatments end with a day. They are in the
// order of their days.
func upTo(job *record.Job, until unit.Date) *record.Job {
	short := *job
	for n := len(short.Tests); n > 0 && short.Tests[n-1].Date().Val.Compare(until) > 0; n-- {
		short.Tests = short.Tests[:n-1]
	}
	for n := len(short.Treatments); n > 0 && short.Treatments[n-1].Date.Val.Compare(until) > 0; n-- {
		short.Treatments = short.Treatments[:n-1]
	}
	return &short
}

// randomCourse is a log in which tests repeat, retest and stand beside others,
// some of which do not exist or come later.
func randomCourse(t *testing.T, rnd *rand.Rand) *record.Job {
	job := newJob(t)
	job.Terms.Sampling = given(salt.SamplingRule{Form: salt.FixedNumber, First: 3})
	job.Terms.SpotTypes = given([]string{"weld"})
	job.Areas = []record.Area{{Name: words("Hold 2")}, {Name: words("Hold 1")}}
	const perDay = 8
	number := func() string { return fmt.Sprint(rnd.IntN(perDay * daysOfCourse)) }
	for day := range daysOfCourse {
		date := given(firstDay.Add(day))
		for i := range perDay {
			test := reading(t, "1.6", "0")
			f := test.Own()
			f.Extract.Dec = unit.Decimal{Coef: int64(10 + rnd.IntN(200)), Exp: -1} // some below the blank
			f.Extract.Val = unit.Conductivity(test.Extract().Dec.Float())
			f.Date = date
			if day == 0 && i < 2 {
				f.Date = record.Given[unit.Date]{}
			}
			f.Number = words(fmt.Sprint(perDay*day + i))
			if rnd.IntN(8) == 0 {
				f.Number = words(number())
			}
			f.Area = words([]string{"Hold 1", "hold  2", "Mast", "mast"}[rnd.IntN(4)])
			f.SpotType = words([]string{"weld toe", "plate"}[rnd.IntN(2)])
			f.Location = words(fmt.Sprintf("frame %d", rnd.IntN(5)))
			f.Start, f.Read = clock(t, fmt.Sprintf("%02d:00", 8+i)), clock(t, fmt.Sprintf("%02d:12", 8+i))
			f.Kind = given([]record.TestKind{record.Original, record.Original, record.Repeat, record.Retest, record.Adjacent, record.Witness, record.ProceduralBlank}[rnd.IntN(7)])
			f.OfTest = words(number())
			if rnd.IntN(6) == 0 {
				f.Treatment = words("T1")
			}
			job.Tests = append(job.Tests, test)
		}
		job.Treatments = append(job.Treatments, record.Treatment{
			Name: words(fmt.Sprintf("T%d", day)), Date: date, Started: clock(t, "10:20"), Ended: clock(t, "10:50"),
			OfTests: given([]string{number(), number(), number()}), What: words("fresh-water wash"),
		})
	}
	return job
}
