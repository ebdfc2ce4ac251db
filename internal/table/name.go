package table

import (
	"strconv"
	"strings"
	"unicode/utf16"

	"saltline/internal/diag"
)

// longestName is how long the name of a sheet may be, in the units of UTF-16.
const longestName = 31

// SheetRef is a reference to one cell of a sheet as it stands in a formula:
// 'Sheet name'!$F$5. Rows and columns count from 1.
func SheetRef(sheet string, row, col int) string {
	return quotedName(sheet) + "!" + absolute(row, col)
}

// quotedName is the name of a sheet as it stands in a formula.
func quotedName(sheet string) string { return "'" + strings.ReplaceAll(sheet, "'", "''") + "'" }

func absolute(row, col int) string { return "$" + diag.ColumnName(col) + "$" + strconv.Itoa(row) }

// sameName reports whether two sheets cannot stand in one workbook.
func sameName(a, b string) bool { return strings.EqualFold(a, b) }

// freeName is the name nearest to wanted that a sheet may have and that none
// of taken has: "findings", "findings 2", "findings 3" …
func freeName(wanted string, taken []string) string {
	name := sheetName(wanted)
	is := func(name string) bool {
		for _, t := range taken {
			if sameName(t, name) {
				return true
			}
		}
		return false
	}
	if !is(name) {
		return name
	}
	for n := 2; ; n++ {
		suffix := " " + strconv.Itoa(n)
		if next := cutName(name, longestName-len(suffix)) + suffix; !is(next) {
			return next
		}
	}
}

// sheetName is a text as the name of a sheet: without the characters that may
// not stand there, not too long, not empty.
func sheetName(s string) string {
	s = strings.Map(func(r rune) rune {
		if strings.ContainsRune(`:\/?*[]`, r) || r < ' ' {
			return '_'
		}
		return r
	}, s)
	s = strings.Trim(cutName(strings.Trim(s, " '"), longestName), " '")
	if s == "" || sameName(s, "History") { // the second is kept by one program for itself
		return "sheet"
	}
	return s
}

// cutName shortens s to so many units of UTF-16, whole characters only.
func cutName(s string, units int) string {
	n := 0
	for i, r := range s {
		if n += utf16.RuneLen(r); n > units {
			return strings.TrimRight(s[:i], " ")
		}
	}
	return s
}
