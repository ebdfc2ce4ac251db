package table

import (
	"archive/zip"
	"bytes"
	"cmp"
	"slices"
)

// pack writes the parts of a workbook again in the order of their names. The
// library that makes them lists the sheets in the order of a map, so that one
// description would give other bytes at each run.
func pack(workbook []byte) ([]byte, error) {
	r, err := zip.NewReader(bytes.NewReader(workbook), int64(len(workbook)))
	if err != nil {
		return nil, err
	}
	// Readers that look only at the beginning of a file want the content
	// types there.
	const first = "[Content_Types].xml"
	parts := slices.Clone(r.File)
	slices.SortFunc(parts, func(a, b *zip.File) int {
		switch {
		case a.Name == first:
			return -1
		case b.Name == first:
			return 1
		}
		return cmp.Compare(a.Name, b.Name)
	})
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, part := range parts {
		if err := w.Copy(part); err != nil {
			return nil, err
		}
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}
