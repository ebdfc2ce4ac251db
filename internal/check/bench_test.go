package check_test

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/table"
	"saltline/internal/unit"
)

// BenchmarkAll puts all checks to long records, as an audit of a long job
// would.
func BenchmarkAll(b *testing.B) {
	for _, r := range longRecords(b) {
		b.Run(r.name+"/assess alone", func(b *testing.B) { run(b, r.job, nil) })
		b.Run(r.name+"/with checks", func(b *testing.B) { run(b, r.job, check.All()) })
	}
}

func run(b *testing.B, job *record.Job, checks []*assess.Check) {
	for b.Loop() {
		assess.Run(job, checks)
	}
}

// BenchmarkLog puts all checks to plain logs of several lengths.
func BenchmarkLog(b *testing.B) {
	for _, n := range []int{60, 1_000, 20_000, 200_000} {
		b.Run(fmt.Sprintf("readings=%d", n), func(b *testing.B) {
			job := plainLog(b, n)
			b.ReportAllocs()
			for b.Loop() {
				assess.Run(job, check.All())
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*n), "ns/reading")
		})
	}
}

// BenchmarkEach puts every check alone to the long records, so that it is seen
// which of them costs what. What several checks share is there before.
func BenchmarkEach(b *testing.B) {
	for _, r := range longRecords(b) {
		v := reviewOf(r.job)
		for _, c := range check.All() {
			b.Run(r.name+"/"+c.Name, func(b *testing.B) {
				b.ReportAllocs()
				ask(v, c)
				for b.Loop() {
					ask(v, c)
				}
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*len(v.Lines)), "ns/row")
			})
		}
	}
}

// reviewOf is the review of a job that a check would be given.
func reviewOf(job *record.Job) *assess.Review {
	var given *assess.Review
	assess.Run(job, []*assess.Check{{Run: func(v *assess.Review) { given = v }}})
	return given
}

// ask puts a check to the record and forgets what it finds.
func ask(v *assess.Review, c *assess.Check) {
	forgotten := *v
	c.Run(&forgotten)
}

type longRecord struct {
	name string
	job  *record.Job
}

// longRecords are a log of few columns, as it is typed; the lock's job grown,
// which has every column and every table beside the tests; and a log of many
// years with its diary and signatures. They have some 20 000 tests.
func longRecords(b *testing.B) []longRecord {
	const tests = 20_000
	return []longRecord{{"plain", plainLog(b, tests)}, {"lock", grownLock(b, tests)}, {"years", manyYears(tests)}}
}

// plainLog makes a log of eight columns, in which one row in 97 is computed
// without its blank.
func plainLog(b *testing.B, tests int) *record.Job {
	const seed = 1
	chance := rand.New(rand.NewPCG(seed, 0))
	var log bytes.Buffer
	fmt.Fprintln(&log, "test,location,date,blank (µS/cm),extract (µS/cm),volume (ml),recorded (mg/m2),verdict")
	for i := 1; i <= tests; i++ {
		blank, rise := 8+chance.IntN(18), 10+chance.IntN(591) // tenths of µS/cm
		counted := rise
		if i%97 == 6 {
			counted += blank
		}
		written, verdict := (12*counted+5)/10, "pass" // tenths of mg/m²
		if written > 500 {
			verdict = "fail"
		}
		fmt.Fprintf(&log, "%d,frame %d,2026-03-%02d,%.1f,%.1f,3,%.1f,%s\n", i, i%200, i%28+1,
			float64(blank)/10, float64(blank+rise)/10, float64(written)/10, verdict)
	}
	file, err := table.Read("log.csv", log.Bytes(), table.Options{})
	if err != nil {
		b.Fatal(err)
	}
	stated := func(key, value string) record.Fact {
		return record.Fact{Key: key, Value: record.Words{Val: value, Text: value, State: record.Known}}
	}
	job, list := record.Bind([]*table.File{file}, record.Options{
		Set: []record.Fact{stated("limit", "50 mg/m2"), stated("limit basis", "total salts")},
	})
	if level, some := list.Worst(); some && level >= diag.Question {
		b.Fatal(list.Sorted())
	}
	return job
}

// grownLock repeats the lock's days.
func grownLock(b *testing.B, tests int) *record.Job {
	job := bind(b, filepath.Join(samples, "quillmere-lock/*.csv"))
	once := job.Tests
	for day := 1; len(job.Tests) < tests; day++ {
		for _, t := range once {
			f := t.Own()
			f.Date.Val = t.Date().Val.Add(3 * day)
			f.Row = t.Row().At(t.Row().Row()+len(job.Tests), 0)
			job.Tests = append(job.Tests, t)
		}
	}
	return job
}

// manyYears keeps the papers of honest days.
func manyYears(tests int) *record.Job {
	p := &papers{Rand: rand.New(rand.NewPCG(1, 1)), job: &record.Job{}, diary: true, photos: 1}
	for day := (unit.Date{Year: 2000, Month: 1, Day: 1}); len(p.job.Tests) < tests; day = day.Add(1) {
		p.day(day)
	}
	return p.job
}
