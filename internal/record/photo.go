package record

import (
	"cmp"
	"path"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// A Photo is a photograph that the record names, and what was found of it.
// Whoever reads the files fills in all but Name, Tests and File.
type Photo struct {
	Name   string // as first written
	Tests  []int  // that name it: indexes into Job.Tests
	File   string // from the folder of the record, with slashes; "" where none was found
	State  PhotoState
	SHA256 string        // of the file, hex; "" where it was not read to its end
	Format string        // such as "JPEG" or "HEIF"; "" where it is none that is known
	Taken  Given[Moment] // as the clock of the camera showed it
	Print  []byte        // JPEG, upright and of the size of paper; nil where none was made
}

// A PhotoState says whether a photograph can be shown.
type PhotoState int

const (
	PhotoMissing     PhotoState = iota // no file of that name
	PhotoFound                         // it can be shown
	PhotoBroken                        // the file cannot be read to its end
	PhotoTooLarge                      // the file has more bytes or pixels than are taken
	PhotoOtherFormat                   // the file is neither a JPEG nor a PNG that is read here
)

// PhotoNames are the names of photographs that a text of the column photo
// holds, as written. A text that only says that there is a photograph, or how
// many, holds none.
func PhotoNames(text string) []string {
	var names []string
	for _, part := range photoParts(text) {
		if namesFile(part) {
			names = append(names, part)
		}
	}
	return names
}

// photoParts are the parts of a text of the column photo.
func photoParts(text string) []string {
	var parts []string
	for part := range strings.FieldsFuncSeq(text, func(r rune) bool { return r == ',' || r == ';' || r == '|' || r == '\n' }) {
		if part = strings.TrimSpace(part); part != "" {
			parts = append(parts, part)
		}
	}
	return parts
}

// namesFile reports whether a text is plainly the name of a file: it has an
// ending, or letters with three digits or more, as cameras name theirs.
func namesFile(name string) bool {
	name = strings.ToLower(name)
	ending := strings.TrimPrefix(path.Ext(name), ".")
	if 2 < len(ending) && len(ending) < 5 && strings.IndexFunc(ending, unicode.IsLetter) == 0 && !strings.Contains(ending, " ") {
		return true
	}
	digits := 0
	for _, r := range name {
		if unicode.IsDigit(r) {
			digits++
		}
	}
	return digits >= 3 && strings.IndexFunc(name, unicode.IsLetter) >= 0 && !strings.Contains(name, " ")
}

// NamedPhotos are the photographs that the tests of the job name, in the order
// of the log. files are the files beside the record, from its folder; of
// several that fit a name the first is meant. A text is a photograph where a
// file of its name is there or where it is plainly the name of one. The ending
// and the case of a name do not matter; "12-14" stands for 12, 13 and 14, and a
// number alone for the one file whose name ends in it.
func (j *Job) NamedPhotos(files []string) []Photo {
	x := indexFiles(files)
	var photos []Photo
	at := map[string]int{}
	for i := range j.Tests {
		p := j.Tests[i].Photo()
		if !p.Known() {
			continue
		}
		for _, named := range x.named(p.Val) {
			key := "file " + named.file
			if named.file == "" {
				key = "name " + foldFile(named.name)
			}
			k, known := at[key]
			if !known {
				k = len(photos)
				at[key] = k
				photos = append(photos, Photo{Name: named.name, File: named.file})
			}
			if of := &photos[k].Tests; len(*of) == 0 || (*of)[len(*of)-1] != i {
				*of = append(*of, i)
			}
		}
	}
	return photos
}

// PhotoFolders are the folders that the names of photographs point to, from the
// folder of the record: at most so many that looking into them takes no time.
func (j *Job) PhotoFolders() []string {
	const most = 8
	var folders []string
	for i := range j.Tests {
		p := j.Tests[i].Photo()
		if !p.Known() || !strings.ContainsAny(p.Val, `/\`) {
			continue
		}
		for _, part := range photoParts(p.Val) {
			dir := path.Dir(slashed(part))
			if dir != "." && len(folders) < most && !slices.Contains(folders, dir) {
				folders = append(folders, dir)
			}
		}
	}
	return folders
}

// A namedFile is a name and the file that it means; "" for none.
type namedFile struct{ name, file string }

// A fileIndex finds files by what people write for their names.
type fileIndex struct {
	whole, base, stem map[string]string // by fold; of one name the first file
	number            map[int]string    // by the number that its stem ends in; "" where several do
}

// pictureEndings are those of pictures, the ones that can be shown first.
var pictureEndings = []string{".jpg", ".jpeg", ".png", ".heic", ".heif", ".avif", ".webp", ".tif", ".tiff", ".gif", ".bmp"}

func indexFiles(files []string) fileIndex {
	x := fileIndex{map[string]string{}, map[string]string{}, map[string]string{}, map[int]string{}}
	first := func(m map[string]string, key, file string) {
		if _, taken := m[key]; !taken {
			m[key] = file
		}
	}
	for _, f := range files {
		first(x.whole, foldFile(f), f)
		first(x.base, foldFile(path.Base(f)), f)
	}
	for _, ending := range pictureEndings {
		for _, f := range files {
			base := foldFile(path.Base(f))
			stem, isPicture := strings.CutSuffix(base, ending)
			if !isPicture {
				continue
			}
			if _, taken := x.stem[stem]; taken {
				continue
			}
			x.stem[stem] = f
			if n, ok := endNumber(stem); ok {
				if _, twice := x.number[n]; twice {
					f = ""
				}
				x.number[n] = f
			}
		}
	}
	return x
}

// leastNumber is the shortest number, in digits, that is meant as the end of a
// name: shorter ones count photographs more often than they name one.
const leastNumber = 3

func endNumber(stem string) (int, bool) {
	digits := stem[len(strings.TrimRightFunc(stem, isDigit)):]
	n, err := strconv.Atoi(digits)
	return n, err == nil && len(digits) >= leastNumber
}

func isDigit(r rune) bool { return '0' <= r && r <= '9' }

// find is the file that a name means; "" for none.
func (x fileIndex) find(name string) string {
	whole := slashed(name)
	base := path.Base(whole)
	for _, look := range []struct {
		in  map[string]string
		key string
	}{{x.whole, whole}, {x.base, base}, {x.stem, base}} {
		if file, ok := look.in[foldFile(look.key)]; ok {
			return file
		}
	}
	stem := foldFile(base)
	if ending := path.Ext(stem); slices.Contains(pictureEndings, ending) {
		stem = strings.TrimSuffix(stem, ending)
		if file, ok := x.stem[stem]; ok {
			return file // the same picture in another format
		}
	}
	if n, ok := endNumber(stem); ok && strings.TrimFunc(stem, isDigit) == "" {
		return x.number[n]
	}
	return ""
}

// named are the photographs of a text: a part that is the name of a file, the
// names of a series, or several names with nothing but spaces between them.
func (x fileIndex) named(text string) []namedFile {
	var all []namedFile
	for _, part := range photoParts(text) {
		if file := x.find(part); file != "" {
			all = append(all, namedFile{part, file})
			continue
		}
		series := seriesOf(part)
		names := series
		if series == nil {
			if names = strings.Fields(part); slices.ContainsFunc(names, func(s string) bool { return x.find(s) == "" && !namesFile(s) }) {
				names = []string{part}
			}
		}
		found := false
		several := make([]namedFile, len(names))
		for i, name := range names {
			several[i] = namedFile{name, x.find(name)}
			found = found || several[i].file != ""
		}
		switch {
		case found || series == nil && namesFile(names[0]):
			all = append(all, several...)
		case namesFile(part): // it looks like a series, and nothing bears that out
			all = append(all, namedFile{name: part})
		}
	}
	return all
}

// longestSeries bounds what "1-999999" stands for.
const longestSeries = 100

// seriesOf are the names that "IMG_0412-0414", "0412–14" or "IMG_0412.jpg -
// IMG_0414.jpg" stands for; nil for anything else.
func seriesOf(text string) []string {
	for _, dash := range []string{"–", "—", "..", "-"} {
		for at := strings.LastIndex(text, dash); at >= 0; at = strings.LastIndex(text[:at], dash) {
			if names := seriesFrom(strings.TrimSpace(text[:at]), strings.TrimSpace(text[at+len(dash):])); names != nil {
				return names
			}
		}
	}
	return nil
}

// seriesFrom are the names from one to the other, which differ in the number
// at their end alone; the second may be nothing but the last digits of it.
func seriesFrom(from, to string) []string {
	from, endFrom := cutEnding(from)
	to, endTo := cutEnding(to)
	prefix, prefixTo := strings.TrimRightFunc(from, isDigit), strings.TrimRightFunc(to, isDigit)
	first, last := from[len(prefix):], to[len(prefixTo):]
	switch {
	case endFrom != "" && endTo != "" && !strings.EqualFold(endFrom, endTo):
		return nil
	case prefixTo != "" && !strings.EqualFold(prefixTo, prefix):
		return nil
	case len(last) < len(first) && prefixTo == "":
		last = first[:len(first)-len(last)] + last // 0412-14
	case len(last) > len(first) && prefixTo != prefix, len(last) > len(first) && strings.HasPrefix(last, "0"):
		return nil // q1-002 is one name
	}
	a, errA := strconv.Atoi(first)
	b, errB := strconv.Atoi(last)
	if errA != nil || errB != nil || a >= b || b-a >= longestSeries {
		return nil
	}
	names := make([]string, 0, b-a+1)
	for n := a; n <= b; n++ {
		digits := strconv.Itoa(n)
		zeros := strings.Repeat("0", max(0, len(first)-len(digits)))
		names = append(names, prefix+zeros+digits+cmp.Or(endFrom, endTo))
	}
	return names
}

func cutEnding(name string) (stem, ending string) {
	ending = path.Ext(name)
	return strings.TrimSuffix(name, ending), ending
}

// slashed is a path with slashes, as clean as can be.
func slashed(name string) string { return path.Clean(strings.ReplaceAll(name, `\`, "/")) }

// foldFile is a name without its case, and with one spelling of each letter:
// not every system writes "ü" as one sign.
func foldFile(name string) string { return strings.ToLower(norm.NFC.String(name)) }
