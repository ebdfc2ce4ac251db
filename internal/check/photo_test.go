package check_test

import (
	"encoding/csv"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// filesBeside names the table of a case that lists the files beside the
// record: file, sha256, taken ("2026-03-03 08:10", or empty where the camera
// noted nothing) and state: "found", "broken", "large" or another format. A
// record without the table is one for whose photographs nobody looked.
const filesBeside = "photos"

func findPhotos(t *testing.T, e *example, job *record.Job) {
	t.Helper()
	for _, g := range e.tables {
		if g.name != filesBeside {
			continue
		}
		var lines []string
		for _, l := range g.lines {
			lines = append(lines, l.text)
		}
		rows, err := csv.NewReader(strings.NewReader(strings.Join(lines, "\n"))).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		var files []string
		of := map[string][]string{}
		for _, row := range rows[1:] {
			files = append(files, row[0])
			of[row[0]] = row
		}
		job.Photos = job.NamedPhotos(files)
		for i := range job.Photos {
			p := &job.Photos[i]
			row := of[p.File]
			if row == nil {
				continue
			}
			p.SHA256, p.State, p.Format = row[1], record.PhotoFound, "JPEG"
			switch row[3] {
			case "found":
			case "broken":
				p.State = record.PhotoBroken
			case "large":
				p.State = record.PhotoTooLarge
			case "unknown":
				p.State, p.Format = record.PhotoOtherFormat, ""
			default:
				p.State, p.Format = record.PhotoOtherFormat, row[3]
			}
			if row[2] != "" {
				m, err := time.Parse("2006-01-02 15:04", row[2])
				if err != nil {
					t.Fatal(err)
				}
				p.Taken = takenAt(m)
			}
		}
	}
}

func takenAt(m time.Time) record.Given[record.Moment] {
	return record.Given[record.Moment]{State: record.Known, Text: m.Format("2006-01-02 15:04"), Val: record.Moment{
		Date: unit.Date{Year: m.Year(), Month: int(m.Month()), Day: m.Day()}, Clock: unit.ClockAt(m.Hour(), m.Minute()), HasClock: true,
	}}
}

// A job whose photographs were taken beside their tests, by day and by night,
// each once and each in a file of its own, is asked nothing about them.
func TestHonestPhotos(t *testing.T) {
	for range 200 {
		seed := rand.Uint64()
		rng := rand.New(rand.NewPCG(seed, 1))
		job := &record.Job{}
		day := time.Date(2026, 3, 3, 0, 0, 0, 0, time.UTC)
		at := day.Add(time.Duration(rng.IntN(24*60)) * time.Minute)
		for k := range 1 + rng.IntN(20) {
			test := record.NewTest()
			read := at.Add(time.Duration(4+rng.IntN(20)) * time.Minute)
			// A test past midnight is kept under the day on which it began.
			known := takenAt(at)
			f := test.Own()
			f.Date = record.Given[unit.Date]{Val: known.Val.Date, State: record.Known}
			f.Start = record.Given[unit.Clock]{Val: known.Val.Clock, State: record.Known}
			f.Read = record.Given[unit.Clock]{Val: takenAt(read).Val.Clock, State: record.Known}
			name := fmt.Sprintf("IMG_%04d.jpg", k)
			f.Number, f.Photo = wordsOf(fmt.Sprint(k+1)), wordsOf(name)
			job.Tests = append(job.Tests, test)
			earliest := at.Add(-15 * time.Minute)
			taken := earliest.Add(time.Duration(rng.IntN(int(read.Sub(at).Minutes())+31)) * time.Minute)
			job.Photos = append(job.Photos, record.Photo{Name: name, Tests: []int{k}, File: name, State: record.PhotoFound, SHA256: fmt.Sprintf("%064d", k), Taken: takenAt(taken)})
			at = read.Add(time.Duration(rng.IntN(60)) * time.Minute)
		}
		r := assess.Run(job, check.All())
		for i := range r.Findings {
			if f := &r.Findings[i]; strings.HasPrefix(f.Check.Name, "photo-") {
				t.Fatalf("seed %d: %s: %s", seed, f.Check.Name, render(t, load(t), r, f)["found"])
			}
		}
	}
}
