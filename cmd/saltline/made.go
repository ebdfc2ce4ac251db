package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"image/jpeg" // the form of a print
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"saltline/internal/export"
	"saltline/internal/pdf"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// Names of what a document carries besides its record.
const (
	madeName    = "made.json"
	resultsName = "results.json"
	textsFolder = "templates/"
	imageFolder = "images/"
)

// made says how a document was made, so that it can be made again: by which
// program and command, of which files. It travels in the document.
type made struct {
	Tool    string      `json:"tool"`
	Command string      `json:"command"`
	Options []string    `json:"options"` // without those that name files
	Records []kept      `json:"records"`
	Job     string      `json:"job"`       // the file of --job, as attached; "" for none
	Texts   []string    `json:"templates"` // of --templates, as attached
	Images  []string    `json:"images"`    // of signatures, that the record names
	Photos  []seenPhoto `json:"photos"`
}

// kept is where a record lay: a file, or a folder with files.
type kept struct {
	Path   string   `json:"path"` // as much of it as tells the records apart
	Folder bool     `json:"folder"`
	Files  []string `json:"files"` // as attached
	Names  []string `json:"names"` // as they lay there
}

// seenPhoto is what was seen of a photograph. Photographs do not travel: those of a
// job would fill a thousand times the room of its record.
type seenPhoto struct {
	File   string `json:"file"`
	State  int    `json:"state"`
	SHA256 string `json:"sha256"`
	Format string `json:"format"`
	Taken  string `json:"taken"`
	Print  string `json:"print_sha256"` // of the picture that is printed, where it is; "" where it has none
	Width  int    `json:"width"`        // of the print, in pixels
	Height int    `json:"height"`
}

// A luggage is what travels with the documents of one job: its record, byte for
// byte, and what it takes to make them again.
type luggage struct {
	made  made
	files []*pdf.File
	says  func(key string) string
}

// ownOptions are those of one run that its documents do not depend on, or that
// a luggage holds in another form.
var ownOptions = []string{"output", "json", "quiet", "overwrite", "questions", "job", "templates", "date", "area", "produced", "paper", "together", "large",
	"set", "map", "sheet", "date-order", "decimal"}

// optionsOf are the options that were given and that documents depend on.
func optionsOf(flags *pflag.FlagSet) []string {
	var all []string
	flags.Visit(func(f *pflag.Flag) {
		if slices.Contains(ownOptions, f.Name) {
			return
		}
		values := []string{f.Value.String()}
		if several, is := f.Value.(pflag.SliceValue); is {
			values = several.GetSlice()
		}
		for _, v := range values {
			all = append(all, "--"+f.Name+"="+v)
		}
	})
	return all
}

// pack gathers what travels with the documents made from a job.
func (d *documents) pack(in *reading, m making, s stream) (*luggage, error) {
	l := &luggage{made: made{
		Tool: tool, Command: d.flags.Name(),
		Options: append(slices.Concat(in.how, optionsOf(d.flags)), "--produced="+m.date.ISO(), "--paper="+strings.ToLower(d.paper)),
		Records: in.records, Job: in.named, Texts: []string{}, Images: []string{}, Photos: []seenPhoto{},
	}}
	said := map[string]string{}
	for _, key := range []string{"record", "texts", "image", "results", "making"} {
		text, err := m.words.Say("attached/"+key, nil)
		if err != nil {
			return nil, err
		}
		said[key] = text
	}
	l.says = func(key string) string { return said[key] }
	for _, it := range in.inputs {
		if it.name == madeName || it.name == resultsName {
			return nil, trouble(fmt.Sprintf("the record is called %s, as a file is that every document carries beside it", it.name), "give it another name")
		}
		l.add(it.name, "record", pdf.Source, it.data)
	}
	if err := l.texts(m.tongue.over); err != nil {
		return nil, err
	}
	l.images(in)
	if s.again != nil {
		l.made.Photos = s.again.seen
		return l, nil
	}
	for i := range in.job.Photos {
		l.made.Photos = append(l.made.Photos, seenOf(&in.job.Photos[i]))
	}
	return l, nil
}

// texts adds the texts that take the place of the built-in ones; over is nil for
// none.
func (l *luggage) texts(over fs.FS) error {
	if over == nil {
		return nil
	}
	return fs.WalkDir(over, ".", func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() || path.Ext(name) != ".txt" {
			return err
		}
		data, err := fs.ReadFile(over, name)
		if err == nil {
			l.made.Texts = append(l.made.Texts, name)
			l.add(textsFolder+name, "texts", pdf.Supplement, data)
		}
		return err
	})
}

