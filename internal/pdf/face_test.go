package pdf

import (
	"bytes"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"
	"time"

	"github.com/go-pdf/fpdf"

	"saltline/fonts"
	"saltline/internal/frame"
	"saltline/internal/objects"
)

// The library embeds a face, of the same characters, in the same objects, and
// calls it by the same names.
func TestFacesAreThoseOfTheLibrary(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 0))
	faces := loadFonts(t)
	for face := frame.Regular; face <= frame.CondensedSemiBold; face++ {
		var has []rune
		for r := rune(' '); r <= 0xFFFF; r++ {
			if faces.Covers(face, r) {
				has = append(has, r)
			}
		}
		texts := []string{"a", "48.0 mg/m² ≤ 50", string(has)}
		for range 12 {
			var b strings.Builder
			for range 1 + random.IntN(1<<random.IntN(9)) {
				r := has[random.IntN(len(has))]
				for range 1 + random.IntN(6) { // neighbours, for they share stretches of widths
					b.WriteRune(r)
					r = min(r+1, 0xD7FF)
				}
			}
			texts = append(texts, b.String())
		}
		for _, s := range texts {
			var b bytes.Buffer
			shows := page(at(0, 20, frame.Text{S: s, Face: face, Size: 9}))
			if err := Write(&b, frame.Print{Pages: []*frame.Frame{shows}}, faces, meta); err != nil {
				t.Fatal(err)
			}
			got, want := faceObjects(t, b.Bytes()), faceObjects(t, ofLibrary(t, face, s))
			for part := range want {
				if !reflect.DeepEqual(got[part], want[part]) {
					t.Errorf("%v, %q: the %s is\n%v\nand of the library\n%v", face, s, part, got[part], want[part])
				}
			}
		}
	}
}

// ttf is the file of a face.
func ttf(t *testing.T, face frame.Face) []byte {
	t.Helper()
	data, err := fonts.Files.ReadFile([]string{"IBMPlexSans-Regular.ttf", "IBMPlexSans-SemiBold.ttf", "IBMPlexSans-Italic.ttf",
		"IBMPlexSansCondensed-Regular.ttf", "IBMPlexSansCondensed-SemiBold.ttf"}[face])
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func ofLibrary(t *testing.T, face frame.Face, s string) []byte {
	t.Helper()
	out := fpdf.New("P", "pt", "A4", "")
	out.AddUTF8FontFromBytes("IBMPlexSans-"+face.String(), "", ttf(t, face))
	out.AddPage()
	out.SetFont("IBMPlexSans-"+face.String(), "", 9)
	out.Text(0, 20, s)
	var b bytes.Buffer
	if err := out.Output(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// faceObjects are the objects of the one face in a file, and what a page calls it,
// but for its table of characters, which is ours.
func faceObjects(t *testing.T, file []byte) map[string]any {
	t.Helper()
	f, err := objects.Read(file)
	if err != nil {
		t.Fatal(err)
	}
	pages, err := f.Pages()
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]any{}
	for name, v := range f.Dict(f.Dict(f.Dict(pages[0])["Resources"])["Font"]) {
		font := f.Dict(v)
		glyphs := f.Dict(f.Array(font["DescendantFonts"])[0])
		all["name"] = name
		all["whole"], all["glyphs"], all["info"] = font, glyphs, f.Dict(glyphs["CIDSystemInfo"])
		all["descriptor"] = f.Dict(glyphs["FontDescriptor"])
		for _, it := range []struct {
			name string
			v    objects.Value
		}{{"map", glyphs["CIDToGIDMap"]}, {"file", f.Dict(glyphs["FontDescriptor"])["FontFile2"]}} {
			s := f.Stream(it.v)
			all[it.name], all[it.name+"'s dictionary"] = s.Raw, s.Dict
		}
	}
	if len(all) == 0 {
		t.Fatal("the file has no face")
	}
	return all
}
