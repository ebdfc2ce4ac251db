package judge

import (
	"bytes"
	"crypto/md5"
	"slices"
	"strings"

	"saltline/internal/objects"
)

var attachmentRules = []*Rule{
	{
		Name: "attachments", Clause: "ISO 19005-3, 6.8; ISO 14289-1, 7.11",
		Says: "Every attached file has a name in both spellings, says what it is to the document, is associated with it, has a type, a date, its size and, where it has one, its digest.",
		hold: attachments,
	}, {
		Name: "name-tree", Clause: "ISO 32000-1, 7.9.6",
		Says: "The names of attached files are in the order of their bytes, each once.",
		hold: func(s *subject) (f finding) {
			var last objects.String
			for i, it := range s.attached() {
				f.unless(i == 0 || bytes.Compare(last, it.name) < 0, "%q comes behind %q", it.name, last)
				last = it.name
			}
			return f
		},
	}, {
		Name: "no-optional-content", Clause: "ISO 19005-3, 6.9; ISO 14289-1, 7.10",
		Says: "Nothing of the pages can be switched off. Both standards allow some.",
		hold: func(s *subject) (f finding) {
			f.unless(s.catalog["OCProperties"] == nil, "the catalog has optional content")
			for _, o := range s.all {
				f.unless(o.dict["OC"] == nil, "%s is optional", o)
			}
			return f
		},
	}, {
		Name: "no-presentations", Clause: "ISO 19005-3, 6.10",
		Says: "There are no other ways to present the pages.",
		hold: func(s *subject) (f finding) {
			f.unless(s.Dict(s.catalog["Names"])["AlternatePresentations"] == nil, "the catalog has alternate presentations")
			for _, p := range s.pages {
				f.unless(p.dict["PresSteps"] == nil, "%s has steps", p)
			}
			return f
		},
	}, {
		Name: "no-requirements", Clause: "ISO 19005-3, 6.11",
		Says: "The document does not ask for a reader that can do this or that.",
		hold: func(s *subject) (f finding) {
			f.unless(s.catalog["Requirements"] == nil, "the catalog has requirements")
			return f
		},
	},
}

// An attached file, as the name tree has it.
type attached struct {
	name objects.String
	spec objects.Value
}

func (s *subject) attached() []attached {
	var out []attached
	seen := map[objects.Ref]bool{}
	var walk func(v objects.Value)
	walk = func(v objects.Value) {
		if r, is := v.(objects.Ref); is {
			if seen[r] {
				return
			}
			seen[r] = true
		}
		d := s.Dict(v)
		names := s.Array(d["Names"])
		for i := 0; i+1 < len(names); i += 2 {
			out = append(out, attached{s.String(names[i]), names[i+1]})
		}
		for _, kid := range s.Array(d["Kids"]) {
			walk(kid)
		}
	}
	walk(s.Dict(s.catalog["Names"])["EmbeddedFiles"])
	return out
}

var relationships = []objects.Name{"Source", "Data", "Alternative", "Supplement", "Unspecified"}

func attachments(s *subject) (f finding) {
	associated := s.Array(s.catalog["AF"])
	listed := 0
	for _, it := range s.attached() {
		listed++
		spec := s.Dict(it.spec)
		file := s.Stream(s.Dict(spec["EF"])["F"])
		if file == nil {
			f.add("%q has no bytes", it.name)
			continue
		}
		f.unless(len(s.String(spec["F"])) > 0 && s.String(spec["UF"]).Text() == it.name.Text(), "%q: names %q and %q", it.name, s.String(spec["F"]), s.String(spec["UF"]))
		f.unless(slices.Contains(relationships, s.Name(spec["AFRelationship"])), "%q: relationship %q", it.name, s.Name(spec["AFRelationship"]))
		f.unless(slices.Contains(associated, it.spec), "%q is not associated with the document", it.name)
		kind, rest, _ := strings.Cut(string(s.Name(file.Dict["Subtype"])), "/")
		f.unless(kind != "" && rest != "", "%q: type %q", it.name, s.Name(file.Dict["Subtype"]))
		params := s.Dict(file.Dict["Params"])
		f.unless(len(s.String(params["ModDate"])) > 0, "%q has no date", it.name)
		data, err := s.Data(file, maxStream)
		size, _ := s.Int(params["Size"])
		f.unless(err == nil && size == len(data), "%q: size %d, and it has %d bytes (%v)", it.name, size, len(data), err)
		sum := md5.Sum(data)
		f.unless(params["CheckSum"] == nil || bytes.Equal(s.String(params["CheckSum"]), sum[:]), "%q has another digest", it.name)
	}
	specs := 0
	for _, o := range s.all {
		if o.dict["EF"] != nil {
			specs++
		}
	}
	f.unless(specs == listed, "%d files are attached, and %d are in the tree of names", specs, listed)
	return f
}
