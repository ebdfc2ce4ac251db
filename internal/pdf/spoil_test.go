package pdf

import (
	"slices"
	"strings"

	"saltline/internal/objects"
)

var fileSpoilings = []spoiling{
	{"encryption", "the trailer says so", func(s *spoilt) {
		s.trailer["Encrypt"] = s.add(objects.Dict{"Filter": objects.Name("Standard")})
	}},
	{"identifier", "empty", func(s *spoilt) { s.trailer["ID"] = objects.Array{objects.String{}, objects.String{}} }},
	{"no-external-stream", "F", func(s *spoilt) { s.the("Subtype", "Image")["F"] = objects.String("elsewhere") }},
	{"filters", "LZW", func(s *spoilt) { _, file := s.attached(); file["Filter"] = objects.Name("LZWDecode") }},
	{"filters", "not packed as it says", func(s *spoilt) {
		spec, file := s.attached()
		s.all[spec["EF"].(objects.Dict)["F"].(objects.Ref)] = &objects.Stream{Dict: file, Raw: []byte("not packed")}
	}},
	{"names", "not UTF-8", func(s *spoilt) { s.the("Type", "FontDescriptor")["FontName"] = objects.Name("\xff") }},
	{"limits", "integer", func(s *spoilt) { s.catalog["X"] = int64(1 << 40) }},
	{"limits", "name", func(s *spoilt) { s.catalog["X"] = objects.Name(strings.Repeat("x", 128)) }},
	{"limits", "string", func(s *spoilt) { s.catalog["X"] = make(objects.String, 32768) }},
	{"limits", "page", func(s *spoilt) {
		s.the("Type", "Page")["MediaBox"] = objects.Array{0, 0, 20000, 300}
	}},
	{"limits", "deep", func(s *spoilt) { s.draw(strings.Repeat("q ", 30) + strings.Repeat("Q ", 30)) }},
	{"limits", "operand", func(s *spoilt) { s.draw("99999999999 w") }},
	{"permissions", "rights", func(s *spoilt) { s.catalog["Perms"] = objects.Dict{"Other": objects.Dict{}} }},
	{"outline", "count", func(s *spoilt) { delete(s.at(s.at(s.catalog["Outlines"])["First"]), "Count") }},
	{"outline", "nowhere", func(s *spoilt) { delete(s.at(s.at(s.catalog["Outlines"])["First"]), "Dest") }},
	{"outline", "endless", func(s *spoilt) {
		first := s.at(s.catalog["Outlines"])["First"]
		s.at(first)["Next"] = first
	}},
	{"attachments", "no relationship", func(s *spoilt) { spec, _ := s.attached(); delete(spec, "AFRelationship") }},
	{"attachments", "another name", func(s *spoilt) { spec, _ := s.attached(); spec["UF"] = objects.Text("other") }},
	{"attachments", "no plain name", func(s *spoilt) { spec, _ := s.attached(); delete(spec, "F") }},
	{"attachments", "not associated", func(s *spoilt) { s.catalog["AF"] = s.catalog["AF"].(objects.Array)[1:] }},
	{"attachments", "no type", func(s *spoilt) { _, file := s.attached(); delete(file, "Subtype") }},
	{"attachments", "no date", func(s *spoilt) { _, file := s.attached(); delete(file["Params"].(objects.Dict), "ModDate") }},
	{"attachments", "size", func(s *spoilt) { _, file := s.attached(); file["Params"].(objects.Dict)["Size"] = 3 }},
	{"attachments", "digest", func(s *spoilt) {
		_, file := s.attached()
		file["Params"].(objects.Dict)["CheckSum"] = make(objects.String, 16)
	}},
	{"attachments", "out of the tree", func(s *spoilt) { delete(s.catalog, "Names") }},
	{"name-tree", "order", func(s *spoilt) {
		names := s.catalog["Names"].(objects.Dict)["EmbeddedFiles"].(objects.Dict)["Names"].(objects.Array)
		names[0], names[1], names[2], names[3] = names[2], names[3], names[0], names[1]
	}},
	{"no-optional-content", "catalog", func(s *spoilt) { s.catalog["OCProperties"] = objects.Dict{} }},
	{"no-optional-content", "picture", func(s *spoilt) { s.the("Subtype", "Image")["OC"] = objects.Dict{} }},
	{"no-presentations", "names", func(s *spoilt) { s.catalog["Names"].(objects.Dict)["AlternatePresentations"] = objects.Dict{} }},
	{"no-presentations", "steps", func(s *spoilt) { s.the("Type", "Page")["PresSteps"] = objects.Dict{} }},
	{"no-requirements", "catalog", func(s *spoilt) { s.catalog["Requirements"] = objects.Array{} }},
}

