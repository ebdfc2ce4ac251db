package record

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"saltline/internal/table"
)

// A reader of the log who looks into the folder would say which file each text
// means. "?" stands for a photograph of which there is no file.
func TestNamedPhotos(t *testing.T) {
	camera := []string{"photos/IMG_0412.JPG", "photos/IMG_0413.jpeg", "photos/IMG_0414.png", "photos/IMG_0415.HEIC", "photos/IMG_0415.jpg", "photos/notes.txt"}
	numbered := []string{"12.jpg", "13.jpg", "014.jpg"}
	for _, c := range []struct {
		text  string
		files []string
		want  string
	}{
		{"IMG_0412.jpg", camera, "photos/IMG_0412.JPG"},
		{"img_0412", camera, "photos/IMG_0412.JPG"},
		{"IMG_0412, IMG_0413", camera, "photos/IMG_0412.JPG photos/IMG_0413.jpeg"},
		{"IMG_0412.JPG; IMG_0414.PNG", camera, "photos/IMG_0412.JPG photos/IMG_0414.png"},
		{"IMG_0412 IMG_0413", camera, "photos/IMG_0412.JPG photos/IMG_0413.jpeg"},
		{"IMG_0412-0414", camera, "photos/IMG_0412.JPG photos/IMG_0413.jpeg photos/IMG_0414.png"},
		{"IMG_0412–14", camera, "photos/IMG_0412.JPG photos/IMG_0413.jpeg photos/IMG_0414.png"},
		{"IMG_0412.jpg - IMG_0413.jpg", camera, "photos/IMG_0412.JPG photos/IMG_0413.jpeg"},
		{"IMG_0414-0416", camera, "photos/IMG_0414.png photos/IMG_0415.jpg ?IMG_0416"},
		{"412", camera, "photos/IMG_0412.JPG"},
		{"0412–0413", camera, "photos/IMG_0412.JPG photos/IMG_0413.jpeg"},
		{"IMG_0415", camera, "photos/IMG_0415.jpg"},                 // the one that can be shown
		{"IMG_0415.heic", camera, "photos/IMG_0415.HEIC"},           // the one that is named
		{"IMG_0412.heic", camera, "photos/IMG_0412.JPG"},            // the same picture in another format
		{`photos\IMG_0412.JPG`, camera, "photos/IMG_0412.JPG"},      // as another system writes it
		{`D:\site\cam\IMG_0412.JPG`, camera, "photos/IMG_0412.JPG"}, // where it once was
		{"notes.txt", camera, "photos/notes.txt"},
		{"notes", camera, ""},
		{"12-14", numbered, "12.jpg 13.jpg ?14"},
		{"12", numbered, "12.jpg"},
		{"2", numbered, ""}, // how many there are
		{"12", camera, ""},
		{"yes", camera, ""},
		{"photo 3", camera, ""},
		{"2 photos", camera, ""},
		{"-", camera, ""},
		{"P1010223.JPG; P1010224", camera, "?P1010223.JPG ?P1010224"},
		{"P1010223-225", nil, "?P1010223-225"}, // whatever it is, it is not there
		{"9-12", []string{"9.jpg", "10.jpg", "12.jpg"}, "9.jpg 10.jpg ?11 12.jpg"},
		{"q1-002.jpg", []string{"q1.jpg", "q2.jpg"}, "?q1-002.jpg"}, // one name, and no series from q1 to q2
		{"q1-005-007", []string{"q1-005.jpg", "q1-007.jpg"}, "q1-005.jpg ?q1-006 q1-007.jpg"},
		{"DSC-0412 - DSC-0413", []string{"DSC-0412.jpg"}, "DSC-0412.jpg ?DSC-0413"},
		{"2026-03-05 gate.jpg", camera, "?2026-03-05 gate.jpg"},
		{"14-12", numbered, ""},
		{"1-999999", numbered, ""},
		{"Plan 2026-03-03.png", camera, "?Plan 2026-03-03.png"},
		{"..", camera, ""},
		{"../secret.jpg", camera, "?../secret.jpg"},
		{"photos/", camera, ""},
		{"Prüfung.jpg", []string{"pru\u0308fung.JPG"}, "pru\u0308fung.JPG"},
	} {
		job := &Job{Tests: []Test{NewTest()}}
		job.Tests[0].Own().Photo = Words{Val: c.text, Text: c.text, State: Known}
		var got []string
		for _, p := range job.NamedPhotos(c.files) {
			s := p.File
			if s == "" {
				s = "?" + p.Name
			}
			got = append(got, s)
		}
		if s := strings.Join(got, " "); s != c.want {
			t.Errorf("%q among %q: %q, want %q", c.text, c.files, s, c.want)
		}
	}
}

