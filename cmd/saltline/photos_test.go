package main

import (
	"bytes"
	"fmt"
	"image"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"syscall"
	"testing"

	"saltline/internal/record"
)

// photoBytes is a small picture as a JPEG.
func photoBytes(t testing.TB, shade uint8) []byte {
	t.Helper()
	m := image.NewGray(image.Rect(0, 0, 60, 40))
	for i := range m.Pix {
		m.Pix[i] = shade
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func put(t testing.TB, path string, data []byte) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatal(err)
	}
}

// naming is a log of tests that name photographs, one each.
func naming(photos ...string) string {
	var b strings.Builder
	b.WriteString("test,location,date,blank (µS/cm),extract (µS/cm),volume (ml),photo\n")
	for i, p := range photos {
		fmt.Fprintf(&b, "%d,frame %d,2026-03-03,1.2,14.2,3,\"%s\"\n", i+1, i+1, p)
	}
	return b.String()
}

// found reads the record at path and says what was found of its photographs.
func found(t *testing.T, paths ...string) []string {
	t.Helper()
	var r jobReader
	in, err := r.read(paths[0])
	if err != nil {
		t.Fatal(err)
	}
	findPhotos(paths, in.job, size{200, 150})
	var says []string
	for _, p := range in.job.Photos {
		state := map[record.PhotoState]string{record.PhotoMissing: "missing", record.PhotoFound: "found", record.PhotoBroken: "broken",
			record.PhotoTooLarge: "large", record.PhotoOtherFormat: "format"}[p.State]
		if (p.Print != nil) != (p.State == record.PhotoFound) {
			t.Errorf("%s is %s and has a print: %v", p.Name, state, p.Print != nil)
		}
		says = append(says, strings.TrimSpace(state+" "+p.File))
	}
	return says
}

// A person who looked for the files would look into these folders, and no
// other.
func TestPhotosAreFoundBesideTheRecord(t *testing.T) {
	dir := t.TempDir()
	book := filepath.Join(dir, "site", "day 1.csv")
	put(t, book, []byte(naming("a.jpg", "b.jpg", "c", "d.jpg", "cam/e.jpg", "f.jpg", "../g.jpg", "h.jpg")))
	for file, shade := range map[string]uint8{
		"a.jpg": 1, "Fotos/B.JPG": 2, "day 1/c.jpeg": 3, "day 1/photos/d.jpg": 4, "cam/e.jpg": 5, "other/f.jpg": 6, "../g.jpg": 7, "photos/old/h.jpg": 8,
	} {
		put(t, filepath.Join(dir, "site", file), photoBytes(t, shade))
	}
	want := []string{"found a.jpg", "found Fotos/B.JPG", "found day 1/c.jpeg", "found day 1/photos/d.jpg", "found cam/e.jpg", "missing", "missing", "missing"}
	if got := found(t, book); !slices.Equal(got, want) {
		t.Errorf("found\n%q\nwant\n%q", got, want)
	}
	folder := filepath.Join(dir, "folder")
	put(t, filepath.Join(folder, "readings.csv"), []byte(naming("a", "b")))
	put(t, filepath.Join(folder, "photos", "A.JPG"), photoBytes(t, 1))
	if got, want := found(t, folder), []string{"found photos/A.JPG"}; !slices.Equal(got, want) {
		t.Errorf("of a folder: found %q, want %q", got, want)
	}
	if got, want := found(t, folder, book), []string{"found folder/photos/A.JPG", "found site/Fotos/B.JPG"}; !slices.Equal(got, want) {
		t.Errorf("of two records in two folders: found %q, want %q", got, want)
	}
}

// Whatever lies there under the name of a photograph, the run goes on: it is
// said what it is.
func TestPhotosThatCannotBeShown(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("no pipes")
	}
	dir := t.TempDir()
	put(t, filepath.Join(dir, "readings.csv"), []byte(naming("whole.jpg", "cut.jpg", "empty.jpg", "phone.heic", "notes.txt", "lies.png", "pipe.jpg", "away.jpg", "inside.jpg", "folder.jpg", "long.jpg")))
	whole := photoBytes(t, 9)
	put(t, filepath.Join(dir, "whole.jpg"), whole)
	put(t, filepath.Join(dir, "cut.jpg"), whole[:len(whole)-30])
	put(t, filepath.Join(dir, "empty.jpg"), nil)
	put(t, filepath.Join(dir, "phone.heic"), []byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00"))
	put(t, filepath.Join(dir, "notes.txt"), []byte("the spot by the ladder"))
	var lies bytes.Buffer
	if err := png.Encode(&lies, image.NewGray(image.Rect(0, 0, 9, 9))); err != nil {
		t.Fatal(err)
	}
	put(t, filepath.Join(dir, "lies.png"), append(lies.Bytes()[:16], 0x7f, 0xff, 0xff, 0xff, 0, 0, 0, 9))
	outside := filepath.Join(t.TempDir(), "secret.jpg")
	put(t, outside, whole)
	for _, err := range []error{
		syscall.Mkfifo(filepath.Join(dir, "pipe.jpg"), 0o600),
		os.Symlink(outside, filepath.Join(dir, "away.jpg")),
		os.Symlink("whole.jpg", filepath.Join(dir, "inside.jpg")),
		os.Mkdir(filepath.Join(dir, "folder.jpg"), 0o755),
		os.WriteFile(filepath.Join(dir, "long.jpg"), whole, 0o644),
		os.Truncate(filepath.Join(dir, "long.jpg"), 65<<20),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	want := []string{"found whole.jpg", "broken cut.jpg", "format empty.jpg", "format phone.heic", "format notes.txt", "broken lies.png",
		"broken pipe.jpg", "broken away.jpg", "found inside.jpg", "missing", "large long.jpg"}
	if got := found(t, dir); !slices.Equal(got, want) {
		t.Errorf("found\n%q\nwant\n%q", got, want)
	}
}

// A log without photographs costs nothing, and one that says "yes" names none.
func TestNoPhotos(t *testing.T) {
	dir := t.TempDir()
	put(t, filepath.Join(dir, "readings.csv"), []byte(naming("yes", "2", "-")))
	put(t, filepath.Join(dir, "a.jpg"), photoBytes(t, 1))
	if got := found(t, dir); got != nil {
		t.Errorf("found %q, want nothing", got)
	}
}
