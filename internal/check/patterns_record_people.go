package check

import (
	"cmp"
	"slices"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// inspectorInTwoPlaces: one name stands at the same minute on tests in two
// areas: both were begun then, or both read. Between beginning and reading an
// inspector with several sets goes elsewhere, and an extract may be carried to
// the meter, so a beginning is not held against a reading. Two readings of one
// meter are the meter's finding (meter-in-two-places), and so is the beginning
// of the same two tests.
var inspectorInTwoPlaces = &assess.Check{
	Name:     "inspector-in-two-places",
	Group:    assess.Integrity,
	Severity: assess.UnprovenPass,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		people, areas := people(v), areasNamed(v)
		var twice []meeting
		for _, read := range []bool{false, true} {
			for _, same := range together(v, people, read) {
				twice = append(twice, apartIn(v, areas, same, read)...)
			}
		}
		type personDays struct {
			person int32
			days   [2]unit.Date
		}
		for _, of := range groups(twice, func(m meeting) personDays {
			a, b := v.Lines[m.first].Test, v.Lines[m.second].Test
			return personDays{people.at(m.first), [2]unit.Date{a.Date().Val, b.Date().Val}}
		}) {
			var rows []meetingRow
			var tests []int
			for _, m := range of {
				a, b := v.Lines[m.first].Test, v.Lines[m.second].Test
				rows = append(rows, meetingRow{m.clock(a), m.read, Number(v.Lines, m.first), Number(v.Lines, m.second), a.Area().Text, b.Area().Text})
				tests = append(tests, m.first, m.second)
			}
			slices.Sort(tests)
			tests = slices.Compact(tests)
			few, more := upTo(mostShown, rows)
			report(v, assess.Finding{
				Tests: tests, Places: places(v, tests, timeAt),
				Args: map[string]any{"Inspector": v.Lines[of[0].first].Test.Inspector().Text, "Rows": few, "More": more},
			})
		}
	},
}

// A meeting is a minute that two tests of one inspector in two areas share.
type meeting struct {
	first, second int
	read          bool // both were read then, not begun
}

type meetingRow struct {
	At                    unit.Clock
	Read                  bool
	First, Second         string
	FirstArea, SecondArea string
}

func (m meeting) clock(t *record.Test) unit.Clock {
	if m.read {
		return t.Read().Val
	}
	return t.Start().Val
}

// together lists the tests on steel of one inspector that were read, or begun,
// in one minute: two or more, in the order of the log.
func together(v *assess.Review, people *register, read bool) [][]int {
	type act struct {
		person int32
		at     unit.Minutes
		test   int
	}
	var acts []act
	for _, i := range timedTests(v) {
		t := v.Lines[i].Test
		if t.Area().Val == "" || !t.Date().Known() {
			continue
		}
		person := people.at(i)
		s := stayOf(v, i)
		at, ok := s.from, s.hasFrom
		if read {
			at, ok = s.to, s.hasTo
		}
		if ok && person > 0 {
			acts = append(acts, act{person, at, i})
		}
	}
	slices.SortFunc(acts, func(a, b act) int {
		switch {
		case a.person != b.person:
			return cmp.Compare(a.person, b.person)
		case a.at != b.at:
			return cmp.Compare(a.at, b.at)
		}
		return a.test - b.test
	})
	var all [][]int
	for from := 0; from < len(acts); {
		to := from + 1
		for to < len(acts) && acts[to].person == acts[from].person && acts[to].at == acts[from].at {
			to++
		}
		if to-from > 1 && !severalPeople(v.Lines[acts[from].test].Test.Inspector().Val) {
			var same []int
			for _, a := range acts[from:to] {
				same = append(same, a.test)
			}
			all = append(all, same)
		}
		from = to
	}
	return all
}

// severalPeople reports whether a cell names more than one person.
func severalPeople(inspector string) bool {
	return strings.ContainsAny(inspector, "/+&;\n") || andWords.in(inspector)
}

// andWords join two names. A single letter may be an initial.
var andWords = lexiconOf("and", "und", "et", "og")

