package table

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"

	"github.com/xuri/excelize/v2"

	"saltline/internal/diag"
)

// maxStyles is how many elements the styles of a workbook may have, since the
// library makes some hundred bytes of each. Programs write at most 65,000
// styles of cells.
const maxStyles = 250_000

// openStyles gives the library the parts of the workbook that say how cells are
// shown, in a package of its own that has nothing else of the file.
func (b *workbook) openStyles() (*excelize.File, error) {
	const office = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
	const links = `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">`
	parts := []struct{ name, body string }{
		{"[Content_Types].xml", `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="xml" ContentType="application/xml"/></Types>`},
		{"_rels/.rels", links + `<Relationship Id="rId1" Type="` + office + `/officeDocument" Target="xl/workbook.xml"/></Relationships>`},
		{"xl/workbook.xml", `<workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheets/></workbook>`},
		{"xl/_rels/workbook.xml.rels", links + `</Relationships>`},
	}
	for _, name := range []string{"xl/styles.xml", "xl/theme/theme1.xml"} {
		data, err := b.archive.whole(name)
		if err == nil && data != nil {
			err = countElements(data)
		}
		if err != nil {
			return nil, b.refuseWorkbook(diag.Pos{}, fmt.Errorf("%s: %w", name, err))
		}
		if data != nil {
			parts = append(parts, struct{ name, body string }{name, string(data)})
		}
	}
	var packed bytes.Buffer
	z := zip.NewWriter(&packed)
	for _, p := range parts {
		w, err := z.CreateHeader(&zip.FileHeader{Name: p.name, Method: zip.Store})
		if err == nil {
			_, err = io.WriteString(w, p.body)
		}
		if err != nil {
			return nil, err
		}
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	f, err := excelize.OpenReader(&packed)
	if err != nil {
		return nil, b.refuseWorkbook(diag.Pos{}, err)
	}
	return f, nil
}

// countElements fails where a part has more elements than styles may have. What
// is wrong with it otherwise is for the library to say.
func countElements(data []byte) error {
	w := newXMLWalker(bytes.NewReader(data))
	for n := 0; ; n++ {
		_, _, err := w.next()
		switch {
		case err == errDocType, err == errToken:
			return err
		case err != nil:
			return nil
		case n > 2*maxStyles: // each begins and ends
			return fmt.Errorf("more than %d elements", maxStyles)
		}
	}
}
