package judge

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"unicode/utf8"

	"saltline/internal/objects"
)

var fileRules = []*Rule{
	{
		Name: "header", Clause: "ISO 19005-3, 6.1.2",
		Says: "The file starts with %PDF-1.n, n from 0 to 7, and a comment of at least four bytes above 127.",
		hold: func(s *subject) (f finding) {
			first, rest, _ := bytes.Cut(s.data, []byte("\n"))
			first = bytes.TrimSuffix(first, []byte("\r"))
			f.unless(len(first) == 8 && bytes.HasPrefix(first, []byte("%PDF-1.")) && first[7] >= '0' && first[7] <= '7', "header %q", first)
			f.unless(len(rest) > 5 && rest[0] == '%' && !slices.ContainsFunc(rest[1:5], func(b byte) bool { return b < 128 }), "no comment of four bytes above 127 behind the header")
			return f
		},
	}, {
		Name: "end", Clause: "ISO 19005-3, 6.1.3",
		Says: "Nothing but one end of line stands behind the last %%EOF.",
		hold: func(s *subject) (f finding) {
			end := bytes.TrimSuffix(bytes.TrimSuffix(s.data, []byte("\n")), []byte("\r"))
			f.unless(bytes.HasSuffix(end, []byte("%%EOF")), "the file ends with %q", s.data[max(0, len(s.data)-16):])
			return f
		},
	}, {
		Name: "identifier", Clause: "ISO 19005-3, 6.1.3",
		Says: "The trailer has an identifier of two strings.",
		hold: func(s *subject) (f finding) {
			id := s.Array(s.Trailer()["ID"])
			f.unless(len(id) == 2 && len(s.String(id[0])) > 0 && len(s.String(id[1])) > 0, "the trailer's ID is %v", id)
			return f
		},
	}, {
		Name: "no-external-stream", Clause: "ISO 19005-3, 6.1.7.1",
		Says: "No stream has its bytes in another file.",
		hold: func(s *subject) (f finding) {
			for _, o := range s.all {
				if o.stream != nil && (o.dict["F"] != nil || o.dict["FFilter"] != nil || o.dict["FDecodeParms"] != nil) {
					f.add("%s", o)
				}
			}
			return f
		},
	}, {
		Name: "filters", Clause: "ISO 19005-3, 6.1.7.2",
		Says: "Streams are packed by filters of ISO 32000-1 other than LZWDecode and Crypt, and can be unpacked.",
		hold: filters,
	}, {
		Name: "names", Clause: "ISO 19005-3, 6.1.8",
		Says: "Names of fonts and of structure types are valid UTF-8.",
		hold: func(s *subject) (f finding) {
			for _, o := range s.all {
				for _, key := range []objects.Name{"BaseFont", "FontName", "S"} {
					f.unless(utf8.ValidString(string(s.Name(o.dict[key]))), "%s: %s", o, key)
				}
			}
			return f
		},
	}, {
		Name: "limits", Clause: "ISO 19005-3, 6.1.13",
		Says: "Integers have 32 bits, reals are finite, strings have at most 32,767 bytes and names 127, states are saved at most 28 deep, pages measure from 3 to 14,400 units.",
		hold: limits,
	}, {
		Name: "permissions", Clause: "ISO 19005-3, 6.1.12",
		Says: "The permissions of a document name nothing but signatures.",
		hold: func(s *subject) (f finding) {
			for key := range s.Dict(s.catalog["Perms"]) {
				f.unless(key == "UR3" || key == "DocMDP", "Perms has %s", key)
			}
			return f
		},
	}, {
		Name: "outline", Clause: "ISO 32000-1, 12.3.3",
		Says: "Bookmarks are lists both ways, each counting the open ones below it, with a title and a page to go to.",
		hold: outline,
	},
}

var knownFilters = []objects.Name{"FlateDecode", "DCTDecode", "ASCIIHexDecode", "ASCII85Decode", "RunLengthDecode", "CCITTFaxDecode", "JBIG2Decode", "JPXDecode"}

