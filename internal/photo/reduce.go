package photo

// A plane is w × h pixels of n bytes each, row after row.
type plane struct {
	w, h, n int
	pix     []byte
}

func newPlane(w, h, n int) plane { return plane{w, h, n, make([]byte, w*h*n)} }

// A reducer makes a smaller plane of the rows of a larger one. Each pixel is
// the mean of the part of the picture that it covers, which makes no false
// pattern of a fine one and reads every pixel once. Rows are summed up before
// columns, as that is the fastest over the bytes of the picture.
type reducer struct {
	out    plane
	spans  []span // of the columns
	height int    // rows that come
	seen   int    // rows that came
	row    int    // of out, that is being made
	sums   []uint32
	weight uint32 // of the rows in sums
}

// one is the weight of a whole pixel. The sum of 65,535 rows, the most that a
// JPEG has, is less than 2³².
const one = 256

// A span is the pixels that one pixel covers: the first and the last in part,
// those between whole.
type span struct {
	first, last int
	head, tail  uint64
	weight      uint64
}

// spansOf divides from pixels among to.
func spansOf(from, to int) []span {
	spans := make([]span, to)
	for i := range spans {
		a, b := i*from*one/to, max((i+1)*from*one/to, i*from*one/to+1)
		s := span{first: a / one, last: (b - 1) / one, weight: uint64(b - a)}
		if s.first == s.last {
			s.head = uint64(b - a)
		} else {
			s.head, s.tail = uint64((s.first+1)*one-a), uint64(b-s.last*one)
		}
		spans[i] = s
	}
	return spans
}

// newReducer reduces w × h pixels of n bytes to toW × toH.
func newReducer(w, h, n, toW, toH int) *reducer {
	return &reducer{out: newPlane(toW, toH, n), spans: spansOf(w, toW), height: h, sums: make([]uint32, w*n)}
}

// add takes the next row.
func (r *reducer) add(row []byte) {
	// Where the row begins and ends, in parts of which a row has out.h.
	top, bottom := r.seen*r.out.h, (r.seen+1)*r.out.h
	r.seen++
	for top < bottom && r.row < r.out.h {
		end := (r.row + 1) * r.height
		next := min(bottom, end)
		r.sum(row, uint32(max(1, (next-top)*one/r.out.h)))
		if top = next; top == end {
			r.finish()
		}
	}
}

// sum adds a row with a weight.
func (r *reducer) sum(row []byte, weight uint32) {
	r.weight += weight
	sums := r.sums[:len(row)]
	if weight == one {
		for i, b := range row {
			sums[i] += uint32(b) * one
		}
		return
	}
	for i, b := range row {
		sums[i] += uint32(b) * weight
	}
}

// finish writes the row that is complete.
func (r *reducer) finish() {
	n := r.out.n
	out := r.out.pix[r.row*r.out.w*n:]
	for i, s := range r.spans {
		whole := s.weight * uint64(r.weight)
		for c := range n {
			v := uint64(r.sums[s.first*n+c]) * s.head
			if s.last > s.first {
				between := uint64(0)
				for k := (s.first+1)*n + c; k < s.last*n; k += n {
					between += uint64(r.sums[k])
				}
				v += between*one + uint64(r.sums[s.last*n+c])*s.tail
			}
			out[i*n+c] = byte((v + whole/2) / whole)
		}
	}
	clear(r.sums)
	r.weight = 0
	r.row++
}
