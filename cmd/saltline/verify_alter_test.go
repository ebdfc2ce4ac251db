package main

import (
	"bytes"
	"crypto/md5"
	"crypto/sha256"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"
	"unicode/utf16"

	"saltline/internal/objects"
)

// An opened document is one taken apart, to be changed and put together anew.
type opened struct {
	*objects.File
	t    testing.TB
	all  map[objects.Ref]objects.Value
	next int
}

func open(t testing.TB, data []byte) *opened {
	t.Helper()
	f, err := objects.Read(data)
	if err != nil {
		t.Fatal(err)
	}
	o := &opened{f, t, map[objects.Ref]objects.Value{}, f.Size()}
	for _, r := range f.Refs() {
		if kind := f.Name(f.Dict(r)["Type"]); kind != "ObjStm" && kind != "XRef" {
			o.all[r] = f.Get(r)
		}
	}
	return o
}

// anew is the document put together from its first byte on.
func (o *opened) anew() []byte {
	o.t.Helper()
	var b bytes.Buffer
	w := objects.NewWriter(&b, objects.Options{})
	for _, r := range slices.SortedFunc(maps.Keys(o.all), func(a, b objects.Ref) int { return a.Number - b.Number }) {
		w.Put(r, o.all[r])
	}
	if err := w.Close(objects.Dict{"Root": o.Trailer()["Root"], "Info": o.Trailer()["Info"]}); err != nil {
		o.t.Fatal(err)
	}
	return b.Bytes()
}

// updated is the document with one more update, of what differs from what was
// read and of what is named.
func (o *opened) updated(trailer objects.Dict, named ...objects.Ref) []byte {
	o.t.Helper()
	put := map[objects.Ref]objects.Value{}
	for r, v := range o.all {
		if slices.Contains(named, r) || fmt.Sprint(o.Get(r)) != fmt.Sprint(v) {
			put[r] = v
		}
	}
	out, err := o.Append(put, trailer)
	if err != nil {
		o.t.Fatal(err)
	}
	return out.Data
}

// dict is the dictionary that v refers to, to be changed.
func (o *opened) dict(v objects.Value) objects.Dict {
	o.t.Helper()
	r, is := v.(objects.Ref)
	if !is {
		o.t.Fatalf("%v is no reference", v)
	}
	switch v := o.all[r].(type) {
	case objects.Dict:
		return v
	case *objects.Stream:
		return v.Dict
	}
	o.t.Fatalf("object %d is no dictionary", r.Number)
	return nil
}

func (o *opened) catalog() objects.Dict { return o.dict(o.Trailer()["Root"]) }

// add adds an object.
func (o *opened) add(v objects.Value) objects.Ref {
	r := objects.Ref{Number: o.next}
	o.next++
	o.all[r] = v
	return r
}

func (o *opened) pages() []objects.Ref {
	o.t.Helper()
	pages, err := o.Pages()
	if err != nil {
		o.t.Fatal(err)
	}
	return pages
}

// inText replaces a text that a page shows, on the first page that shows it.
func (o *opened) inText(was, now string) {
	o.t.Helper()
	for _, p := range o.pages() {
		if o.inBytes(o.dict(p)["Contents"], spell(was), spell(now)) {
			return
		}
	}
	o.t.Fatalf("no page shows %q", was)
}

// inBytes replaces bytes of a stream.
func (o *opened) inBytes(v objects.Value, was, now []byte) bool {
	o.t.Helper()
	data, err := o.Data(v, 1<<24)
	if err != nil {
		o.t.Fatal(err)
	}
	if !bytes.Contains(data, was) {
		return false
	}
	r := v.(objects.Ref)
	d := o.all[r].(*objects.Stream).Dict
	o.all[r] = objects.Deflated(d, bytes.Replace(data, was, now, 1))
	return true
}

// spell is a text as the pages have it, between the brackets of its string.
func spell(text string) []byte {
	var b []byte
	for _, u := range utf16.Encode([]rune(text)) {
		b = append(b, byte(u>>8), byte(u))
	}
	return b
}

// attached is the file specification of an attached file.
func (o *opened) attached(name string) objects.Dict {
	o.t.Helper()
	for _, v := range o.Array(o.Catalog()["AF"]) {
		if o.String(o.Dict(v)["UF"]).Text() == name {
			return o.dict(v)
		}
	}
	o.t.Fatalf("nothing is attached that is called %q", name)
	return nil
}

