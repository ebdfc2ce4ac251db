package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"runtime/debug"
	"strings"
	"testing"

	"saltline/internal/objects"
)

// A document may come from a stranger, too: it is looked at in bounded time and
// memory, and what it names outside of itself is neither read nor written.
func TestDocumentsOfStrangers(t *testing.T) {
	one := someone(t, inspectorName).seals(t, small(t), "inspector")
	anew := func(change func(*opened)) func() []byte {
		return func() []byte {
			o := open(t, small(t))
			change(o)
			return o.anew()
		}
	}
	record := func(name string, data []byte) func(*opened) {
		return func(o *opened) {
			o.inFile("made.json", `"readings.csv"`, `"`+name+`"`)
			o.attach(name, data)
		}
	}
	var book bytes.Buffer
	if err := honest().with("xl/worksheets/sheet1.xml", times("<worksheet>", "<row/>", 60<<20/6, "</worksheet>")).zip()(&book); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name   string
		made   func() []byte
		status int
		says   string
	}{
		{"an attachment of a hundred megabytes of nothing", anew(func(o *opened) { o.attach("zeros", make([]byte, 100<<20)) }), 3, `it carries "zeros"`},
		{"one that lies about its size", anew(func(o *opened) {
			r := o.Dict(o.attached("people.csv")["EF"])["UF"]
			params := o.Dict(o.dict(r)["Params"])
			params["Size"] = int64(120 << 20)
			o.dict(r)["Params"] = params
		}), 1, "whose size and checksum"},
		{"many pages of one content", anew(func(o *opened) {
			tree := o.dict(o.Catalog()["Pages"])
			content := o.add(objects.Deflated(objects.Dict{}, bytes.Repeat([]byte(" "), 60<<20)))
			kids := o.Array(tree["Kids"])
			for range 500 {
				kids = append(kids, o.add(objects.Dict{"Type": objects.Name("Page"), "Parent": o.Catalog()["Pages"], "Contents": content, "MediaBox": objects.Array{0, 0, 1, 1}}))
			}
			tree["Kids"], tree["Count"] = kids, int64(len(kids))
		}), 1, "more than the limit"},
		{"results of two million lists", anew(func(o *opened) { o.swap("results.json", []byte("["+strings.Repeat("[],", 2<<20)+"1]")) }), 3, "results"},
		{"results of lists in lists", anew(func(o *opened) { o.swap("results.json", bytes.Repeat([]byte("["), 5<<20)) }), 3, "its results.json cannot be read"},
		{"made of millions of records", anew(func(o *opened) {
			o.swap("made.json", []byte(`{"command":"report","records":[`+strings.Repeat(`{},`, 2_600_000)+`{}]}`))
		}), 3, "names no file of the record"},
		{"made with millions of options", anew(func(o *opened) {
			o.inFile("made.json", `"options": [`, `"options": [`+strings.Repeat(`"--set=limit=1",`, 400_000))
		}), 3, ""},
		{"a log as long as may be", func() []byte {
			row := "1,2026-04-03,1.5,9.0,3\n"
			log := strings.Repeat(row, 100<<20/len(row))
			return anew(record("long.csv", []byte("test,date,blank_uS_cm,extract_uS_cm,volume_ml\n"+log)))()
		}, 3, "it cannot be made again"},
		{"a workbook that unfolds without end", anew(record("book.xlsx", book.Bytes())), 3, "it cannot be made again"},
		{"a thousand fields with one signature", func() []byte {
			o := open(t, one)
			_, field := o.field("inspector")
			form := o.Dict(o.catalog()["AcroForm"])
			fields := o.Array(form["Fields"])
			for i := range 1000 {
				fields = append(fields, o.add(objects.Dict{"FT": objects.Name("Sig"), "T": objects.Text(fmt.Sprint(i)), "V": field["V"]}))
			}
			form["Fields"] = fields
			o.catalog()["AcroForm"] = form
			return o.updated(nil)
		}, 3, "more than 64 signatures"},
		{"fifty thousand objects changed, of as many pages", func() []byte {
			o := open(t, one)
			tree := o.dict(o.Catalog()["Pages"])
			kids := o.Array(tree["Kids"])
			for range 50_000 {
				kids = append(kids, o.add(objects.Dict{"Type": objects.Name("Page"), "Parent": o.Catalog()["Pages"], "MediaBox": objects.Array{0, 0, 1, 1}}))
			}
			tree["Kids"], tree["Count"] = kids, int64(len(kids))
			return o.updated(nil)
		}, 3, "more objects"},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			if err := os.WriteFile(filepath.Join(dir, "document.pdf"), c.made(), 0o644); err != nil {
				t.Fatal(err)
			}
			debug.FreeOSMemory() // what this process holds is counted with what it starts
			got := runs(t, dir, "verify", "document.pdf")
			if got.status != c.status || !faultSays(got.out+got.lines, c.says) {
				t.Errorf("status %d, want %d; %q is not in\n%.2000s%.2000s", got.status, c.status, c.says, got.out, got.lines)
			}
		})
	}
}