// apartIn pairs the tests of one minute that lie in different areas, the first
// of each area with that of the next. A time that was written once for both
// is that of a block, and one extraction under two areas is another finding
// (test-in-two-areas).
func apartIn(v *assess.Review, areas *register, same []int, read bool) []meeting {
	seen := map[int32]bool{}
	var each []int // the first test of each area
	for _, i := range same {
		if a := areas.at(i); !seen[a] {
			seen[a] = true
			each = append(each, i)
		}
	}
	var all []meeting
	for k := 1; k < len(each); k++ {
		a, b := v.Lines[each[k-1]].Test, v.Lines[each[k]].Test
		if oneCell(a, b, read) || meterSaysSo(v, each[k-1], each[k]) || oneExtraction(v, []int{each[k-1], each[k]}) {
			continue
		}
		all = append(all, meeting{each[k-1], each[k], read})
	}
	return all
}

// oneCell reports whether one cell gives the time of both tests.
func oneCell(a, b *record.Test, read bool) bool {
	p, q := a.Start().Pos, b.Start().Pos
	if read {
		p, q = a.Read().Pos, b.Read().Pos
	}
	return p == q && !p.IsZero()
}

// meterSaysSo reports whether one meter read both tests in one minute.
func meterSaysSo(v *assess.Review, i, j int) bool {
	a, b := stayOf(v, i), stayOf(v, j)
	meter := plate(v.Lines[i].Test.Meter().Val)
	return meter != "" && meter == plate(v.Lines[j].Test.Meter().Val) && a.hasTo && b.hasTo && a.to == b.to
}

// signedBeforeLastTest: a report of a day bears a signature that is older than
// the last test of the day. A later signature of the same role under the same
// document takes its place. A signature without a time of day is older than
// the tests only if its date is.
var signedBeforeLastTest = &assess.Check{
	Name:     "signed-before-last-test",
	Group:    assess.Integrity,
	Severity: assess.Weakens,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		signed := lastSignatures(v.Job)
		if len(signed) == 0 {
			return
		}
		last := lastOfDays(v)
		early := slices.DeleteFunc(signed, func(s *record.Signature) bool {
			i, tested := last[s.Date.Val]
			return !tested || !madeAfter(v, i, s.SignedAt.Val)
		})
		for _, of := range groups(early, func(s *record.Signature) issue {
			return issue{day: s.Date.Val, document: record.Folded(s.Document.Val)}
		}) {
			var rows []signerRow
			var at []diag.Pos
			for _, s := range of {
				m := s.SignedAt.Val
				rows = append(rows, signerRow{s.Role.Text, s.Name.Text, m.Date, m.HasClock, m.Clock})
				at = append(at, s.SignedAt.Pos)
			}
			tests := onSteel(v, func(l *assess.Line) bool {
				return l.Test.Date().Known() && l.Test.Date().Val == of[0].Date.Val &&
					slices.ContainsFunc(of, func(s *record.Signature) bool { return madeAfter(v, l.Index, s.SignedAt.Val) })
			})
			i := last[of[0].Date.Val]
			end, timed := stayOf(v, i).end()
			few, more := upTo(mostShown, rows)
			report(v, assess.Finding{
				Tests: tests, Places: at,
				Args: map[string]any{
					"Document": of[0].Document.Text, "Day": of[0].Date.Val, "Rows": few, "More": more,
					"Last": Number(v.Lines, i), "HasTime": timed, "At": clockOf(end),
				},
			})
		}
	},
}

// lastOfDays finds the last test on steel of each day.
func lastOfDays(v *assess.Review) map[unit.Date]int {
	last := map[unit.Date]int{}
	var day unit.Date
	var of int
	var end unit.Minutes
	for i := range v.Lines {
		t := v.Lines[i].Test
		if !t.Date().Known() || !v.Lines[i].OfSteel() {
			continue
		}
		at := endOf(v, i)
		if day != t.Date().Val { // days seldom take turns in a log
			day = t.Date().Val
			known := false
			if of, known = last[day]; known {
				end = endOf(v, of)
			} else {
				of, end = i, at
				last[day] = i
			}
		}
		if at > end {
			of, end = i, at
			last[day] = of
		}
	}
	return last
}