// One file that several tests name is one photograph, however they spell it,
// and so is one that is missing.
func TestNamedPhotosAreListedOnce(t *testing.T) {
	job := &Job{}
	for _, text := range []string{"IMG_0001", "img_0001.jpg, IMG_0002.jpg", "", "IMG_0002.JPG; IMG_0002.jpg"} {
		test := NewTest()
		if text != "" {
			test.Own().Photo = Words{Val: text, Text: text, State: Known}
		}
		job.Tests = append(job.Tests, test)
	}
	got := fmt.Sprint(job.NamedPhotos([]string{"IMG_0001.JPG"}))
	want := fmt.Sprint([]Photo{{Name: "IMG_0001", File: "IMG_0001.JPG", Tests: []int{0, 1}}, {Name: "IMG_0002.jpg", Tests: []int{1, 3}}})
	if got != want {
		t.Errorf("found\n%s\nwant\n%s", got, want)
	}
}

func TestPhotoFolders(t *testing.T) {
	job := &Job{}
	for _, text := range []string{"day 1/IMG_0001.jpg, day 1/IMG_0002.jpg", `cam\IMG_0003.jpg`, "IMG_0004.jpg", "../../etc/IMG_0005.jpg"} {
		test := NewTest()
		test.Own().Photo = Words{Val: text, Text: text, State: Known}
		job.Tests = append(job.Tests, test)
	}
	if got, want := job.PhotoFolders(), []string{"day 1", "cam", "../../etc"}; !slices.Equal(got, want) {
		t.Errorf("folders %q, want %q", got, want)
	}
}

// Coordinates in any unit of length are in metres, those without a unit as
// they stand.
func TestPositions(t *testing.T) {
	for _, c := range []struct {
		head, x string
		want    float64
		unit    string
	}{
		{"x", "1.5", 1.5, ""}, {"x (m)", "1.5", 1.5, "m"}, {"x (mm)", "1500", 1.5, "mm"}, {"x", "150 cm", 1.5, "cm"}, {"x (m)", "-0.25", -0.25, "m"},
	} {
		data := "test,location," + c.head + ",date,blank (µS/cm),extract (µS/cm)\n1,p," + c.x + ",2026-03-03,1.2,14.2\n"
		file, err := table.Read("readings.csv", []byte(data), table.Options{})
		if err != nil {
			t.Fatal(err)
		}
		job, _ := Bind([]*table.File{file}, Options{})
		if x := job.Tests[0].X(); !x.Known() || x.Val != c.want || x.Unit != c.unit || x.Text != c.x {
			t.Errorf("%s under %q: %+v, want %v with the unit %q", c.x, c.head, x, c.want, c.unit)
		}
	}
}

func FuzzNamedPhotos(f *testing.F) {
	for _, s := range []string{"IMG_0412-0414", "12-14", "a..b", "-.-", "0412.jpg – 14", "\xff-9", "1-99"} {
		f.Add(s, "photos/IMG_0412.JPG\n12.jpg")
	}
	f.Fuzz(func(t *testing.T, text, files string) {
		job := &Job{Tests: []Test{NewTest()}}
		job.Tests[0].Own().Photo = Words{Val: text, Text: text, State: Known}
		list := strings.Split(files, "\n")
		photos := job.NamedPhotos(list)
		if most := 1 + len(text)*longestSeries; len(photos) > most {
			t.Errorf("%d photographs of %q", len(photos), text)
		}
		for _, p := range photos {
			if p.File != "" && !slices.Contains(list, p.File) {
				t.Errorf("the file %q of %q is not among those there", p.File, text)
			}
		}
	})
}
