package table

import "strings"

// spellBlankTests rewrites the question whether a cell is blank, C5="" or
// C5<>"", as LEN(C5)=0 or LEN(C5)<>0. Both mean the same, but the workbook
// library does not find an empty cell equal to "". It reports false where the
// question is put in a way that is not known here.
func spellBlankTests(formula string) (string, bool) {
	if !strings.Contains(formula, `""`) {
		return formula, true
	}
	var all []piece
	for _, p := range pieces(formula) {
		if strings.TrimSpace(p.text) != "" {
			all = append(all, p)
		}
	}
	text := func(i int) string {
		if i < 0 || i >= len(all) {
			return ""
		}
		return all[i].text
	}
	ends := func(s string) bool { return s == "" || s == "(" || s == ")" || s == "," }
	for i := range all {
		if all[i].kind != literal || all[i].text != `""` {
			continue
		}
		if strings.ContainsAny(text(i+1), "=<>") {
			return "", false
		}
		operand := i - 2 // before "="
		switch {
		case text(i-1) == ">" && text(i-2) == "<":
			operand = i - 3
		case text(i-1) == ">" || text(i-1) == "<":
			return "", false
		case text(i-1) != "=":
			continue // a value, not a question
		}
		if _, _, ok := parseCell(text(operand)); !ok || !ends(text(i+1)) {
			return "", false
		}
		first := operand
		if text(first-1) == "!" {
			first -= 2
		}
		if first < 0 || !ends(text(first-1)) || text(first-1) == ")" {
			return "", false
		}
		all[first].text = "LEN(" + all[first].text
		all[operand].text += ")"
		all[i].text = "0"
	}
	var b strings.Builder
	for _, p := range all {
		b.WriteString(p.text)
	}
	return b.String(), true
}
