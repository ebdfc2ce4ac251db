package pdf

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"saltline/internal/frame"
	"saltline/internal/objects"
)

// A finisher writes anew what the library drew, with all that an archive asks
// for and the library does not write.
type finisher struct {
	*objects.Writer
	drawn *objects.File
	meta  Meta

	root, info  objects.Ref
	catalog     objects.Dict
	pages       []objects.Ref // of the file, in order
	annotations [][]objects.Ref
	owners      []owner                       // of annotations, by their keys in the parent tree behind those of the pages
	packed      map[objects.Ref][]byte        // contents of pages
	instead     map[objects.Ref]objects.Value // what is written instead of what was drawn
	done        map[objects.Ref]bool
}

// finish writes drawn to w, the pages of d that say what says says.
func finish(w io.Writer, drawn []byte, d *drawer, says *frame.Element, meta Meta) error {
	in, err := objects.Read(drawn)
	if err != nil {
		return err
	}
	options := objects.Options{Version: "1.7", Compact: true}
	if meta.plain {
		options = objects.Options{Version: "1.4"}
	}
	f := &finisher{
		Writer: objects.NewWriter(w, options),
		drawn:  in, meta: meta, packed: map[objects.Ref][]byte{}, instead: map[objects.Ref]objects.Value{}, done: map[objects.Ref]bool{},
	}
	for range in.Size() - 1 {
		f.Reserve() // what was drawn keeps its number
	}
	trailer := in.Trailer()
	f.root, _ = trailer["Root"].(objects.Ref)
	f.info, _ = trailer["Info"].(objects.Ref)
	f.catalog = in.Dict(f.root)
	if f.pages, err = in.Pages(); err != nil {
		return err
	}
	if len(f.pages) != len(d.tagged(len(f.pages))) {
		return errors.New("the pages drawn are not those tagged")
	}
	f.faces(d)
	f.links(d.tagged(len(f.pages)))
	if err := f.fields(d); err != nil {
		return err
	}
	if says != nil {
		f.structure(says, d)
	}
	f.pageDicts(d)
	f.describe(says != nil)
	if err := f.attach(); err != nil {
		return err
	}
	f.rest()
	return f.Close(objects.Dict{"Root": f.root, "Info": f.info})
}

// about is how long the file will be, or a little more: so much of it is known
// once the pages are packed, and a buffer that grows by doubling copies the
// file of a long log several times over. drawn is what the library handed over.
func (d *drawer) about(drawn int, files []*File) int {
	const element, fixed = 20, 32 << 10 // bytes: a register packs its elements into 16 each
	n := fixed + drawn
	for _, page := range d.press.packed {
		n += len(page) + len(page)/64
	}
	for _, f := range files {
		if f.ready() == nil {
			n += len(f.deflated.Raw)
		}
	}
	if d.tagger != nil {
		n += element * d.tagger.count
	}
	return n
}

// tagged is what is marked on each page; nothing where nobody says.
func (d *drawer) tagged(pages int) []marked {
	if d.tagger == nil {
		return make([]marked, pages)
	}
	return d.tagger.pages
}

// put writes an object that the library drew in another form.
func (f *finisher) put(r objects.Ref, v objects.Value) {
	f.done[r] = true
	f.Put(r, v)
}

// links makes each link an object of its own that is printed and says where it
// leads (ISO 19005-3, 6.3.2; ISO 14289-1, 7.18.5).
func (f *finisher) links(tagged []marked) {
	f.annotations = make([][]objects.Ref, len(f.pages))
	for p, page := range f.pages {
		for i, v := range f.drawn.Array(f.drawn.Dict(page)["Annots"]) {
			link := f.drawn.Dict(v)
			link["F"] = int64(4) // to be printed
			if i < len(tagged[p].links) {
				link["Contents"] = objects.Text(tagged[p].links[i].alt)
				link["StructParent"] = f.key(tagged[p].links[i].owner)
			}
			r := f.Reserve()
			f.PutSmall(r, link)
			f.annotations[p] = append(f.annotations[p], r)
		}
	}
}

// key is the next key in the parent tree, of an annotation of an element.
func (f *finisher) key(of owner) int64 {
	f.owners = append(f.owners, of)
	return int64(len(f.pages) + len(f.owners) - 1)
}

