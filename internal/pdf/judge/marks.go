package judge

import (
	"slices"
	"strings"

	"saltline/internal/objects"
)

var markRules = []*Rule{
	{
		Name: "accessible-identification", Clause: "ISO 14289-1, 5",
		Says: "The metadata says that the file is PDF/UA-1.",
		hold: func(s *subject) (f finding) {
			part := s.xmp.properties[name{pdfuaid, "part"}]
			f.unless(part == "1", "part %q", part)
			return f
		},
	}, {
		Name: "marked", Clause: "ISO 14289-1, 7.1",
		Says: "The document says that it is tagged, and has no doubts about it.",
		hold: func(s *subject) (f finding) {
			mark := s.Dict(s.catalog["MarkInfo"])
			f.unless(mark["Marked"] == true && (mark["Suspects"] == nil || mark["Suspects"] == false), "MarkInfo is %v", mark)
			f.unless(s.tree != nil, "there is no structure tree")
			return f
		},
	}, {
		Name: "title", Clause: "ISO 14289-1, 7.1",
		Says: "The metadata has a title, and readers are to show it.",
		hold: func(s *subject) (f finding) {
			f.unless(s.Dict(s.catalog["ViewerPreferences"])["DisplayDocTitle"] == true, "readers are not told to show the title")
			f.unless(s.xmp.properties[name{dc, "title"}] != "", "the metadata has no title")
			return f
		},
	}, {
		Name: "language", Clause: "ISO 14289-1, 7.2",
		Says: "The document says its language.",
		hold: func(s *subject) (f finding) {
			lang := s.String(s.catalog["Lang"]).Text()
			f.unless(len(lang) >= 2 && strings.Trim(lang, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-") == "", "language %q", lang)
			return f
		},
	}, {
		Name: "all-content", Clause: "ISO 14289-1, 7.1",
		Says: "All that is drawn is tagged or an artifact.",
		hold: func(s *subject) finding { return s.drawn.outside },
	}, {
		Name: "no-mixture", Clause: "ISO 14289-1, 7.1",
		Says: "No artifact is within tagged content or tagged content within an artifact, and no tagged content within other.",
		hold: func(s *subject) finding { return s.drawn.mixed },
	}, {
		Name: "sequences", Clause: "ISO 32000-1, 14.7.4.2",
		Says: "Every sequence of marked content has a number of its own on its page, bears the type of its element, and is of exactly one element.",
		hold: sequences,
	}, {
		Name: "parent-tree", Clause: "ISO 32000-1, 14.7.4.4",
		Says: "From every sequence and every annotation the parent tree leads to the element that it is of.",
		hold: parentTree,
	}, {
		Name: "tab-order", Clause: "ISO 14289-1, 7.18.3",
		Says: "Pages with annotations are gone through in the order of the structure.",
		hold: func(s *subject) (f finding) {
			for _, p := range s.pages {
				f.unless(len(p.annotations) == 0 || s.Name(p.dict["Tabs"]) == "S", "%s: %v", p, p.dict["Tabs"])
			}
			return f
		},
	},
}

// A spot is a sequence of a page.
type spot struct {
	page objects.Ref
	id   int
}

// owners are the elements of the sequences and of the annotations.
func (s *subject) owners() (sequences map[spot][]*element, annotations map[objects.Ref][]*element) {
	sequences, annotations = map[spot][]*element{}, map[objects.Ref][]*element{}
	s.eachElement(func(e *element) {
		for _, k := range e.kids {
			switch {
			case k.element != nil:
			case k.id == -1:
				annotations[k.object] = append(annotations[k.object], e)
			default:
				at := spot{k.page, k.id}
				sequences[at] = append(sequences[at], e)
			}
		}
	})
	return sequences, annotations
}

func sequences(s *subject) (f finding) {
	owners, _ := s.owners()
	for _, p := range s.pages {
		var ids []int
		for _, q := range p.sequences {
			f.unless(!slices.Contains(ids, q.id), "%s: sequence %d is there twice", p, q.id)
			ids = append(ids, q.id)
			of := owners[spot{p.ref, q.id}]
			if len(of) != 1 {
				f.add("%s: sequence %d %q is of %d elements", p, q.id, q.text, len(of))
				continue
			}
			f.unless(s.standard(q.tag) == of[0].kind, "%s: sequence %d bears the type %s, and is of %s", p, q.id, q.tag, of[0])
		}
	}
	for at, of := range owners {
		f.unless(s.sequenceOf(at.page, at.id) != nil, "%s has sequence %d of object %d, which is not there", of[0], at.id, at.page.Number)
	}
	slices.Sort(f)
	return f
}

func parentTree(s *subject) (f finding) {
	owners, annotations := s.owners()
	for _, p := range s.pages {
		key, is := s.Int(p.dict["StructParents"])
		list := s.Array(s.parents[key])
		f.unless(is || len(p.sequences) == 0, "%s has no key", p)
		for _, q := range p.sequences {
			of := owners[spot{p.ref, q.id}]
			f.unless(is && q.id >= 0 && q.id < len(list) && len(of) == 1 && list[q.id] == objects.Value(of[0].ref), "%s: sequence %d leads elsewhere", p, q.id)
		}
	}
	s.eachAnnotation(func(a annotation) {
		key, is := s.Int(a.dict["StructParent"])
		r, _ := a.value.(objects.Ref)
		of := annotations[r]
		f.unless(is && len(of) == 1 && s.parents[key] == objects.Value(of[0].ref), "%s: annotation in object %d leads elsewhere", a, r.Number)
	})
	next, _ := s.Int(s.root["ParentTreeNextKey"])
	for key := range s.parents {
		f.unless(s.root["ParentTreeNextKey"] == nil || key < next, "the next key is said to be %d, and there is %d", next, key)
	}
	return f
}
