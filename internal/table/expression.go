package table

import (
	"strconv"
	"strings"
)

// An expression is a formula, or a part of one, as it is computed here.
type expression struct {
	kind  expressionKind
	name  string // of an operator or, in capitals, of a function
	value value
	ref   reference
	args  []*expression
}

type expressionKind int

const (
	aValue expressionKind = iota
	aReference
	aPrefix    // "-" or "+" before its operand
	anOperator // between its operands; "%" behind its only one
	aCall
)

// A reference is what a formula takes values from.
type reference struct {
	sheet string // "" for the sheet that the formula is on
	area
}

// mostNested bounds how deep brackets and signs stand within one another.
const mostNested = 200

// parse reads a formula. It reports false for one that is not computed here:
// one with an unknown function, a name, a whole column, an array, a table or
// another file.
func parse(formula string) (*expression, bool) {
	p := parser{rest: tokens(formula)}
	e := p.comparison()
	return e, !p.failed && len(p.rest) == 0
}

// references lists what an expression takes its values from.
func (e *expression) references() []reference { return e.addReferences(nil) }

func (e *expression) addReferences(all []reference) []reference {
	if e.kind == aReference {
		return append(all, e.ref)
	}
	for _, a := range e.args {
		all = a.addReferences(all)
	}
	return all
}

// tokens are the pieces of a formula with numbers and signs of comparison put
// together. A space is left only where it stands between two operands: there
// it means what they have in common, which no rule of parse takes.
func tokens(formula string) []piece {
	var all []piece
	cut := pieces(formula)
	for i, p := range cut {
		last := len(all) - 1
		switch {
		case blank(p):
			if i > 0 && blank(cut[i-1]) || !intersects(cut, i) { // of several the first decides
				continue
			}
		case last < 0:
		case p.kind == mark && all[last].kind == mark &&
			(all[last].text == "<" && (p.text == "=" || p.text == ">") || all[last].text == ">" && p.text == "="):
			all[last].text += p.text
			continue
		case all[last].kind == word && isDigit(p.text[0]) && signedExponent(all[last].text),
			p.kind == mark && (p.text == "-" || p.text == "+") && openExponent(all[last]):
			all[last].text += p.text
			continue
		}
		all = append(all, p)
	}
	return all
}

// openExponent reports whether a piece is the beginning of a number that goes
// on behind a sign, as 1.5E of 1.5E-3.
func openExponent(p piece) bool {
	if p.kind != word || !isDigit(p.text[0]) && p.text[0] != '.' {
		return false
	}
	mantissa, found := strings.CutSuffix(strings.ToUpper(p.text), "E")
	_, err := strconv.ParseFloat(mantissa, 64)
	return found && err == nil
}

func signedExponent(s string) bool {
	n := len(s) - 1
	return n > 0 && (s[n] == '-' || s[n] == '+')
}

func blank(p piece) bool { return p.kind == mark && strings.TrimSpace(p.text) == "" }

// intersects reports whether the space at piece i stands between two operands.
func intersects(all []piece, i int) bool {
	before, after := i-1, i+1
	for before >= 0 && blank(all[before]) {
		before--
	}
	for after < len(all) && blank(all[after]) {
		after++
	}
	return before >= 0 && after < len(all) &&
		(all[before].kind != mark || all[before].text == ")" || all[before].text == "%") &&
		(all[after].kind != mark || all[after].text == "(")
}

// A parser reads tokens. The first thing that it does not know sets failed.
type parser struct {
	rest   []piece
	depth  int
	failed bool
}

func (p *parser) fail() *expression {
	p.failed, p.rest = true, nil
	return &expression{}
}

// next is the text of the token n behind the next; "" behind the last.
func (p *parser) next(n int) string {
	if n < len(p.rest) {
		return p.rest[n].text
	}
	return ""
}

// take takes the next token if it is one of those.
func (p *parser) take(signs ...string) (string, bool) {
	if len(p.rest) == 0 || p.rest[0].kind != mark {
		return "", false
	}
	for _, s := range signs {
		if p.rest[0].text == s {
			p.rest = p.rest[1:]
			return s, true
		}
	}
	return "", false
}

