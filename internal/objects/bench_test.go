package objects

import (
	"bytes"
	"fmt"
	"io"
	"runtime"
	"testing"
)

// big is a file as the PDF library writes them: 10,000 pages, 20,000 objects,
// some 25 MB.
func big() []byte {
	var out bytes.Buffer
	w := NewWriter(&out, Options{})
	content := make([]byte, 2400)
	for i := range content {
		content[i] = byte(i * i >> 3)
	}
	root, pages := w.Reserve(), w.Reserve()
	kids := Array{}
	for range 10_000 {
		page, stream := w.Reserve(), w.Reserve()
		w.Put(page, Dict{"Type": Name("Page"), "Parent": pages, "Contents": stream, "Resources": root, "MediaBox": Array{0, 0, 595.28, 841.89}})
		w.Put(stream, &Stream{Dict{"Filter": Name("FlateDecode")}, content})
		kids = append(kids, page)
	}
	w.Put(root, Dict{"Type": Name("Catalog"), "Pages": pages})
	w.Put(pages, Dict{"Type": Name("Pages"), "Kids": kids, "Count": len(kids)})
	w.Close(Dict{"Root": root})
	return out.Bytes()
}

// elements writes n structure elements, as a tagged document has them.
func elements(w *Writer, n int) error {
	root := w.Reserve()
	w.Put(root, Dict{"Type": Name("Catalog")})
	for i := range n {
		w.PutSmall(w.Reserve(), Dict{"Type": Name("StructElem"), "S": Name("TD"), "P": Ref{Number: i/12 + 1}, "Pg": Ref{Number: i/240 + 1}, "K": i % 240})
	}
	return w.Close(Dict{"Root": root})
}

func BenchmarkReadBig(b *testing.B) {
	data := big()
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		read(b, data)
	}
}

func BenchmarkReadSample(b *testing.B) {
	f := readFile(b, samples(b)[0])
	b.SetBytes(int64(f.Len()))
	for b.Loop() {
		read(b, f.data)
	}
}

func BenchmarkReadElements(b *testing.B) {
	var out bytes.Buffer
	if err := elements(NewWriter(&out, Options{Compact: true}), 350_000); err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(out.Len()))
	b.Run("read", func(b *testing.B) {
		for b.Loop() {
			read(b, out.Bytes())
		}
	})
	b.Run("get", func(b *testing.B) {
		f := read(b, out.Bytes())
		for b.Loop() {
			for _, r := range f.Refs() {
				f.Get(r)
			}
		}
	})
}

func BenchmarkWriteElements(b *testing.B) {
	for _, compact := range []bool{false, true} {
		b.Run(fmt.Sprintf("compact=%v", compact), func(b *testing.B) {
			for b.Loop() {
				if err := elements(NewWriter(io.Discard, Options{Compact: compact}), 350_000); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// The finishing step at its least: all is read and written anew.
func BenchmarkCopyBig(b *testing.B) {
	data := big()
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		copyOf(b, read(b, data), false)
	}
}

func BenchmarkContent(b *testing.B) {
	line := []byte("BT /F1 9 Tf 1 0 0 1 72.25 731.5 Tm (\x00S\x00a\x00l\x00t) Tj ET 72.25 700 100.5 0.25 re f\n")
	data := bytes.Repeat(line, 10_000)
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if err := Content(data, func(string, []Value) error { return nil }); err != nil {
			b.Fatal(err)
		}
	}
}

// Files that are made to be long to read: how much they take is what is to
// be looked at.
func BenchmarkHostile(b *testing.B) {
	for name, data := range hostile() {
		b.Run(name, func(b *testing.B) {
			b.SetBytes(int64(len(data)))
			var before, after runtime.MemStats
			for b.Loop() {
				runtime.ReadMemStats(&before)
				f, err := Read(data)
				runtime.ReadMemStats(&after)
				if err == nil {
					for _, r := range f.Refs() {
						f.Get(r)
					}
				}
			}
			b.ReportMetric(float64(after.TotalAlloc-before.TotalAlloc)/1e6, "MB-read")
		})
	}
}
