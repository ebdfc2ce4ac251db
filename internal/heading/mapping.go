package heading

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"saltline/internal/diag"
)

// A Mapping is the user's own word on what headings mean: heading as found, or
// the cell that it stands in, to our column. The column "-" sets a heading
// aside as none of ours. A mapping overrides everything that is known or seen.
type Mapping map[string]string

// aside is the column that stands for no column.
const aside = "-"

// of returns the column that the heading e was given, and whether it was given
// one.
func (m Mapping) of(pos diag.Pos, headings ...string) (string, bool) {
	for _, key := range slices.Sorted(maps.Keys(m)) {
		if strings.EqualFold(key, pos.Cell()) {
			return m.column(key), true
		}
		for _, h := range headings {
			if h != "" && sameHeading(key, h) {
				return m.column(key), true
			}
		}
	}
	return "", false
}

func sameHeading(a, b string) bool {
	if f := fold(a); f != "" {
		return f == fold(b)
	}
	return strings.TrimSpace(a) == strings.TrimSpace(b)
}

func (m Mapping) column(key string) string {
	if c := strings.TrimSpace(m[key]); c == "" || c == aside {
		return aside
	}
	return plain(takeApart(m[key]).name)
}

// Check finds the columns of m that are no column of any table.
func (m Mapping) Check() []diag.Diagnostic {
	var ds []diag.Diagnostic
	for _, key := range slices.Sorted(maps.Keys(m)) {
		c := m.column(key)
		known := c == aside
		for _, t := range words().order {
			known = known || t != "title" && slices.Contains(words().tables[t].columns, c)
		}
		if !known {
			ds = append(ds, diag.Diagnostic{
				Level: diag.Failure,
				Check: "mapping-unknown",
				Msg:   fmt.Sprintf("found --map %q, but %q is none of our columns", key+"="+m[key], m[key]),
				Hint:  "name one of these: " + strings.Join(Columns("readings"), ", ") + "; or \"-\" to set the heading aside",
			})
		}
	}
	return ds
}

// Unmatched finds the headings of m that stand in none of blocks, which are
// those of the whole input: a heading that is absent from one sheet may well
// stand in another.
func (m Mapping) Unmatched(blocks []Block) []diag.Diagnostic {
	var seen []string
	matched := map[string]bool{}
	for _, b := range blocks {
		for _, c := range b.Columns {
			if q := fmt.Sprintf("%q", c.Text); !slices.Contains(seen, q) {
				seen = append(seen, q)
			}
			for key := range m {
				one := Mapping{key: m[key]}
				if _, ok := one.of(c.Pos, c.Text, takeApart(c.Text).name, c.own); ok {
					matched[key] = true
				}
			}
		}
	}
	var ds []diag.Diagnostic
	for _, key := range slices.Sorted(maps.Keys(m)) {
		if matched[key] {
			continue
		}
		hint := "no heading was found in the input"
		if len(seen) > 0 {
			hint = "use one of the headings found: " + strings.Join(seen, ", ")
		}
		ds = append(ds, diag.Diagnostic{
			Level: diag.Failure,
			Check: "mapping-unmatched",
			Msg:   fmt.Sprintf("found --map %q, but no heading reads %q", key+"="+m[key], key),
			Hint:  hint,
		})
	}
	return ds
}
