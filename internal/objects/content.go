package objects

// maxOperands is how many operands one operator of a page may have. The
// operator that takes most takes 6, but for a colour, which takes 32 (from
// memory: annex C, colorants), and its pattern.
const maxOperands = 64

// Content reads the operators of a content stream (7.8.2) in order, each with
// the operands before it, which are good until each returns. An inline image
// is refused. Places in errors are those in data.
func Content(data []byte, each func(operator string, operands []Value) error) error {
	p := parser{in: data, end: len(data), limit: maxWeight}
	var operands []Value
	for {
		p.space()
		from := p.at
		if p.at >= p.end {
			break
		}
		w := p.word()
		value := string(w) == "true" || string(w) == "false" || string(w) == "null"
		if value || operand(data[from]) {
			if len(operands) == maxOperands {
				return damage(from, "an operator has more than %d operands", maxOperands)
			}
			p.at = from
			v, err := p.value(0)
			if err != nil {
				return err
			}
			operands = append(operands, v)
			continue
		}
		switch string(w) {
		case "":
			return damage(from, "an operator is expected, and %s stands there", p.excerpt(from))
		case "BI":
			return damage(from, "an inline image is not read")
		}
		if err := each(operator(w), operands); err != nil {
			return err
		}
		operands = operands[:0]
		p.weight = 0
	}
	if len(operands) > 0 {
		return damage(len(data), "the last operands have no operator")
	}
	return nil
}

// operand says whether a value other than a keyword starts with c.
func operand(c byte) bool {
	return c >= '0' && c <= '9' || c == '+' || c == '-' || c == '.' || c == '/' || c == '(' || c == '<' || c == '['
}

// operators are those that pages are made of most, so that reading them takes
// no memory.
var operators = func() map[string]string {
	m := map[string]string{}
	for _, o := range []string{
		"q", "Q", "cm", "w", "J", "j", "M", "d", "gs", "m", "l", "c", "h", "re", "S", "f", "f*", "B", "n", "W", "BT", "ET",
		"Td", "Tm", "Tf", "Tj", "TJ", "Tr", "Tc", "Tw", "Tz", "rg", "RG", "g", "G", "Do", "BDC", "BMC", "EMC",
	} {
		m[o] = o
	}
	return m
}()

func operator(w []byte) string {
	if o, ok := operators[string(w)]; ok {
		return o
	}
	return string(w)
}
