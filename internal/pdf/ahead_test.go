package pdf

import (
	"bytes"
	"strings"
	"testing"

	"saltline/internal/doc"
	"saltline/internal/frame"
	"saltline/internal/layout"
)

// What is drawn ahead comes to the same bytes: tables, pictures, links and fields
// of three parts, whatever they are part of.
func TestAheadChangesNothing(t *testing.T) {
	for name, change := range map[string]func(*doc.Volume){
		"a volume":                   func(*doc.Volume) {},
		"documents by themselves":    func(v *doc.Volume) { v.Parts[0].Own, v.Parts[2].Own = true, true },
		"without running head":       func(v *doc.Volume) { v.Job, v.Status = "", "" },
		"with one part":              func(v *doc.Volume) { v.Parts, v.Cautions = v.Parts[2:], doc.InPart(0, "cautions") },
		"of parts that come to none": func(v *doc.Volume) { v.Parts, v.Cautions = nil, "" },
	} {
		var made [2][]byte
		for i, ahead := range []layout.Ahead{nil, Ahead} {
			v := volume(t)
			change(v)
			bound, err := layout.Bind(v, layout.A4(), loadFonts(t), ahead)
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			if drawn := strings.Contains(bound.Pages[len(bound.Pages)-1].String(), "drawn"); drawn != (ahead != nil && len(v.Parts) > 0) {
				t.Errorf("%s: that the last page is drawn ahead is %v", name, drawn)
			}
			made[i] = writePrint(t, bound, meta).raw
		}
		if !bytes.Equal(made[0], made[1]) {
			t.Errorf("%s: %d bytes become %d", name, len(made[0]), len(made[1]))
		}
	}
}

// A page that was drawn ahead is put nowhere else, and below nothing else, than
// where it was drawn for.
func TestAheadIsWhereItBelongs(t *testing.T) {
	for name, c := range map[string]struct {
		spoil func(p *frame.Print)
		says  string
	}{
		"another head": {func(p *frame.Print) {
			last := p.Pages[len(p.Pages)-1]
			last.Items[0].Item = &frame.Frame{Element: frame.Aside, Items: []frame.Placed{{Item: frame.Text{S: "other", Face: frame.Italic, Size: 30}}}}
		}, "set to something else"},
		"pages that changed places": {func(p *frame.Print) {
			n := len(p.Pages)
			p.Pages[n-1], p.Pages[n-2] = p.Pages[n-2], p.Pages[n-1]
		}, "not where it belongs"},
		"nobody who says": {func(p *frame.Print) { p.Says = nil }, "what nobody else does"},
	} {
		bound, err := layout.Bind(volume(t), layout.A4(), loadFonts(t), Ahead)
		if err != nil {
			t.Fatal(err)
		}
		c.spoil(&bound)
		if err := Write(new(bytes.Buffer), bound, loadFonts(t), meta); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, want %q in it", name, err, c.says)
		}
	}
}

// What cannot be drawn fails as it does in the whole.
func TestAheadFails(t *testing.T) {
	v := volume(t)
	whole := v.Parts[1].Make
	v.Parts[1].Make = func() (doc.Document, error) {
		d, err := whole()
		figure := func(float64) *frame.Frame {
			return &frame.Frame{W: 9, H: 9, Items: []frame.Placed{{Item: frame.Text{S: "\U0001F4A7", Size: 9}}}}
		}
		d.Blocks = append(d.Blocks, doc.Figure{Draw: figure, Alt: "a drop"})
		return d, err
	}
	if _, err := layout.Bind(v, layout.A4(), loadFonts(t), Ahead); err == nil || !strings.Contains(err.Error(), "beyond U+FFFF") || !strings.Contains(err.Error(), "part 2") {
		t.Errorf("%v", err)
	}
}
