package pdf

import (
	"saltline/internal/objects"
)

var wordSpoilings = []spoiling{
	{"metadata", "none", func(s *spoilt) { delete(s.catalog, "Metadata") }},
	{"metadata", "packed", func(s *spoilt) {
		r := s.catalog["Metadata"].(objects.Ref)
		s.all[r] = objects.Deflated(s.at(r), s.all[r].(*objects.Stream).Raw)
	}},
	{"metadata", "of another type", func(s *spoilt) { s.at(s.catalog["Metadata"])["Subtype"] = objects.Name("Text") }},
	{"metadata", "broken", func(s *spoilt) { s.says("</rdf:RDF>", "") }},
	{"metadata", "length", func(s *spoilt) { s.says(`?xpacket begin`, `?xpacket bytes="9" begin`) }},
	{"metadata", "not UTF-8", func(s *spoilt) { s.says("mg/m", "mg/m\xff") }},
	{"metadata", "no mark", func(s *spoilt) { s.says("W5M0MpCehiHzreSzNTczkc9d", "W5M0MpCehiHzreSzNTczkc9e") }},
	{"schemas", "not described", func(s *spoilt) { s.says("<pdfaProperty:name>part<", "<pdfaProperty:name>other<") }},
	{"schemas", "unknown", func(s *spoilt) { s.says("<pdf:Producer>", `<x:y xmlns:x="http://example.org/">1</x:y><pdf:Producer>`) }},
	{"info", "title", func(s *spoilt) { s.at(s.trailer["Info"])["Title"] = objects.Text("Another") }},
	{"info", "date", func(s *spoilt) { s.says("<xmp:CreateDate>2025-03-12", "<xmp:CreateDate>2025-03-13") }},
	{"info", "author in one only", func(s *spoilt) { delete(s.at(s.trailer["Info"]), "Author") }},
	{"identification", "part", func(s *spoilt) { s.says("<pdfaid:part>3<", "<pdfaid:part>2<") }},
	{"identification", "conformance", func(s *spoilt) { s.says("<pdfaid:conformance>U<", "<pdfaid:conformance>B<") }},
	{"accessible-identification", "none", func(s *spoilt) { s.says("<pdfuaid:part>1</pdfuaid:part>", "") }},
	{"marked", "no", func(s *spoilt) { delete(s.catalog, "MarkInfo") }},
	{"marked", "doubts", func(s *spoilt) { s.catalog["MarkInfo"].(objects.Dict)["Suspects"] = true }},
	{"marked", "no tree", func(s *spoilt) { delete(s.catalog, "StructTreeRoot") }},
	{"title", "not shown", func(s *spoilt) { delete(s.catalog, "ViewerPreferences") }},
	{"title", "none", func(s *spoilt) { s.says("Density in mg/m² (draft)", "") }},
	{"language", "none", func(s *spoilt) { delete(s.catalog, "Lang") }},
	{"language", "no tag", func(s *spoilt) { s.catalog["Lang"] = objects.Text("British English") }},
	{"all-content", "a line", func(s *spoilt) { s.draw("0 0 m 9 9 l S") }},
	{"all-content", "words", func(s *spoilt) { s.draw("BT <0041> Tj ET") }},
	{"all-content", "marked without identifier", func(s *spoilt) { s.draw("/P BMC 0 0 m 9 9 l S EMC") }},
	{"no-mixture", "words in an artifact", func(s *spoilt) { s.draw("/Artifact BMC /P <</MCID 0>> BDC EMC EMC") }},
	{"no-mixture", "an artifact in words", func(s *spoilt) { s.draw("/P <</MCID 0>> BDC /Artifact BMC EMC EMC") }},
	{"sequences", "twice", func(s *spoilt) { s.draw("/P <</MCID 0>> BDC EMC") }},
	{"sequences", "of no element", func(s *spoilt) { s.draw("/P <</MCID 99>> BDC EMC") }},
	{"sequences", "of another type", func(s *spoilt) { s.the("S", "H2")["S"] = objects.Name("P") }},
	{"sequences", "of two elements", func(s *spoilt) { s.the("S", "H2")["K"] = objects.Array{0} }},
	{"sequences", "that is not there", func(s *spoilt) {
		s.the("S", "H2")["K"] = objects.Array{objects.Dict{"Type": objects.Name("MCR"), "Pg": s.ref("Type", "Page"), "MCID": 77}}
	}},
	{"parent-tree", "pages changed about", func(s *spoilt) {
		a, b := s.the("Type", "Page"), s.the("Type", "Page", 1)
		a["StructParents"], b["StructParents"] = b["StructParents"], a["StructParents"]
	}},
	{"parent-tree", "no key of a page", func(s *spoilt) { delete(s.the("Type", "Page"), "StructParents") }},
	{"parent-tree", "no key of a link", func(s *spoilt) { delete(s.the("Subtype", "Link"), "StructParent") }},
	{"parent-tree", "next key", func(s *spoilt) { s.the("Type", "StructTreeRoot")["ParentTreeNextKey"] = 1 }},
	{"tab-order", "of the columns", func(s *spoilt) { s.the("Type", "Page")["Tabs"] = objects.Name("C") }},
}

