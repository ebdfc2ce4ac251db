package judge

import (
	"fmt"
	"slices"

	"saltline/internal/objects"
)

// drawn is what the pages do, as far as rules ask.
type drawn struct {
	unknown  []string       // operators that ISO 32000-1 does not have
	loose    []string       // names that the resources of the page do not have
	colours  []string       // operators and colour spaces outside of the intent
	deep     []string       // too many saved states
	unpaired []string       // BT, q or BMC without its end
	outside  []string       // content that is neither tagged nor an artifact
	mixed    []string       // tagged content within an artifact, or the other way round
	limits   []string       // numbers and strings out of bounds
	intents  []string       // rendering intents that do not exist
	states   []objects.Dict // graphics states in use
}

// A sequence is marked content of a page with an identifier.
type sequence struct {
	id    int
	tag   objects.Name
	text  string // shown in it, as ToUnicode has it
	marks int    // operators that leave something to be seen
}

// A walker goes through the content of a page.
type walker struct {
	*subject
	page      *page
	resources objects.Dict
	font      objects.Ref
	fonts     []objects.Ref // saved
	marks     []string      // open: "artifact", "tagged" or ""
	open      []int         // sequences that are open
	texts     int
	within    int // forms
}

func (s *subject) walkPage(p *page) error {
	var content []byte
	parts := s.Array(p.dict["Contents"])
	if parts == nil && p.dict["Contents"] != nil {
		parts = objects.Array{p.dict["Contents"]}
	}
	for _, part := range parts {
		data, err := s.Data(part, maxStream)
		if err != nil {
			return fmt.Errorf("the content of page %d: %w", p.n, err)
		}
		content = append(append(content, data...), '\n')
	}
	w := &walker{subject: s, page: p, resources: s.Dict(p.dict["Resources"])}
	if err := w.walk(content); err != nil {
		return fmt.Errorf("the content of page %d: %w", p.n, err)
	}
	return nil
}

func (w *walker) walk(content []byte) error {
	saved, open, texts := len(w.fonts), len(w.marks), w.texts
	err := objects.Content(content, w.operator)
	if len(w.fonts) != saved || len(w.marks) != open || w.texts != texts {
		w.drawn.unpaired = append(w.drawn.unpaired, w.page.String())
	}
	return err
}

// resource is a named resource of the page.
func (w *walker) resource(kind objects.Name, operands []objects.Value) objects.Value {
	if len(operands) == 0 {
		return nil
	}
	name, _ := operands[0].(objects.Name)
	v, known := w.Dict(w.resources[kind])[name]
	if !known {
		w.drawn.loose = append(w.drawn.loose, fmt.Sprintf("%s: %s %s", w.page, kind, name))
	}
	return v
}

// paints are the operators that leave something to be seen.
var paints = []string{"S", "s", "f", "F", "f*", "B", "B*", "b", "b*", "Tj", "TJ", "'", `"`, "Do", "sh"}

// others are the remaining operators of ISO 32000-1, annex A, but for inline
// images.
var others = []string{"q", "Q", "cm", "w", "J", "j", "M", "d", "ri", "i", "gs", "m", "l", "c", "v", "y", "h", "re", "n", "W", "W*", "BT", "ET",
	"Tc", "Tw", "Tz", "TL", "Tf", "Tr", "Ts", "Td", "TD", "Tm", "T*", "d0", "d1", "CS", "cs", "SC", "SCN", "sc", "scn", "G", "g", "RG", "rg",
	"K", "k", "MP", "DP", "BMC", "BDC", "EMC", "BX", "EX"}

