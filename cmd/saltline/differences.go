package main

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"saltline/internal/readback"
)

// again makes a document again and holds it against what it was.
func (v *verification) again(d *readback.Document, m *made, original []byte, s stream) error {
	data, err := m.run(d, v.large)
	if err != nil {
		v.fault("it cannot be made again by %s: %v", tool, err)
		return nil
	}
	if bytes.Equal(data, original) {
		v.exact = true
		v.holds("made again by %s: the same file, byte for byte", tool)
		return nil
	}
	again, err := readback.Open(data)
	if err != nil {
		return err
	}
	same := m.Tool == tool
	if !same {
		v.holds("written by %s and made again by %s: numbers and verdicts have to agree; words may differ", m.Tool, tool)
	}
	before := v.faults
	v.results(d, again, same)
	v.pages(d, again, same)
	if same {
		v.attached(d, again)
	} else {
		v.holds("not checked: the looks of its pages: what is drawn over or beside the text, faces and pictures, which each version may draw in its own way")
	}
	if same && v.faults == before {
		v.fault("results, pages and attached files say the same, but from byte %d on the file is not the one that %s makes: its looks, its fonts, its pictures, or what it says of itself differ", firstDifference(data, original), tool)
	}
	return nil
}

// attached holds what a document carries against what it carries made again, but
// for its results.
func (v *verification) attached(d, again *readback.Document) {
	for _, f := range d.Files {
		now := again.Attached(f.Name)
		switch {
		case now == nil:
			v.fault("it carries %q, and made again it does not", f.Name)
		case f.Name != resultsName && !bytes.Equal(f.Data, now.Data):
			v.fault("it carries %q, and made again it carries another file of that name", f.Name)
		case f.Kind != now.Kind:
			v.fault("it carries %q as %q, and made again as %q", f.Name, f.Kind, now.Kind)
		}
	}
	for _, f := range again.Files {
		if d.Attached(f.Name) == nil {
			v.fault("made again it carries %q, and it does not", f.Name)
		}
	}
}

// firstDifference is the place of the first byte that differs.
func firstDifference(a, b []byte) int {
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			return i
		}
	}
	return min(len(a), len(b))
}

// results holds the results that a document carries against those made again.
func (v *verification) results(d, again *readback.Document, same bool) {
	was, now := d.Attached(resultsName), again.Attached(resultsName)
	if was == nil || now == nil {
		return // said where the attachments are
	}
	if len(was.Data) > mostResults || len(now.Data) > mostResults {
		if !bytes.Equal(was.Data, now.Data) {
			v.fault("%s is another than the one made again, and too long to be held against it value by value", resultsName)
		}
		return
	}
	differences, err := readback.Results(was.Data, now.Data)
	if err != nil {
		v.fault("its %s cannot be read: %v", resultsName, err)
		return
	}
	v.differences("results", differences, same, func(k readback.Kind) bool { return k == readback.Value })
}

// pages holds what the pages say against what they say made again. Where pages
// end is for each version to settle, and so is what stands at their heads and
// feet.
func (v *verification) pages(d, again *readback.Document, same bool) {
	all := slices.Concat(d.OutOfOrder(), d.Said(again))
	if same {
		all = append(all, d.Stamps(again)...)
	} else {
		all = append(all, d.Beside(again)...)
	}
	v.differences("pages", all, same, func(k readback.Kind) bool { return k == readback.Value || k == readback.Added || k == readback.Order })
}

// mostShown bounds how many differences of a kind are told one by one.
const mostShown = 20

// differences tells what differs. By another version of the program only some
// kinds are faults.
func (v *verification) differences(of string, all []readback.Difference, same bool, weighs func(readback.Kind) bool) {
	faults, words := 0, 0
	for _, d := range all {
		if !same && !weighs(d.Kind) {
			if words++; words <= mostShown {
				v.holds("  %s, %s", of, told(d))
			}
			continue
		}
		if faults++; faults <= mostShown {
			v.fault("%s, %s", of, told(d))
		}
	}
	if more := faults - mostShown; more > 0 {
		v.fault("%s: %s more", of, counted(more, "difference", "differences"))
	}
	switch {
	case words > 0:
		v.holds("%s: %s of wording or of what only one of the versions says", of, counted(words, "difference", "differences"))
	case faults == 0 && len(all) == 0 && same:
		v.holds("%s: the same", of)
	case faults == 0 && len(all) == 0:
		v.holds("%s: what is said is the same", of)
	}
}

// told is a difference in words.
func told(d readback.Difference) string {
	was, now := parting(d.Was, d.Now)
	switch d.Kind {
	case readback.Lost:
		return fmt.Sprintf("%s: %q is not in the document", d.Where, now)
	case readback.Added:
		return fmt.Sprintf("%s: %q does not follow from the record", d.Where, was)
	case readback.Order:
		return fmt.Sprintf("%s: %s", d.Where, d.Was)
	}
	switch {
	case d.Now == "":
		return fmt.Sprintf("%s: %q stands in the document, and not in the one made again", d.Where, was)
	case d.Was == "":
		return fmt.Sprintf("%s: %q stands in the one made again, and not in the document", d.Where, now)
	}
	return fmt.Sprintf("%s: the document says %q, made again it is %q", d.Where, was, now)
}

// Of two long texts, as much is shown before the place where they part, and in
// all.
const (
	mostBefore = 40
	mostText   = 160
)

// parting is as much of two texts as shows where they part.
func parting(was, now string) (string, string) {
	a, b := []rune(strings.Join(strings.Fields(was), " ")), []rune(strings.Join(strings.Fields(now), " "))
	if len(a) <= mostText && len(b) <= mostText {
		return string(a), string(b)
	}
	at := 0
	for at < min(len(a), len(b)) && a[at] == b[at] {
		at++
	}
	from := max(at-mostBefore, 0)
	cut := func(r []rune) string {
		end := min(len(r), from+mostText)
		text := string(r[from:end])
		if from > 0 {
			text = "…" + text
		}
		if end < len(r) {
			text += "…"
		}
		return text
	}
	return cut(a), cut(b)
}

// counted is a number of things.
func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
