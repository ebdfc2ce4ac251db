package judge

import (
	"slices"

	"saltline/internal/objects"
)

var annotationRules = []*Rule{
	{
		Name: "annotation-types", Clause: "ISO 19005-3, 6.3.1",
		Says: "Annotations are links or fields, and are what the pages say that they are. ISO 19005-3 allows more.",
		hold: func(s *subject) (f finding) {
			s.eachAnnotation(func(a annotation) {
				t := s.Name(a.dict["Subtype"])
				f.unless(t == "Link" || t == "Widget", "%s: %s", a, t)
			})
			return f
		},
	}, {
		Name: "annotation-flags", Clause: "ISO 19005-3, 6.3.2",
		Says: "Annotations are printed, and are neither hidden nor invisible.",
		hold: func(s *subject) (f finding) {
			s.eachAnnotation(func(a annotation) {
				const invisible, hidden, printed, noView, toggleNoView = 1, 2, 4, 32, 256
				flags, _ := s.Int(a.dict["F"])
				f.unless(flags&printed != 0 && flags&(invisible|hidden|noView|toggleNoView) == 0, "%s: flags %d", a, flags)
			})
			return f
		},
	}, {
		Name: "appearances", Clause: "ISO 19005-3, 6.3.3",
		Says: "An annotation that is no link and has a size has one look, which is a stream.",
		hold: func(s *subject) (f finding) {
			s.eachAnnotation(func(a annotation) {
				look := s.Dict(a.dict["AP"])
				box, is := s.box(a.dict["Rect"])
				f.unless(is, "%s has no rectangle", a)
				if s.Name(a.dict["Subtype"]) == "Link" || box[0] == box[2] && box[1] == box[3] {
					return
				}
				f.unless(len(look) == 1 && s.Stream(look["N"]) != nil, "%s", a)
			})
			return f
		},
	}, {
		Name: "fields", Clause: "ISO 19005-3, 6.4.1",
		Says: "Fields do nothing, and are shown as they stand; each has a name that no other has.",
		hold: fields,
	}, {
		Name: "no-xfa", Clause: "ISO 19005-3, 6.4.2; ISO 14289-1, 7.15",
		Says: "There is no form in XML.",
		hold: func(s *subject) (f finding) {
			f.unless(s.Dict(s.catalog["AcroForm"])["XFA"] == nil, "the form has XFA")
			f.unless(s.catalog["NeedsRendering"] == nil || s.catalog["NeedsRendering"] == false, "the catalog needs rendering")
			return f
		},
	}, {
		Name: "actions", Clause: "ISO 19005-3, 6.5.1",
		Says: "What a reader may be made to do is to go somewhere. ISO 19005-3 allows more.",
		hold: func(s *subject) (f finding) {
			for _, o := range s.all {
				for _, key := range []objects.Name{"A", "OpenAction", "Next"} {
					action := s.Dict(o.dict[key])
					if action == nil || action["S"] == nil || s.Name(action["Type"]) == "StructElem" || key == "A" && action["O"] != nil {
						continue
					}
					t := s.Name(action["S"])
					f.unless(t == "GoTo" || t == "URI", "%s: %s", o, t)
				}
				f.unless(o.dict["JS"] == nil && o.dict["JavaScript"] == nil, "%s holds a program", o)
			}
			return f
		},
	}, {
		Name: "no-triggers", Clause: "ISO 19005-3, 6.5.2",
		Says: "Nothing happens by itself.",
		hold: func(s *subject) (f finding) {
			for _, o := range s.all {
				f.unless(o.dict["AA"] == nil, "%s", o)
			}
			return f
		},
	}, {
		Name: "links", Clause: "ISO 32000-1, 12.5.6.5",
		Says: "Every link leads to a page of the file or to an address.",
		hold: func(s *subject) (f finding) {
			s.eachAnnotation(func(a annotation) {
				f.unless(s.Name(a.dict["Subtype"]) != "Link" || s.leads(a.dict), "%s", a)
			})
			return f
		},
	},
}

// An annotation of a page.
type annotation struct {
	*page
	value objects.Value
	dict  objects.Dict
}

func (s *subject) eachAnnotation(f func(annotation)) {
	for _, p := range s.pages {
		for _, v := range p.annotations {
			f(annotation{p, v, s.Dict(v)})
		}
	}
}

func fields(s *subject) (f finding) {
	form := s.Dict(s.catalog["AcroForm"])
	f.unless(form["NeedAppearances"] == nil || form["NeedAppearances"] == false, "readers have to draw the fields")
	all := s.Array(form["Fields"])
	var names []string
	for _, v := range all {
		d := s.Dict(v)
		t := s.String(d["T"]).Text()
		f.unless(t != "" && !slices.Contains(names, t), "a field has the name %q, which is none or another's", t)
		names = append(names, t)
	}
	s.eachAnnotation(func(a annotation) {
		if s.Name(a.dict["Subtype"]) == "Widget" {
			f.unless(a.dict["A"] == nil && a.dict["AA"] == nil, "%s: a field does something", a)
			f.unless(slices.Contains(all, a.value), "%s: a field is not of the form", a)
			f.unless(a.dict["P"] == nil || a.dict["P"] == objects.Value(a.ref), "%s: a field says that it is on another page", a)
		}
	})
	return f
}
