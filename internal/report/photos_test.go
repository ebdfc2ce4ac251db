package report_test

import (
	"bytes"
	"fmt"
	"image"
	"image/jpeg"
	"strings"
	"testing"

	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/doc"
	"saltline/internal/frame"
	"saltline/internal/layout"
	"saltline/internal/record"
	"saltline/internal/report"
	"saltline/internal/unit"
	"saltline/testdata/jobs"
)

// printOf is a photograph of w × h pixels as it is handed to a report.
func printOf(t *testing.T, w, h int) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, image.NewGray(image.Rect(0, 0, w, h)), nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// photographed is the sample with photographs in every state there is: two
// that can be shown of two tests, one of five, one upright, and the rest.
func photographed(t *testing.T) *assess.Result {
	t.Helper()
	job := jobs.Read(t, samples+"quillmere-lock")
	taken := record.Given[record.Moment]{State: record.Known, Val: record.Moment{Date: unit.Date{Year: 2026, Month: 4, Day: 14}, Clock: unit.ClockAt(8, 55), HasClock: true}}
	digest := strings.Repeat("0123456789abcdef", 4)
	found := func(name string, w, h int, tests ...int) record.Photo {
		return record.Photo{Name: name, File: "photos/" + name, Tests: tests, State: record.PhotoFound, SHA256: digest, Format: "JPEG", Print: printOf(t, w, h)}
	}
	first := found("q1-007.jpg", 400, 300, 6)
	first.Taken = taken
	notAsked := found("q1-011.jpg", 40, 30, 10)
	notAsked.Print = nil
	job.Photos = []record.Photo{
		first, found("q1-008.jpg", 300, 400, 7), found("q1-009.jpg", 400, 300, 8, 9, 10, 11, 12), notAsked,
		{Name: "q1-012.jpg", Tests: []int{11}},
		{Name: "q1-013.jpg", File: "q1-013.jpg", Tests: []int{12}, State: record.PhotoBroken},
		{Name: "q1-014.heic", File: "q1-014.heic", Tests: []int{13}, State: record.PhotoOtherFormat, Format: "HEIF"},
		{Name: "q1-015.dat", File: "q1-015.dat", Tests: []int{14, 15}, State: record.PhotoOtherFormat},
		{Name: "q1-016.jpg", File: "q1-016.jpg", Tests: []int{15}, State: record.PhotoTooLarge},
	}
	return assess.Run(job, check.All())
}

// drawn are all texts of a frame, and how many pictures it has.
func drawn(f *frame.Frame) (texts []string, pictures int) {
	for _, p := range f.Items {
		switch it := p.Item.(type) {
		case frame.Text:
			texts = append(texts, it.S)
		case frame.Image:
			pictures++
		case *frame.Frame:
			more, n := drawn(it)
			texts, pictures = append(texts, more...), pictures+n
		}
	}
	return texts, pictures
}

var firstDay = unit.Date{Year: 2026, Month: 4, Day: 14}

// Photographs stand two in a row with their captions, and each row is one
// drawing: no page divides it. What cannot be shown is named.
func TestPhotographs(t *testing.T) {
	d := compose(t, photographed(t), firstDay, words(t, nil)).Document
	var rows [][]string
	var pictures []int
	var figures func(blocks []doc.Block)
	figures = func(blocks []doc.Block) {
		for _, b := range blocks {
			switch b := b.(type) {
			case doc.Group:
				figures(b.Blocks)
			case doc.Figure:
				if texts, n := drawn(b.Draw(layout.A4().TextWidth())); n > 0 {
					rows, pictures = append(rows, texts), append(pictures, n)
				}
			}
		}
	}
	figures(d.Blocks)
	if fmt.Sprint(pictures) != "[2 1]" {
		t.Fatalf("rows of %v photographs, want 2 and 1", pictures)
	}
	for k, wants := range [][]string{
		{"Test 7, East leaf, panel 6, mid height", "photos/q1-007.jpg · taken 14 Apr 2026, 08:55", "SHA-256 0123456789abcdef…", "Test 8, East leaf, panel 6, 80 mm right of no. 7", "photos/q1-008.jpg"},
		{"Tests 9, West leaf, panel 1, 0.6 m above sill; 10, West leaf, panel 2, low,", "and 1 more", "photos/q1-009.jpg"},
	} {
		all := strings.ReplaceAll(strings.Join(rows[k], "\n"), "\u00a0", " ")
		for _, want := range wants {
			if !strings.Contains(all, want) {
				t.Errorf("row %d: no caption says %q:\n%s", k, want, all)
			}
		}
	}
	var b bytes.Buffer
	if err := d.WriteText(&b, 1000); err != nil {
		t.Fatal(err)
	}
	if want := "Not shown: q1-011.jpg (test 11); q1-012.jpg (test 12), not found; q1-013.jpg (test 13), cannot be read; q1-014.heic (test 14), HEIF; " +
		"q1-015.dat (tests 15 and 16), another format; q1-016.jpg (test 16), too large."; !strings.Contains(b.String(), want) {
		t.Errorf("the report does not say %q", want)
	}
	if _, err := layout.Pages(&d, layout.A4(), faces(t)); err != nil {
		t.Error(err)
	}
}