func (w *walker) operator(op string, operands []objects.Value) error {
	d := &w.drawn
	w.bounds(operands)
	paint := slices.Contains(paints, op)
	if !paint && !slices.Contains(others, op) {
		d.unknown = append(d.unknown, fmt.Sprintf("%s: %s", w.page, op))
	}
	if paint {
		w.painted(op)
	}
	switch op {
	case "q":
		if w.fonts = append(w.fonts, w.font); len(w.fonts) == 29 {
			d.deep = append(d.deep, w.page.String())
		}
	case "Q":
		n := len(w.fonts) - 1
		if n < 0 {
			d.unpaired = append(d.unpaired, w.page.String())
			return nil
		}
		w.font, w.fonts = w.fonts[n], w.fonts[:n]
	case "BT":
		w.texts++
	case "ET":
		w.texts--
	case "Tf":
		w.font, _ = w.resource("Font", operands).(objects.Ref)
	case "Tj", "'", `"`, "TJ":
		w.show(operands)
	case "gs":
		d.states = append(d.states, w.Dict(w.resource("ExtGState", operands)))
	case "ri":
		if len(operands) != 1 || !slices.Contains(renderingIntents, w.Name(operands[0])) {
			d.intents = append(d.intents, w.page.String())
		}
	case "k", "K":
		d.colours = append(d.colours, fmt.Sprintf("%s: operator %s", w.page, op))
	case "cs", "CS":
		if name, _ := operands[0].(objects.Name); !covered[name] {
			d.colours = append(d.colours, fmt.Sprintf("%s: colour space %s", w.page, name))
		}
	case "Do":
		return w.form(w.Stream(w.resource("XObject", operands)))
	case "BMC", "BDC":
		w.begin(operands)
	case "EMC":
		w.end()
	}
	return nil
}

// form walks through a form that the page shows.
func (w *walker) form(s *objects.Stream) error {
	if s == nil || w.Name(s.Dict["Subtype"]) != "Form" {
		return nil
	}
	if w.within++; w.within > 20 {
		return fmt.Errorf("forms within forms without end")
	}
	defer func(r objects.Dict, font objects.Ref) { w.resources, w.font, w.within = r, font, w.within-1 }(w.resources, w.font)
	w.resources = w.Dict(s.Dict["Resources"])
	data, err := w.Data(s, maxStream)
	if err != nil {
		return err
	}
	return w.walk(data)
}

func (w *walker) begin(operands []objects.Value) {
	kind := ""
	tag, _ := operands[0].(objects.Name)
	id := -1
	if tag == "Artifact" {
		kind = "artifact"
	} else if len(operands) > 1 {
		properties := w.Dict(operands[1])
		if properties == nil {
			properties = w.Dict(w.resource("Properties", operands[1:]))
		}
		if n, is := w.Int(properties["MCID"]); is {
			kind, id = "tagged", len(w.page.sequences)
			w.page.sequences = append(w.page.sequences, sequence{id: n, tag: tag})
		}
	}
	for _, around := range w.marks {
		if kind != "" && around != "" {
			w.drawn.mixed = append(w.drawn.mixed, fmt.Sprintf("%s: %s within %s", w.page, kind, around))
		}
	}
	w.marks, w.open = append(w.marks, kind), append(w.open, id)
}

func (w *walker) end() {
	n := len(w.marks) - 1
	if n < 0 {
		w.drawn.unpaired = append(w.drawn.unpaired, w.page.String())
		return
	}
	w.marks, w.open = w.marks[:n], w.open[:n]
}

// sequence is the innermost open sequence, or nil.
func (w *walker) sequence() *sequence {
	for i := len(w.open) - 1; i >= 0; i-- {
		if w.open[i] >= 0 {
			return &w.page.sequences[w.open[i]]
		}
	}
	return nil
}

func (w *walker) painted(op string) {
	if !slices.Contains(w.marks, "artifact") && !slices.Contains(w.marks, "tagged") {
		w.drawn.outside = append(w.drawn.outside, fmt.Sprintf("%s: operator %s", w.page, op))
	}
	if s := w.sequence(); s != nil {
		s.marks++
	}
}

// show notes the codes of two bytes that are shown. Fonts of other codes are
// refused by the rule of font types.
func (w *walker) show(operands []objects.Value) {
	codes := w.shown[w.font]
	if codes == nil {
		codes = map[uint16]bool{}
		w.shown[w.font] = codes
	}
	for _, v := range operands {
		each(v, func(v objects.Value) {
			s, _ := v.(objects.String)
			for i := 0; i+1 < len(s); i += 2 {
				codes[uint16(s[i])<<8|uint16(s[i+1])] = true
			}
			if in := w.sequence(); in != nil && len(s) > 0 {
				in.text += string(utf16Text(s))
			}
		})
	}
}

func (w *walker) bounds(operands []objects.Value) {
	for _, v := range operands {
		if what := outOfBounds(v); what != "" {
			w.drawn.limits = append(w.drawn.limits, fmt.Sprintf("%s: %s", w.page, what))
		}
	}
}
