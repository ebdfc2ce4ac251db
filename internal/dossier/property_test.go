package dossier_test

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"saltline/internal/assess"
	"saltline/internal/certificate"
	"saltline/internal/dossier"
	"saltline/internal/record"
	"saltline/internal/unit"
)

var seed = flag.Uint64("seed", 0, "of the random jobs; 0 takes the clock")

// eachLog gives random jobs to a test, each with a generator of its own, and
// says by which seed one is found again. Other tests run meanwhile.
func eachLog(t *testing.T, n int, test func(t *testing.T, rnd *rand.Rand, l *log) bool) {
	t.Helper()
	t.Parallel()
	first := *seed
	if first == 0 {
		first = uint64(time.Now().UnixNano())
	}
	if testing.Short() {
		n /= 10
	}
	t.Logf("-seed=%d", first)
	for k := range uint64(n) {
		rnd := rand.New(rand.NewPCG(first+k, 7))
		l := generate(rnd)
		if !test(t, rnd, l) {
			t.Fatalf("-seed=%d:\n%s", first+k, l)
		}
	}
}

// TestCountsAreThoseOfTheRows counts anew, from the rows and the verdicts of the
// single tests alone, what certificates and dossiers count.
func TestCountsAreThoseOfTheRows(t *testing.T) {
	issued, refused := 0, 0
	eachLog(t, 1500, func(t *testing.T, _ *rand.Rand, l *log) bool {
		r := l.judge(t)
		d := dossier.Of(r, digest)
		ok := true
		fault := func(format string, args ...any) {
			ok = false
			t.Errorf(format, args...)
		}
		for i := range d.Areas {
			if c := &d.Areas[i]; c.Refused() {
				refused++
			} else {
				issued++
				if why := unfit(r, c); why != "" {
					fault("area %q has a certificate, and %s", c.Standing.Name, why)
				}
			}
			recount(r, &d.Areas[i], fault)
		}
		register(r, d, fault)
		return ok
	})
	t.Logf("%d certificates issued, %d refused", issued, refused)
	if 20*issued < refused || 20*refused < issued {
		t.Errorf("%d issued, %d refused: too few of one to show anything", issued, refused)
	}
}

// ofArea lists the tests on steel of an area.
func ofArea(r *assess.Result, name string) []int {
	var tests []int
	for i := range r.Job.Tests {
		t := &r.Job.Tests[i]
		if strings.EqualFold(t.Area().Val, name) && t.Kind().Val != record.ProceduralBlank {
			tests = append(tests, i)
		}
	}
	return tests
}

// unfit is what stands against an issued certificate, looked for in the rows; ""
// where nothing does.
func unfit(r *assess.Result, c *certificate.Certificate) string {
	if c.Standing.Verdict != assess.AcceptedForSalt {
		return "its verdict is " + c.Standing.Verdict.String()
	}
	tests := ofArea(r, c.Standing.Name)
	if len(tests) == 0 {
		return "it has no test"
	}
	if len(r.Job.Terms.Limits) == 0 || !r.Job.Terms.Limits[0].Basis.Known() {
		return "there is no limit, or no basis"
	}
	valid := 0
	for _, i := range tests {
		line, test := &r.Lines[i], &r.Job.Tests[i]
		if !test.Date().Known() {
			return "a test has no date"
		}
		if strings.Contains(test.Remark().Val, uncontrolled) || strings.Contains(test.Remark().Val, copied) {
			return "the remark of a test puts it in question"
		}
		repeated := slices.ContainsFunc(tests, func(k int) bool {
			v := r.Lines[k].Verdict
			return r.Job.Tests[k].Kind().Val == record.Repeat && (v == assess.Pass || v == assess.Fail)
		})
		switch line.Verdict {
		case assess.Fail:
			washed := slices.ContainsFunc(r.Job.Treatments, func(w record.Treatment) bool { return w.Date.Known() && w.Ended.Known() })
			retested := slices.ContainsFunc(tests, func(k int) bool {
				kind := r.Job.Tests[k].Kind().Val
				return k > i && r.Lines[k].Verdict == assess.Pass && (kind == record.Retest || kind == record.Repeat)
			})
			if !(retested && (washed || line.Doubtful)) {
				return "test " + test.Number().Val + " failed and nothing came after it that could clear it"
			}
		case assess.NotEstablished:
			if !repeated && test.Kind().Val != record.Retest && test.Kind().Val != record.Adjacent {
				return "test " + test.Number().Val + " is not established and nothing repeats it"
			}
		}
		if test.Kind().Val == record.Original && (line.Verdict == assess.Pass || line.Verdict == assess.Fail || repeated) {
			valid++
		}
		if why := unsigned(r.Job, test.Date().Val); why != "" {
			return why
		}
	}
	if rule := r.Job.Terms.Sampling; !rule.Known() || valid < rule.Val.First {
		return fmt.Sprintf("%d tests are valid of %s", valid, rule.Text)
	}
	return ""
}

