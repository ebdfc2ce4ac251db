package pdf

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"saltline/internal/doc"
	"saltline/internal/layout"
)

// Whatever a volume is made of, what is drawn ahead comes to the same bytes, the
// second time that it is written, too.
func TestAheadChangesNoVolume(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	fonts := loadFonts(t)
	for n := range uint64(20) {
		var made [3]bytes.Buffer
		write := func(ahead layout.Ahead, to ...int) {
			bound, err := layout.Bind(randomVolume(t, rand.New(rand.NewPCG(seed, n))), layout.A4(), fonts, ahead)
			for _, i := range to {
				if err == nil {
					err = Write(&made[i], bound, fonts, meta)
				}
			}
			if err != nil {
				t.Fatalf("seed %d, volume %d: %v", seed, n, err)
			}
		}
		write(nil, 0)
		write(Ahead, 1, 2)
		for i := range made {
			if !bytes.Equal(made[i].Bytes(), made[0].Bytes()) {
				t.Errorf("seed %d, volume %d: %d bytes become %d (%d)", seed, n, made[0].Len(), made[i].Len(), i)
			}
		}
	}
}

// randomVolume is a volume of parts in any number, each of blocks in any number
// and order; some have nothing but their title.
func randomVolume(t *testing.T, rnd *rand.Rand) *doc.Volume {
	v := &doc.Volume{Document: doc.Document{Title: "Volume", Lang: "en", Words: doc.English()}}
	for n := range rnd.IntN(4) {
		part := doc.Document{Title: "Part", Lang: "en", Status: []string{"", "DRAFT"}[rnd.IntN(2)], Words: doc.English()}
		for range rnd.IntN(8) {
			part.Blocks = append(part.Blocks, randomBlock(t, rnd, n, 2))
		}
		if len(part.Blocks) > 0 { // which may lead to the end
			part.Blocks = append(part.Blocks, doc.Heading{Level: 1, Text: "End", Anchor: "end"})
			v.Cautions = doc.InPart(n, "end")
		}
		v.Parts = append(v.Parts, doc.Part{Entry: []string{"", "Entry"}[rnd.IntN(2)], Level: 1 + rnd.IntN(2), Own: rnd.IntN(3) == 0,
			Make: func() (doc.Document, error) { return part, nil }})
	}
	return v
}

// randomBlock is a block of a part, with others so deep in each other.
func randomBlock(t *testing.T, rnd *rand.Rand, part, deep int) doc.Block {
	words := func() doc.Text {
		many := doc.Run{S: strings.Repeat("behind the bracket ", []int{0, 1, 3, 300}[rnd.IntN(4)]), Look: doc.Look(rnd.IntN(5)), Dest: []string{"", "end"}[rnd.IntN(2)]}
		return doc.Text{{S: []string{"", "salt"}[rnd.IntN(2)]}, many, {S: "µ", URI: []string{"", "mailto:qc@example.org"}[rnd.IntN(2)]}}
	}
	switch rnd.IntN(8) {
	case 0, 1:
		return doc.Paragraph{Text: words()}
	case 2, 3:
		tb := doc.Table{Columns: []doc.Column{{Head: "Place"}, {Head: "Density", Unit: "mg/m²", Align: doc.AlignDecimal}}, Empty: "None."}
		for i := range []int{0, 2, 12}[rnd.IntN(3)] {
			tb.Rows = append(tb.Rows, doc.Row{Cells: []doc.Text{words(), doc.Plain(fmt.Sprint(i))}, Note: []doc.Text{nil, words()}[rnd.IntN(2)]})
		}
		tb.Notes = []doc.Item{doc.Entry("1", words()), doc.Entry("", words())}[:rnd.IntN(3)]
		return tb
	case 4, 5:
		var in []doc.Block
		for range rnd.IntN(1 + 2*deep) {
			in = append(in, randomBlock(t, rnd, part, deep-1))
		}
		return []doc.Block{doc.Group{Blocks: in}, doc.Box{Title: "Box", Blocks: in, Aside: square()}}[rnd.IntN(2)]
	case 6:
		return pictures(t)[rnd.IntN(2)]
	}
	return doc.Signatures{Items: []doc.Signature{{Role: "Inspector", Field: fmt.Sprint(part, " ", rnd.Uint64()), Sign: "Signature", Fields: []doc.Field{doc.Labelled("Name", words()[:1])}}}}
}
