package check

import (
	"cmp"
	"math"
	"slices"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// photoChecks ask about the photographs that were found beside the record.
// Where none was, nobody handed them over with it, and there is nothing to ask.
func photoChecks() []*assess.Check {
	return []*assess.Check{photoNotFound, photoNotReadable, photoOfTwoNames, photoTimeDiffers}
}

// photoAt is the cell that names the photographs of a test.
func photoAt(t *record.Test) diag.Pos { return t.Photo().Pos }

// anyPhoto reports whether a file was found of any photograph of the record.
func anyPhoto(v *assess.Review) bool {
	return slices.ContainsFunc(v.Job.Photos, func(p record.Photo) bool { return p.File != "" })
}

// A namedPhoto is a photograph with the tests of one day that name it.
type namedPhoto struct {
	*record.Photo
	tests []int
}

// photosByDay lists the photographs of which something holds, a day at a time.
func photosByDay(v *assess.Review, what func(*record.Photo) bool) [][]namedPhoto {
	var all []namedPhoto
	for k := range v.Job.Photos {
		p := &v.Job.Photos[k]
		if !what(p) {
			continue
		}
		for _, tests := range byDay(v, p.Tests) {
			all = append(all, namedPhoto{p, tests})
		}
	}
	return groups(all, func(p namedPhoto) unit.Date { return v.Lines[p.tests[0]].Test.Date().Val })
}

// testsOf are the tests that the photographs stand beside, each once.
func testsOf(photos []namedPhoto) []int {
	var tests []int
	for _, p := range photos {
		tests = append(tests, p.tests...)
	}
	slices.Sort(tests)
	return slices.Compact(tests)
}

// reportPhotos reports what was found of photographs of one day, with a row
// for each. The findings touch the tests on steel alone.
func reportPhotos[R any](v *assess.Review, photos []namedPhoto, severity assess.Severity, rows []R, more map[string]any) {
	tests := testsOf(photos)
	few, rest := upTo(mostShown, rows)
	args := map[string]any{"Rows": few, "More": rest}
	for key, value := range more {
		args[key] = value
	}
	report(v, assess.Finding{
		Severity: severity, Date: v.Lines[tests[0]].Test.Date().Val,
		Tests:  slices.DeleteFunc(slices.Clone(tests), func(i int) bool { return !v.Lines[i].OfSteel() }),
		Places: places(v, tests, photoAt), Args: args,
	})
}

// A namedRow is a photograph and the tests that it stands beside.
type namedRow struct {
	Photo string
	Tests []string
}

func (p namedPhoto) row(v *assess.Review) namedRow {
	return namedRow{p.Name, Numbers(v.Lines, p.tests)}
}

// photoNotFound: a photograph that the record names is not there, though
// others are.
var photoNotFound = &assess.Check{
	Name:     "photo-not-found",
	Group:    assess.Integrity,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		if !anyPhoto(v) {
			return
		}
		for _, day := range photosByDay(v, func(p *record.Photo) bool { return p.File == "" }) {
			var rows []namedRow
			for _, p := range day {
				rows = append(rows, p.row(v))
			}
			reportPhotos(v, day, assess.AsDeclared, rows, nil)
		}
	},
}

// photoNotReadable: a file is there and cannot be shown. One that is broken
// shows nothing to anybody; one in another format, or a very large one, can be
// looked at with another program.
var photoNotReadable = &assess.Check{
	Name:     "photo-not-readable",
	Group:    assess.Integrity,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		for _, of := range []struct {
			severity assess.Severity
			states   []record.PhotoState
		}{
			{assess.Weakens, []record.PhotoState{record.PhotoBroken}},
			{assess.Housekeeping, []record.PhotoState{record.PhotoTooLarge, record.PhotoOtherFormat}},
		} {
			for _, day := range photosByDay(v, func(p *record.Photo) bool { return p.File != "" && slices.Contains(of.states, p.State) }) {
				type row struct {
					namedRow
					Broken, Large bool
					Format        string
				}
				var rows []row
				for _, p := range day {
					rows = append(rows, row{p.row(v), p.State == record.PhotoBroken, p.State == record.PhotoTooLarge, p.Format})
				}
				reportPhotos(v, day, of.severity, rows, nil)
			}
		}
	},
}