// unsigned is what the papers of a day lack, by a plain look at the tables.
func unsigned(job *record.Job, day unit.Date) string {
	if !slices.ContainsFunc(job.Days, func(d record.Day) bool { return d.Date.Val == day && d.ReportNumber.Known() }) {
		return "the diary has no number for " + day.ISO()
	}
	for _, role := range []string{"inspector", "QC manager", "owner's representative"} {
		if !slices.ContainsFunc(job.Signatures, func(s record.Signature) bool {
			return s.Date.Val == day && s.Role.Val == role && s.SignedAt.Known()
		}) {
			return role + " has not signed for " + day.ISO()
		}
	}
	return ""
}

// recount holds the counts of a certificate against the rows.
func recount(r *assess.Result, c *certificate.Certificate, fault func(string, ...any)) {
	tests := ofArea(r, c.Standing.Name)
	if !slices.Equal(tests, c.Standing.Tests) {
		fault("area %q: tests %v, the rows have %v", c.Standing.Name, c.Standing.Tests, tests)
	}
	days := map[unit.Date]int{}
	for _, i := range tests {
		days[r.Job.Tests[i].Date().Val]++
	}
	of := 0
	for _, p := range c.Reports {
		if days[p.Date] == 0 {
			fault("area %q: rests on the report of %s, on which it was not tested", c.Standing.Name, p.Date.ISO())
		}
		of++
	}
	if of != len(days) {
		fault("area %q: %d reports for %d days", c.Standing.Name, of, len(days))
	}
	for name, list := range map[string][]int{"first": c.First, "above": c.Above, "stated": c.Stated} {
		for k, i := range list {
			if !slices.Contains(tests, i) || k > 0 && list[k-1] >= i {
				fault("area %q: %s %v is no list of its tests %v", c.Standing.Name, name, list, tests)
			}
			kind, v := r.Job.Tests[i].Kind().Val, r.Lines[i].Verdict
			switch {
			case v != assess.Pass && v != assess.Fail:
				fault("area %q: %s has test %d, which is %s", c.Standing.Name, name, i, v)
			case kind == record.Witness && v == assess.Pass, name != "stated" && (kind == record.Retest || kind == record.Adjacent):
				fault("area %q: %s has test %d, made as kind %d", c.Standing.Name, name, i, kind)
			case name == "above" && v != assess.Fail, name == "stated" && !c.Refused() && v != assess.Pass:
				fault("area %q: %s has test %d, which is %s", c.Standing.Name, name, i, v)
			}
		}
	}
	for _, i := range tests { // no pass of an original may be left out, nor one that is above the limit
		if r.Job.Tests[i].Kind().Val != record.Original {
			continue
		}
		if v := r.Lines[i].Verdict; v == assess.Pass && !slices.Contains(c.Stated, i) {
			fault("area %q: test %d passed and is not of the statement", c.Standing.Name, i)
		} else if v == assess.Fail && !slices.Contains(c.Above, i) && r.Job.Tests[i].Treatment().Val == "" {
			fault("area %q: test %d failed and is not counted as above the limit", c.Standing.Name, i)
		}
	}
}

