package table

import (
	"encoding/binary"

	"saltline/internal/diag"
)

// A bank keeps cells as bytes, a few for each but for its texts, in chunks that
// are written once: what a Cell gives out of it is no copy. Cells that are alike
// may be kept once and referred to many times.
type bank struct {
	chunks [][]byte
	spare  []byte // the cell that is being put in
}

// A reference into a bank is a chunk and an offset in it. The first byte of all is
// a cell that holds nothing.
const (
	offsetBits  = 20
	firstChunk  = 1 << 10
	largeChunk  = 1 << offsetBits
	emptyRef    = uint32(0)
	maxInChunks = 1 << (32 - offsetBits)
)

func newBank() *bank {
	return &bank{chunks: [][]byte{make([]byte, 1, firstChunk)}}
}

// What the first byte of a cell says beside its kind.
const (
	kindBits = 0b111
	isStale  = 1 << (2 + iota)
	isNoCache
	isStruck
	isFaint
	hasOrigin
)

// put keeps a cell, without its place.
func (b *bank) put(c Cell) uint32 {
	head := byte(c.Kind)
	for _, f := range [...]struct {
		is  bool
		bit byte
	}{{c.Stale, isStale}, {c.NoCache, isNoCache}, {c.Struck, isStruck}, {c.Faint, isFaint}, {c.origin != "", hasOrigin}} {
		if f.is {
			head |= f.bit
		}
	}
	if head == byte(Empty) && c.Raw == "" && c.Text == "" {
		return emptyRef
	}
	s := append(b.spare[:0], head)
	if c.Text == c.Raw {
		s = binary.AppendUvarint(s, uint64(len(c.Raw))<<1|1)
		s = append(s, c.Raw...)
	} else {
		s = binary.AppendUvarint(s, uint64(len(c.Raw))<<1)
		s = append(s, c.Raw...)
		s = appendText(s, c.Text)
	}
	if c.origin != "" {
		s = appendText(s, c.origin)
	}
	b.spare = s
	return b.keep(s)
}

// keep writes the bytes of a cell behind the others.
func (b *bank) keep(s []byte) uint32 {
	last := len(b.chunks) - 1
	chunk := b.chunks[last]
	if len(chunk)+len(s) > cap(chunk) {
		if last++; last == maxInChunks {
			panic("cells of more than 4 GiB")
		}
		chunk = make([]byte, 0, max(len(s), min(2*cap(chunk), largeChunk)))
		b.chunks = append(b.chunks, chunk)
	}
	at := len(chunk)
	b.chunks[last] = append(chunk, s...)
	return uint32(last)<<offsetBits | uint32(at)
}

// cell is a cell that was put in, at a place.
func (b *bank) cell(ref uint32, pos diag.Pos) Cell {
	c := Cell{Pos: pos}
	if ref == emptyRef {
		return c
	}
	s := asString(b.chunks[ref>>offsetBits][ref&(largeChunk-1):])
	head := s[0]
	c.Kind = Kind(head & kindBits)
	c.Stale, c.NoCache = head&isStale != 0, head&isNoCache != 0
	c.Struck, c.Faint = head&isStruck != 0, head&isFaint != 0
	n, s := uvarint(s[1:])
	c.Raw, s = s[:n>>1], s[n>>1:]
	c.Text = c.Raw
	if n&1 == 0 {
		c.Text, s = cutText(s)
	}
	if head&hasOrigin != 0 {
		c.origin, _ = cutText(s)
	}
	return c
}

// plain is the text of a cell that was put in, where it is empty or a text as it is
// stored and nothing else.
func (b *bank) plain(ref uint32) (text string, ok bool) {
	if ref == emptyRef {
		return "", true
	}
	s := asString(b.chunks[ref>>offsetBits][ref&(largeChunk-1):])
	if s[0] != byte(Text) {
		return "", false
	}
	n, s := uvarint(s[1:])
	return s[:n>>1], n&1 == 1 && n > 1
}

// kind is the kind of a cell that was put in.
func (b *bank) kind(ref uint32) Kind {
	return Kind(b.chunks[ref>>offsetBits][ref&(largeChunk-1)] & kindBits)
}

// appendText appends a text with its length before it.
func appendText(s []byte, text string) []byte {
	return append(binary.AppendUvarint(s, uint64(len(text))), text...)
}

// cutText cuts off a text that has its length before it.
func cutText(s string) (text, rest string) {
	n, s := uvarint(s)
	return s[:n], s[n:]
}

// uvarint cuts off a number as encoding/binary writes it. Most take one byte.
func uvarint(s string) (n int, rest string) {
	for shift := 0; ; shift += 7 {
		n |= int(s[0]&0x7F) << shift
		if s[0] < 0x80 {
			return n, s[1:]
		}
		s = s[1:]
	}
}

// appendOrigin spells an origin: the row and the column of the cell that fills
// this one, and the texts in the order of their parts.
func appendOrigin(s []byte, o Origin) []byte {
	s = binary.AppendUvarint(s, uint64(o.FillOf.Row()))
	s = binary.AppendUvarint(s, uint64(o.FillOf.Col()))
	for _, text := range [...]string{isoPart: o.ISO, formulaPart: o.Formula, freshPart: o.Fresh} {
		s = appendText(s, text)
	}
	return s
}

// The texts of an origin.
const (
	isoPart = iota
	formulaPart
	freshPart
)

// part is a text of the origin.
func (c Cell) part(n int) string {
	if c.origin == "" {
		return ""
	}
	_, s := uvarint(c.origin)
	_, s = uvarint(s)
	text, s := cutText(s)
	for range n {
		text, s = cutText(s)
	}
	return text
}

// from is where the value of a cell comes from, all of it.
func (c Cell) from() Origin {
	return Origin{ISO: c.ISO(), Formula: c.Formula(), Fresh: c.Fresh(), FillOf: c.FillOf()}
}

// fillOf is the cell that fills this one, which has an origin.
func (c Cell) fillOf() diag.Pos {
	row, s := uvarint(c.origin)
	col, _ := uvarint(s)
	if row == 0 {
		return diag.Pos{}
	}
	return c.Pos.At(row, col)
}
