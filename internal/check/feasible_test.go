package check_test

import (
	"fmt"
	"math/bits"
	"math/rand/v2"
	"reflect"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// A timing is what a row says of its times, in minutes of the day; less than
// nothing is not written.
type timing struct{ from, to int }

// dayOf is a job of one day with such rows.
func dayOf(sets int, rows ...timing) *record.Job {
	job := &record.Job{}
	if sets > 0 {
		job.Terms.SetsInUse = record.Given[int]{Val: sets, State: record.Known}
	}
	job.Tests = make([]record.Test, 0, len(rows))
	at := func(minutes, row, col int) record.Given[unit.Clock] {
		if minutes < 0 {
			return record.Given[unit.Clock]{}
		}
		return record.Given[unit.Clock]{Val: unit.ClockAt(0, minutes), State: record.Known, Pos: diag.In("log.csv", "").At(row, col)}
	}
	for k, r := range rows {
		t := record.NewTest()
		f := t.Own()
		f.Row = diag.In("log.csv", "").At(k+2, 0)
		f.Date = record.Given[unit.Date]{Val: unit.Date{Year: 2026, Month: 3, Day: 3}, State: record.Known}
		f.Start, f.Read = at(r.from, k+2, 1), at(r.to, k+2, 2)
		job.Tests = append(job.Tests, t)
	}
	return job
}

func setsOf(job *record.Job) []check.DaySets { return check.SetsNeeded(assess.Run(job, nil)) }

// TestSetsNeeded holds the reckoning to days worked out by hand. Contact time
// and handling are the house settings of 10 and 2 min.
func TestSetsNeeded(t *testing.T) {
	const none = -1
	for _, c := range []struct {
		name          string
		rows          []timing
		tests, both   int
		needed        int
		could         []int
		stated, wants int
	}{
		{name: "no times", rows: []timing{{none, none}}},
		{"one test", []timing{{480, 490}}, 1, 1, 1, []int{1}, 2, 2},
		{"begun in the minute in which the last was read", []timing{{480, 490}, {490, 500}}, 2, 2, 1, []int{2}, 0, 0},
		{"begun a minute before", []timing{{480, 490}, {489, 500}}, 2, 2, 2, []int{1, 2}, 0, 0},
		{"begun together and read at once", []timing{{480, 480}, {480, 480}}, 2, 2, 2, []int{1, 2}, 0, 0},
		{"read at once, one after the other", []timing{{480, 480}, {481, 481}}, 2, 2, 1, []int{2}, 0, 0},
		{"past midnight", []timing{{1435, 5}, {1430, 4}}, 2, 2, 2, []int{1, 2}, 0, 0},
		{"end before the beginning", []timing{{480, 470}, {480, 490}}, 1, 1, 1, []int{1}, 0, 0},
		{"read only, twelve minutes apart", []timing{{none, 480}, {none, 492}}, 2, 0, 1, []int{2}, 0, 0},
		{"read only, eleven minutes apart", []timing{{none, 480}, {none, 491}}, 2, 0, 2, []int{1, 2}, 0, 0},
		{"begun only, eleven minutes apart", []timing{{480, none}, {491, none}}, 2, 0, 2, []int{1, 2}, 0, 0},
		// The first is taken from 8:00 to 8:12, the second from 8:12 to 8:24.
		{"begun and read", []timing{{480, none}, {none, 504}}, 2, 0, 1, []int{2}, 0, 0},
		// A long test over three short ones, each of which follows the other.
		{"a long one aside", []timing{{480, 540}, {480, 490}, {495, 505}, {510, 520}}, 4, 4, 2, []int{3, 4}, 1, 1},
		// Three at 8:00 and two at 8:10; one set makes two of them, two sets four.
		{"three sets", []timing{{480, 490}, {480, 490}, {480, 490}, {490, 500}, {490, 500}}, 5, 5, 3, []int{2, 4, 5}, 3, 3},
	} {
		t.Run(c.name, func(t *testing.T) {
			var want []check.DaySets
			if c.tests > 0 {
				want = []check.DaySets{{Date: unit.Date{Year: 2026, Month: 3, Day: 3}, Tests: c.tests, Both: c.both, Needed: c.needed, Could: c.could, Stated: c.wants}}
			}
			if got := setsOf(dayOf(c.stated, c.rows...)); !reflect.DeepEqual(got, want) {
				t.Errorf("got %+v, want %+v", got, want)
			}
		})
	}
}

// TestSetsOfABlock: the time that one merged cell gives to several tests
// places none of them.
func TestSetsOfABlock(t *testing.T) {
	job := dayOf(0, timing{-1, 480}, timing{-1, 480}, timing{-1, 500})
	job.Tests[1].Own().Read.Pos = job.Tests[0].Read().Pos
	if got := setsOf(job); len(got) != 1 || got[0].Tests != 1 || got[0].Needed != 1 {
		t.Errorf("got %+v, want the third test alone", got)
	}
}

// TestSetsOfManyAtOnce: a day whose rows all carry one time is told up to the
// bound, and its tests are counted all the same.
func TestSetsOfManyAtOnce(t *testing.T) {
	rows := make([]timing, 40)
	for k := range rows {
		rows[k] = timing{480, 490}
	}
	got := setsOf(dayOf(0, rows...))
	if len(got) != 1 || got[0].Needed != 40 || len(got[0].Could) != check.MostSets || got[0].Could[check.MostSets-1] != check.MostSets {
		t.Errorf("got %+v, want 40 sets and what 1 to %d could have made", got, check.MostSets)
	}
}

// TestSetsByTrial tries every choice of tests and every way to hand out sets
// on small days.
func TestSetsByTrial(t *testing.T) {
	const seed, days = 5502, 400
	t.Logf("seed %d, %d days", seed, days)
	r := rand.New(rand.NewPCG(seed, 0))
	for day := range days {
		rows := make([]timing, 1+r.IntN(7))
		for k := range rows {
			from := 480 + r.IntN(30)
			rows[k] = timing{from, from + r.IntN(15)}
		}
		got := setsOf(dayOf(0, rows...))[0]
		for k := 1; k <= got.Needed+1; k++ {
			most := mostByTrial(rows, k)
			switch {
			case k > got.Needed && most != len(rows), k == got.Needed-1 && most == len(rows):
				t.Fatalf("day %d, %v: %d sets make %d tests, but %d are said to be needed", day, rows, k, most, got.Needed)
			case k <= got.Needed && got.Could[k-1] != most:
				t.Fatalf("day %d, %v: %d sets could have made %d, by trial %d", day, rows, k, got.Could[k-1], most)
			}
		}
	}
}

// mostByTrial is how many of the rows k sets can make.
func mostByTrial(rows []timing, k int) int {
	most := 0
	for chosen := range 1 << len(rows) {
		if n := bits.OnesCount(uint(chosen)); n > most {
			var of []timing
			for i := range rows {
				if chosen>>i&1 == 1 {
					of = append(of, rows[i])
				}
			}
			if canShare(make([][]timing, k), of) {
				most = n
			}
		}
	}
	return most
}

// canShare reports whether the sets can make the rest of the tests as well as
// those that they have.
func canShare(sets [][]timing, rest []timing) bool {
	if len(rest) == 0 {
		return true
	}
	for k, has := range sets {
		free := true
		for _, r := range has {
			free = free && apart(r, rest[0])
		}
		if !free {
			continue
		}
		sets[k] = append(has, rest[0])
		if canShare(sets, rest[1:]) {
			return true
		}
		sets[k] = has
	}
	return false
}

// apart reports whether one set can make both tests: no minute of the one is
// a minute of the other. The minute of the reading is free again, but the
// minute of the water never is.
func apart(a, b timing) bool {
	minutes := map[int]bool{a.from: true}
	for m := a.from; m < a.to; m++ {
		minutes[m] = true
	}
	for m := b.from; m < max(b.to, b.from+1); m++ {
		if minutes[m] {
			return false
		}
	}
	return true
}

// TestHonestSets: on honest days no more sets are needed than there are.
func TestHonestSets(t *testing.T) {
	for day := range uint64(100) {
		d := newHonestDay(*honestSeed, day)
		job, _, err := d.bind()
		if err != nil {
			t.Fatal(err)
		}
		all := setsOf(job)
		if len(all) != 1 || all[0].Tests != len(d.tests) || all[0].Stated == 0 || all[0].Needed > all[0].Stated {
			t.Errorf("seed %d, day %d: %+v, of %d tests", *honestSeed, day, all, len(d.tests))
		}
	}
}

func BenchmarkSetsNeeded(b *testing.B) {
	for _, n := range []int{1_000, 100_000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			rows := make([]timing, n)
			for k := range rows {
				rows[k] = timing{420 + k%500, 430 + k%500}
			}
			job := dayOf(0, rows...)
			for k := range job.Tests {
				job.Tests[k].Own().Date.Val = job.Tests[k].Date().Val.Add(k / 60)
			}
			r := assess.Run(job, nil)
			for b.Loop() {
				check.SetsNeeded(r)
			}
		})
	}
}
