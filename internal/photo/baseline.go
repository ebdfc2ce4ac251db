package photo

import (
	"image"
	"math"
)

// A photograph is printed much smaller than it is stored, and most of the time
// that a report takes would go into decoding pixels that are then averaged
// away. A block of 8 × 8 pixels in JPEG is a sum of waves, and the mean of each
// wave over a few neighbouring pixels is known beforehand. So a picture that
// is stored in the plainest of ways, as cameras do, is decoded at a half or a
// quarter of its size here, in less than half the time (BenchmarkPrint beside
// BenchmarkDecode) and a tenth of the memory. Whatever is not as plain, or has
// anything wrong with it, is left to the standard library, which also says
// what is wrong.

// shrunken is the picture at most 1/by as wide and high, by being 2 or 4; nil
// for any but a baseline JPEG in grey or in three planes in one scan, from its
// first byte to its last as it should be.
func shrunken(data []byte, by int) image.Image {
	d := decoder{side: 8 / by}
	at := segments(data, 2, func(s segment) bool {
		d.take(s)
		return !d.odd
	})
	if at < 0 || d.odd || !d.ready() {
		return nil
	}
	d.in = data[at:]
	out := d.picture()
	if !d.scan() {
		return nil
	}
	return out
}

// A decoder decodes one scan.
type decoder struct {
	side   int  // of a block, decoded: 4 or 2
	odd    bool // something is not plain
	w, h   int
	planes []planeCode
	quant  [4]*[64]int32
	huff   [2][4]*huffman // of the means and of the waves
	every  int            // restart interval, in groups of blocks; 0 for none

	in   []byte
	bits uint64
	n    int // bits that are there
	end  bool
}

// planeCode is how one plane is coded.
type planeCode struct {
	id, across, down int // blocks in a group
	quant            int
	mean, waves      int // tables
	last             int32
	pix              []byte
	stride           int
}

func (d *decoder) take(s segment) {
	switch {
	case s.marker == 0xdb:
		d.takeQuant(s.body)
	case s.marker == 0xc4:
		d.takeHuffman(s.body)
	case s.marker == 0xdd && len(s.body) == 2:
		d.every = int(s.body[0])<<8 | int(s.body[1])
	case s.marker == markSOF0:
		d.takeFrame(s.body)
	case s.marker == markSOS:
		d.takeScan(s.body)
	case s.marker == markAPP14 && len(s.body) >= 12 && s.body[11] == 0:
		d.odd = true // red, green and blue, or the four colours of print
	case s.marker > markAPP15 && s.marker != markCOM, s.marker < markAPP0:
		d.odd = true
	}
}

func (d *decoder) takeQuant(b []byte) {
	for len(b) > 0 {
		if b[0]>>4 != 0 || b[0]&15 > 3 || len(b) < 65 {
			d.odd = true
			return
		}
		q := new([64]int32)
		for i := range q {
			q[i] = int32(b[1+i])
		}
		d.quant[b[0]&15] = q
		b = b[65:]
	}
}

func (d *decoder) takeFrame(b []byte) {
	if len(b) < 6 || b[0] != 8 || len(d.planes) > 0 || int(b[5]) != 1 && int(b[5]) != 3 || len(b) != 6+3*int(b[5]) {
		d.odd = true
		return
	}
	d.h, d.w = int(b[1])<<8|int(b[2]), int(b[3])<<8|int(b[4])
	for b = b[6:]; len(b) > 0; b = b[3:] {
		p := planeCode{id: int(b[0]), across: int(b[1] >> 4), down: int(b[1] & 15), quant: int(b[2])}
		first := len(d.planes) == 0
		// The planes of the colours are as large as that of the light, or half.
		plain := p.quant < 4 && (first && (p.across == 1 || p.across == 2) && (p.down == 1 || p.down == 2) || !first && p.across == 1 && p.down == 1)
		d.odd = d.odd || !plain
		d.planes = append(d.planes, p)
	}
	if len(d.planes) == 1 {
		d.planes[0].across, d.planes[0].down = 1, 1 // blocks of a single plane stand one by one
	} else if d.planes[0].id == 'R' {
		d.odd = true // red, green and blue
	}
}

func (d *decoder) takeScan(b []byte) {
	n := len(d.planes)
	if n == 0 || len(b) != 1+2*n+3 || int(b[0]) != n || b[1+2*n] != 0 || b[2+2*n] != 63 || b[3+2*n] != 0 {
		d.odd = true
		return
	}
	for i := range d.planes {
		p := &d.planes[i]
		p.mean, p.waves = int(b[2+2*i]>>4), int(b[2+2*i]&15)
		d.odd = d.odd || int(b[1+2*i]) != p.id || p.mean > 3 || p.waves > 3
	}
}

// ready reports whether all is there that the scan needs.
func (d *decoder) ready() bool {
	for _, p := range d.planes {
		if d.quant[p.quant] == nil || d.huff[0][p.mean] == nil || d.huff[1][p.waves] == nil {
			return false
		}
	}
	return len(d.planes) > 0 && d.w > 0 && d.h > 0
}

// groups is how many groups of blocks the picture is wide and high.
func (d *decoder) groups() (across, down int) {
	p := d.planes[0]
	return (d.w + 8*p.across - 1) / (8 * p.across), (d.h + 8*p.down - 1) / (8 * p.down)
}

