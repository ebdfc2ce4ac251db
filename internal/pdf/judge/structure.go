package judge

import (
	"slices"
	"strings"

	"saltline/internal/objects"
)

var treeRules = []*Rule{
	{
		Name: "tree", Clause: "ISO 32000-1, 14.7.2",
		Says: "Every element hangs where it says that it does, once.",
		hold: func(s *subject) finding { return s.odd },
	}, {
		Name: "standard-types", Clause: "ISO 14289-1, 7.1",
		Says: "Every element has a standard type or one that leads to such a type, and no standard type is made another.",
		hold: func(s *subject) (f finding) {
			s.eachElement(func(e *element) {
				f.unless(slices.Contains(standardTypes, e.kind), "%s", e)
			})
			for from := range s.Dict(s.root["RoleMap"]) {
				f.unless(!slices.Contains(standardTypes, from), "the role map changes %s", from)
			}
			return f
		},
	}, {
		Name: "nesting", Clause: "ISO 14289-1, 7.2; ISO 32000-1, 14.8.4",
		Says: "Parts of tables, lists and contents stand where they belong, and these hold nothing else; a document is at the top.",
		hold: nesting,
	}, {
		Name: "no-empty-elements", Clause: "ISO 32000-1, 14.8.4",
		Says: "No element but a cell is empty. No clause asks for it.",
		hold: func(s *subject) (f finding) {
			s.eachElement(func(e *element) {
				f.unless(len(e.kids) > 0 || e.kind == "TD" || e.kind == "TH", "%s", e)
			})
			return f
		},
	}, {
		Name: "figures", Clause: "ISO 14289-1, 7.3; ISO 32000-1, 14.8.5.4.3",
		Says: "Figures have words in their place, and a box on the page.",
		hold: func(s *subject) (f finding) {
			s.eachElement(func(e *element) {
				if e.kind != "Figure" {
					return
				}
				said := strings.TrimSpace(s.String(e.dict["Alt"]).Text() + s.String(e.dict["ActualText"]).Text())
				f.unless(said != "", "%s has no words", e)
				box, is := s.box(s.attribute(e, "Layout", "BBox"))
				f.unless(is && box[0] < box[2] && box[1] < box[3], "%s has the box %v", e, box)
			})
			return f
		},
	}, {
		Name: "headings", Clause: "ISO 14289-1, 7.4.2",
		Says: "The first heading is of level 1, and none goes more than one level deeper than the one before it. Unnumbered headings are not mixed with them.",
		hold: headings,
	}, {
		Name: "notes", Clause: "ISO 14289-1, 7.9",
		Says: "Each note has an identifier that no other has.",
		hold: func(s *subject) (f finding) {
			seen := map[string]bool{}
			s.eachElement(func(e *element) {
				if id := string(s.String(e.dict["ID"])); e.kind == "Note" {
					f.unless(id != "" && !seen[id], "%s: identifier %q", e, id)
					seen[id] = true
				}
			})
			return f
		},
	},
}

// standardTypes are those of ISO 32000-1, 14.8.4.
var standardTypes = []objects.Name{
	"Document", "Part", "Art", "Sect", "Div", "BlockQuote", "Caption", "TOC", "TOCI", "Index", "NonStruct", "Private",
	"P", "H", "H1", "H2", "H3", "H4", "H5", "H6", "L", "LI", "Lbl", "LBody", "Table", "TR", "TH", "TD", "THead", "TBody", "TFoot",
	"Span", "Quote", "Note", "Reference", "BibEntry", "Code", "Link", "Annot", "Ruby", "RB", "RT", "RP", "Warichu", "WT", "WP",
	"Figure", "Formula", "Form",
}

// holds says what these elements may hold; they hold nothing else.
var holds = map[objects.Name][]objects.Name{
	"Table": {"TR", "THead", "TBody", "TFoot", "Caption"},
	"THead": {"TR"}, "TBody": {"TR"}, "TFoot": {"TR"}, "TR": {"TH", "TD"},
	"L": {"L", "LI", "Caption"}, "LI": {"Lbl", "LBody"},
	"TOC": {"TOC", "TOCI", "Caption"}, "TOCI": {"Lbl", "Reference", "P", "NonStruct", "TOC"},
}

// within says in what alone these elements may stand.
var within = map[objects.Name][]objects.Name{
	"TR": {"Table", "THead", "TBody", "TFoot"}, "THead": {"Table"}, "TBody": {"Table"}, "TFoot": {"Table"}, "TH": {"TR"}, "TD": {"TR"},
	"LI": {"L"}, "LBody": {"LI"}, "TOCI": {"TOC"}, "Document": {"StructTreeRoot", "Document"},
}

// phrases are elements among words, which hold none of the larger ones.
var phrases = []objects.Name{"P", "H", "H1", "H2", "H3", "H4", "H5", "H6", "Link", "Reference", "Span", "Lbl"}

var larger = []objects.Name{"Document", "Part", "Art", "Sect", "Div", "BlockQuote", "TOC", "TOCI", "P", "H", "H1", "H2", "H3", "H4", "H5", "H6",
	"L", "LI", "Lbl", "LBody", "Table", "TR", "TH", "TD"}

func nesting(s *subject) (f finding) {
	if s.tree == nil {
		return nil
	}
	top := s.tree.elements()
	f.unless(len(top) == 1 && top[0].kind == "Document", "the tree has %d elements at its top, and not one document", len(top))
	s.eachElement(func(e *element) {
		if in, known := within[e.kind]; known {
			f.unless(slices.Contains(in, e.parent.kind), "%s stands in %s", e, e.parent)
		}
		allowed, closed := holds[e.kind]
		for _, k := range e.kids {
			switch {
			case k.element == nil:
				f.unless(!closed, "%s has content of its own", e)
			case closed:
				f.unless(slices.Contains(allowed, k.element.kind), "%s holds %s", e, k.element)
			case slices.Contains(phrases, e.kind):
				f.unless(!slices.Contains(larger, k.element.kind), "%s holds %s", e, k.element)
			}
		}
	})
	return f
}

func headings(s *subject) (f finding) {
	last, plain := 0, false
	s.eachElement(func(e *element) {
		if e.kind == "H" {
			plain = true
		}
		if len(e.kind) != 2 || e.kind[0] != 'H' || e.kind[1] < '1' || e.kind[1] > '6' {
			return
		}
		level := int(e.kind[1] - '0')
		f.unless(level <= last+1, "%s comes behind a heading of level %d", e, last)
		last = level
	})
	f.unless(!plain || last == 0, "headings with and without levels are mixed")
	return f
}
