package main

import (
	"errors"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"time"

	"saltline/internal/crew"
	"saltline/internal/layout"
	"saltline/internal/photo"
	"saltline/internal/record"
	"saltline/internal/report"
	"saltline/internal/unit"
)

// photoFolders are the names under which people keep their photographs beside
// a record.
var photoFolders = []string{
	"photo", "photos", "photograph", "photographs", "picture", "pictures", "pics", "images",
	"foto", "fotos", "bild", "bilder", "aufnahmen", "imagen", "imagenes", "imágenes", "photographies", "bilde", "bileter",
}

// A size is a size on paper, in points.
type size struct{ w, h float64 }

// photoSize is the size of photographs in documents of a style.
func photoSize(style layout.Style) size {
	w, h := report.PhotoSize(style.TextWidth())
	return size{w, h}
}

// findPhotos looks for the photographs that a job names and hands it what was
// found: in the folders of its records, in those with the name of a record, in
// the folders of photographs in these, and in those that the names point to;
// never outside the folder of a record. They are made fit to be printed within
// a size; of the zero size only what there is to say of them is kept.
func findPhotos(records []string, job *record.Job, print size) {
	if !record.Some(record.LogOf(job.Tests), record.Columns.Photo, record.Words.Known) {
		return
	}
	shelves := shelvesOf(records)
	var files []string
	on := map[string]*shelf{}
	for _, s := range shelves {
		defer s.root.Close()
		for _, f := range filesBeside(s.root.FS(), s.own, job.PhotoFolders()) {
			if f = path.Join(s.name, f); on[f] == nil {
				on[f] = s
				files = append(files, f)
			}
		}
	}
	job.Photos = job.NamedPhotos(files)
	var large sync.Mutex // held by whoever has a large picture in memory
	crew.Do(len(job.Photos), func(k int) {
		p := &job.Photos[k]
		if s := on[p.File]; s != nil {
			look(s, p, print, &large)
		}
	})
}

// findPhotos hands a job its photographs: those beside its records or, where a
// document is made again, what was seen of them then.
func (s stream) findPhotos(records []string, job *record.Job, print size) {
	if s.again == nil {
		findPhotos(records, job, print)
		return
	}
	recall(s.again.seen, s.again.prints, job, print)
}

// A shelf is a folder in which records lie.
type shelf struct {
	root *os.Root
	name string   // before the names of its files, where there are several; else ""
	own  []string // the names of the records in it
}

// shelvesOf are the folders of records. One that cannot be opened has no
// photographs to show.
func shelvesOf(records []string) []*shelf {
	var shelves []*shelf
	at := map[string]*shelf{}
	for _, r := range records {
		dir, own := r, ""
		if !isFolder(r) {
			dir, own = filepath.Dir(r), stem(r)
		}
		dir = filepath.Clean(dir)
		s := at[dir]
		if s == nil {
			root, err := os.OpenRoot(dir)
			if err != nil {
				continue
			}
			s = &shelf{root: root, name: stem(dir)}
			at[dir] = s
			shelves = append(shelves, s)
		}
		if own != "" {
			s.own = append(s.own, own)
		}
	}
	if len(shelves) == 1 {
		shelves[0].name = ""
	}
	return shelves
}

// filesBeside lists the files in the folders where photographs may be, the
// nearest first. A folder that cannot be read holds none.
func filesBeside(beside fs.FS, own, named []string) []string {
	var files, folders []string
	list := func(folder string) (inside []string) {
		if slices.Contains(folders, folder) || !fs.ValidPath(folder) {
			return nil
		}
		folders = append(folders, folder)
		entries, _ := fs.ReadDir(beside, folder)
		for _, e := range entries {
			name := path.Join(folder, e.Name())
			if e.IsDir() {
				inside = append(inside, name)
			} else {
				files = append(files, name)
			}
		}
		return inside
	}
	for _, folder := range append([]string{"."}, own...) {
		for _, inside := range list(folder) {
			if slices.Contains(photoFolders, strings.ToLower(path.Base(inside))) {
				list(inside)
			}
		}
	}
	for _, folder := range named {
		list(folder)
	}
	return files
}

// largePicture is how many bytes a picture may take in memory beside others, of
// which there is one for each processor.
var largePicture = min(64<<20, (192<<20)/runtime.GOMAXPROCS(0))

// look reads a photograph once and fills in what there is to say of it.
func look(s *shelf, p *record.Photo, print size, large *sync.Mutex) {
	data, err := readImage(s.root, strings.TrimPrefix(p.File, s.name+"/"))
	switch {
	case errors.Is(err, photo.ErrSize):
		p.State = record.PhotoTooLarge
		return
	case err != nil:
		p.State = record.PhotoBroken
		return
	}
	p.SHA256 = sha256Of(data)
	picture, err := photo.Open(data)
	p.Format = string(picture.Kind)
	if t := picture.Taken; !t.IsZero() {
		p.Taken = takenAt(t)
	}
	if err == nil {
		if picture.Memory() > largePicture {
			large.Lock()
			defer large.Unlock()
		}
		p.Print, err = picture.Print(max(print.w, 1), max(print.h, 1)) // whether it is whole shows only there
	}
	if print == (size{}) {
		p.Print = nil
	}
	p.State = stateOf(err)
}

// takenForm is how the time of a photograph is written.
const takenForm = "2006-01-02 15:04:05"

func takenAt(t time.Time) record.Given[record.Moment] {
	return record.Given[record.Moment]{State: record.Known, Text: t.Format(takenForm), Val: record.Moment{
		Date:  unit.Date{Year: t.Year(), Month: int(t.Month()), Day: t.Day()},
		Clock: unit.ClockAt(t.Hour(), t.Minute()) + unit.Clock(t.Second()), HasClock: true,
	}}
}

func stateOf(err error) record.PhotoState {
	switch {
	case err == nil:
		return record.PhotoFound
	case errors.Is(err, photo.ErrFormat):
		return record.PhotoOtherFormat
	case errors.Is(err, photo.ErrSize):
		return record.PhotoTooLarge
	}
	return record.PhotoBroken
}