// Where nobody looked for photographs, or none was found, their names stand
// word for word; that they were not at hand is said where they were looked for.
func TestPhotographsNotAtHand(t *testing.T) {
	const names, notAtHand = "As named in the log: q1-007.jpg (test 7, East leaf, panel 6, mid height); q1-010.jpg (test 10,", "were not at hand"
	for _, looked := range []bool{false, true} {
		job := jobs.Read(t, samples+"quillmere-lock")
		if looked {
			job.Photos = job.NamedPhotos(nil)
		}
		r := assess.Run(job, check.All())
		d := compose(t, r, firstDay, words(t, nil)).Document
		var b bytes.Buffer
		if err := d.WriteText(&b, 1000); err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(b.String(), names) || strings.Contains(b.String(), notAtHand) != looked {
			t.Errorf("looked for: %v; the names are listed: %v; said not to be at hand: %v", looked, strings.Contains(b.String(), names), strings.Contains(b.String(), notAtHand))
		}
		for _, f := range r.Findings {
			if strings.HasPrefix(f.Check.Name, "photo-") {
				t.Errorf("looked for: %v; found %s", looked, f.Check.Name)
			}
		}
	}
}

// scattered is a log of n tests with the coordinates that at gives.
func scattered(n int, head string, at func(i int) string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "test,area,location,%s,date,blank (µS/cm),extract (µS/cm),volume (ml)\n", head)
	for i := range n {
		fmt.Fprintf(&b, "%d,A,here,%s,2026-03-03,1.2,14.2,3\n", i+1, at(i))
	}
	return b.String()
}

// Every text of photographs and maps is said by some report, whether it stands
// on the page or in a drawing.
func TestEveryTextOfPicturesAndMaps(t *testing.T) {
	marked := mark(t, "photos", "map")
	var said strings.Builder
	take := func(r *assess.Result) {
		for _, day := range report.Days(r) {
			d := compose(t, r, day, words(t, marked.files)).Document
			if err := d.WriteText(&said, 1000); err != nil {
				t.Fatal(err)
			}
			pages, err := layout.Pages(&d, layout.A4(), faces(t))
			if err != nil {
				t.Fatal(err)
			}
			for _, p := range pages.Pages {
				texts, _ := drawn(p)
				said.WriteString(strings.Join(texts, " "))
			}
			for _, b := range d.Blocks {
				said.WriteString(altOf(b))
			}
		}
	}
	take(photographed(t))
	job := jobs.Read(t, samples+"quillmere-lock")
	job.Photos = job.NamedPhotos(nil)
	take(assess.Run(job, check.All()))
	take(judgeText(t, scattered(90, "x,y", func(int) string { return "1,2" }), "limit=50 mg/m2", "limit basis=total salts"))
	take(judgeText(t, scattered(3, "x,y", func(i int) string { return fmt.Sprintf("%d,%d m", i, i) }), "limit=50 mg/m2", "limit basis=total salts"))
	for _, key := range marked.keys {
		if !strings.Contains(said.String(), "‹"+key+"›") {
			t.Errorf("no report says %q", key)
		}
	}
}

// altOf is what a block says to those who cannot see it.
func altOf(b doc.Block) string {
	switch b := b.(type) {
	case doc.Group:
		s := ""
		for _, inner := range b.Blocks {
			s += altOf(inner)
		}
		return s
	case doc.Figure:
		return b.Alt
	}
	return ""
}
