package pdf

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"slices"
	"strconv"
	"sync"

	"github.com/go-pdf/fpdf"

	"saltline/internal/frame"
	"saltline/internal/objects"
)

// A drawer draws pages one after the other. It spells what is on them itself.
// What the library is given are pages with nothing on them but links, and
// pictures and bookmarks.
type drawer struct {
	speller
	out   *fpdf.Fpdf
	press *press

	lines, colours []byte // how a page begins, in the library's words

	embedded  []*embedded
	embedding sync.WaitGroup // of which each is being made

	links  map[string]int      // number of the link to each anchor
	placed map[string]bool     // anchors that have their place
	images map[[32]byte]string // what each picture is called on a page
}

func (d *drawer) page(f *frame.Frame) {
	d.out.AddPageFormat("P", fpdf.SizeType{Wd: f.W, Ht: f.H})
	// The font is that of the page before, and set as the library does it: twice.
	d.now = append(d.press.paper(), d.lines...)
	d.begin(f.H)
	if d.set.hasFont {
		d.setFont()
	}
	d.now = append(d.now, d.colours...)
	if d.set.hasFont {
		d.setFont()
	}
	d.frame(f, 0, 0, nil)
	d.tagger.end()
	for _, p := range d.told {
		switch it := p.Item.(type) {
		case frame.Link:
			d.link(it, p.X, p.Y)
		case frame.Anchor:
			d.anchor(it, p.Y)
		}
	}
	d.press.take(d.pages-1, d.now)
}

// spelled is what the library writes on a page for what do does.
func (d *drawer) spelled(do func(*fpdf.Tpl)) []byte {
	page := d.out.CreateTemplate(do).Bytes()
	if err := d.out.Error(); err != nil {
		panic(err)
	}
	return page
}

// nameOf is what a picture is called on a page; the same picture twice is stored
// once.
func (d *drawer) nameOf(im frame.Image) string {
	key := sha256.Sum256(im.Data)
	name, known := d.images[key]
	if !known {
		name = d.store(im, len(d.images)+1)
		d.images[key] = name
	}
	return name
}

// store gives picture n to the library, and says what it is called on a page.
func (d *drawer) store(im frame.Image, n int) string {
	options := fpdf.ImageOptions{ImageType: "jpg", AllowNegativePosition: true}
	if im.IsPNG() {
		options.ImageType = "png"
	}
	name := "picture" + strconv.Itoa(n)
	info := d.out.RegisterImageOptionsReader(name, options, bytes.NewReader(im.Data))
	if err := d.out.Error(); err != nil {
		panic(err)
	}
	if err := setOrder(info, n); err != nil {
		panic(err)
	}
	return word(d.spelled(func(page *fpdf.Tpl) { page.ImageOptions(name, 0, 0, 1, 1, false, options, 0, "") }), "/I")
}

func (d *drawer) link(l frame.Link, x, y float64) {
	if l.Dest == "" {
		d.out.LinkString(x, y, l.W, l.H, l.URI)
		return
	}
	d.out.Link(x, y, l.W, l.H, d.linkTo(l.Dest))
}

// linkTo is the number of the link to an anchor, which may come later.
func (d *drawer) linkTo(name string) int {
	id, ok := d.links[name]
	if !ok {
		id = d.out.AddLink()
		d.links[name] = id
	}
	return id
}

func (d *drawer) anchor(a frame.Anchor, y float64) {
	if a.Name != "" {
		d.out.SetLink(d.linkTo(a.Name), y, -1)
		d.placed[a.Name] = true
	}
	if a.Title != "" {
		d.out.Bookmark(string(objects.Wide(a.Title)), a.Level, y)
	}
}

// loose is the error of links that lead nowhere.
func (d *drawer) loose() error {
	var names []string
	for name := range d.links {
		if !d.placed[name] {
			names = append(names, name)
		}
	}
	if len(names) == 0 {
		return nil
	}
	slices.Sort(names)
	return fmt.Errorf("pdf: links to %q, which are nowhere", names)
}
