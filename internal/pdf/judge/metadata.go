package judge

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"maps"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"saltline/internal/objects"
)

var metadataRules = []*Rule{
	{
		Name: "metadata", Clause: "ISO 19005-3, 6.6.2.1",
		Says: "The catalog has metadata in XMP, in UTF-8, that is not packed and says neither its length nor its encoding.",
		hold: func(s *subject) (f finding) {
			m := s.Stream(s.catalog["Metadata"])
			if m == nil {
				f.add("there is no metadata")
				return f
			}
			f.unless(s.Name(m.Dict["Type"]) == "Metadata" && s.Name(m.Dict["Subtype"]) == "XML", "the stream says that it is %v %v", m.Dict["Type"], m.Dict["Subtype"])
			f.unless(m.Dict["Filter"] == nil, "the stream is packed by %v", m.Dict["Filter"])
			f.unless(utf8.Valid(m.Raw), "it is not UTF-8")
			f.unless(s.xmp.err == nil, "it is no XMP: %v", s.xmp.err)
			f.unless(!strings.Contains(s.xmp.begin, "bytes=") && !strings.Contains(s.xmp.begin, "encoding="), "the packet starts with %s", s.xmp.begin)
			f.unless(strings.Contains(s.xmp.begin, `id="W5M0MpCehiHzreSzNTczkc9d"`), "the packet has no mark of XMP")
			return f
		},
	}, {
		Name: "schemas", Clause: "ISO 19005-3, 6.6.2.3",
		Says: "Every property is of a schema that ISO 19005-3 knows, or of one that the file describes.",
		hold: func(s *subject) (f finding) {
			for _, key := range slices.SortedFunc(maps.Keys(s.xmp.properties), name.compare) {
				_, described := s.xmp.described[key]
				f.unless(knownSchemas[key.space] || described, "property %s of %s", key.local, key.space)
			}
			return f
		},
	}, {
		Name: "info", Clause: "ISO 19005-3, 6.6.3",
		Says: "The document information says what the metadata says. The clause of part 3 recommends it.",
		hold: info,
	}, {
		Name: "identification", Clause: "ISO 19005-3, 6.6.4",
		Says: "The metadata says that the file is PDF/A-3u.",
		hold: func(s *subject) (f finding) {
			part, conformance := s.xmp.properties[name{pdfaid, "part"}], s.xmp.properties[name{pdfaid, "conformance"}]
			f.unless(part == "3" && conformance == "U", "part %q, conformance %q", part, conformance)
			return f
		},
	},
}

const (
	pdfaid  = "http://www.aiim.org/pdfa/ns/id/"
	pdfuaid = "http://www.aiim.org/pdfua/ns/id/"
	dc      = "http://purl.org/dc/elements/1.1/"
	basic   = "http://ns.adobe.com/xap/1.0/"
	adobe   = "http://ns.adobe.com/pdf/1.3/"
	rdf     = "http://www.w3.org/1999/02/22-rdf-syntax-ns#"
)

// knownSchemas are those that describe themselves (6.6.2.3.1) and are used.
var knownSchemas = map[string]bool{pdfaid: true, dc: true, basic: true, adobe: true,
	"http://ns.adobe.com/xap/1.0/mm/": true, "http://ns.adobe.com/xap/1.0/rights/": true, extension: true}

const (
	extension = "http://www.aiim.org/pdfa/ns/extension/"
	schemaNS  = "http://www.aiim.org/pdfa/ns/schema#"
	propNS    = "http://www.aiim.org/pdfa/ns/property#"
)

// A name of a property.
type name struct{ space, local string }

func (n name) compare(o name) int {
	if c := strings.Compare(n.space, o.space); c != 0 {
		return c
	}
	return strings.Compare(n.local, o.local)
}

// A packet is XMP, as far as the rules ask.
type packet struct {
	begin      string // processing instruction
	properties map[name]string
	described  map[name]bool // by extension schemas
	err        error
}

// parseXMP reads the properties, each a child of a description, with all text
// in it; that of alternatives is the first.
func parseXMP(raw []byte) (p packet) {
	p.properties, p.described = map[name]string{}, map[name]bool{}
	d := xml.NewDecoder(bytes.NewReader(raw))
	var open []name
	var text strings.Builder
	space := "" // that an extension schema describes
	for {
		t, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			p.err = err
			return p
		}
		switch t := t.(type) {
		case xml.ProcInst:
			if t.Target == "xpacket" && p.begin == "" {
				p.begin = string(t.Inst)
			}
		case xml.StartElement:
			text.Reset()
			open = append(open, name{t.Name.Space, t.Name.Local})
		case xml.CharData:
			text.Write(t)
		case xml.EndElement:
			at := name{t.Name.Space, t.Name.Local}
			said := strings.TrimSpace(text.String())
			switch {
			case at == name{schemaNS, "namespaceURI"}:
				space = said
			case at == name{propNS, "name"}:
				p.described[name{space, said}] = true
			}
			// The property around a list is met after its items.
			if len(open) > 2 && said != "" {
				for i, around := range open[:len(open)-1] {
					if around == (name{rdf, "Description"}) {
						if key := open[i+1]; p.properties[key] == "" {
							p.properties[key] = said
						}
						break
					}
				}
			}
			open = open[:len(open)-1]
			text.Reset()
		}
	}
	if p.begin == "" {
		p.err = errors.New("there is no packet")
	}
	return p
}

func info(s *subject) (f finding) {
	for key, of := range map[objects.Name]name{
		"Title": {dc, "title"}, "Author": {dc, "creator"}, "Subject": {dc, "description"}, "Keywords": {adobe, "Keywords"},
		"Producer": {adobe, "Producer"}, "Creator": {basic, "CreatorTool"},
	} {
		said := s.String(s.info[key]).Text()
		f.unless(strings.Join(strings.Fields(said), " ") == strings.Join(strings.Fields(s.xmp.properties[of]), " "), "%s is %q, and the metadata says %q", key, said, s.xmp.properties[of])
	}
	for key, of := range map[objects.Name]name{"CreationDate": {basic, "CreateDate"}, "ModDate": {basic, "ModifyDate"}} {
		said := s.String(s.info[key]).Text()
		if said == "" && s.xmp.properties[of] == "" {
			continue
		}
		a, err := time.Parse("D:20060102150405Z0700", strings.ReplaceAll(said, "'", ""))
		b, other := time.Parse(time.RFC3339, s.xmp.properties[of])
		f.unless(err == nil && other == nil && a.Equal(b), "%s is %q, and the metadata says %q", key, said, s.xmp.properties[of])
	}
	slices.Sort(f)
	return f
}
