package judge

import (
	"slices"
	"strings"
)

var linkRules = []*Rule{
	{
		Name: "tagged-links", Clause: "ISO 14289-1, 7.18.5",
		Says: "Every link is of an element Link, and says in words where it leads.",
		hold: func(s *subject) (f finding) {
			s.tagged("Link", "Link", &f)
			s.eachAnnotation(func(a annotation) {
				f.unless(s.Name(a.dict["Subtype"]) != "Link" || strings.TrimSpace(s.String(a.dict["Contents"]).Text()) != "", "%s: a link has no words", a)
			})
			return f
		},
	}, {
		Name: "tagged-fields", Clause: "ISO 14289-1, 7.18.4; ISO 32000-1, 14.8.4.5",
		Says: "Every field is of an element Form, which holds nothing else, and says in words what it is for.",
		hold: func(s *subject) (f finding) {
			s.tagged("Widget", "Form", &f)
			s.eachAnnotation(func(a annotation) {
				said := s.String(a.dict["TU"]).Text() + s.String(a.dict["Contents"]).Text()
				f.unless(s.Name(a.dict["Subtype"]) != "Widget" || strings.TrimSpace(said) != "", "%s: a field has no words", a)
			})
			s.eachElement(func(e *element) {
				f.unless(e.kind != "Form" || len(e.kids) == 1 && e.kids[0].object.Number != 0, "%s does not hold one field", e)
			})
			return f
		},
	}, {
		Name: "annotations-in-elements", Clause: "ISO 14289-1, 7.18.1",
		Says: "What an element holds of the annotations are annotations of the page that it names.",
		hold: func(s *subject) (f finding) {
			s.eachElement(func(e *element) {
				for _, k := range e.kids {
					if k.object.Number == 0 {
						continue
					}
					found := false
					s.eachAnnotation(func(a annotation) {
						found = found || a.value == any(k.object) && a.ref == k.page
					})
					f.unless(found, "%s holds object %d, which is no annotation of its page", e, k.object.Number)
				}
			})
			return f
		},
	}, {
		Name: "links-have-words", Clause: "ISO 14289-1, 7.18.5",
		Says: "An element Link holds the words that are the link, or has words in their place.",
		hold: func(s *subject) (f finding) {
			s.eachElement(func(e *element) {
				if e.kind == "Link" {
					words := slices.ContainsFunc(e.kids, func(k kid) bool { return k.element != nil || k.id >= 0 })
					f.unless(words || len(s.String(e.dict["Alt"])) > 0, "%s has no words", e)
				}
			})
			return f
		},
	},
}

// tagged holds annotations of a type against the type of their elements.
func (s *subject) tagged(annotationType, kind string, f *finding) {
	_, owners := s.owners()
	for r, of := range owners {
		if string(s.Name(s.Dict(r)["Subtype"])) == annotationType {
			for _, e := range of {
				f.unless(string(e.kind) == kind, "%s in object %d is of %s", annotationType, r.Number, e)
			}
		}
	}
	s.eachAnnotation(func(a annotation) {
		for r := range owners {
			if a.value == any(r) {
				return
			}
		}
		f.unless(string(s.Name(a.dict["Subtype"])) != annotationType, "%s: %s is of no element", a, annotationType)
	})
	slices.Sort(*f)
}