// attachment is what an attached file holds.
func (o *opened) attachment(name string) []byte {
	o.t.Helper()
	data, err := o.Data(o.Dict(o.attached(name)["EF"])["UF"], 1<<24)
	if err != nil {
		o.t.Fatal(err)
	}
	return data
}

// swap puts another content into an attached file, with all that the document
// says of it.
func (o *opened) swap(name string, now []byte) {
	o.t.Helper()
	spec := o.attached(name)
	r := o.Dict(spec["EF"])["UF"].(objects.Ref)
	d := o.all[r].(*objects.Stream).Dict
	sum := md5.Sum(now)
	params := maps.Clone(o.Dict(d["Params"]))
	params["Size"], params["CheckSum"] = int64(len(now)), objects.String(sum[:])
	d["Params"] = params
	o.all[r] = objects.Deflated(d, now)
	spec["Desc"] = objects.Text(fmt.Sprintf("of the record, SHA-256 %x", sha256.Sum256(now)))
}

// inFile replaces a text in an attached file.
func (o *opened) inFile(name, was, now string) {
	o.t.Helper()
	data := o.attachment(name)
	if !bytes.Contains(data, []byte(was)) {
		o.t.Fatalf("%q is not in %s", was, name)
	}
	o.swap(name, bytes.Replace(data, []byte(was), []byte(now), 1))
}

// ofVersion has the document say that another version wrote it.
func (o *opened) ofVersion(tool string) {
	o.t.Helper()
	o.inFile(madeName, o.String(o.Dict(o.Trailer()["Info"])["Producer"]).Text(), tool)
	o.dict(o.Trailer()["Info"])["Producer"] = objects.Text(tool)
}

// attach adds an attached file.
func (o *opened) attach(name string, data []byte) {
	o.t.Helper()
	sum := md5.Sum(data)
	content := o.add(objects.Deflated(objects.Dict{"Type": objects.Name("EmbeddedFile"), "Subtype": objects.Name("text/csv"),
		"Params": objects.Dict{"Size": int64(len(data)), "CheckSum": objects.String(sum[:])}}, data))
	spec := o.add(objects.Dict{"Type": objects.Name("Filespec"), "F": objects.Text(name), "UF": objects.Text(name), "AFRelationship": objects.Name("Source"),
		"Desc": objects.Text(fmt.Sprintf("SHA-256 %x", sha256.Sum256(data))), "EF": objects.Dict{"F": content, "UF": content}})
	catalog := o.catalog()
	catalog["AF"] = append(slices.Clone(o.Array(catalog["AF"])), spec)
}

// detach takes an attached file away.
func (o *opened) detach(name string) {
	o.t.Helper()
	spec := o.attached(name)
	delete(o.all, o.Dict(spec["EF"])["UF"].(objects.Ref))
	catalog := o.catalog()
	var rest objects.Array
	for _, v := range o.Array(catalog["AF"]) {
		if o.String(o.Dict(v)["UF"]).Text() != name {
			rest = append(rest, v)
		}
	}
	catalog["AF"] = rest
	delete(catalog, "Names")
}

// field is the field of a name.
func (o *opened) field(name string) (objects.Ref, objects.Dict) {
	o.t.Helper()
	for _, v := range o.Array(o.Dict(o.Catalog()["AcroForm"])["Fields"]) {
		if o.String(o.Dict(v)["T"]).Text() == name {
			return v.(objects.Ref), o.dict(v)
		}
	}
	o.t.Fatalf("there is no field %q", name)
	return objects.Ref{}, nil
}

// first is the first object whose dictionary has a value.
func (o *opened) first(key, value objects.Name) objects.Ref {
	o.t.Helper()
	for _, r := range o.Refs() {
		if o.Name(o.Dict(r)[key]) == value {
			return r
		}
	}
	o.t.Fatalf("nothing has /%s /%s", key, value)
	return objects.Ref{}
}

// onPage draws something more on the first page.
func (o *opened) onPage(what string) {
	content := o.dict(o.pages()[0])["Contents"].(objects.Ref)
	data, err := o.Data(content, 1<<24)
	if err != nil {
		o.t.Fatal(err)
	}
	o.all[content] = objects.Deflated(o.all[content].(*objects.Stream).Dict, append(bytes.Clone(data), "\n"+what...))
}

// coded is a text as pages show it, in codes of two bytes.
func coded(s string) string {
	var b strings.Builder
	for _, r := range s {
		b.WriteByte(0)
		b.WriteRune(r)
	}
	return b.String()
}
