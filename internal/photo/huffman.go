package photo

// A huffman is a table of codes: the value of each code, by the bits that it
// begins with.
type huffman struct {
	short [1 << shortBits]uint16 // length × 256 + value; 0 for a longer code
	whole [1 << shortBits]wave   // a code of the waves and the number behind it, where both are short
	// Of longer codes, by their length: the first code that is none of it, and
	// what to add to a code for its place among values.
	beyond [17]int32
	offset [17]int32
	values []byte
}

const shortBits = 10

// A wave is a number behind so many noughts; of no bits where it is not known.
type wave struct {
	run, bits uint8
	v         int16
}

func (d *decoder) takeHuffman(b []byte) {
	for len(b) > 0 {
		if len(b) < 17 || b[0]>>4 > 1 || b[0]&15 > 3 {
			d.odd = true
			return
		}
		total := 0
		for _, n := range b[1:17] {
			total += int(n)
		}
		if total == 0 || total > 256 || len(b) < 17+total {
			d.odd = true
			return
		}
		h := tableOf(b[1:17], b[17:17+total])
		if h == nil {
			d.odd = true
			return
		}
		d.huff[b[0]>>4][b[0]&15] = h
		b = b[17+total:]
	}
}

// tableOf makes the table of so many codes of each length; nil where there are
// more than the bits allow.
func tableOf(counts, values []byte) *huffman {
	h := &huffman{values: values}
	code, at := int32(0), int32(0)
	for length := 1; length <= 16; length++ {
		h.offset[length] = at - code
		for range counts[length-1] {
			if code >= 1<<length {
				return nil
			}
			if length <= shortBits {
				from := int(code) << (shortBits - length)
				for i := range 1 << (shortBits - length) {
					h.short[from+i] = uint16(length)<<8 | uint16(values[at])
				}
			}
			code, at = code+1, at+1
		}
		h.beyond[length] = code
		code <<= 1
	}
	for i, c := range h.short {
		length, size := int(c>>8), int(c&15)
		if c == 0 || size == 0 || length+size > shortBits {
			continue
		}
		v := signed(int32(i>>(shortBits-length-size)), size)
		h.whole[i] = wave{run: uint8(c>>4) & 15, bits: uint8(length + size), v: int16(v)}
	}
	return h
}

// signed is the number in the last bits of v: those that begin with 0 are below
// zero.
func signed(v int32, bits int) int32 {
	v &= 1<<bits - 1
	if v < 1<<(bits-1) {
		v -= 1<<bits - 1
	}
	return v
}

// wave takes the next wave: its number, and of how many noughts before it. A
// number of 0 is the end of the block, or with 15 noughts before it one more.
func (d *decoder) wave(h *huffman) (run int, v int32, ok bool) {
	if d.n < 16 {
		d.fill()
	}
	if d.n >= shortBits {
		if w := h.whole[d.bits>>(d.n-shortBits)&(1<<shortBits-1)]; w.bits > 0 {
			d.n -= int(w.bits)
			return int(w.run), int32(w.v), true
		}
	}
	code, ok := d.code(h)
	if !ok || code&15 == 0 {
		return int(code >> 4), 0, ok
	}
	v, ok = d.number(int(code & 15))
	return int(code >> 4), v, ok
}

// code takes the next code and gives its value; false where there is none.
func (d *decoder) code(h *huffman) (byte, bool) {
	if d.n < 16 {
		d.fill()
	}
	if d.n >= shortBits {
		if c := h.short[d.bits>>(d.n-shortBits)&(1<<shortBits-1)]; c != 0 {
			d.n -= int(c >> 8)
			return byte(c), true
		}
	}
	for length := 1; length <= min(16, d.n); length++ {
		code := int32(d.bits>>(d.n-length)) & (1<<length - 1)
		if code < h.beyond[length] && code+h.offset[length] >= 0 {
			d.n -= length
			return h.values[code+h.offset[length]], true
		}
	}
	return 0, false
}
