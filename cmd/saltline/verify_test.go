package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"saltline/internal/objects"
)

// What is done to a document that nobody has signed, and what verify says to it.
// Whoever changes a document has the whole of it written anew: what follows from
// nothing is found by making it again.
func TestVerifyUnsigned(t *testing.T) {
	dir := t.TempDir()
	outside := filepath.Join(dir, "outside.txt")
	for _, c := range []struct {
		name   string
		change func(*opened)
		status int
		says   string // in a line that says that something does not hold, or in the error
	}{
		{"written anew, and nothing else", func(o *opened) {}, 3, "results, pages and attached files say the same, but from byte"},

		{"record: another one, with its digests", func(o *opened) { o.inFile("readings.csv", "19.0", "59.0") }, 3,
			`the document says "21", made again it is "69"`},
		{"record: another one, without its digests", func(o *opened) {
			r := o.Dict(o.attached("readings.csv")["EF"])["UF"].(objects.Ref)
			o.all[r] = objects.Deflated(o.all[r].(*objects.Stream).Dict, []byte(smallJob["people.csv"]))
		}, 1, `attachment "readings.csv" is not the file whose size and checksum the document gives`},
		{"record: another one, with a checksum and no digest", func(o *opened) {
			spec := o.attached("readings.csv")
			said := spec["Desc"]
			o.inFile("readings.csv", "19.0", "59.0")
			spec["Desc"] = said
		}, 1, `attachment "readings.csv" is not the file whose SHA-256 the document gives`},
		{"record: a file taken away", func(o *opened) { o.detach("people.csv") }, 3, `it was made of "people.csv", which it does not carry`},
		{"record: a file added", func(o *opened) { o.attach("more.csv", []byte("a,b\n")) }, 3, `it carries "more.csv", of which it does not say that it was made`},
		{"record: a file added under the name of another", func(o *opened) { o.attach("people.csv", []byte("a,b\n")) }, 1, `two attachments are called "people.csv"`},
		{"record: a file added beside the list", func(o *opened) {
			was := o.catalog()["AF"]
			o.attach("more.csv", []byte("a,b\n"))
			o.catalog()["AF"] = was
		}, 1, "a file is attached (object"},
		{"record: called something else", func(o *opened) { o.attached("readings.csv")["AFRelationship"] = objects.Name("Data") }, 3,
			`it carries "readings.csv" as "Data", and made again as "Source"`},
		{"record: none", func(o *opened) { o.detach("made.json") }, 1, `written by "` + tool + `", carries no record`},

		{"results: a density", func(o *opened) { o.inFile("results.json", "74.04", "47.04") }, 3,
			`results, tests[2].density_mg_m2: the document says "47.04", made again it is "74.04"`},
		{"results: a digit more", func(o *opened) { o.inFile("results.json", "74.04", "74.040") }, 3,
			`the document says "74.040", made again it is "74.04"`},
		{"results: none that can be read", func(o *opened) { o.swap("results.json", []byte("{")) }, 3, "its results.json cannot be read"},
		{"results: taken away", func(o *opened) { o.detach("results.json") }, 3, `it was made of "results.json", which it does not carry`},

		{"made: with another value", func(o *opened) {
			o.inFile("made.json", `"options": [`, `"options": ["--set=limit=80 mg/m2",`)
		}, 3, `made again it is "80"`},
		{"made: on another day", func(o *opened) { o.inFile("made.json", "--date=2026-04-03", "--date=2026-04-04") }, 3, "it cannot be made again by " + tool},
		{"made: by a command that writes none", func(o *opened) { o.inFile("made.json", `"command": "report"`, `"command": "rm"`) }, 3, `names the command "rm", which is none that writes documents`},
		{"made: by the command that signs", func(o *opened) { o.inFile("made.json", `"command": "report"`, `"command": "seal"`) }, 3, `names the command "seal", which is none that writes documents`},
		{"made: writing a file outside", func(o *opened) {
			o.inFile("made.json", `"command": "report"`, `"command": "audit"`)
			o.inFile("made.json", `"options": [`, `"options": ["--questions=`+filepath.ToSlash(outside)+`",`)
		}, 3, "gives the option"},
		{"made: writing itself outside", func(o *opened) {
			o.inFile("made.json", `"options": [`, `"options": ["--output=`+filepath.ToSlash(outside)+`",`)
		}, 3, "gives the option"},
		{"made: of a file outside", func(o *opened) { o.inFile("made.json", `"options": [`, `"options": ["/etc/hosts",`) }, 3, `gives the option "/etc/hosts", which no document is made with`},
		{"made: with texts from outside", func(o *opened) { o.inFile("made.json", `"options": [`, `"options": ["--templates=/etc",`) }, 3, "gives the option"},
		{"made: behind the end of the options", func(o *opened) { o.inFile("made.json", `"options": [`, `"options": ["--",`) }, 3, "gives the option"},
		{"made: of a place outside", func(o *opened) { o.inFile("made.json", `"path": "job"`, `"path": "../../../job"`) }, 3, "names a place outside its folder"},
		{"made: of an absolute place", func(o *opened) {
			o.inFile("made.json", `"path": "job"`, `"path": "../../../../../../etc"`)
			o.inFile("made.json", `"files": [`, `"files": [], "else": [`)
		}, 3, "names no file of the record"},
		{"made: of files that it does not carry", func(o *opened) { o.inFile("made.json", `"people.csv",`, `"people.csv", "none.csv",`) }, 3, `it was made of "none.csv", which it does not carry`},
		{"made: of one file in two", func(o *opened) { o.inFile("made.json", `"people.csv",`, `"people.csv", "people.csv",`) }, 3, "lays two files in one place"},
		{"made: of nothing", func(o *opened) { o.swap("made.json", []byte("{}")) }, 3, "names the command \"\""},
		{"made: of no record", func(o *opened) { o.swap("made.json", []byte(`{"command": "report"}`)) }, 3, "names no record"},
		{"made: in no form that can be read", func(o *opened) { o.swap("made.json", []byte(`{"command": 1}`)) }, 1, "its made.json cannot be read"},
		{"made: at endless length", func(o *opened) { o.swap("made.json", bytes.Repeat([]byte(" "), mostMade+1)) }, 1, "its made.json is larger than 8 MiB"},
		{"made: of half a million files", func(o *opened) {
			o.inFile("made.json", `"people.csv",`, strings.Repeat(`"people.csv",`, 500_000))
		}, 3, "lays two files in one place"},
		{"made: by another version than it says", func(o *opened) { o.inFile("made.json", tool, "saltline 0.1.9") }, 3,
			`it says that "` + tool + `" wrote it, and its made.json says that "saltline 0.1.9" did`},

		{"made: by another version, with a verdict that another has", func(o *opened) {
			o.ofVersion("saltline 0.1.9")
			o.inText("FAIL", "PASS")
		}, 3, "1 PASS, 0 NOT ESTABLISHED, 0 VOID.\", made again it is"},
		{"made: by another version, with a number that another has", func(o *opened) {
			o.ofVersion("saltline 0.1.9")
			o.inFile("results.json", "74.04", "47.04")
		}, 3, `the document says "47.04", made again it is "74.04"`},

		{"made: by another version, with a verdict drawn over the pages", func(o *opened) {
			o.ofVersion("saltline 0.1.9")
			o.onPage("/Artifact BMC 1 g 0 0 500 500 re f BT (" + coded("A: ACCEPTED FOR SALT") + ") Tj ET EMC")
		}, 3, `head, foot and what is drawn: "A: ACCEPTED FOR SALT" stands in the document, and not in the one made again`},
		{"made: by another version, and no draft any more", func(o *opened) {
			o.ofVersion("saltline 0.1.9")
			o.inText("DRAFT, not signed in the record", "signed by all, and thus released")
		}, 3, `"DRAFT" stands in the one made again, and not in the document`},
		{"made: by another version, with a form placed on a page", func(o *opened) {
			o.ofVersion("saltline 0.1.9")
			o.onPage("/Artifact BMC /Fm1 Do EMC")
		}, 1, "something is placed that is no picture"},

		{"pages: a number", func(o *opened) { o.inText("63.2", "36.2") }, 3, `the document says "36.2", made again it is "63.2"`},
		{"pages: a verdict", func(o *opened) { o.inText("FAIL", "PASS") }, 3, "1 PASS, 0 NOT ESTABLISHED, 0 VOID.\", made again it is"},
		{"pages: the head", func(o *opened) { o.inText("page 1 of 3", "page 1 of 2") }, 3, "page 1, head and foot"},
		{"pages: one taken away", func(o *opened) {
			tree := o.dict(o.Catalog()["Pages"])
			tree["Kids"], tree["Count"] = o.Array(tree["Kids"])[:2], int64(2)
		}, 1, "is on a page that is not in the document"},
		{"pages: in another order", func(o *opened) {
			tree := o.dict(o.Catalog()["Pages"])
			k := o.Array(tree["Kids"])
			tree["Kids"] = objects.Array{k[1], k[0], k[2]}
		}, 3, "goes on with what page"},
		{"pages: one added", func(o *opened) {
			tree := o.dict(o.Catalog()["Pages"])
			content := o.add(objects.Deflated(objects.Dict{}, []byte("/P <</MCID 0>> BDC BT /F1 9 Tf 50 700 Td "+"(\x00o\x00k) Tj ET EMC")))
			page := objects.Dict{"Type": objects.Name("Page"), "Parent": o.Catalog()["Pages"], "Contents": content,
				"MediaBox": objects.Array{0, 0, 595, 842}, "Resources": o.dict(o.pages()[0])["Resources"]}
			tree["Kids"], tree["Count"] = append(o.Array(tree["Kids"]), o.add(page)), int64(4)
		}, 1, `the text "ok" (marked content 0) is part of no element`},
		{"pages: an empty one added", func(o *opened) {
			tree := o.dict(o.Catalog()["Pages"])
			content := o.add(objects.Deflated(objects.Dict{}, []byte("0 0 10 10 re f")))
			page := objects.Dict{"Type": objects.Name("Page"), "Parent": o.Catalog()["Pages"], "Contents": content, "MediaBox": objects.Array{0, 0, 595, 842}}
			tree["Kids"], tree["Count"] = append(o.Array(tree["Kids"]), o.add(page)), int64(4)
		}, 3, `the document says "4", made again it is "3"`},
		{"pages: a text that no reader is told of", func(o *opened) {
			content := o.dict(o.pages()[0])["Contents"].(objects.Ref)
			data, _ := o.Data(content, 1<<24)
			o.all[content] = objects.Deflated(o.all[content].(*objects.Stream).Dict, append(bytes.Clone(data), " BT (\x00o\x00k) Tj ET"...))
		}, 1, `the text "ok" is in no marked content`},
		{"pages: something drawn over them", func(o *opened) {
			content := o.dict(o.pages()[0])["Contents"].(objects.Ref)
			data, _ := o.Data(content, 1<<24)
			o.all[content] = objects.Deflated(o.all[content].(*objects.Stream).Dict, append(bytes.Clone(data), " 1 g 0 0 500 500 re f"...))
		}, 3, "results, pages and attached files say the same, but from byte"},
		{"looks: glyphs exchanged", func(o *opened) {
			r := o.first("Subtype", "CIDFontType2")
			program := o.Dict(o.Dict(r)["FontDescriptor"])["FontFile2"].(objects.Ref)
			data, _ := o.Data(program, 1<<24)
			data = bytes.Clone(data)
			data[len(data)-100] ^= 1
			o.all[program] = objects.Deflated(o.all[program].(*objects.Stream).Dict, data)
		}, 3, "results, pages and attached files say the same, but from byte"},
		{"what it says of itself", func(o *opened) { o.dict(o.Trailer()["Info"])["Title"] = objects.Text("Daily report, all accepted") }, 3,
			"or what it says of itself differ"},
	} {
		t.Run(c.name, func(t *testing.T) {
			o := open(t, small(t))
			c.change(o)
			path := fileWith(t, "changed.pdf", o.anew())
			status, says := does("verify", path)
			if status != c.status || !faultSays(says, c.says) {
				t.Errorf("status %d, want %d; %q is not in\n%s", status, c.status, c.says, says)
			}
			if strings.Contains(says, os.TempDir()+string(filepath.Separator)+"saltline-") {
				t.Errorf("a folder that is gone is named:\n%s", says)
			}
			if standing(outside) {
				t.Error("a file was written that the document named")
			}
		})
	}
}