// register holds the dossier against the rows: each test once, and the sums of
// the days and of the areas.
func register(r *assess.Result, d *dossier.Dossier, fault func(string, ...any)) {
	once := slices.Sorted(slices.Values(d.Register))
	for i, n := range once {
		if i != n {
			fault("the register holds %v", d.Register)
			return
		}
	}
	glass, dates, numbered, signed := 0, map[unit.Date]bool{}, 0, 0
	for i := range r.Job.Tests {
		if r.Job.Tests[i].Kind().Val == record.ProceduralBlank {
			glass++
		}
		dates[r.Job.Tests[i].Date().Val] = true
	}
	for i := range d.Reports {
		if d.Reports[i].Number != "" {
			numbered++
		}
		if d.Reports[i].SignedAll() {
			signed++
		}
	}
	inDays, inAreas, certified, fails := 0, 0, 0, 0
	for i := range d.Calendar {
		inDays += d.Calendar[i].Tests
	}
	for i := range d.Reports {
		if d.Reports[i].Date.IsZero() {
			inDays += len(d.Reports[i].Tests)
		}
	}
	for i := range d.Areas {
		inAreas += len(d.Areas[i].Standing.Tests)
		fails += len(d.Areas[i].Standing.Open) + len(d.Areas[i].Standing.Cleared)
		if !d.Areas[i].Refused() {
			certified++
		}
	}
	all := len(r.Job.Tests)
	if len(d.Register) != all || inDays != all || inAreas+glass != all {
		fault("%d tests: %d in the register, %d over the days, %d over the areas and %d on glass", all, len(d.Register), inDays, inAreas, glass)
	}
	want := map[string]int{"in-register": all, "in-reports": all, "in-areas": all - glass, "on-glass": glass, "days-tested": len(dates),
		"reports-numbered": numbered, "reports-signed": signed, "certified": certified, "found": fails, "areas-listed": len(d.Areas)}
	for _, b := range d.Balances {
		for _, n := range b.Counts {
			if w, counted := want[n.Of.String()]; counted && w != n.N {
				fault("%s: %d, and the rows give %d", n.Of, n.N, w)
			}
		}
		if !b.Agrees && (b.Kind == dossier.TestsBalance || b.Kind == dossier.FailsBalance) {
			fault("%s does not balance: %v", b.Kind, b.Counts)
		}
	}
	if d.Issuable() && (certified != len(d.Areas) || signed != len(dates) || dates[unit.Date{}]) {
		fault("issuable with %d of %d certificates, %d of %d days signed", certified, len(d.Areas), signed, len(dates))
	}
}

// summary is what does not depend on how the record is kept.
func summary(r *assess.Result) string {
	var s strings.Builder
	for i := range r.Lines {
		t := r.Lines[i].Test
		fmt.Fprintf(&s, "%s@%s %s\n", t.Number().Text, t.Date().Text, r.Lines[i].Verdict)
	}
	d := dossier.Of(r, digest)
	for i := range d.Areas {
		c := &d.Areas[i]
		fmt.Fprintf(&s, "area %q %s %v %d/%d %s first %v above %v stated %v", c.Standing.Name, c.Standing.Verdict, c.Standing.Tests,
			c.Standing.Valid, c.Standing.Required, c.Digest, c.First, c.Above, c.Stated)
		for _, why := range c.Reasons {
			fmt.Fprintf(&s, " %s %v %d", why.Kind, why.Tests, why.Count)
		}
		s.WriteString("\n")
	}
	for i := range d.Reports {
		fmt.Fprintf(&s, "%s %s %s %v %v\n", d.Reports[i].Date.ISO(), d.Reports[i].Number, d.Reports[i].Digest, d.Reports[i].Tests, d.Reports[i].Gaps)
	}
	fmt.Fprintf(&s, "%s\n%s\n%s\n%s", d.Digest, missing(d), open(d), calendar(d))
	return s.String()
}

