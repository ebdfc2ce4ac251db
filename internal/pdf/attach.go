package pdf

import (
	"crypto/md5"
	"crypto/sha256"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"saltline/internal/objects"
)

// attach puts the files of the document into it, as associated with the whole
// (ISO 19005-3, 6.8, annex E). Each has its size, its date, which is that of
// the document, and its digest: the MD5 that ISO 32000-1 (7.11.4) asks for, and
// in its description the SHA-256 that counts.
// Names have to be told apart.
func (f *finisher) attach() error {
	if len(f.meta.Files) == 0 {
		return nil
	}
	byName := map[string]objects.Ref{}
	var all objects.Array
	for _, it := range f.meta.Files {
		if _, known := byName[it.Name]; known || it.Name == "" {
			return fmt.Errorf("the name %q of an attached file is none, or another's", it.Name)
		}
		content, spec := f.Reserve(), f.Reserve()
		if err := it.ready(); err != nil {
			return err
		}
		embedded := objects.Dict{
			"Type": objects.Name("EmbeddedFile"), "Subtype": objects.Name(it.MIME),
			"Params": objects.Dict{"Size": it.size, "ModDate": date(f.meta), "CreationDate": date(f.meta), "CheckSum": objects.String(it.md5[:])},
		}
		maps.Copy(embedded, it.deflated.Dict)
		f.Put(content, &objects.Stream{Dict: embedded, Raw: it.deflated.Raw})
		f.Put(spec, objects.Dict{
			"Type": objects.Name("Filespec"), "F": objects.Text(ascii(it.Name)), "UF": objects.Text(it.Name),
			"Desc": objects.Text(fmt.Sprintf("%s, SHA-256 %x", it.Says, it.sha256)), "AFRelationship": objects.Name(it.Kind),
			"EF": objects.Dict{"F": content, "UF": content},
		})
		byName[it.Name] = spec
		all = append(all, spec)
	}
	var names objects.Array
	for _, name := range sortedTexts(byName) {
		names = append(names, name.text, byName[name.name])
	}
	f.catalog["Names"] = objects.Dict{"EmbeddedFiles": objects.Dict{"Names": names}}
	f.catalog["AF"] = all
	return nil
}

// ready makes a file ready to be attached, once. A fault in what writes it is met
// beside the drawing, where nobody else would.
func (f *File) ready() error {
	f.once.Do(func() {
		defer func() {
			if r := recover(); r != nil {
				f.failed = fmt.Errorf("%s: %v", f.Name, r)
			}
		}()
		writes := f.Writes
		if writes == nil {
			writes = func(w io.Writer) error {
				_, err := w.Write(f.Data)
				return err
			}
		}
		digest, check := sha256.New(), md5.New()
		f.deflated, f.failed = objects.Deflating(objects.Dict{}, func(w io.Writer) error {
			return writes(io.MultiWriter(w, digest, check, (*length)(&f.size)))
		})
		digest.Sum(f.sha256[:0])
		check.Sum(f.md5[:0])
	})
	return f.failed
}

// A length is how many bytes were written to it.
type length int64

func (n *length) Write(p []byte) (int, error) {
	*n += length(len(p))
	return len(p), nil
}

type namedText struct {
	name string
	text objects.String
}

// sortedTexts are the keys of a name tree, which stand in the order of their
// bytes.
func sortedTexts(of map[string]objects.Ref) []namedText {
	var all []namedText
	for name := range of {
		all = append(all, namedText{name, objects.Text(name)})
	}
	slices.SortFunc(all, func(a, b namedText) int { return strings.Compare(string(a.text), string(b.text)) })
	return all
}

// ascii is a name for readers that know no other letters.
func ascii(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r > '~' {
			return '_'
		}
		return r
	}, s)
}
