package table

import (
	"bufio"
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"saltline/internal/diag"
)

// unmarshal decodes a small part of the package.
func (b *workbook) unmarshal(path string, into any) error {
	data, err := b.archive.whole(path)
	if err == nil && data == nil {
		err = fmt.Errorf("it has no %s", path)
	}
	if err != nil {
		return b.refuseWorkbook(diag.Pos{}, err)
	}
	if bytes.Contains(data, []byte("<!")) && declaresType(data) {
		return b.refuseWorkbook(diag.Pos{}, fmt.Errorf("%s: %w", path, errDocType))
	}
	if err := xml.NewDecoder(bytes.NewReader(data)).Decode(into); err != nil {
		return b.refuseWorkbook(diag.Pos{}, fmt.Errorf("%s: %w", path, err))
	}
	return nil
}

// A walker goes through a part from one start or end of an element to the next,
// and insists that the part is well-formed to its end. Names are compared without
// their prefix.
type walker interface {
	// next returns the next start or end of an element, and io.EOF at the end of
	// the part. An element is valid until the next call.
	next() (start *element, end string, err error)
	// content is the characters since the last start, at an end.
	content() []byte
	parent(n int) string
}

// An element is the start of one.
type element struct {
	name  string
	attrs []attr // those without a prefix
}

type attr struct{ name, value string }

// attribute is the value of an attribute without a prefix, "" if absent.
func (e *element) attribute(name string) string {
	for i := range e.attrs {
		if e.attrs[i].name == name {
			return e.attrs[i].value
		}
	}
	return ""
}

// A trail is the names of the elements that are open, outermost first.
type trail []string

// parent is the name of the n-th element around the current one; 1 is the
// nearest. During a start the current element itself is open, after an end it
// no longer is.
func (p trail) parent(n int) string {
	if i := len(p) - n; i >= 0 {
		return p[i]
	}
	return ""
}

// pop closes the element that is open.
func (p *trail) pop() string {
	top := len(*p) - 1
	name := (*p)[top]
	*p = (*p)[:top]
	return name
}

// An xmlWalker reads any XML, and says what is wrong with it.
type xmlWalker struct {
	trail
	dec     *xml.Decoder
	in      *meter
	text    bytes.Buffer
	element element
}

func (w *xmlWalker) content() []byte { return w.text.Bytes() }

func newXMLWalker(part io.Reader) *xmlWalker {
	in := &meter{in: part}
	return &xmlWalker{dec: xml.NewDecoder(bufio.NewReaderSize(in, 1<<15)), in: in}
}

// maxToken bounds a tag, a comment and the text between two tags, each of which
// is held in memory, in bytes. The longest text of a cell is some 300,000 when
// every character of it is spelled by its number.
const maxToken = 1 << 20

// A meter fails where one token takes more bytes than any may have.
type meter struct {
	in    io.Reader
	since int // bytes since the last token ended, and what was read ahead
}

func (m *meter) Read(b []byte) (int, error) {
	if m.since > maxToken {
		return 0, errToken
	}
	n, err := m.in.Read(b)
	m.since += n
	return n, err
}

var (
	errToken   = fmt.Errorf("a tag or a text of more than %d bytes", maxToken)
	errDocType = errors.New("it declares a document type, which a workbook may not")
)

// declaresType reports whether a part declares a document type, as far as it can be
// read.
func declaresType(data []byte) bool {
	for w := newXMLWalker(bytes.NewReader(data)); ; {
		if _, _, err := w.next(); err != nil {
			return errors.Is(err, errDocType)
		}
	}
}

// maxXMLDepth is far deeper than any sheet or string nests its elements.
const maxXMLDepth = 100

func (w *xmlWalker) next() (start *element, end string, err error) {
	for {
		w.in.since = 0
		tok, err := w.dec.RawToken()
		if err == io.EOF {
			if len(w.trail) > 0 {
				return nil, "", fmt.Errorf("the part ends inside <%s>", w.trail[len(w.trail)-1])
			}
			return nil, "", io.EOF
		}
		if err != nil {
			return nil, "", err
		}
		switch t := tok.(type) {
		case xml.StartElement:
			if len(w.trail) == maxXMLDepth {
				return nil, "", errors.New("elements are nested too deep")
			}
			w.trail = append(w.trail, t.Name.Local)
			w.text.Reset()
			w.element = element{t.Name.Local, w.element.attrs[:0]}
			for _, a := range t.Attr {
				if a.Name.Space == "" {
					w.element.attrs = append(w.element.attrs, attr{a.Name.Local, a.Value})
				}
			}
			return &w.element, "", nil
		case xml.EndElement:
			top := len(w.trail) - 1
			if top < 0 || w.trail[top] != t.Name.Local {
				return nil, "", fmt.Errorf("</%s> closes nothing that is open", t.Name.Local)
			}
			return nil, w.pop(), nil
		case xml.CharData:
			if w.text.Len()+len(t) > maxToken {
				return nil, "", errToken
			}
			w.text.Write(t)
		case xml.Directive: // ISO/IEC 29500-2 forbids document types (from memory), and entities come with them
			return nil, "", errDocType
		}
	}
}

// isTrue reads an XML Schema boolean.
func isTrue(s string) bool { return s == "1" || s == "true" }

// unescape undoes the _xHHHH_ by which a workbook stores characters that XML
// cannot hold.
func unescape(s string) string {
	if !strings.Contains(s, "_x") {
		return s
	}
	var b strings.Builder
	for {
		i := strings.Index(s, "_x")
		if i < 0 || len(s) < i+7 {
			break
		}
		n, err := strconv.ParseUint(s[i+2:i+6], 16, 16)
		if err != nil || s[i+6] != '_' {
			b.WriteString(s[:i+2])
			s = s[i+2:]
			continue
		}
		b.WriteString(s[:i])
		b.WriteRune(rune(n))
		s = s[i+7:]
	}
	b.WriteString(s)
	return b.String()
}
