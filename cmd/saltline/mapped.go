package main

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"saltline/internal/diag"
	"saltline/internal/heading"
	"saltline/internal/record"
)

// measured are our columns that a surface density and its verdict rest on. A
// heading that bears the very name of one cannot be read as another column.
var measured = []string{
	"blank", "extract", "difference", "volume", "injected", "recovered", "patch area",
	"compensated", "blank temperature", "solution temperature", "limit", "recorded", "recorded verdict",
}

// mappedAway finds the headings that --map reads as another column than they
// say: that is refused for a measured column of ours, and otherwise said. To
// set a heading aside is no other reading of it.
func mappedAway(headings []record.Heading, told map[string]string) []diag.Diagnostic {
	var ds []diag.Diagnostic
	for _, h := range headings {
		key, ok := toldBy(h, told)
		says := columnOf(h.Text)
		if !ok || h.Column == "" || says == "" || says == h.Column {
			continue
		}
		d := diag.Diagnostic{
			Pos: h.Pos, Level: diag.Problem, Check: "mapping-of-a-known-heading",
			Msg:  fmt.Sprintf("found --map %q, but %q says %s", key+"="+told[key], h.Text, says),
			Hint: "leave out this --map unless the column really holds something else",
		}
		if nameOf(h.Text) == says && slices.Contains(measured, says) {
			d.Level = diag.Failure
			d.Hint = fmt.Sprintf("leave out this --map; if the column does not hold %s, set it aside with --map %q", says, key+"=-")
		}
		ds = append(ds, d)
	}
	return ds
}

// toldBy is the key of --map by which a heading was read, if there is one: its
// cell, or its text with or without the unit.
func toldBy(h record.Heading, told map[string]string) (key string, ok bool) {
	for _, key := range slices.Sorted(maps.Keys(told)) {
		if strings.EqualFold(key, h.Pos.Cell()) || nameOf(key) == nameOf(h.Text) {
			return key, true
		}
	}
	return "", false
}

// columnOf is the column that a heading names beyond doubt, or "".
func columnOf(text string) string {
	if name := nameOf(text); slices.Contains(heading.Columns("readings"), name) {
		return name
	}
	key, _ := heading.Key(text)
	return key
}

// nameOf is a heading in lower case without the unit that stands behind it, in
// brackets or spelt as in "blank_uS_cm".
func nameOf(text string) string {
	name, _, _ := strings.Cut(text, "(")
	name, _, _ = strings.Cut(name, "[")
	name = record.Folded(strings.ReplaceAll(name, "_", " "))
	for _, unit := range []string{" us cm", " ml", " mg m2", " mm2", " c"} {
		name = strings.TrimSuffix(name, unit)
	}
	return name
}