var graphicsSpoilings = []spoiling{
	{"operators", "unknown", func(s *spoilt) { s.draw("xyz") }},
	{"operators", "q without Q", func(s *spoilt) { s.draw("q") }},
	{"operators", "Q without q", func(s *spoilt) { s.draw("Q") }},
	{"operators", "BMC without EMC", func(s *spoilt) { s.draw("/Artifact BMC") }},
	{"operators", "BT without ET", func(s *spoilt) { s.draw("BT") }},
	{"resources", "font", func(s *spoilt) { s.draw("/Nowhere 9 Tf") }},
	{"resources", "picture", func(s *spoilt) { s.draw("/Artifact BMC /Nowhere Do EMC") }},
	{"output-intent", "none", func(s *spoilt) { delete(s.catalog, "OutputIntents") }},
	{"output-intent", "two", func(s *spoilt) {
		all := s.catalog["OutputIntents"].(objects.Array)
		s.catalog["OutputIntents"] = append(all, all[0])
	}},
	{"output-intent", "colours", func(s *spoilt) { s.at(s.the("Type", "OutputIntent")["DestOutputProfile"])["N"] = 4 }},
	{"output-intent", "class", func(s *spoilt) { s.profile(12, "scnr") }},
	{"output-intent", "mark", func(s *spoilt) { s.profile(36, "acse") }},
	{"output-intent", "version", func(s *spoilt) { s.profile(8, "\x05") }},
	{"output-intent", "space", func(s *spoilt) { s.profile(16, "CMYK") }},
	{"output-intent", "length", func(s *spoilt) { s.profile(0, "\x01") }},
	{"colours", "CMYK", func(s *spoilt) { s.draw("0 0 0 1 k") }},
	{"colours", "CMYK by name", func(s *spoilt) { s.draw("/DeviceCMYK CS") }},
	{"colours", "picture", func(s *spoilt) { s.the("Subtype", "Image")["ColorSpace"] = objects.Name("DeviceCMYK") }},
	{"colours", "picture of CMYK by a table", func(s *spoilt) {
		s.the("Subtype", "Image")["ColorSpace"] = objects.Array{objects.Name("Indexed"), objects.Name("DeviceCMYK"), 0, objects.String("1234")}
	}},
	{"graphics-state", "transfer", func(s *spoilt) {
		s.resources()["ExtGState"] = objects.Dict{"G": objects.Dict{"TR": objects.Name("Identity")}}
	}},
	{"graphics-state", "blend", func(s *spoilt) {
		s.resources()["ExtGState"] = objects.Dict{"G": objects.Dict{"BM": objects.Name("Burn")}}
	}},
	{"rendering-intents", "operator", func(s *spoilt) { s.draw("/Pretty ri") }},
	{"rendering-intents", "picture", func(s *spoilt) { s.the("Subtype", "Image")["Intent"] = objects.Name("Pretty") }},
	{"pictures", "interpolated", func(s *spoilt) { s.the("Subtype", "Image")["Interpolate"] = true }},
	{"pictures", "alternates", func(s *spoilt) { s.the("Subtype", "Image")["Alternates"] = objects.Array{} }},
	{"pictures", "bits", func(s *spoilt) { s.the("Subtype", "Image")["BitsPerComponent"] = 3 }},
	{"forms", "PostScript", func(s *spoilt) { s.the("Subtype", "Form")["Subtype2"] = objects.Name("PS") }},
	{"forms", "elsewhere", func(s *spoilt) { s.the("Subtype", "Form")["Ref"] = objects.Dict{} }},
	{"transparency", "no colours to blend in", func(s *spoilt) {
		delete(s.catalog, "OutputIntents")
		image := s.ref("Subtype", "Image")
		s.at(image)["SMask"] = image
	}},
	{"transparency", "no colours for what shines through", func(s *spoilt) {
		delete(s.catalog, "OutputIntents")
		s.resources()["ExtGState"] = objects.Dict{"G": objects.Dict{"ca": 0.5}}
	}},
}

// profile changes bytes of the colour profile.
func (s *spoilt) profile(at int, to string) {
	s.unpack(s.the("Type", "OutputIntent")["DestOutputProfile"], func(b []byte) []byte {
		copy(b[at:], to)
		return b
	})
}

