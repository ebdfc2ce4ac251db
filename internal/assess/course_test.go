package assess

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

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
			got := spelled(course.Standing(until))
			if want := spelled(Run(upTo(job, until), nil).Standing(unit.Date{})); got != want {
				t.Fatalf("seed %d, day %d:\ngot  %s\nwant %s", seed, day, got, want)
			}
		}
	}
}

// In whatever order the days are asked for, and however often, areas stand as
// if only that day had been.
func TestCourseInAnyOrder(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rnd := rand.New(rand.NewPCG(seed, 2))
	held := &Check{Name: "held", Severity: UnprovenPass, Run: func(v *Review) {
		for i := range v.Lines {
			if test := v.Lines[i].Test; test.Location().Val == "frame 4" {
				v.Report(Finding{Tests: []int{i}, Areas: []string{test.Area().Val}, Date: test.Date().Val})
			}
		}
	}}
	same := 0 // areas that were not worked out again
	for n := range 400 {
		job := randomCourse(t, rnd)
		if n%2 > 0 {
			apart(job, rnd)
		}
		result := Run(job, []*Check{held})
		course := result.Course()
		before := map[*Standing]bool{}
		for range 4 * daysOfCourse {
			until := firstDay.Add(rnd.IntN(daysOfCourse+2) - 1)
			if rnd.IntN(6) == 0 {
				until = unit.Date{}
			}
			areas := course.Standing(until)
			if got, want := spelled(areas), spelled(result.Course().Standing(until)); got != want {
				t.Fatalf("seed %d, job %d, %v:\ngot  %s\nwant %s", seed, n, until, got, want)
			}
			for _, s := range areas {
				if before[s] {
					same++
				}
				before[s] = true
			}
		}
	}
	if same == 0 {
		t.Errorf("seed %d: every area was worked out anew each time", seed)
	}
}

// spelled are areas with all that is said of them.
func spelled(areas []*Standing) string {
	var all strings.Builder
	for _, s := range areas {
		fmt.Fprintf(&all, "%+v\n", *s)
	}
	return all.String()
}

// apart makes the tests of each day those of an area of its own, mostly, which
// name each other.
func apart(job *record.Job, rnd *rand.Rand) {
	for i := range job.Tests {
		f := job.Tests[i].Own()
		day := i * daysOfCourse / len(job.Tests)
		if rnd.IntN(12) > 0 {
			f.Area = words(fmt.Sprintf("Tank %d", day))
		}
		if rnd.IntN(24) > 0 {
			f.OfTest = words(fmt.Sprint(len(job.Tests)/daysOfCourse*day + rnd.IntN(len(job.Tests)/daysOfCourse)))
		} else {
			f.OfTest = words(fmt.Sprint(rnd.IntN(len(job.Tests)), " & ", rnd.IntN(len(job.Tests))))
		}
	}
	for k := range job.Treatments {
		if rnd.IntN(3) > 0 {
			job.Treatments[k].OfTests = given([]string{fmt.Sprint(len(job.Tests) / daysOfCourse * k)})
		}
		if rnd.IntN(3) == 0 {
			job.Treatments[k].Ended = record.Given[unit.Clock]{}
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
