package main

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"saltline/internal/objects"
	"saltline/internal/seal"
)

// What is done to a document behind its signatures, and what verify says to it.
// Nothing of it changes a byte that was signed, but where it says so.
func TestVerifySigned(t *testing.T) {
	ilse, tomas := someone(t, inspectorName), someone(t, qcName)
	one := ilse.seals(t, small(t), "inspector")
	two := tomas.seals(t, one, "qc")
	update := func(change func(*opened)) func() []byte {
		return func() []byte {
			o := open(t, two)
			change(o)
			return o.updated(nil)
		}
	}
	const after = "changed after Ilse Korvan and Tomas Rell signed: "
	for _, c := range []struct {
		name string
		made func() []byte
		says string
	}{
		{"what a page shows", update(func(o *opened) { o.inText("63.2", "36.2") }), after + "what page 1 shows"},
		{"a page taken away", update(func(o *opened) {
			tree := o.dict(o.Catalog()["Pages"])
			tree["Kids"], tree["Count"] = o.Array(tree["Kids"])[:2], int64(2)
		}), after + "the list of pages"},
		{"a note added", update(func(o *opened) {
			page := o.dict(o.pages()[0])
			note := o.add(objects.Dict{"Type": objects.Name("Annot"), "Subtype": objects.Name("FreeText"), "Rect": objects.Array{0, 0, 99, 99}, "Contents": objects.Text("accepted")})
			page["Annots"] = append(slices.Clone(o.Array(page["Annots"])), note)
		}), after + "a link or note on page 1"},
		{"another record", update(func(o *opened) { o.inFile("readings.csv", "19.0", "59.0") }), after + `the attached file "readings.csv"`},
		{"another picture of letters", update(func(o *opened) {
			r := o.first("Type", "FontDescriptor")
			o.dict(r)["Ascent"] = int64(1)
		}), after + "a font"},
		{"another description", update(func(o *opened) { o.dict(o.Trailer()["Info"])["Title"] = objects.Text("accepted") }), after + "what the document says of itself"},
		{"another description beside it", func() []byte {
			o := open(t, two)
			return o.updated(objects.Dict{"Info": o.add(objects.Dict{"Title": objects.Text("accepted")})})
		}, after + "what the document says of itself"},
		{"a second catalog", func() []byte {
			o := open(t, two)
			return o.updated(objects.Dict{"Root": o.add(o.Catalog())})
		}, after + "what the document consists of, by another catalog"},
		{"a field taken away", update(func(o *opened) {
			form := o.Dict(o.catalog()["AcroForm"])
			form["Fields"] = o.Array(form["Fields"])[:2]
			o.catalog()["AcroForm"] = form
		}), after + "what the document consists of"},
		{"a signature taken away", update(func(o *opened) {
			_, field := o.field("qc")
			delete(field, "V")
			delete(field, "AP")
		}), `changed after Ilse Korvan signed: the field "qc"`},
		{"what a field shows", update(func(o *opened) {
			_, field := o.field("inspector")
			look := o.Dict(field["AP"])["N"].(objects.Ref)
			o.all[look] = objects.Deflated(o.all[look].(*objects.Stream).Dict, []byte("0 0 1 1 re f"))
		}), after + `what the field "inspector" shows`},
		{"another look of a field", update(func(o *opened) {
			_, field := o.field("inspector")
			_, other := o.field("qc")
			field["AP"] = other["AP"]
		}), after + `the field "inspector"`},
		{"the signature of another field, moved", update(func(o *opened) {
			_, field := o.field("owner")
			_, other := o.field("qc")
			field["V"] = other["V"]
		}), `signature "owner" in the name of "Tomas Rell": it stands in another field, too`},
		{"an update that only lists again", func() []byte {
			o := open(t, two)
			return o.updated(nil, o.pages()[0])
		}, after + "page 1"},
		{"an update of nothing", func() []byte { return open(t, two).updated(nil) }, after + "an update that signs nothing"},
		{"an object that nothing leads to", update(func(o *opened) { o.add(objects.Dict{"A": int64(1)}) }), after + "object "},
		{"a second attachment of all", update(func(o *opened) { o.attach("more.csv", []byte("a,b\n")) }), after + `the attached file "more.csv"`},
		{"two signed at once", func() []byte {
			o := open(t, one)
			for _, name := range []string{"qc", "owner"} {
				_, field := o.field(name)
				field["V"] = o.add(objects.Dict{"Type": objects.Name("Sig"), "SubFilter": objects.Name("ETSI.CAdES.detached")})
			}
			return o.updated(nil)
		}, "changed after Ilse Korvan signed: 2 fields signed at once"},
		{"bytes behind the end", func() []byte { return append(bytes.Clone(two), '\n') }, "something stands in the file that no signature covers"},

		{"changed before anybody signed", func() []byte {
			o := open(t, small(t))
			o.inText("63.2", "36.2")
			return ilse.signs(t, o.updated(nil), "inspector", inspectorName, time.Now())
		}, "changed before anybody signed: what page 1 shows"},
		{"changed between two who signed", func() []byte {
			o := open(t, one)
			o.inText("63.2", "36.2")
			return tomas.signs(t, o.updated(nil), "qc", qcName, time.Now())
		}, "changed after Ilse Korvan signed: what page 1 shows"},
		{"signed, and changed in the same update", func() []byte {
			o := open(t, small(t))
			o.inText("63.2", "36.2")
			return signedWithin(t, o, ilse)
		}, "changed before anybody signed: what page 1 shows"},
		{"the signature of another document", func() []byte {
			other := written(t, "report", folderOf(t, "job", smallJob), "--produced", "2026-04-21")
			return withValue(t, one, valueOf(t, ilse.seals(t, other, "inspector")))
		}, `signature "inspector" in the name of "Ilse Korvan": the content is another than the one signed`},
		{"signed and written anew", func() []byte {
			o := open(t, one)
			return o.anew()
		}, `signature "inspector" in the name of "Ilse Korvan": the range that it signs is not all of the file up to its own end`},
		{"a range with a gap", func() []byte { return withRange(t, one, func(r *[4]int) { r[2] += 2; r[3] -= 2 }) }, "the bytes left out of what is signed are not its own value"},
		{"a range that begins later", func() []byte { return withRange(t, one, func(r *[4]int) { r[0] += 9; r[1] -= 9 }) }, "the range that it signs is not all of the file"},
		{"a range that ends earlier", func() []byte { return withRange(t, one, func(r *[4]int) { r[3] -= 9 }) }, "the range that it signs is not all of the file"},
		{"a range that goes beyond the end", func() []byte { return withRange(t, one, func(r *[4]int) { r[3] += 9 }) }, "the range that it signs is not all of the file"},
		{"another form of signature", func() []byte {
			return bytes.Replace(bytes.Clone(one), []byte("/ETSI.CAdES.detached"), []byte("/ETSI.CAdES.detacheD"), 1)
		}, `its SubFilter is "ETSI.CAdES.detacheD"`},
	} {
		t.Run(c.name, func(t *testing.T) {
			status, says := does("verify", fileWith(t, "changed.pdf", c.made()))
			if status != 3 || !faultSays(says, c.says) {
				t.Errorf("status %d, want 3; %q is not in\n%s", status, c.says, says)
			}
		})
	}
}

