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
	if bytes.Contains(data, []byte("<!")) && errors.Is(plainXML(data), errDocType) {
		return b.refuseWorkbook(diag.Pos{}, fmt.Errorf("%s: %w", path, errDocType))
	}
	if err := xml.NewDecoder(bytes.NewReader(data)).Decode(into); err != nil {
		return b.refuseWorkbook(diag.Pos{}, fmt.Errorf("%s: %w", path, err))
	}
	return nil
}

// An xmlWalker goes through a part token by token and insists that it is
// well-formed to its end. Names are compared without their prefix.
type xmlWalker struct {
	dec  *xml.Decoder
	in   *meter
	open []string // the names of the elements that are open, outermost first
	text bytes.Buffer
}

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

// plainXML goes through a part and fails where it is not plain XML.
func plainXML(data []byte) error {
	for w := newXMLWalker(bytes.NewReader(data)); ; {
		if _, _, err := w.next(); err == io.EOF {
			return nil
		} else if err != nil {
			return err
		}
	}
}

// maxXMLDepth is far deeper than any sheet or string nests its elements.
const maxXMLDepth = 100

// next returns the next start or end of an element; at an end, w.text holds
// the characters since the last start. At the end of the part it returns
// io.EOF. The attributes are valid until the next call.
func (w *xmlWalker) next() (start *xml.StartElement, end string, err error) {
	for {
		w.in.since = 0
		tok, err := w.dec.RawToken()
		if err == io.EOF {
			if len(w.open) > 0 {
				return nil, "", fmt.Errorf("the part ends inside <%s>", w.open[len(w.open)-1])
			}
			return nil, "", io.EOF
		}
		if err != nil {
			return nil, "", err
		}
		switch t := tok.(type) {
		case xml.StartElement:
			if len(w.open) == maxXMLDepth {
				return nil, "", errors.New("elements are nested too deep")
			}
			w.open = append(w.open, t.Name.Local)
			w.text.Reset()
			return &t, "", nil
		case xml.EndElement:
			top := len(w.open) - 1
			if top < 0 || w.open[top] != t.Name.Local {
				return nil, "", fmt.Errorf("</%s> closes nothing that is open", t.Name.Local)
			}
			w.open = w.open[:top]
			return nil, t.Name.Local, nil
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

// parent is the name of the n-th element around the current one; 1 is the
// nearest. During a start the current element itself is open, after an end it
// no longer is.
func (w *xmlWalker) parent(n int) string {
	if i := len(w.open) - n; i >= 0 {
		return w.open[i]
	}
	return ""
}

// attribute is the value of an attribute without a prefix, "" if absent.
func attribute(e *xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Space == "" && a.Name.Local == name {
			return a.Value
		}
	}
	return ""
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