var fontSpoilings = []spoiling{
	{"font-types", "of the reader", func(s *spoilt) { s.the("Subtype", "Type0")["Subtype"] = objects.Name("Type1") }},
	{"font-types", "none below", func(s *spoilt) { s.the("Subtype", "Type0")["DescendantFonts"] = objects.Array{} }},
	{"character-collection", "none", func(s *spoilt) { delete(s.the("Subtype", "CIDFontType2"), "CIDSystemInfo") }},
	{"glyph-map", "none", func(s *spoilt) { delete(s.the("Subtype", "CIDFontType2"), "CIDToGIDMap") }},
	{"codes", "of the reader", func(s *spoilt) { s.the("Subtype", "Type0")["Encoding"] = objects.Name("UniGB-UCS2-H") }},
	{"embedded-fonts", "none", func(s *spoilt) { delete(s.the("Type", "FontDescriptor"), "FontFile2") }},
	{"embedded-fonts", "cut short", func(s *spoilt) {
		s.unpack(s.the("Type", "FontDescriptor")["FontFile2"], func(b []byte) []byte { return b[:len(b)/2] })
	}},
	{"embedded-fonts", "glyphs beyond the last", func(s *spoilt) {
		s.unpack(s.the("Subtype", "CIDFontType2")["CIDToGIDMap"], func(b []byte) []byte { return slices.Repeat([]byte{0xFF}, len(b)) })
	}},
	{"widths", "all one", func(s *spoilt) { s.the("Subtype", "CIDFontType2")["W"] = objects.Array{0, 65535, 100} }},
	{"widths", "none", func(s *spoilt) { delete(s.the("Subtype", "CIDFontType2"), "W") }},
	{"unicode", "none", func(s *spoilt) { delete(s.the("Subtype", "Type0"), "ToUnicode") }},
	{"unicode", "one range over all", func(s *spoilt) {
		s.characters("1 beginbfrange\n<0000> <FFFF> <0000>\nendbfrange")
	}},
	{"unicode", "no characters", func(s *spoilt) { s.characters("1 beginbfchar\n<0052> <FEFF>\nendbfchar") }},
	{"no-notdef", "no glyphs", func(s *spoilt) {
		s.unpack(s.the("Subtype", "CIDFontType2")["CIDToGIDMap"], func(b []byte) []byte { return make([]byte, len(b)) })
	}},
}

func (s *spoilt) characters(table string) {
	s.unpack(s.the("Subtype", "Type0")["ToUnicode"], func([]byte) []byte { return []byte(table) })
}

var annotationSpoilings = []spoiling{
	{"annotation-types", "a note", func(s *spoilt) { s.the("Subtype", "Link")["Subtype"] = objects.Name("Text") }},
	{"annotation-flags", "not printed", func(s *spoilt) { delete(s.the("Subtype", "Link"), "F") }},
	{"annotation-flags", "hidden", func(s *spoilt) { s.the("Subtype", "Widget")["F"] = 6 }},
	{"appearances", "none", func(s *spoilt) { delete(s.the("Subtype", "Widget"), "AP") }},
	{"appearances", "another when pressed", func(s *spoilt) {
		look := s.the("Subtype", "Widget")["AP"].(objects.Dict)
		look["D"] = look["N"]
	}},
	{"appearances", "no place", func(s *spoilt) { delete(s.the("Subtype", "Widget"), "Rect") }},
	{"fields", "drawn by the reader", func(s *spoilt) { s.form()["NeedAppearances"] = true }},
	{"fields", "no name", func(s *spoilt) { delete(s.the("Subtype", "Widget"), "T") }},
	{"fields", "of no form", func(s *spoilt) { delete(s.catalog, "AcroForm") }},
	{"fields", "another page", func(s *spoilt) { s.the("Subtype", "Widget")["P"] = s.ref("Type", "Page") }},
	{"fields", "does something", func(s *spoilt) { s.the("Subtype", "Widget")["A"] = objects.Dict{"S": objects.Name("GoTo")} }},
	{"no-xfa", "XFA", func(s *spoilt) { s.form()["XFA"] = objects.String("x") }},
	{"actions", "launch", func(s *spoilt) {
		s.the("Subtype", "Link")["A"] = objects.Dict{"S": objects.Name("Launch"), "F": objects.String("x")}
	}},
	{"actions", "when opened", func(s *spoilt) {
		s.catalog["OpenAction"] = objects.Dict{"S": objects.Name("JavaScript"), "JS": objects.String("x")}
	}},
	{"actions", "a program by name", func(s *spoilt) { s.catalog["Names"].(objects.Dict)["JavaScript"] = objects.Dict{} }},
	{"no-triggers", "catalog", func(s *spoilt) { s.catalog["AA"] = objects.Dict{} }},
	{"no-triggers", "page", func(s *spoilt) { s.the("Type", "Page")["AA"] = objects.Dict{} }},
	{"links", "nowhere", func(s *spoilt) {
		s.the("Subtype", "Link")["Dest"] = objects.Array{s.trailer["Root"], objects.Name("Fit")}
	}},
}

func (s *spoilt) form() objects.Dict { return s.catalog["AcroForm"].(objects.Dict) }
