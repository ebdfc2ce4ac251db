package pdf

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"testing"

	"saltline/internal/objects"
)

var update = flag.Bool("update", false, "pack anew what is the same in every document")

// What lies in the program is what it is packed from, as it would be packed here.
func TestPacked(t *testing.T) {
	sRGB, err := os.ReadFile("sRGB2014.icc")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name       string
		lies, from []byte
	}{{"characters.zlib", packedCharacters, codes()}, {"sRGB2014.icc.zlib", packedProfile, sRGB}} {
		want := objects.Deflated(nil, c.from).Raw
		if *update {
			if err := os.WriteFile(c.name, want, 0o644); err != nil {
				t.Fatal(err)
			}
		} else if !bytes.Equal(c.lies, want) {
			t.Errorf("%s is not what it is packed from", c.name)
		}
	}
}

func codes() []byte {
	b := []byte("/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n" +
		"/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n" +
		"1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n")
	for from := 0; from < 256; from += 64 {
		b = append(b, "64 beginbfrange\n"...)
		for high := from; high < from+64; high++ {
			b = fmt.Appendf(b, "<%02X00> <%02XFF> <%02X00>\n", high, high, high)
		}
		b = append(b, "endbfrange\n"...)
	}
	return append(b, "endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n"...)
}
