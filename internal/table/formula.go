package table

import (
	"strconv"
	"strings"

	"saltline/internal/diag"
)

// A piece is a part of a formula that means something by itself.
type piece struct {
	kind pieceKind
	text string
}

type pieceKind int

const (
	mark      pieceKind = iota // an operator, a bracket, a comma, a space
	word                       // a reference, a name, a function or a number
	literal                    // "text"
	quoted                     // 'sheet name'
	bracketed                  // [other file] or [column of a table]
)

// pieces cuts a formula. Joined together they are the formula again.
func pieces(formula string) []piece {
	var all []piece
	for s := formula; s != ""; {
		p := firstPiece(s)
		all = append(all, p)
		s = s[len(p.text):]
	}
	return all
}

func firstPiece(s string) piece {
	switch c := s[0]; {
	case c == '"':
		return piece{literal, s[:closing(s, '"')]}
	case c == '\'':
		return piece{quoted, s[:closing(s, '\'')]}
	case c == '[':
		depth := 0
		for i := range len(s) {
			switch s[i] {
			case '[':
				depth++
			case ']':
				if depth--; depth == 0 {
					return piece{bracketed, s[:i+1]}
				}
			}
		}
		return piece{bracketed, s}
	case isWordByte(c):
		n := 1
		for n < len(s) && isWordByte(s[n]) {
			n++
		}
		return piece{word, s[:n]}
	}
	return piece{mark, s[:1]}
}

// closing is the length of the quoted piece that s begins with; a doubled
// quote does not close it.
func closing(s string, quote byte) int {
	for i := 1; i < len(s); i++ {
		if s[i] != quote {
			continue
		}
		if i+1 < len(s) && s[i+1] == quote {
			i++
			continue
		}
		return i + 1
	}
	return len(s)
}

// isWordByte takes every byte beyond ASCII as part of a name.
func isWordByte(c byte) bool {
	return isLetter(c) || isDigit(c) || c == '$' || c == '_' || c == '.' || c == '\\' || c >= 0x80
}

// A sharedFormula is written in one cell and meant for others too, where its
// relative references move along.
type sharedFormula struct {
	text     string
	col, row int // where it is written
}

// at is the formula as it reads in another cell.
func (f sharedFormula) at(col, row int) string {
	all := pieces(f.text)
	var b strings.Builder
	for i, p := range all {
		next := ""
		if i+1 < len(all) {
			next = all[i+1].text
		}
		if p.kind == word && next != "(" && next != "!" {
			b.WriteString(shift(p.text, col-f.col, row-f.row))
			continue
		}
		b.WriteString(p.text)
	}
	return b.String()
}

// shift moves a reference to one cell by as many columns and rows as are not
// held by "$". Anything else stays as it is, as do references to whole columns
// and rows.
func shift(ref string, cols, rows int) string {
	col, row, ok := parseCell(ref)
	if !ok {
		return ref
	}
	heldCol := strings.HasPrefix(ref, "$")
	heldRow := strings.Contains(ref[1:], "$")
	var b strings.Builder
	if heldCol {
		b.WriteByte('$')
	} else {
		col += cols
	}
	if col < 1 || col > lastColumn {
		return "#REF!"
	}
	b.WriteString(diag.ColumnName(col))
	if heldRow {
		b.WriteByte('$')
	} else {
		row += rows
	}
	if row < 1 || row > lastRow {
		return "#REF!"
	}
	b.WriteString(strconv.Itoa(row))
	return b.String()
}
