package objects

// few is how many keys are compared with each other one by one.
const few = 16

// dict takes a dictionary. A key that is there twice is refused: one reader
// would take the first value, another the last.
func (p *parser) dict(depth int) (Value, error) {
	from := p.at
	p.at += 2
	p.weight += dictWeight
	var out Dict
	if !p.dry {
		out = Dict{}
	}
	own := len(p.keys)
	var many map[Name]bool
	defer func() { p.keys = p.keys[:own] }()
	for {
		p.space()
		if p.at >= p.end {
			return nil, p.fail(from, "a dictionary does not end")
		}
		if p.in[p.at] == '>' {
			if p.at+1 >= p.end || p.in[p.at+1] != '>' {
				return nil, p.fail(p.at, "a dictionary ends with one > alone")
			}
			p.at += 2
			if p.dry {
				return nil, nil
			}
			return out, nil
		}
		if p.in[p.at] != '/' {
			return nil, p.fail(p.at, "a key is expected, and %s stands there", p.excerpt(p.at))
		}
		place := p.at
		key, err := p.name()
		if err != nil {
			return nil, err
		}
		p.weight += entryWeight
		twice := false
		if many != nil {
			twice = many[key]
			many[key] = true
		} else {
			for _, k := range p.keys[own:] {
				twice = twice || k == key
			}
			if p.keys = append(p.keys, key); len(p.keys)-own > few {
				many = make(map[Name]bool, 2*few)
				for _, k := range p.keys[own:] {
					many[k] = true
				}
			}
		}
		if twice {
			return nil, p.fail(place, "the key /%s is there twice", key)
		}
		v, err := p.value(depth + 1)
		if err != nil {
			return nil, err
		}
		if v != nil && !p.dry {
			out[key] = v
		}
	}
}

// known are the names that most objects are made of, so that reading them
// takes no memory.
var known = func() map[string]Name {
	m := map[string]Name{}
	for _, n := range []Name{
		"Type", "Subtype", "Length", "Filter", "FlateDecode", "DecodeParms", "Page", "Pages", "Parent", "Kids", "Count",
		"Contents", "Resources", "MediaBox", "Rotate", "Font", "XObject", "ProcSet", "ExtGState", "ColorSpace", "Annots",
		"Annot", "Link", "Rect", "Border", "Dest", "Dests", "A", "S", "F", "P", "K", "N", "V", "T", "D", "Pg", "MCID", "MCR",
		"OBJR", "Obj", "StructElem", "StructParent", "StructParents", "StructTreeRoot", "ParentTree", "TD", "TH", "TR",
		"Table", "Span", "Div", "Sect", "Document", "H1", "H2", "H3", "Figure", "Alt", "ActualText", "O", "Scope", "Column",
		"Row", "Layout", "Title", "First", "Last", "Next", "Prev", "Names", "Nums", "Limits", "URI", "XYZ", "Tabs", "Lang", "ID",
	} {
		m[string(n)] = n
	}
	return m
}()
