package pdf

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"strings"
)

// xmp is what the file says about itself for programs that know nothing of PDF
// (ISO 16684-1), and that it claims to be PDF/A-3u and, where it is tagged,
// PDF/UA-1. It says the same as the document information (ISO 19005-3, 6.6).
func xmp(m Meta, tagged bool) []byte {
	var b bytes.Buffer
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	part, conformance := "3", "U"
	if m.plain {
		part, conformance = "1", "B"
	}
	line("<?xpacket begin=\"\uFEFF\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>")
	line(`<x:xmpmeta xmlns:x="adobe:ns:meta/">`)
	line(`<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">`)
	line(`<rdf:Description rdf:about="" xmlns:pdfaid="http://www.aiim.org/pdfa/ns/id/" xmlns:dc="http://purl.org/dc/elements/1.1/"`)
	line(`  xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmlns:pdf="http://ns.adobe.com/pdf/1.3/" xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/">`)
	line("<pdfaid:part>%s</pdfaid:part>", part)
	line("<pdfaid:conformance>%s</pdfaid:conformance>", conformance)
	if tagged && !m.plain {
		line("<pdfuaid:part>1</pdfuaid:part>")
	}
	line("<dc:format>application/pdf</dc:format>")
	line(`<dc:title><rdf:Alt><rdf:li xml:lang="x-default">%s</rdf:li></rdf:Alt></dc:title>`, escaped(m.Title))
	if m.Author != "" {
		line("<dc:creator><rdf:Seq><rdf:li>%s</rdf:li></rdf:Seq></dc:creator>", escaped(m.Author))
	}
	if m.Subject != "" {
		line(`<dc:description><rdf:Alt><rdf:li xml:lang="x-default">%s</rdf:li></rdf:Alt></dc:description>`, escaped(m.Subject))
	}
	if m.Lang != "" {
		line("<dc:language><rdf:Bag><rdf:li>%s</rdf:li></rdf:Bag></dc:language>", escaped(m.Lang))
	}
	if m.Keywords != "" {
		line("<pdf:Keywords>%s</pdf:Keywords>", escaped(m.Keywords))
	}
	if m.Producer != "" {
		line("<pdf:Producer>%s</pdf:Producer>", escaped(m.Producer))
	}
	made := m.Created.UTC().Format("2006-01-02T15:04:05Z")
	line("<xmp:CreateDate>%s</xmp:CreateDate>", made)
	line("<xmp:ModifyDate>%s</xmp:ModifyDate>", made)
	line("</rdf:Description>")
	if tagged && !m.plain {
		b.WriteString(extension)
	}
	line("</rdf:RDF>\n</x:xmpmeta>")
	b.WriteString(`<?xpacket end="w"?>`)
	return b.Bytes()
}

// extension describes the one schema used that ISO 19005-3 does not know
// (6.6.2.3).
var extension = strings.TrimLeft(`
<rdf:Description rdf:about="" xmlns:pdfaExtension="http://www.aiim.org/pdfa/ns/extension/"
  xmlns:pdfaSchema="http://www.aiim.org/pdfa/ns/schema#" xmlns:pdfaProperty="http://www.aiim.org/pdfa/ns/property#">
<pdfaExtension:schemas><rdf:Bag><rdf:li rdf:parseType="Resource">
<pdfaSchema:schema>PDF/UA identification</pdfaSchema:schema>
<pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI>
<pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix>
<pdfaSchema:property><rdf:Seq><rdf:li rdf:parseType="Resource">
<pdfaProperty:name>part</pdfaProperty:name>
<pdfaProperty:valueType>Integer</pdfaProperty:valueType>
<pdfaProperty:category>internal</pdfaProperty:category>
<pdfaProperty:description>the part of ISO 14289 that the file conforms to</pdfaProperty:description>
</rdf:li></rdf:Seq></pdfaSchema:property>
</rdf:li></rdf:Bag></pdfaExtension:schemas>
</rdf:Description>
`, "\n")

func escaped(s string) string {
	var b strings.Builder
	xml.EscapeText(&b, []byte(s)) // a builder takes all that it is given
	return b.String()
}