// signedWithin signs a document in the update that changes it.
func signedWithin(t *testing.T, o *opened, by person) []byte {
	t.Helper()
	before := len(o.all)
	signed := by.signs(t, o.updated(nil), "inspector", inspectorName, time.Now())
	last := open(t, signed)
	// What the signing put is put once more with what was changed, and signed.
	for r, v := range last.all {
		o.all[r] = v
	}
	if len(o.all) == before {
		t.Fatal("nothing was signed")
	}
	_, field := o.field("inspector")
	d := o.dict(field["V"])
	d["ByteRange"], d["Contents"] = objects.Hole{Name: "range", N: 48}, objects.Hole{Name: "contents", N: by.identity().Size(), Hex: true}
	put := map[objects.Ref]objects.Value{}
	for r, v := range o.all {
		if fmt.Sprint(o.Get(r)) != fmt.Sprint(v) {
			put[r] = v
		}
	}
	out, err := o.Append(put, nil)
	if err != nil {
		t.Fatal(err)
	}
	hole, place := out.Holes["contents"], out.Holes["range"]
	copy(out.Data[place.Start:place.End], fmt.Sprintf("[0 %d %d %d]", hole.Start, hole.End, len(out.Data)-hole.End))
	return withValue(t, out.Data, signatureOver(t, by, out.Data[:hole.Start], out.Data[hole.End:]))
}

