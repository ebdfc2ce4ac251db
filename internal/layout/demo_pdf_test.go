package layout_test

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"testing"
	"time"

	"saltline/internal/layout"
	"saltline/internal/pdf"
)

var pdfDir = flag.String("pdf", "", "directory to write the demonstration documents to, to be looked at")

func TestDemonstrationAsPDF(t *testing.T) {
	fonts := loadFonts(t)
	for name, style := range map[string]layout.Style{"a4": layout.A4(), "letter": layout.Letter(), "landscape": layout.A4().Landscape()} {
		var files [2][]byte
		for i := range files {
			d := demo(22)
			pages, err := layout.Pages(d, style, fonts)
			if err != nil {
				t.Fatal(err)
			}
			var b bytes.Buffer
			err = pdf.Write(&b, pages, fonts, pdf.Meta{Title: d.Title, Lang: d.Lang, Producer: "saltline test", Created: time.Date(2025, 3, 12, 0, 0, 0, 0, time.UTC)})
			if err != nil {
				t.Fatal(err)
			}
			files[i] = b.Bytes()
		}
		if !bytes.Equal(files[0], files[1]) {
			t.Errorf("%s: the same document gave two files", name)
		}
		if *pdfDir != "" {
			if err := os.WriteFile(filepath.Join(*pdfDir, name+".pdf"), files[0], 0o666); err != nil {
				t.Fatal(err)
			}
		}
	}
}
