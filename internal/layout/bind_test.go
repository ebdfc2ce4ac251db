package layout_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"saltline/internal/doc"
	"saltline/internal/frame"
	"saltline/internal/layout"
)

// volume is a cover with contents and links, and parts of so many paragraphs.
func volume(parts ...int) *doc.Volume {
	v := &doc.Volume{Document: doc.Document{Title: "Volume", Lang: "en", Words: doc.English()}}
	v.Blocks = []doc.Block{
		doc.Heading{Level: 1, Text: "Contents"}, doc.Contents{Depth: 2},
		doc.Paragraph{Text: doc.Plain("first").To(doc.Opening(0))},
	}
	for n, paragraphs := range parts {
		v.Parts = append(v.Parts, doc.Part{
			Entry: fmt.Sprintf("Entry %d", n+1), Level: 1 + n%2, Own: n%2 == 1,
			Make: func() (doc.Document, error) {
				d := doc.Document{Title: fmt.Sprintf("Part %d", n+1), Lang: "en", Words: doc.English()}
				d.Blocks = append(d.Blocks, doc.Heading{Level: 1, Text: "Inside", Anchor: "inside"})
				for range paragraphs {
					d.Blocks = append(d.Blocks, doc.Paragraph{Text: doc.Plain(strings.Repeat("words ", 60))})
				}
				d.Blocks = append(d.Blocks, doc.Paragraph{Text: doc.Plain("back").To("inside")})
				return d, nil
			},
		})
	}
	v.Cautions = doc.InPart(len(parts)-1, "inside")
	return v
}

// places walks over anchors and links with the page that they are on.
func places(pages []*frame.Frame, f func(page int, it frame.Item)) {
	var walk func(page int, fr *frame.Frame)
	walk = func(page int, fr *frame.Frame) {
		for _, p := range fr.Items {
			switch it := p.Item.(type) {
			case *frame.Frame:
				walk(page, it)
			case frame.Anchor, frame.Link:
				f(page, it)
			}
		}
	}
	for i, p := range pages {
		walk(i+1, p)
	}
}

// Every entry of the contents names the page that its part begins on, pages are
// counted through, and each part keeps its own names.
func TestBind(t *testing.T) {
	bound, err := layout.Bind(volume(3, 30, 1, 12), layout.A4(), loadFonts(t), nil)
	if err != nil {
		t.Fatal(err)
	}
	pages := bound.Pages
	openings, bookmarks := map[string]int{}, []string{}
	seen := map[string]bool{}
	places(pages, func(page int, it frame.Item) {
		if a, ok := it.(frame.Anchor); ok {
			if seen[a.Name] {
				t.Errorf("two places are called %q", a.Name)
			}
			seen[a.Name] = true
			openings[a.Name] = page
			bookmarks = append(bookmarks, fmt.Sprintf("%d %s", a.Level, a.Title))
		}
	})
	places(pages, func(page int, it frame.Item) {
		if l, ok := it.(frame.Link); ok && openings[l.Dest] == 0 {
			t.Errorf("page %d: a link to %q leads nowhere", page, l.Dest)
		}
	})
	want := "0 Contents; 0 Entry 1; 1 Inside; 1 Entry 2; 2 Inside; 0 Entry 3; 1 Inside; 1 Entry 4; 2 Inside"
	if got := strings.Join(bookmarks, "; "); got != want {
		t.Errorf("bookmarks %s\nwant %s", got, want)
	}
	listed := map[string]string{}
	all := texts(pages[0])
	for i, s := range all {
		if strings.HasPrefix(s.S, "Entry ") {
			for _, n := range all[i+1:] {
				if n.y == s.y {
					listed[s.S] = n.S
				}
			}
		}
	}
	for n := range 4 {
		entry, page := fmt.Sprintf("Entry %d", n+1), openings[doc.Opening(n)]
		if listed[entry] != fmt.Sprint(page) {
			t.Errorf("%s is on page %d, and the contents says %q", entry, page, listed[entry])
		}
	}
	for i, p := range pages {
		head := fmt.Sprintf("page %d of %d", i+1, len(pages))
		cautions := fmt.Sprintf("see cautions, page %d", openings[doc.InPart(3, "inside")])
		found := 0
		for _, s := range texts(p) {
			if s.S == head || s.S == cautions {
				found++
			}
			if strings.Contains(s.S, "Part 2  ·  page") && !strings.Contains(s.S, fmt.Sprintf("page %d of", i+2-openings[doc.Opening(1)])) {
				t.Errorf("page %d: the second part counts its pages as %q", i+1, s.S)
			}
		}
		if found != 2 {
			t.Errorf("page %d: %d of its count and its cautions", i+1, found)
		}
	}
}

func TestBindFails(t *testing.T) {
	for name, spoil := range map[string]func(*doc.Volume){
		"a part that cannot be made": func(v *doc.Volume) {
			v.Parts[1].Make = func() (doc.Document, error) { return doc.Document{}, errors.New("no words") }
		},
		"a part without a title":     func(v *doc.Volume) { v.Parts[1].Make = func() (doc.Document, error) { return doc.Document{}, nil } },
		"cautions that are nowhere":  func(v *doc.Volume) { v.Cautions = doc.InPart(0, "cautions") },
		"a link to a part not there": func(v *doc.Volume) { v.Parts = nil; v.Cautions = "" },
	} {
		v := volume(1, 1)
		spoil(v)
		if _, err := layout.Bind(v, layout.A4(), loadFonts(t), nil); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}
