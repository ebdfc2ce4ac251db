package readback

import (
	"errors"
	"fmt"
	"strings"
	"unicode/utf16"

	"saltline/internal/objects"
)

// read reads what the pages say, in the order of the structure tree.
func (d *Document) read() error {
	pages, err := d.File.Pages()
	if err != nil {
		return err
	}
	d.Pages = len(pages)
	r := reader{Document: d, page: map[objects.Ref]int{}, shown: make([]map[int]string, len(pages)), seen: map[objects.Ref]bool{},
		room: max(pageRoom, pageTimes*d.Len())}
	for i, p := range pages {
		r.page[p] = i
		if r.shown[i], err = r.content(p); err != nil {
			return fmt.Errorf("page %d: %w", i+1, err)
		}
	}
	root := d.Dict(d.Catalog()["StructTreeRoot"])
	if root == nil || len(pages) == 0 {
		return ErrUntagged
	}
	if err := r.element(root["K"], -1, 0); err != nil {
		return err
	}
	// What is on a page and in no element would be said to nobody.
	for i, shown := range r.shown {
		for n, text := range shown {
			if strings.TrimSpace(text) != "" {
				return fmt.Errorf("page %d: the text %q (marked content %d) is part of no element", i+1, text, n)
			}
		}
	}
	return nil
}

// A reader walks over the structure of a document.
type reader struct {
	*Document
	page  map[objects.Ref]int
	shown []map[int]string // what each page shows by marked content, taken out as it is met
	seen  map[objects.Ref]bool
	rows  int
	room  int // bytes that the streams of pages may still unfold to
}

// content is the text that a page shows, by the identifiers of its marked
// content. What is marked as no part of the document goes to the stamps.
func (r *reader) content(page objects.Ref) (map[int]string, error) {
	var data []byte
	contents := r.Dict(page)["Contents"]
	streams := r.Array(contents)
	if streams == nil {
		streams = objects.Array{contents}
	}
	for _, s := range streams {
		part, err := r.Data(s, min(mostText, r.room))
		if err != nil {
			return nil, err
		}
		if r.room -= len(part); len(streams) == 1 {
			data = part // as it is: it may be long
			break
		}
		data = append(append(data, part...), '\n')
	}
	said := map[int]*strings.Builder{}
	var stamps []string
	strokes := 0
	var open []int // identifiers of what is open; −1 for what is no part of the document
	err := objects.Content(data, func(op string, of []objects.Value) error {
		switch op {
		case "BMC", "BDC":
			id := -1
			if len(of) == 2 {
				if dict, is := of[1].(objects.Dict); is {
					if n, is := dict["MCID"].(int64); is {
						id = int(n)
					}
				}
			}
			open = append(open, id)
		case "EMC":
			if len(open) == 0 {
				return errors.New("marked content ends that never began")
			}
			open = open[:len(open)-1]
		case "Tj":
			if len(of) != 1 {
				return errors.New("a text is shown without one")
			}
			s, _ := of[0].(objects.String)
			if len(open) == 0 {
				return fmt.Errorf("the text %q is in no marked content", decoded(s))
			}
			id := open[len(open)-1]
			if id < 0 {
				stamps = append(stamps, decoded(s))
				return nil
			}
			b := said[id]
			if b == nil {
				b = &strings.Builder{}
				said[id] = b
			}
			if b.Len() > 0 {
				b.WriteByte(' ')
			}
			b.WriteString(decoded(s))
		case "f", "F", "f*", "B", "B*", "b", "b*", "S", "s", "sh":
			strokes++
		case "Do":
			strokes++
			if !r.picture(page, of) {
				return errors.New("something is placed that is no picture, as this program never does")
			}
		case "TJ", "'", `"`:
			return fmt.Errorf("a text is shown by %s, as this program never does", op)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	if len(open) > 0 {
		return nil, errors.New("marked content does not end")
	}
	r.stamps, r.strokes = append(r.stamps, stamps), append(r.strokes, strokes)
	out := make(map[int]string, len(said))
	for id, b := range said {
		out[id] = b.String()
	}
	return out, nil
}

// picture reports whether what a page places is a picture.
func (r *reader) picture(page objects.Ref, of []objects.Value) bool {
	if len(of) != 1 {
		return false
	}
	name, _ := of[0].(objects.Name)
	s := r.Stream(r.Dict(r.Dict(r.Dict(page)["Resources"])["XObject"])[name])
	return s != nil && r.Name(s.Dict["Subtype"]) == "Image"
}

// decoded is the text of codes of two bytes, each the number of a character.
func decoded(s objects.String) string {
	units := make([]uint16, 0, len(s)/2)
	for i := 0; i+1 < len(s); i += 2 {
		units = append(units, uint16(s[i])<<8|uint16(s[i+1]))
	}
	return string(utf16.Decode(units))
}

// deepest bounds how deep elements nest.
const deepest = 64

// element reads an element and those in it. page is the one that its pieces are
// on where they do not say.
func (r *reader) element(v objects.Value, page, depth int) error {
	if depth > deepest {
		return errors.New("its structure nests too deep")
	}
	if ref, is := v.(objects.Ref); is {
		if r.seen[ref] {
			return fmt.Errorf("object %d stands twice in its structure", ref.Number)
		}
		r.seen[ref] = true
	}
	e := r.Dict(v)
	if e == nil {
		return errors.New("its structure holds something that is no element")
	}
	if p, is := e["Pg"].(objects.Ref); is {
		page = r.pageOf(p)
	}
	kind := string(r.Name(e["S"]))
	if kind == "TR" {
		r.rows++
	}
	row := 0
	if kind == "TD" || kind == "TH" {
		row = r.rows
	}
	at := len(r.Says)
	r.Says = append(r.Says, Said{Kind: kind, Row: row})
	var text strings.Builder
	take := func(page int, id int64) error {
		if page < 0 || page >= len(r.shown) {
			return errors.New("something that it says is on a page that is not in the document")
		}
		piece := r.shown[page][int(id)]
		delete(r.shown[page], int(id))
		if r.Says[at].Page == 0 {
			r.Says[at].Page = page + 1
		}
		if text.Len() > 0 {
			text.WriteByte(' ')
		}
		text.WriteString(piece)
		return nil
	}
	kids := r.Array(e["K"])
	if kids == nil && e["K"] != nil {
		kids = objects.Array{e["K"]}
	}
	for _, k := range kids {
		var err error
		switch k := k.(type) {
		case int64:
			err = take(page, k)
		case objects.Dict:
			err = r.piece(k, page, depth, take)
		default:
			if inner := r.Dict(k); inner["Type"] == objects.Name("MCR") || inner["Type"] == objects.Name("OBJR") {
				err = r.piece(inner, page, depth, take)
			} else {
				err = r.element(k, page, depth+1)
			}
		}
		if err != nil {
			return err
		}
	}
	r.Says[at].Text = text.String()
	return nil
}

func (r *reader) piece(k objects.Dict, page, depth int, take func(int, int64) error) error {
	if p, is := k["Pg"].(objects.Ref); is {
		page = r.pageOf(p)
	}
	switch k["Type"] {
	case objects.Name("MCR"):
		n, _ := k["MCID"].(int64)
		return take(page, n)
	case objects.Name("OBJR"):
		return nil // a link or a field, which shows nothing of its own
	}
	return r.element(k, page, depth+1)
}

func (r *reader) pageOf(p objects.Ref) int {
	if n, known := r.page[p]; known {
		return n
	}
	return -1
}