// picture makes room for the planes.
func (d *decoder) picture() image.Image {
	across, down := d.groups()
	for i := range d.planes {
		p := &d.planes[i]
		p.stride = across * p.across * d.side
		p.pix = make([]byte, p.stride*down*p.down*d.side)
	}
	small := func(n int) int { return max(1, n*d.side/8) }
	size := image.Rect(0, 0, small(d.w), small(d.h))
	first := d.planes[0]
	if len(d.planes) == 1 {
		return &image.Gray{Pix: first.pix, Stride: first.stride, Rect: size}
	}
	return &image.YCbCr{
		Y: first.pix, YStride: first.stride, Rect: size,
		Cb: d.planes[1].pix, Cr: d.planes[2].pix, CStride: d.planes[1].stride,
		SubsampleRatio: map[[2]int]image.YCbCrSubsampleRatio{
			{1, 1}: image.YCbCrSubsampleRatio444, {2, 1}: image.YCbCrSubsampleRatio422,
			{1, 2}: image.YCbCrSubsampleRatio440, {2, 2}: image.YCbCrSubsampleRatio420,
		}[[2]int{first.across, first.down}],
	}
}

// scan decodes all groups, and reports whether the file ends behind them as it
// should.
func (d *decoder) scan() bool {
	across, down := d.groups()
	left, restart := d.every, byte(0)
	for gy := range down {
		for gx := range across {
			if d.every > 0 {
				if left == 0 {
					if !d.restart(restart) {
						return false
					}
					left, restart = d.every, (restart+1)&7
				}
				left--
			}
			for i := range d.planes {
				p := &d.planes[i]
				for by := range p.down {
					for bx := range p.across {
						at := ((gy*p.down+by)*p.stride + gx*p.across + bx) * d.side
						if !d.block(p, p.pix[at:]) {
							return false
						}
					}
				}
			}
		}
	}
	return d.marker() == markEOI
}

// restart takes the marker that stands between two stretches of groups.
func (d *decoder) restart(n byte) bool {
	if d.marker() != 0xd0+n {
		return false
	}
	for i := range d.planes {
		d.planes[i].last = 0
	}
	return true
}

// marker drops what is left of a byte and takes the marker behind it; 0 where
// none stands there.
func (d *decoder) marker() byte {
	if d.n >= 8 || len(d.in) < 2 || d.in[0] != 0xff {
		return 0
	}
	m := d.in[1]
	d.in, d.bits, d.n, d.end = d.in[2:], 0, 0, false
	return m
}

// fill reads bytes while there is room for them. At a marker it stops; bits
// behind it are none of the picture.
func (d *decoder) fill() {
	for d.n <= 56 && !d.end {
		if len(d.in) == 0 {
			d.end = true
			return
		}
		b := d.in[0]
		if b == 0xff {
			if len(d.in) < 2 || d.in[1] != 0 {
				d.end = true
				return
			}
			d.in = d.in[1:]
		}
		d.in = d.in[1:]
		d.bits = d.bits<<8 | uint64(b)
		d.n += 8
	}
}

// number takes n bits as a number.
func (d *decoder) number(n int) (int32, bool) {
	if n == 0 {
		return 0, true
	}
	if d.n < n {
		if d.fill(); d.n < n {
			return 0, false
		}
	}
	d.n -= n
	return signed(int32(d.bits>>d.n), n), true
}

// block decodes one block into side × side pixels, each the mean of those that
// it stands for.
func (d *decoder) block(p *planeCode, pix []byte) bool {
	size, ok := d.code(d.huff[0][p.mean])
	if !ok || size > 11 {
		return false
	}
	step, ok := d.number(int(size))
	if !ok {
		return false
	}
	p.last += step
	q, table, shares := d.quant[p.quant], d.huff[1][p.waves], sharesOf[d.side]
	var sums [16]float32
	share := float32(p.last*q[0]) / 8
	for i := range sums {
		sums[i] = share
	}
	for k := 1; k < 64; k++ {
		run, v, ok := d.wave(table)
		if !ok {
			return false
		}
		if v == 0 {
			if run != 15 {
				break // the rest is nothing
			}
			k += 15
			continue
		}
		if k += run; k > 63 {
			return false
		}
		wave := float32(v * q[k])
		for i, share := range shares[k] {
			sums[i&15] += wave * share
		}
	}
	for y := range d.side {
		line := pix[y*p.stride : y*p.stride+d.side]
		for x := range line {
			line[x] = byteOf(sums[(y*d.side+x)&15])
		}
	}
	return true
}

// sharesOf holds, by the side of the block that is made, what each wave has in
// each of its pixels, in the order in which JPEG stores waves: the inverse
// cosine transform of 8 × 8 pixels, of which neighbours are put together. A
// wave that has nothing in any has no shares.
var sharesOf = func() (all [5][64][]float32) {
	for _, side := range []int{2, 4} {
		together := 8 / side
		var means [8][4]float64 // of each wave, in one direction
		for wave := range 8 {
			height := 0.5
			if wave == 0 {
				height = 1 / math.Sqrt(8)
			}
			for i := range 8 {
				means[wave][i/together] += height * math.Cos(float64((2*i+1)*wave)*math.Pi/16) / float64(together)
			}
		}
		x, y, up := 0, 0, true
		for k := range all[side] {
			shares, some := make([]float32, side*side), false
			for i := range shares {
				share := means[x][i%side] * means[y][i/side]
				shares[i], some = float32(share), some || math.Abs(share) > 1e-9
			}
			if some {
				all[side][k] = shares
			}
			switch { // the waves are stored along the diagonals, up and down
			case up && x == 7:
				y, up = y+1, false
			case up && y == 0:
				x, up = x+1, false
			case up:
				x, y = x+1, y-1
			case y == 7:
				x, up = x+1, true
			case x == 0:
				y, up = y+1, true
			default:
				x, y = x-1, y+1
			}
		}
	}
	return all
}()

// byteOf is the byte of a sum of waves, which lies about 0.
func byteOf(v float32) byte { return byte(max(0, min(255, int(v+128.5)))) }