// A certificate says whose it is and when it is valid; the record says who signs.
func TestVerifyCertificates(t *testing.T) {
	now := time.Now()
	in := func(from, to time.Duration) period { return period{now.Add(from), now.Add(to)} }
	const hour = time.Hour
	for _, c := range []struct {
		name   string
		person person
		as     string
		at     time.Time
		says   string // "" where everything holds
	}{
		{"valid", someone(t, inspectorName), inspectorName, now, ""},
		{"valid then, and no longer", newPerson(t, inspectorName, curve(t), in(-9*hour, -7*hour)), inspectorName, now.Add(-8 * hour), ""},
		{"no longer valid", newPerson(t, inspectorName, curve(t), in(-9*hour, -7*hour)), inspectorName, now, "the certificate was no longer valid"},
		{"not valid yet", newPerson(t, inspectorName, curve(t), in(hour, 9*hour)), inspectorName, now, "the certificate was not valid yet"},
		{"of somebody else than it says", someone(t, qcName), inspectorName, now, `its certificate is of "Tomas Rell"`},
		{"of somebody whom the record does not carry", someone(t, "Dace Mullin"), "Dace Mullin", now, `the record does not carry "Dace Mullin" as inspector`},
		{"of somebody whom it carries for another role", someone(t, qcName), qcName, now, `the record does not carry "Tomas Rell" as inspector`},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := fileWith(t, "sealed.pdf", c.person.signs(t, small(t), "inspector", c.as, c.at))
			want := map[bool]int{true: 0, false: 3}[c.says == ""]
			status, says := does("verify", path)
			if status != want || c.says != "" && !faultSays(says, c.says) {
				t.Errorf("status %d, want %d; %q is not in\n%s", status, want, c.says, says)
			}
			if !strings.Contains(says, "not checked: whose certificate it is") && c.at == now && want == 0 {
				t.Errorf("it is not said that nobody was asked whom to trust:\n%s", says)
			}
			if c.says != "" {
				return
			}
			if status, says = does("verify", path, "--trust", c.person.trust(t)); status != 0 || !strings.Contains(says, "its certificate leads to one of those trusted") {
				t.Errorf("trusted: status %d\n%s", status, says)
			}
			if status, says = does("verify", path, "--trust", someone(t, inspectorName).trust(t)); status != 3 || !faultSays(says, "its certificate leads to none of those trusted") {
				t.Errorf("another of that name trusted: status %d\n%s", status, says)
			}
		})
	}
	path := fileWith(t, "sealed.pdf", someone(t, inspectorName).signs(t, small(t), "inspector", inspectorName, now))
	for name, text := range map[string]string{"empty": "", "a text": "salt", "cut short": "-----BEGIN CERTIFICATE-----\nAAAA"} {
		if status, says := does("verify", path, "--trust", fileWith(t, "trust.pem", []byte(text))); status != 1 || !strings.Contains(says, "--trust") {
			t.Errorf("certificates to trust, %s: status %d\n%s", name, status, says)
		}
	}
}

// A field has to show the name that is signed with.
func TestVerifyShownName(t *testing.T) {
	for name, status := range map[string]int{inspectorName: 0, "Ilse\u00ad Kor van": 0, ownerName: 3} {
		var b bytes.Buffer
		w := objects.NewWriter(&b, objects.Options{})
		root, tree, page, content := w.Reserve(), w.Reserve(), w.Reserve(), w.Reserve()
		w.Put(root, objects.Dict{"Type": objects.Name("Catalog"), "Pages": tree})
		w.Put(tree, objects.Dict{"Type": objects.Name("Pages"), "Kids": objects.Array{page}, "Count": 1})
		w.Put(page, objects.Dict{"Type": objects.Name("Page"), "Parent": tree, "MediaBox": objects.Array{0, 0, 100, 20}, "Contents": content, "Resources": objects.Dict{}})
		w.Put(content, objects.Deflated(objects.Dict{}, fmt.Appendf(nil, "BT <%x> Tj ET BT <%x> Tj ET", spell("signed by"), spell(name))))
		if err := w.Close(objects.Dict{"Root": root}); err != nil {
			t.Fatal(err)
		}
		look, err := objects.Read(b.Bytes())
		if err != nil {
			t.Fatal(err)
		}
		sealed, err := seal.Sign(small(t), seal.Signing{Field: "inspector", Name: inspectorName, At: time.Now(), Look: look}, someone(t, inspectorName).identity())
		if err != nil {
			t.Fatal(err)
		}
		got, says := does("verify", fileWith(t, "sealed.pdf", sealed))
		if got != status || status != 0 && !faultSays(says, `what the field shows, "signed by Rowan Ansbrook", does not name "Ilse Korvan"`) {
			t.Errorf("%q: status %d, want %d\n%s", name, got, status, says)
		}
	}
}

// A file cut off behind an earlier signature is whole, and says who has not
// signed it.
func TestVerifyEarlierUpdate(t *testing.T) {
	one := someone(t, inspectorName).seals(t, small(t), "inspector")
	two := someone(t, qcName).seals(t, one, "qc")
	for _, c := range []struct {
		data []byte
		says string
	}{
		{two, "not signed as owner"},
		{two[:len(one)], "not signed as qc, owner"},
		{two[:len(small(t))], "signatures: none; not signed as inspector, qc, owner"},
	} {
		if status, says := does("verify", fileWith(t, "earlier.pdf", c.data)); status != 0 || !strings.Contains(says, c.says) {
			t.Errorf("status %d; %q is not in\n%s", status, c.says, says)
		}
	}
}

// More signatures or updates than are looked at are said to be that many, in no
// time.
func TestVerifyManyUpdates(t *testing.T) {
	data := small(t)
	for range 65 {
		data = open(t, data).updated(nil)
	}
	if status, says := does("verify", fileWith(t, "many.pdf", data)); status != 3 || !faultSays(says, seal.ErrMany.Error()) {
		t.Errorf("status %d\n%s", status, says)
	}
}

// What a stranger wrote moves no cursor.
func TestVerifySpellsControlCharacters(t *testing.T) {
	o := open(t, small(t))
	o.dict(o.Trailer()["Info"])["Title"] = objects.Text("a\x1b[2Jb\u202e")
	status, says := does("verify", fileWith(t, "changed.pdf", o.anew()))
	if status != 3 || strings.ContainsAny(says, "\x1b\u202e") || !strings.Contains(says, `a\u001b[2Jb\u202e`) {
		t.Errorf("status %d\n%q", status, says)
	}
}