// faultSays reports whether text is in a line that says that something does not
// hold, or that it could not be looked at.
func faultSays(says, text string) bool {
	for line := range strings.Lines(says) {
		if (strings.HasPrefix(line, "DOES NOT HOLD: ") || strings.HasPrefix(line, "saltline: ")) && strings.Contains(line, text) {
			return true
		}
	}
	return false
}

// A byte behind the end of a document that nobody has signed is a byte that it
// was not written with.
func TestVerifyBehindTheEnd(t *testing.T) {
	for _, more := range []string{"\n", " ", "\x00"} {
		status, says := does("verify", fileWith(t, "longer.pdf", append(small(t), more...)))
		if status != 3 || !faultSays(says, "but from byte") {
			t.Errorf("%q: status %d\n%s", more, status, says)
		}
	}
}

// What no document of this program is.
func TestVerifyOtherFiles(t *testing.T) {
	for _, c := range []struct {
		name, data string
		status     int
		says       string
	}{
		{"nothing", "", 1, "no PDF"},
		{"a text", "Frame 18\n", 1, "no PDF"},
		{"a PDF cut short", string(small(t)[:40_000]), 1, "cut short"},
		{"the head of a PDF", "%PDF-1.7\n", 1, "no end-of-file marker"},
		{"a PDF of another program", otherPDF(t), 1, `written by "a typewriter", carries no record`},
	} {
		status, says := does("verify", fileWith(t, "other.pdf", []byte(c.data)))
		if status != c.status || !strings.Contains(says, c.says) {
			t.Errorf("%s: status %d, want %d; %q is not in\n%s", c.name, status, c.status, c.says, says)
		}
	}
	if status, says := does("verify", filepath.Join(t.TempDir(), "none.pdf")); status != 1 || !strings.Contains(says, "no such file") {
		t.Errorf("no file: status %d\n%s", status, says)
	}
	if status, says := does("verify", t.TempDir()); status != 1 {
		t.Errorf("a folder: status %d\n%s", status, says)
	}
}

// otherPDF is a page that says something and nothing of what.
func otherPDF(t *testing.T) string {
	t.Helper()
	var b bytes.Buffer
	w := objects.NewWriter(&b, objects.Options{})
	root, tree, page, info := w.Reserve(), w.Reserve(), w.Reserve(), w.Reserve()
	w.Put(root, objects.Dict{"Type": objects.Name("Catalog"), "Pages": tree})
	w.Put(tree, objects.Dict{"Type": objects.Name("Pages"), "Kids": objects.Array{page}, "Count": 1})
	content := w.Reserve()
	w.Put(content, &objects.Stream{Dict: objects.Dict{}, Raw: []byte("BT (hello) Tj ET")})
	w.Put(page, objects.Dict{"Type": objects.Name("Page"), "Parent": tree, "MediaBox": objects.Array{0, 0, 10, 10}, "Contents": content})
	w.Put(info, objects.Dict{"Producer": objects.Text("a typewriter")})
	if err := w.Close(objects.Dict{"Root": root, "Info": info}); err != nil {
		t.Fatal(err)
	}
	return b.String()
}
