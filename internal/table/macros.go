package table

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"io"
	"path"
	"strings"
)

// withoutMacros is a workbook without its macros; one that has none is given
// back as it is. What is handed on must open without a question, and under the
// name .xlsx programs refuse a workbook that says it has macros.
func withoutMacros(workbook []byte) ([]byte, error) {
	r, err := zip.NewReader(bytes.NewReader(workbook), int64(len(workbook)))
	if err != nil {
		return nil, err
	}
	types, err := partOf(r, "[Content_Types].xml")
	if err != nil {
		return nil, err
	}
	if !strings.Contains(types, "macroEnabled") {
		return workbook, nil
	}
	const plain = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"
	types = strings.NewReplacer(
		"application/vnd.ms-excel.sheet.macroEnabled.main+xml", plain,
		"application/vnd.ms-excel.template.macroEnabled.main+xml", plain,
	).Replace(types)
	if types, err = without(types, "Override", "PartName"); err != nil {
		return nil, err
	}
	links, err := partOf(r, "xl/_rels/workbook.xml.rels")
	if err != nil {
		return nil, err
	}
	if links, err = without(links, "Relationship", "Target"); err != nil {
		return nil, err
	}
	changed := map[string]string{"[Content_Types].xml": types, "xl/_rels/workbook.xml.rels": links}
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, f := range r.File {
		body, ok := changed[f.Name]
		switch {
		case isMacro(f.Name):
			continue
		case !ok:
			if err := w.Copy(f); err != nil {
				return nil, err
			}
			continue
		}
		part, err := w.Create(f.Name)
		if err != nil {
			return nil, err
		}
		if _, err := io.WriteString(part, body); err != nil {
			return nil, err
		}
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// largestPart bounds the two lists of parts that are read here.
const largestPart = 16 << 20

func partOf(r *zip.Reader, name string) (string, error) {
	f, err := r.Open(name)
	if err != nil {
		return "", err
	}
	defer f.Close()
	body, err := io.ReadAll(io.LimitReader(f, largestPart))
	return string(body), err
}

// isMacro reports whether a part belongs to the macros of a workbook.
func isMacro(part string) bool {
	base := path.Base(part)
	return strings.HasPrefix(base, "vbaProject") || strings.HasPrefix(base, "vbaData")
}

// without takes the elements out of a document whose attribute names a macro.
// Such an element has no content. The rest stays as it is spelt.
func without(document, element, attribute string) (string, error) {
	d := xml.NewDecoder(strings.NewReader(document))
	var out strings.Builder
	kept, inside := int64(0), false // of an element that goes
	for {
		before := d.InputOffset()
		token, err := d.RawToken()
		if err == io.EOF {
			out.WriteString(document[kept:])
			return out.String(), nil
		}
		if err != nil {
			return "", err
		}
		switch t := token.(type) {
		case xml.StartElement:
			if t.Name.Local != element {
				continue
			}
			for _, a := range t.Attr {
				if a.Name.Local == attribute && isMacro(a.Value) {
					out.WriteString(document[kept:before])
					inside = true
				}
			}
		case xml.EndElement:
			if inside && t.Name.Local == element {
				kept, inside = d.InputOffset(), false
			}
		}
	}
}