// A signerRow is a signature with the moment that it bears.
type signerRow struct {
	Role, Name string
	Day        unit.Date
	HasClock   bool
	At         unit.Clock
}

// lastSignatures are those that say which day they are for and when they were
// made: of each role under a document the last. A certificate is of an area,
// and other areas may well be tested after it is signed.
func lastSignatures(job *record.Job) []*record.Signature {
	var all []*record.Signature
	for i := range job.Signatures {
		if s := &job.Signatures[i]; s.Date.Known() && s.SignedAt.Known() && !certificateWords.in(s.Document.Val) {
			all = append(all, s)
		}
	}
	type part struct {
		issue
		role string
	}
	var last []*record.Signature
	for _, of := range groups(all, func(s *record.Signature) part {
		return part{issue{day: s.Date.Val, document: record.Folded(s.Document.Val)}, record.Folded(s.Role.Val)}
	}) {
		last = append(last, slices.MaxFunc(of, func(a, b *record.Signature) int {
			_, x := momentSpan(a.SignedAt.Val)
			_, y := momentSpan(b.SignedAt.Val)
			return cmp.Compare(x, y)
		}))
	}
	return last
}

var certificateWords = stems{"certific", "certificat", "zertifikat", "bescheinigung", "sertifikat", "attest"}

// endOf is when a test ended, or the beginning of its day.
func endOf(v *assess.Review, i int) unit.Minutes {
	if at, ok := stayOf(v, i).end(); ok {
		return at
	}
	return startOf(v.Lines[i].Test.Date().Val)
}

// madeAfter reports whether a test was surely made after a moment.
func madeAfter(v *assess.Review, i int, m record.Moment) bool {
	if day := v.Lines[i].Test.Date().Val; !m.HasClock || m.Date.Compare(day) < 0 {
		return m.Date.Compare(day) < 0
	}
	at, _ := momentSpan(m)
	return endOf(v, i) > at
}

// reviewedByTheInspector: who reviewed the report of a day had made tests of
// that day. Names are compared as they are written.
var reviewedByTheInspector = &assess.Check{
	Name:     "reviewed-by-the-inspector",
	Group:    assess.Integrity,
	Severity: assess.Weakens,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		people := people(v)
		reviewers := map[unit.Date][]*record.Signature{}
		var days []unit.Date
		for i := range v.Job.Signatures {
			s := &v.Job.Signatures[i]
			if s.Date.Known() && people.find(s.Name.Val) > 0 && reviews(s.Role.Val) {
				if reviewers[s.Date.Val] == nil {
					days = append(days, s.Date.Val)
				}
				reviewers[s.Date.Val] = append(reviewers[s.Date.Val], s)
			}
		}
		if len(days) == 0 {
			return
		}
		own := map[*record.Signature][]int{}
		for i := range v.Lines {
			t := v.Lines[i].Test
			if !t.Date().Known() || !v.Lines[i].OfSteel() {
				continue
			}
			for _, s := range reviewers[t.Date().Val] {
				if people.find(s.Name.Val) == people.at(i) {
					own[s] = append(own[s], i)
				}
			}
		}
		for _, day := range days {
			for _, of := range groups(reviewers[day], func(s *record.Signature) int32 { return people.find(s.Name.Val) }) {
				s := of[0]
				if tests := own[s]; len(tests) > 0 {
					report(v, assess.Finding{
						Tests: tests, Places: append([]diag.Pos{s.Name.Pos}, places(v, tests, inspectorAt)...),
						Args: map[string]any{"Document": s.Document.Text, "Day": day, "Name": s.Name.Text, "Role": s.Role.Text},
					})
				}
			}
		}
	},
}

func inspectorAt(t *record.Test) diag.Pos { return t.Inspector().Pos }

// reviews reports whether a role is that of who checks what the inspector
// wrote. "QC inspector" is an inspector.
func reviews(role string) bool { return reviewWords.in(role) && !inspectorWords.in(role) }

var (
	reviewWords    = stems{"qc", "qs", "quality", "qualit", "calidad", "kvalitet", "review", "revis", "second check", "verif", "vérif"}
	inspectorWords = stems{"inspe", "inspi", "prüfer", "contrôleur", "kontroll", "witness"}
)
