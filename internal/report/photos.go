package report

import (
	"slices"
	"strings"

	"saltline/internal/assess"
	"saltline/internal/doc"
	"saltline/internal/frame"
	"saltline/internal/record"
)

// Photographs stand two in a row, each over its caption. Lengths are points.
const (
	photoGap     = 12.0 // between the two
	photoShape   = 0.75 // height of the room for one, as a share of its width
	photoCaption = 7.5  // size of the type
	photoLine    = 9.5  // from one line of a caption to the next
	photoAbove   = 3.0  // between a photograph and its caption
)

// PhotoSize is the room for a photograph on a page of which the text is so
// wide, in points.
func PhotoSize(width float64) (w, h float64) {
	w = (width - photoGap) / 2
	return w, photoShape * w
}

// photos shows the photographs of the tests. Of those that are not at hand
// it lists the names, word for word.
func (c *composer) photos() []doc.Block {
	blocks := c.photoBlocks(c.lines)
	if len(blocks) == 0 {
		return nil
	}
	return append([]doc.Block{c.heading("report/photos-title", "")}, blocks...)
}

// photoBlocks shows the photographs that tests name, in the order of the
// tests, each once; then it says which are not shown and why, and what else
// was written in their place.
func (c *composer) photoBlocks(lines []*assess.Line) []doc.Block {
	var shown, missing []*record.Photo
	var texts []string
	of := photosOf(c.job.Photos)
	seen := map[*record.Photo]bool{}
	anyFile := slices.ContainsFunc(c.job.Photos, func(p record.Photo) bool { return p.File != "" })
	for _, l := range lines {
		photos := of[l.Index]
		if written := l.Test.Photo(); written.Known() && (!anyFile || len(photos) == 0) {
			texts = append(texts, c.say("report/photo", map[string]any{
				"Photo": written.Val, "Test": c.number(l.Index), "Location": locationOf(c, l)}))
		}
		for _, p := range photos {
			switch {
			case seen[p] || !anyFile:
			case p.State == record.PhotoFound && p.Print != nil:
				shown = append(shown, p)
			default:
				missing = append(missing, p)
			}
			seen[p] = true
		}
	}
	var blocks []doc.Block
	if len(shown) > 0 {
		first := c.small("photos/intro", nil) // which stands on the page of what it introduces
		for pair := range slices.Chunk(shown, 2) {
			row := c.photoRow(pair)
			if first != nil {
				row, first = doc.Group{Blocks: append(first, row)}, nil
			}
			blocks = append(blocks, row)
		}
	}
	if len(missing) > 0 {
		var items []string
		for _, p := range missing {
			items = append(items, c.say("photos/not-shown-"+photoStates[p.State], map[string]any{"Photo": p.Name, "Tests": c.numbers(p.Tests), "Count": len(p.Tests), "Format": p.Format}))
		}
		blocks = append(blocks, doc.Paragraph{Text: doc.Plain(c.say("photos/not-shown", c.Words.Clauses(items)))})
	}
	if len(texts) > 0 {
		blocks = append(blocks, doc.Paragraph{Text: doc.Plain(c.say("report/photos", c.Words.Clauses(texts)))})
		if len(seen) > 0 && !anyFile {
			blocks = append(blocks, c.small("photos/not-at-hand", nil)...)
		}
	}
	return blocks
}

// photosOf lists the photographs of each test.
func photosOf(photos []record.Photo) map[int][]*record.Photo {
	of := map[int][]*record.Photo{}
	for k := range photos {
		for _, i := range photos[k].Tests {
			of[i] = append(of[i], &photos[k])
		}
	}
	return of
}

// photoStates name the texts of why a photograph is not shown. One that was
// found and has no print was not asked for.
var photoStates = map[record.PhotoState]string{
	record.PhotoMissing: "missing", record.PhotoFound: "found", record.PhotoBroken: "broken",
	record.PhotoTooLarge: "large", record.PhotoOtherFormat: "format",
}

func locationOf(c *composer, l *assess.Line) string { return written(c, l.Test.Location()) }

// photoRow is one or two photographs beside each other, with their captions,
// as one drawing that no page divides.
func (c *composer) photoRow(pair []*record.Photo) doc.Block {
	w, h := PhotoSize(c.Width)
	row := &frame.Frame{W: c.Width}
	var alts []string
	var pictures []frame.Image
	high := 0.0
	for _, p := range pair {
		alt := c.say("photos/alt", c.photoTests(p))
		picture, err := frame.Made(p.Print, w, h, alt)
		if err != nil {
			if c.err == nil {
				c.err = err
			}
			continue
		}
		high = max(high, picture.H)
		alts, pictures = append(alts, alt), append(pictures, picture)
	}
	for k, picture := range pictures {
		x := float64(k) * (w + photoGap)
		row.Put(x, 0, picture)
		y := high + photoAbove
		for _, line := range c.photoCaption(pair[k], w) {
			y += photoLine
			line.Size = photoCaption
			row.Put(x, y, line)
		}
		row.H = max(row.H, y+photoLine-photoCaption)
	}
	return doc.Figure{Draw: doc.Drawn(row), Alt: strings.Join(alts, " ")}
}

// mostInCaption is how many tests a caption names.
const mostInCaption = 4

// photoTests is what the texts of a photograph are filled with: the tests that
// name it, each with its location.
func (c *composer) photoTests(p *record.Photo) map[string]any {
	type test struct{ Number, Location string }
	var tests []test
	for _, i := range p.Tests[:min(len(p.Tests), mostInCaption)] {
		tests = append(tests, test{c.number(i), locationOf(c, &c.Result.Lines[i])})
	}
	return map[string]any{"Tests": tests, "More": len(p.Tests) - len(tests)}
}

// photoCaption is the caption of a photograph, in lines of a width: its tests
// and where they were made; the file and when it was taken; the digest of the
// file.
func (c *composer) photoCaption(p *record.Photo, width float64) []frame.Text {
	taken := ""
	if p.Taken.Known() {
		taken = c.moment(p.Taken.Val)
	}
	var lines []frame.Text
	for _, part := range []struct {
		face frame.Face
		says string
	}{
		{frame.CondensedSemiBold, c.say("photos/caption-tests", c.photoTests(p))},
		{frame.Condensed, c.say("photos/caption-file", map[string]any{"File": p.File, "Taken": taken})},
		{frame.Condensed, c.say("photos/caption-digest", shortDigest(p.SHA256))},
	} {
		for _, s := range wrapped(c.Fonts, part.face, photoCaption, part.says, width) {
			lines = append(lines, frame.Text{S: s, Face: part.face})
		}
	}
	return lines
}

// wrapped breaks a text at spaces into lines of a width. A word that is longer
// is broken where the line ends.
func wrapped(fonts *frame.Fonts, face frame.Face, size float64, text string, width float64) []string {
	text = fonts.Shown(face, text)
	var lines []string
	fits := func(s string) bool { return fonts.Width(face, size, s) <= width }
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '\n' }) {
		if n := len(lines) - 1; n >= 0 && fits(lines[n]+" "+word) {
			lines[n] += " " + word
			continue
		}
		for !fits(word) {
			runes := []rune(word)
			n := len(runes) - 1
			for n > 1 && !fits(string(runes[:n])) {
				n--
			}
			lines, word = append(lines, string(runes[:n])), string(runes[n:])
		}
		lines = append(lines, word)
	}
	return lines
}