// chain reads operands with operators of one rank between them, which bind
// from the left.
func (p *parser) chain(operand func() *expression, signs ...string) *expression {
	e := operand()
	for {
		sign, ok := p.take(signs...)
		if !ok {
			return e
		}
		e = &expression{kind: anOperator, name: sign, args: []*expression{e, operand()}}
	}
}

// The ranks of operators are those of ISO/IEC 29500-1, 18.17.2.2: a sign binds
// more closely than a power, so that −2^2 is 4.
func (p *parser) comparison() *expression {
	return p.chain(p.joined, "=", "<>", "<", "<=", ">", ">=")
}
func (p *parser) joined() *expression  { return p.chain(p.sum, "&") }
func (p *parser) sum() *expression     { return p.chain(p.product, "+", "-") }
func (p *parser) product() *expression { return p.chain(p.power, "*", "/") }
func (p *parser) power() *expression   { return p.chain(p.signed, "^") }

func (p *parser) signed() *expression {
	if p.depth++; p.depth > mostNested {
		return p.fail()
	}
	defer func() { p.depth-- }()
	if sign, ok := p.take("-", "+"); ok {
		return &expression{kind: aPrefix, name: sign, args: []*expression{p.signed()}}
	}
	e := p.operand()
	for {
		if _, ok := p.take("%"); !ok {
			return e
		}
		e = &expression{kind: anOperator, name: "%", args: []*expression{e}}
	}
}

func (p *parser) operand() *expression {
	if _, ok := p.take("("); ok {
		e := p.comparison()
		if _, ok := p.take(")"); !ok {
			return p.fail()
		}
		return e
	}
	if len(p.rest) == 0 {
		return p.fail()
	}
	t := p.rest[0]
	switch {
	case t.kind == literal && len(t.text) > 1 && strings.HasSuffix(t.text, `"`):
		p.rest = p.rest[1:]
		return &expression{value: ofText(strings.ReplaceAll(t.text[1:len(t.text)-1], `""`, `"`))}
	case t.kind == quoted || p.next(1) == "!":
		return p.elsewhere()
	case t.kind != word:
		return p.fail()
	case p.next(1) == "(":
		return p.call()
	case isDigit(t.text[0]) || t.text[0] == '.':
		v, err := strconv.ParseFloat(t.text, 64)
		if err != nil || p.next(1) == ":" || strings.ContainsAny(t.text, "xXpP_") {
			return p.fail()
		}
		p.rest = p.rest[1:]
		return &expression{value: ofNumber(v)}
	case strings.EqualFold(t.text, "TRUE"), strings.EqualFold(t.text, "FALSE"):
		p.rest = p.rest[1:]
		return &expression{value: ofTruth(strings.EqualFold(t.text, "TRUE"))}
	}
	return p.reference("")
}

// elsewhere reads a reference to another sheet.
func (p *parser) elsewhere() *expression {
	sheet := p.rest[0].text
	if p.rest[0].kind == quoted {
		sheet = strings.ReplaceAll(strings.Trim(sheet, "'"), "''", "'")
	}
	if sheet == "" || p.next(1) != "!" {
		return p.fail()
	}
	p.rest = p.rest[2:]
	if len(p.rest) == 0 || p.rest[0].kind != word || p.next(1) == "(" || p.next(1) == "!" {
		return p.fail()
	}
	return p.reference(sheet)
}

func (p *parser) reference(sheet string) *expression {
	text, n := p.next(0), 1
	if p.next(1) == ":" {
		text, n = text+":"+p.next(2), 3
	}
	a, ok := parseArea(text)
	if !ok || n > len(p.rest) || p.next(n) == ":" || p.next(n) == "!" {
		return p.fail()
	}
	p.rest = p.rest[n:]
	return &expression{kind: aReference, ref: reference{sheet: sheet, area: a}}
}

func (p *parser) call() *expression {
	name := strings.TrimPrefix(strings.ToUpper(p.rest[0].text), "_XLFN.")
	f, known := functions[name]
	if !known {
		return p.fail()
	}
	p.rest = p.rest[2:]
	e := &expression{kind: aCall, name: name}
	if _, ok := p.take(")"); !ok {
		for {
			e.args = append(e.args, p.comparison())
			if _, ok := p.take(","); ok {
				continue
			}
			if _, ok := p.take(")"); !ok {
				return p.fail()
			}
			break
		}
	}
	if len(e.args) < f.least || len(e.args) > f.most {
		return p.fail()
	}
	return e
}
