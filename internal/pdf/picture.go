package pdf

import (
	"bytes"
	"encoding/gob"
	"strings"

	"github.com/go-pdf/fpdf"
)

// orderStep is added to the width of a picture in pixels for each picture
// before it. It is far too small to change the whole number that is written.
const orderStep = 1e-6

// setOrder makes n the place of a picture among those of its width. The
// library writes pictures in the order of their widths in pixels, and those of
// one width in the order of a map, which differs from run to run. The width is
// out of reach except through the library's own encoding, a sequence of gobs.
func setOrder(info *fpdf.ImageInfoType, n int) error {
	encoded, err := info.GobEncode()
	if err != nil {
		return err
	}
	var (
		data, smask, pal       []byte
		object, bpc            int
		w, h, scale, dpi       float64
		space, filter, decoder string
		transparent            []int
	)
	in := gob.NewDecoder(bytes.NewReader(encoded))
	fields := []any{&data, &smask, &object, &w, &h, &space, &pal, &bpc, &filter, &decoder, &transparent, &scale, &dpi}
	for _, f := range fields {
		if err := in.Decode(f); err != nil {
			return err
		}
	}
	w += float64(n) * orderStep
	var b bytes.Buffer
	out := gob.NewEncoder(&b)
	for _, f := range fields {
		if err := out.Encode(f); err != nil {
			return err
		}
	}
	return info.GobDecode(b.Bytes())
}

// word is the last word of what the library wrote that begins with first.
func word(page []byte, first string) string {
	found := ""
	for w := range strings.FieldsSeq(string(page)) {
		if strings.HasPrefix(w, first) {
			found = w
		}
	}
	return found
}