func filters(s *subject) (f finding) {
	for _, o := range s.all {
		if o.stream == nil {
			continue
		}
		names := s.Array(o.dict["Filter"])
		if one := s.Name(o.dict["Filter"]); one != "" {
			names = objects.Array{one}
		}
		for _, name := range names {
			f.unless(slices.Contains(knownFilters, s.Name(name)), "%s: filter %s", o, s.Name(name))
		}
		if len(names) == 1 && names[0] == objects.Name("FlateDecode") {
			_, err := s.Data(o.stream, maxStream)
			f.unless(err == nil, "%s: %v", o, err)
		}
	}
	return f
}

func limits(s *subject) (f finding) {
	for _, r := range s.Refs() {
		each(s.Get(r), func(v objects.Value) {
			if what := outOfBounds(v); what != "" {
				f.add("object %d: %s", r.Number, what)
			}
		})
	}
	for _, p := range s.pages {
		for _, key := range []objects.Name{"MediaBox", "CropBox"} {
			box, ok := s.box(p.dict[key])
			if !ok {
				f.unless(key == "CropBox" && p.dict[key] == nil, "%s: %s", p, key)
				continue
			}
			w, h := box[2]-box[0], box[3]-box[1]
			f.unless(w >= 3 && h >= 3 && w <= 14400 && h <= 14400, "%s: %s of %g × %g", p, key, w, h)
		}
	}
	f = append(f, s.drawn.deep...)
	return append(f, s.drawn.limits...)
}

// box is a rectangle.
func (s *subject) box(v objects.Value) (box [4]float64, ok bool) {
	all := s.Array(v)
	if len(all) != 4 {
		return box, false
	}
	for i := range box {
		if box[i], ok = s.Number(all[i]); !ok {
			return box, false
		}
	}
	return box, true
}

func outOfBounds(v objects.Value) string {
	switch v := v.(type) {
	case int64:
		if v > math.MaxInt32 || v < math.MinInt32 {
			return fmt.Sprintf("integer %d", v)
		}
	case float64:
		if math.Abs(v) > 3.403e38 {
			return fmt.Sprintf("real %g", v)
		}
	case objects.String:
		if len(v) > 32767 {
			return fmt.Sprintf("string of %d bytes", len(v))
		}
	case objects.Name:
		if len(v) > 127 {
			return fmt.Sprintf("name of %d bytes", len(v))
		}
	}
	return ""
}

func outline(s *subject) (f finding) {
	root, is := s.catalog["Outlines"].(objects.Ref)
	if !is {
		return nil
	}
	seen := map[objects.Ref]bool{}
	// walk returns how many marks are open below r.
	var walk func(r objects.Ref) int64
	walk = func(r objects.Ref) (open int64) {
		d := s.Dict(r)
		before := objects.Value(nil)
		for at := d["First"]; at != nil; {
			mark, _ := at.(objects.Ref)
			if seen[mark] {
				f.add("object %d is met twice", mark.Number)
				return open
			}
			seen[mark] = true
			it := s.Dict(mark)
			f.unless(it["Parent"] == objects.Value(r) && it["Prev"] == before, "object %d does not lead back", mark.Number)
			f.unless(len(s.String(it["Title"])) > 0, "object %d has no title", mark.Number)
			f.unless(s.leads(it), "object %d leads to no page", mark.Number)
			below := walk(mark)
			count, _ := s.Int(it["Count"])
			if open++; count > 0 {
				open += below
			}
			f.unless(int64(max(count, -count)) == below, "object %d counts %d marks, and has %d", mark.Number, count, below)
			if before, at = at, it["Next"]; at == nil {
				f.unless(d["Last"] == before, "object %d names another as its last", r.Number)
			}
		}
		return open
	}
	open := walk(root)
	count, _ := s.Int(s.Dict(root)["Count"])
	f.unless(int64(count) == open, "the root counts %d open marks, and has %d", count, open)
	return f
}

// leads reports whether a bookmark or a link leads to a page of the file or to
// an address.
func (s *subject) leads(d objects.Dict) bool {
	to := d["Dest"]
	if a := s.Dict(d["A"]); a != nil {
		if s.Name(a["S"]) == "URI" {
			return len(s.String(a["URI"])) > 0
		}
		to = a["D"]
	}
	dest := s.Array(to)
	return len(dest) > 1 && slices.ContainsFunc(s.pages, func(p *page) bool { return dest[0] == objects.Value(p.ref) })
}