// TestCutByDay sees that a job kept in a file a day is the same job, in whatever
// order the files are named.
func TestCutByDay(t *testing.T) {
	cut := 0
	eachLog(t, 800, func(t *testing.T, rnd *rand.Rand, l *log) bool {
		want := summary(l.judge(t))
		var parts []*record.Job
		for k, d := range l.days {
			parts = append(parts, l.bind(t, fmt.Sprint("day", k), d))
		}
		if len(parts) > 1 {
			cut++
		}
		rnd.Shuffle(len(parts), func(i, j int) { parts[i], parts[j] = parts[j], parts[i] })
		got := summary(assess.Run(record.Join(parts), remarked))
		if got != want {
			t.Errorf("cut:\n%s\n\nwhole:\n%s", got, want)
		}
		return got == want
	})
	t.Logf("%d jobs were cut", cut)
}

// TestLessIsNeverIssued takes something away that a certificate rests on: what
// was refused before stays refused.
func TestLessIsNeverIssued(t *testing.T) {
	lost := 0
	eachLog(t, 800, func(t *testing.T, rnd *rand.Rand, l *log) bool {
		before := issuedAreas(l.judge(t))
		what := []string{"a signature", "the limit", "a test"}[rnd.IntN(3)]
		d := &l.days[rnd.IntN(len(l.days))]
		switch what {
		case "a signature":
			d.signatures = less(rnd, d.signatures, func(string) bool { return true })
		case "the limit":
			l.job = slices.DeleteFunc(l.job, func(row string) bool { return strings.HasPrefix(row, "limit,") })
		case "a test":
			// One that passed, on a day on which its area has another: whatever a
			// test itself stands in the way with goes with it.
			r := l.judge(t)
			d.readings = less(rnd, d.readings, func(row string) bool { return backed(r, row) })
		}
		after := issuedAreas(l.judge(t))
		for _, a := range after {
			if !slices.Contains(before, a) {
				t.Errorf("without %s, area %q is issued", what, a)
				return false
			}
		}
		if what == "the limit" && len(after) > 0 {
			t.Errorf("without the limit %q are issued", after)
			return false
		}
		if len(after) < len(before) {
			lost++
		}
		return true
	})
	if lost == 0 {
		t.Error("nothing that was taken away took a certificate with it")
	}
	t.Logf("%d jobs lost a certificate", lost)
}

// less is the rows without one of those that may go.
func less(rnd *rand.Rand, rows []string, may func(string) bool) []string {
	var at []int
	for i, row := range rows {
		if may(row) {
			at = append(at, i)
		}
	}
	if len(at) == 0 {
		return rows
	}
	i := at[rnd.IntN(len(at))]
	return slices.Concat(rows[:i], rows[i+1:])
}

// backed reports whether the test of a row passed without a remark, under a
// number of its own and the limit of the job, and its area has another test of
// that day.
func backed(r *assess.Result, row string) bool {
	fields := strings.Split(row, ",")
	number, area, limit, remark := fields[0], fields[1], fields[10], fields[17]
	day, found, others := dayOf(fields[4]), 0, 0
	if number == "" || limit != "" || remark != "" || day.IsZero() {
		return false
	}
	passed := false
	for i := range r.Lines {
		t := r.Lines[i].Test
		switch {
		case t.Number().Val == number:
			found++
			passed = r.Lines[i].Verdict == assess.Pass
		case t.Date().Val == day && t.Area().Val == area && t.Kind().Val != record.ProceduralBlank:
			others++
		}
	}
	return found == 1 && passed && others > 0
}

func issuedAreas(r *assess.Result) []string {
	var names []string
	for _, c := range certificate.Of(r) {
		if !c.Refused() {
			names = append(names, c.Standing.Name)
		}
	}
	return names
}
