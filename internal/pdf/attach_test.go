package pdf

import (
	"bytes"
	"crypto/md5"
	"crypto/sha256"
	"fmt"
	"io"
	"strings"
	"testing"

	"saltline/internal/frame"
	"saltline/internal/objects"
)

func attachedFiles() []*File {
	return []*File{
		{Name: "reports/tank 3.xlsx", Says: "Record as received", MIME: "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", Kind: Source, Data: []byte("PK\x03\x04 and no more")},
		{Name: "Größe µ.csv", Says: "Aufzeichnung", MIME: "text/csv", Kind: Source, Data: bytes.Repeat([]byte("42.0;2.0\r\n"), 500)},
		{Name: "empty", Says: "nothing", MIME: "text/plain", Kind: Supplement},
		{Name: "results.json", Says: "Results, for programs", MIME: "application/json", Kind: Results, Data: []byte(`{"density": 48.0}`)},
	}
}

func TestAttachments(t *testing.T) {
	m := meta
	m.Files = attachedFiles()
	f := writePrint(t, frame.Print{Pages: []*frame.Frame{page(text(1, 9, "a"))}}, m)
	names := f.Array(f.Dict(f.Dict(f.Catalog()["Names"])["EmbeddedFiles"])["Names"])
	associated := f.Array(f.Catalog()["AF"])
	if len(names) != 8 || len(associated) != 4 {
		t.Fatalf("%d names, %d associated files", len(names)/2, len(associated))
	}
	// Names are sorted by their bytes, and UTF-16 starts with FE.
	for i, want := range []string{"empty", "reports/tank 3.xlsx", "results.json", "Größe µ.csv"} {
		if got := f.String(names[2*i]).Text(); got != want {
			t.Errorf("name %d is %q, want %q", i+1, got, want)
		}
	}
	plain := map[string]string{"Größe µ.csv": "Gr__e _.csv"}
	kinds := []objects.Name{"Source", "Source", "Supplement", "Data"}
	for i, file := range m.Files {
		spec := f.Dict(associated[i])
		if got := f.String(spec["UF"]).Text(); got != file.Name {
			t.Errorf("associated file %d is %q, want %q", i+1, got, file.Name)
		}
		want := file.Name
		if other, is := plain[want]; is {
			want = other
		}
		if got := string(f.String(spec["F"])); got != want {
			t.Errorf("%s: the plain name is %q, want %q", file.Name, got, want)
		}
		if got := f.String(spec["Desc"]).Text(); got != fmt.Sprintf("%s, SHA-256 %x", file.Says, sha256.Sum256(file.Data)) {
			t.Errorf("%s: description %q", file.Name, got)
		}
		if spec["AFRelationship"] != kinds[i] {
			t.Errorf("%s: relationship %v, want %s", file.Name, spec["AFRelationship"], kinds[i])
		}
		stream := f.Stream(f.Dict(spec["EF"])["F"])
		if got := f.unpacked(stream); !bytes.Equal(got, file.Data) {
			t.Errorf("%s: %d bytes attached, and not the %d given", file.Name, len(got), len(file.Data))
		}
		params, sum := f.Dict(stream.Dict["Params"]), md5.Sum(file.Data)
		if stream.Dict["Subtype"] != objects.Name(file.MIME) || params["Size"] != int64(len(file.Data)) || !bytes.Equal(f.String(params["CheckSum"]), sum[:]) ||
			f.String(params["ModDate"]).Text() != "D:20250312161500Z" {
			t.Errorf("%s: %v", file.Name, stream.Dict)
		}
	}
}

func TestFilesOfOneNameAreRefused(t *testing.T) {
	for name, files := range map[string][]*File{
		`"a.csv"`: {{Name: "a.csv", Kind: Source, MIME: "text/csv"}, {Name: "b.csv", Kind: Source, MIME: "text/csv"}, {Name: "a.csv", Kind: Results, MIME: "text/csv"}},
		`""`:      {{Kind: Source, MIME: "text/csv"}},
	} {
		m := meta
		m.Files = files
		err := Write(io.Discard, frame.Print{Pages: []*frame.Frame{page()}}, loadFonts(t), m)
		if err == nil || !strings.Contains(err.Error(), name) {
			t.Errorf("error %v, want one with %s", err, name)
		}
	}
}

// One file travels with the documents of many days, which are written side by
// side.
func TestFilesAreShared(t *testing.T) {
	m := meta
	m.Files = attachedFiles()
	first := writePrint(t, frame.Print{Pages: []*frame.Frame{page()}}, m).raw
	all := make(chan []byte)
	fonts := loadFonts(t)
	for range 4 {
		go func() {
			var b bytes.Buffer
			if err := Write(&b, frame.Print{Pages: []*frame.Frame{page()}}, fonts, m); err != nil {
				t.Error(err)
			}
			all <- b.Bytes()
		}()
	}
	for range 4 {
		if !bytes.Equal(<-all, first) {
			t.Error("the same document gave different bytes")
		}
	}
}

func signature(name string) frame.Item {
	return frame.Field{Name: name, Says: "Signature of the " + name, W: 120, H: 30}
}

func TestFields(t *testing.T) {
	f := write(t, page(text(1, 9, "a")), page(at(20, 300, signature("inspector")), at(160, 300, &frame.Frame{Items: []frame.Placed{at(5, 5, signature("qc")), at(0, 0, signature(""))}})))
	all := f.Array(f.Dict(f.Catalog()["AcroForm"])["Fields"])
	if len(all) != 2 {
		t.Fatalf("%d fields", len(all))
	}
	for i, want := range []struct{ name, rect string }{{"inspector", "[20 70 140 100]"}, {"qc", "[165 65 285 95]"}} {
		d := f.Dict(all[i])
		if got := f.String(d["T"]).Text(); got != want.name {
			t.Errorf("field %d is %q, want %q", i+1, got, want.name)
		}
		if got := f.String(d["TU"]).Text(); got != "Signature of the "+want.name {
			t.Errorf("field %d says %q", i+1, got)
		}
		if got := spelled(d["Rect"]); got != want.rect {
			t.Errorf("field %d is at %s, want %s", i+1, got, want.rect)
		}
		if d["FT"] != objects.Name("Sig") || d["V"] != nil || d["F"] != int64(4) || d["P"] != objects.Value(f.pages[1]) {
			t.Errorf("field %d: %v", i+1, d)
		}
		look := f.Stream(f.Dict(d["AP"])["N"])
		if look == nil || len(f.unpacked(look)) != 0 || spelled(look.Dict["BBox"]) != "[0 0 120 30]" {
			t.Errorf("field %d: the look is %v", i+1, look)
		}
		if annotations := f.Array(f.Dict(f.pages[1])["Annots"]); len(annotations) != 2 || annotations[i] != all[i] {
			t.Errorf("field %d is not on its page: %v", i+1, annotations)
		}
	}
	for name, pages := range map[string]*frame.Frame{
		`"qc"`: page(at(0, 0, signature("qc")), at(0, 90, signature("qc"))), `"a.b"`: page(at(0, 0, signature("a.b"))),
	} {
		if err := Write(io.Discard, frame.Print{Pages: []*frame.Frame{pages}}, loadFonts(t), meta); err == nil || !strings.Contains(err.Error(), name) {
			t.Errorf("error %v, want one with %s", err, name)
		}
	}
}