// fields makes the empty fields for signatures, each with a look of its own,
// which is nothing yet (ISO 19005-3, 6.3.3).
func (f *finisher) fields(d *drawer) error {
	var all objects.Array
	known := map[string]bool{}
	for _, it := range d.fields {
		if known[it.Name] || strings.Contains(it.Name, ".") { // a point joins the names of fields within fields (ISO 32000-1, 12.7.3.2)
			return fmt.Errorf("the name %q of a field is another's, or has a point", it.Name)
		}
		known[it.Name] = true
		look := f.Reserve()
		f.Put(look, objects.Deflated(objects.Dict{
			"Type": objects.Name("XObject"), "Subtype": objects.Name("Form"), "Resources": objects.Dict{},
			"BBox": objects.Array{0.0, 0.0, it.W, it.H},
		}, nil))
		r := f.Reserve()
		widget := objects.Dict{
			"Type": objects.Name("Annot"), "Subtype": objects.Name("Widget"), "FT": objects.Name("Sig"), "F": int64(4),
			"T": objects.Text(it.Name), "TU": objects.Text(it.Says), "Rect": corners(it.rect), "P": f.pages[it.page],
			"AP": objects.Dict{"N": look},
		}
		if d.tagger != nil {
			widget["StructParent"] = f.key(it.owner)
		}
		f.PutSmall(r, widget)
		f.annotations[it.page] = append(f.annotations[it.page], r)
		all = append(all, r)
	}
	if len(all) > 0 {
		f.catalog["AcroForm"] = objects.Dict{"Fields": all}
	}
	return nil
}

func corners(r [4]float64) objects.Array { return objects.Array{r[0], r[1], r[2], r[3]} }

// pageDicts writes the pages with their annotations. What can be reached by
// the keyboard comes in the order of what the page says (ISO 14289-1, 7.18.3).
func (f *finisher) pageDicts(d *drawer) {
	for p, r := range f.pages {
		page := f.drawn.Dict(r)
		if of, is := page["Contents"].(objects.Ref); is {
			f.packed[of] = d.press.packed[p]
		}
		delete(page, "Annots")
		if len(f.annotations[p]) > 0 {
			all := make(objects.Array, len(f.annotations[p]))
			for i, a := range f.annotations[p] {
				all[i] = a
			}
			page["Annots"] = all
		}
		if d.tagger != nil {
			page["StructParents"] = int64(p)
			page["Tabs"] = objects.Name("S")
		}
		f.put(r, page)
	}
}

// describe says what the file is: of which colours, by whom, of when.
func (f *finisher) describe(tagged bool) {
	colours, intent, metadata := f.Reserve(), f.Reserve(), f.Reserve()
	f.Put(colours, profile())
	f.Put(intent, objects.Dict{
		"Type": objects.Name("OutputIntent"), "S": objects.Name("GTS_PDFA1"), "DestOutputProfile": colours,
		"OutputConditionIdentifier": objects.Text("sRGB"), "Info": objects.Text("sRGB IEC61966-2.1"), "RegistryName": objects.Text("http://www.color.org"),
	})
	// Not deflated, so that programs that know nothing of PDF find it.
	f.Put(metadata, &objects.Stream{Dict: objects.Dict{"Type": objects.Name("Metadata"), "Subtype": objects.Name("XML")}, Raw: xmp(f.meta, tagged)})
	f.catalog["OutputIntents"] = objects.Array{intent}
	f.catalog["Metadata"] = metadata
	f.catalog["ViewerPreferences"] = objects.Dict{"DisplayDocTitle": true}
	delete(f.catalog, "Names") // empty, as the library writes it
	info := objects.Dict{"CreationDate": date(f.meta), "ModDate": date(f.meta)}
	for name, text := range map[objects.Name]string{
		"Title": f.meta.Title, "Author": f.meta.Author, "Subject": f.meta.Subject, "Keywords": f.meta.Keywords, "Producer": f.meta.Producer,
	} {
		if text != "" {
			info[name] = objects.Text(text)
		}
	}
	f.put(f.info, info)
}

// date is the date of production as PDF writes dates (ISO 32000-1, 7.9.4).
func date(m Meta) objects.String {
	return objects.Text(m.Created.UTC().Format("D:20060102150405") + "Z")
}

// rest writes what is left, with the counts of the bookmarks, which the library
// leaves out (ISO 32000-1, 12.3.3).
func (f *finisher) rest() {
	below := map[objects.Ref]int64{}
	for _, r := range f.drawn.Refs() {
		if mark, is := f.drawn.Get(r).(objects.Dict); is && mark["Title"] != nil {
			if parent, is := mark["Parent"].(objects.Ref); is {
				below[parent]++
			}
		}
	}
	f.put(f.root, f.catalog)
	for _, r := range f.drawn.Refs() {
		if f.done[r] {
			continue
		}
		v, other := f.instead[r]
		if !other {
			v = f.drawn.Get(r)
		}
		if mark, is := v.(objects.Dict); is && (mark["Parent"] != nil && mark["Title"] != nil || mark["Type"] == objects.Name("Outlines")) {
			delete(mark, "Count")
			if n := below[r]; n > 0 && mark["Title"] != nil {
				mark["Count"] = -n // shown closed
			} else if n > 0 {
				mark["Count"] = n
			}
		}
		if s, is := v.(*objects.Stream); is && s.Dict["Filter"] == nil {
			packed := f.packed[r]
			if packed == nil {
				packed = objects.Packed(s.Raw)
			}
			s.Dict["Filter"], s.Raw = objects.Name("FlateDecode"), packed
		}
		f.Put(r, v)
	}
}