// photoOfTwoNames: two files with two names and one content stand beside
// different tests. One name beside several tests is another question.
var photoOfTwoNames = &assess.Check{
	Name:     "photo-of-two-names",
	Group:    assess.Integrity,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		var digested []*record.Photo
		for k := range v.Job.Photos {
			if p := &v.Job.Photos[k]; p.SHA256 != "" {
				digested = append(digested, p)
			}
		}
		var twins []twinPhotos
		for _, same := range groups(digested, func(p *record.Photo) string { return p.SHA256 }) {
			t := twinPhotos{digest: same[0].SHA256}
			for _, p := range same {
				t.names, t.tests = append(t.names, p.Name), append(t.tests, p.Tests...)
			}
			slices.Sort(t.tests)
			if t.tests = slices.Compact(t.tests); len(same) > 1 && len(t.tests) > 1 && !oneExtraction(v, t.tests) {
				twins = append(twins, t)
			}
		}
		for _, of := range groups(twins, func(t twinPhotos) unit.Date { return sharedDay(v, t.tests) }) {
			var tests []int
			var rows []twinRow
			for _, t := range of {
				few, more := upTo(mostShown, t.names)
				rows = append(rows, twinRow{few, more, Numbers(v.Lines, t.tests), t.digest[:min(16, len(t.digest))]})
				tests = append(tests, t.tests...)
			}
			slices.Sort(tests)
			tests = slices.Compact(tests)
			few, more := upTo(mostShown, rows)
			report(v, assess.Finding{
				Tests:  slices.DeleteFunc(slices.Clone(tests), func(i int) bool { return !v.Lines[i].OfSteel() }),
				Places: places(v, tests, photoAt),
				Args:   map[string]any{"Rows": few, "More": more},
			})
		}
	},
}

// twinPhotos are files of one content.
type twinPhotos struct {
	digest string
	names  []string
	tests  []int
}

type twinRow struct {
	Photos []string
	More   int
	Tests  []string
	Digest string
}

// besideATest is how long before the water goes in and after the extract is
// read a photograph of a test may be taken.
const besideATest = unit.Minutes(15)

// photoTimeDiffers: a photograph was taken, by the clock of its camera, well
// before or after the tests that it stands beside. Of one that several tests
// name the nearest counts.
var photoTimeDiffers = &assess.Check{
	Name:     "photo-time-differs",
	Group:    assess.Integrity,
	Severity: assess.Weakens,
	Owner:    assess.Inspector,
	Run: func(v *assess.Review) {
		for _, day := range photosByDay(v, func(p *record.Photo) bool { return p.Taken.Known() && p.Taken.Val.HasClock }) {
			var away []namedPhoto
			var rows []takenRow
			var ofDay clockShift
			for _, p := range day {
				at, known := nearestStay(v, p)
				if !known {
					continue
				}
				taken := startOf(p.Taken.Val.Date) + p.Taken.Val.Clock.Minutes()
				ofDay.add(taken-at.to-besideATest, taken-at.from+besideATest)
				if taken < at.from-besideATest || taken > at.to+besideATest {
					t := v.Lines[at.test].Test
					away = append(away, p)
					rows = append(rows, takenRow{
						namedRow: p.row(v), Day: p.Taken.Val.Date, At: p.Taken.Val.Clock,
						OtherDay: !at.covers(p.Taken.Val.Date),
						From:     t.Start().Val, To: t.Read().Val,
					})
				}
			}
			if len(away) > 0 {
				shift, one := ofDay.explains()
				reportPhotos(v, away, assess.AsDeclared, rows, map[string]any{"OneShift": one && len(away) > 1, "Fast": shift > 0, "Shift": max(shift, -shift)})
			}
		}
	},
}

// A takenRow is a photograph that was taken at another time than its test.
type takenRow struct {
	namedRow
	Day      unit.Date
	At       unit.Clock
	OtherDay bool
	From, To unit.Clock
}

// nearestStay is that of the tests of a photograph which lies nearest to when
// it was taken; false where no test has both times and a date.
func nearestStay(v *assess.Review, p namedPhoto) (nearest stay, known bool) {
	taken := startOf(p.Taken.Val.Date) + p.Taken.Val.Clock.Minutes()
	apart := func(s stay) unit.Minutes { return max(s.from-taken, taken-s.to, 0) }
	for _, i := range p.tests {
		s := stayOf(v, i)
		if !s.both() || !v.Lines[i].Test.Date().Known() {
			continue
		}
		if !known || cmp.Less(apart(s), apart(nearest)) {
			nearest, known = s, true
		}
	}
	return nearest, known
}

// covers reports whether a stay that may go past midnight has a part in a day.
func (s stay) covers(day unit.Date) bool {
	begin := startOf(day)
	return s.from < begin+minutesADay && s.to >= begin
}

// A clockShift is by how much the clock of a camera may have been fast, for
// all photographs of a day to have been taken beside their tests.
type clockShift struct {
	least, most unit.Minutes
	some        bool
}

func (c *clockShift) add(least, most unit.Minutes) {
	if c.some {
		least, most = max(c.least, least), min(c.most, most)
	}
	c.least, c.most, c.some = least, most, true
}

// explains is the shift that would explain all photographs: whole hours, as of
// a camera in another time zone or on winter time, where they do, else the
// middle of what is possible, to five minutes.
func (c *clockShift) explains() (shift unit.Minutes, one bool) {
	const hour, step = 60, 5
	middle := (c.least + c.most) / 2
	shift = hour * unit.Minutes(math.Round(float64(middle/hour)))
	if shift < c.least || shift > c.most || shift == 0 {
		shift = step * unit.Minutes(math.Round(float64(middle/step)))
	}
	return shift, c.least <= c.most
}