var structureSpoilings = []spoiling{
	{"tree", "another parent", func(s *spoilt) { s.the("S", "H2")["P"] = s.ref("S", "Document") }},
	{"tree", "twice", func(s *spoilt) {
		s.kids("Document", s.ref("S", "H1"), s.ref("S", "H1"), s.ref("S", "TOC"), s.ref("S", "Part"))
	}},
	{"tree", "endless", func(s *spoilt) { s.kids("H2", s.ref("S", "Document")) }},
	{"tree", "not there", func(s *spoilt) { s.kids("TD", objects.Ref{Number: 999_999}) }},
	{"standard-types", "unknown", func(s *spoilt) { s.the("S", "Part")["S"] = objects.Name("Chapter") }},
	{"standard-types", "changed", func(s *spoilt) {
		s.the("Type", "StructTreeRoot")["RoleMap"] = objects.Dict{"P": objects.Name("H1")}
	}},
	{"nesting", "no document", func(s *spoilt) { s.the("S", "Document")["S"] = objects.Name("Part") }},
	{"nesting", "cell of no row", func(s *spoilt) { s.the("S", "TR")["S"] = objects.Name("P") }},
	{"nesting", "row of no table", func(s *spoilt) { s.the("S", "Table")["S"] = objects.Name("Part") }},
	{"nesting", "paragraph in a list", func(s *spoilt) { s.the("S", "LI")["S"] = objects.Name("P") }},
	{"nesting", "link in an entry", func(s *spoilt) { s.the("S", "Reference")["S"] = objects.Name("Link") }},
	{"nesting", "entry of no contents", func(s *spoilt) { s.the("S", "TOC")["S"] = objects.Name("Part") }},
	{"nesting", "words in a row", func(s *spoilt) { s.kids("TR", 0) }},
	{"nesting", "table in a heading", func(s *spoilt) { s.the("S", "Part")["S"] = objects.Name("H2") }},
	{"no-empty-elements", "heading", func(s *spoilt) { s.kids("H2") }},
	{"figures", "no words", func(s *spoilt) { delete(s.the("S", "Figure"), "Alt") }},
	{"figures", "blank words", func(s *spoilt) { s.the("S", "Figure")["Alt"] = objects.Text(" ") }},
	{"figures", "no place", func(s *spoilt) { delete(s.the("S", "Figure"), "A") }},
	{"headings", "first", func(s *spoilt) { s.the("S", "H1")["S"] = objects.Name("H2") }},
	{"headings", "skipped", func(s *spoilt) { s.the("S", "H2")["S"] = objects.Name("H3") }},
	{"headings", "mixed", func(s *spoilt) { s.the("S", "H2")["S"] = objects.Name("H") }},
	{"notes", "no identifier", func(s *spoilt) { s.the("S", "P")["S"] = objects.Name("Note") }},
	{"regular-tables", "a cell too few", func(s *spoilt) { s.kids("TR", s.ref("S", "TH")) }},
	{"regular-tables", "wider than the table", func(s *spoilt) { s.span("ColSpan", 3) }},
	{"regular-tables", "higher than the table", func(s *spoilt) { s.span("RowSpan", 2) }},
	{"heads-of-tables", "no scope", func(s *spoilt) { delete(s.the("S", "TH"), "A") }},
	{"heads-of-tables", "no heads", func(s *spoilt) {
		s.the("S", "TH")["S"] = objects.Name("TD")
		s.the("S", "TH")["S"] = objects.Name("TD") // the second, which is now the first
	}},
	{"lists", "no numbering", func(s *spoilt) { delete(s.the("S", "L"), "A") }},
	{"lists", "no body", func(s *spoilt) { s.kids("LI", s.ref("S", "Lbl")) }},
	{"lists", "no items", func(s *spoilt) { s.kids("L") }},
	{"tagged-links", "no words", func(s *spoilt) { delete(s.the("Subtype", "Link"), "Contents") }},
	{"tagged-links", "of another element", func(s *spoilt) { s.the("S", "Link")["S"] = objects.Name("Span") }},
	{"tagged-links", "of no element", func(s *spoilt) { s.kids("Reference") }},
	{"tagged-fields", "no words", func(s *spoilt) { delete(s.the("Subtype", "Widget"), "TU") }},
	{"tagged-fields", "of another element", func(s *spoilt) { s.the("S", "Form")["S"] = objects.Name("Span") }},
	{"tagged-fields", "with words", func(s *spoilt) {
		form := s.the("S", "Form")
		form["K"] = append(form["K"].(objects.Array), 0)
	}},
	{"annotations-in-elements", "of another page", func(s *spoilt) {
		for _, k := range s.the("S", "Form")["K"].(objects.Array) {
			k.(objects.Dict)["Pg"] = s.ref("Type", "Page")
		}
	}},
	{"links-have-words", "none", func(s *spoilt) {
		link := s.the("S", "Link")
		link["K"] = link["K"].(objects.Array)[1:]
		delete(link, "Alt")
	}},
}

// kids replaces those of the first element of a type.
func (s *spoilt) kids(kind objects.Name, kids ...objects.Value) {
	s.the("S", kind)["K"] = objects.Array(kids)
}

// span changes that of the one cell which spans columns.
func (s *spoilt) span(key objects.Name, n int) {
	for _, r := range s.Refs() {
		d, _ := s.all[r].(objects.Dict)
		if a, is := d["A"].(objects.Dict); is && a["ColSpan"] != nil {
			a[key] = n
		}
	}
}