// images adds the images of signatures that the record names. What cannot be had
// is said where it is wanted.
func (l *luggage) images(in *reading) {
	image := imagesBesideAny(in.paths)
	for i := range in.job.Signatures {
		name := in.job.Signatures[i].Image
		if !name.Known() || slices.Contains(l.made.Images, name.Val) {
			continue
		}
		if data, err := image(name.Val); err == nil {
			l.made.Images = append(l.made.Images, name.Val)
			l.add(imageFolder+name.Val, "image", pdf.Supplement, data)
		}
	}
}

// attachedAs is the name of a file as attached: programs that save attachments
// do not take names with folders in them.
func attachedAs(name string) string { return strings.ReplaceAll(name, "/", " - ") }

func (l *luggage) add(name, says string, kind pdf.Relation, data []byte) {
	l.files = append(l.files, &pdf.File{Name: attachedAs(name), Says: l.says(says), MIME: mimeOf(name), Kind: kind, Data: data})
}

// with is what travels with one document: options tell it from the others of
// its run, and results is what it says.
func (l *luggage) with(results *pdf.File, options ...string) ([]*pdf.File, error) {
	own := l.made
	own.Options = slices.Concat(l.made.Options, options)
	data, err := json.MarshalIndent(own, "", "  ")
	if err != nil {
		return nil, err
	}
	return append(slices.Clone(l.files), results,
		&pdf.File{Name: madeName, Says: l.says("making"), MIME: mimeOf(madeName), Kind: pdf.Results, Data: append(data, '\n')}), nil
}

// results is what documents say, for programs, in English in every language.
func (m *making) results(l *luggage, in export.Input) (*pdf.File, error) {
	var err error
	if in.Words, err = m.english(); err != nil {
		return nil, err
	}
	in.Tool, in.Line = tool, true // those of a long log are long enough
	return &pdf.File{Name: resultsName, Says: l.says("results"), MIME: mimeOf(resultsName), Kind: pdf.Results,
		Writes: func(w io.Writer) error { return export.JSON(w, in) }}, nil
}

// mimeOf is the media type of a file by the kind that its name ends in, of
// those that records are made of.
func mimeOf(name string) string {
	kinds := map[string]string{
		".csv": "text/csv", ".txt": "text/plain", ".json": "application/json", ".png": "image/png", ".jpg": "image/jpeg", ".jpeg": "image/jpeg",
		".xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
		".xlsm": "application/vnd.ms-excel.sheet.macroEnabled.12",
	}
	if m := kinds[strings.ToLower(path.Ext(name))]; m != "" {
		return m
	}
	return "application/octet-stream"
}

func seenOf(p *record.Photo) seenPhoto {
	s := seenPhoto{File: p.File, State: int(p.State), SHA256: p.SHA256, Format: p.Format, Taken: p.Taken.Text}
	if of, _, err := image.DecodeConfig(bytes.NewReader(p.Print)); err == nil {
		s.Print, s.Width, s.Height = sha256Of(p.Print), of.Width, of.Height
	}
	return s
}

// dayOption names the report of one day.
func dayOption(day unit.Date) string { return "--date=" + dayFileName(day) }

// keptAt is where a record lies that is called name.
func keptAt(path, name string, inputs []input) kept {
	k := kept{Path: name, Folder: isFolder(path)}
	for _, in := range inputs {
		k.Files = append(k.Files, attachedAs(in.name))
		k.Names = append(k.Names, in.name[strings.LastIndexByte(in.name, '/')+1:])
	}
	return k
}

// recall hands a job what was seen of its photographs when a document was made.
// Prints are those that stand in the document; a photograph of which it shows
// none gets a grey one of its size, so that pages would be filled alike.
func recall(all []seenPhoto, prints map[string][]byte, job *record.Job, print size) {
	var files []string
	of := map[string]*seenPhoto{}
	for i := range all {
		if f := all[i].File; f != "" && of[f] == nil {
			of[f] = &all[i]
			files = append(files, f)
		}
	}
	job.Photos = job.NamedPhotos(files)
	for i := range job.Photos {
		p := &job.Photos[i]
		s := of[p.File]
		if s == nil {
			continue
		}
		p.State, p.SHA256, p.Format = record.PhotoState(s.State), s.SHA256, s.Format
		if t, err := time.Parse(takenForm, s.Taken); err == nil {
			p.Taken = takenAt(t)
		}
		if print == (size{}) {
			continue
		}
		if p.Print = prints[s.Print]; p.Print != nil {
			continue
		}
		if s.Width > 0 && s.Height > 0 && s.Width <= mostRecalled && s.Height <= mostRecalled {
			var b bytes.Buffer
			if jpeg.Encode(&b, image.NewGray(image.Rect(0, 0, s.Width, s.Height)), nil) == nil {
				p.Print = b.Bytes()
			}
		}
	}
}

// mostRecalled bounds the sides of a grey print, in pixels: a page shows no
// more.
const mostRecalled = 4000
