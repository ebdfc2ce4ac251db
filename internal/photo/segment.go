package photo

import "bytes"

// A segment is a part of a JPEG file before its pixels.
type segment struct {
	marker byte
	body   []byte // behind the two bytes of its length
	all    []byte // with marker and length
}

// Markers of JPEG.
const (
	markSOI   = 0xd8
	markEOI   = 0xd9
	markSOS   = 0xda
	markCOM   = 0xfe
	markAPP0  = 0xe0
	markAPP1  = 0xe1
	markAPP14 = 0xee
	markAPP15 = 0xef
	markSOF0  = 0xc0
	markSOF2  = 0xc2 // progressive
)

// segments tells the segments from at on, up to that which begins a scan and
// with it, and returns where the next byte stands. It is -1 where the file
// ends before, or holds what is no segment.
func segments(data []byte, at int, tell func(segment) bool) int {
	for {
		for at < len(data) && data[at] == 0xff && at+1 < len(data) && data[at+1] == 0xff {
			at++ // fill bytes
		}
		if at+4 > len(data) || data[at] != 0xff || data[at+1] < 0xc0 || data[at+1] == markSOI || data[at+1] == markEOI {
			return -1
		}
		n := int(data[at+2])<<8 | int(data[at+3])
		if n < 2 || at+2+n > len(data) {
			return -1
		}
		s := segment{data[at+1], data[at+4 : at+2+n], data[at : at+2+n]}
		at += 2 + n
		if !tell(s) || s.marker == markSOS {
			return at
		}
	}
}

const exifHead = "Exif\x00\x00"

// exifOfJPEG reads the EXIF segment of a JPEG.
func exifOfJPEG(data []byte) (x exif) {
	segments(data, 2, func(s segment) bool {
		block, found := bytes.CutPrefix(s.body, []byte(exifHead))
		found = found && s.marker == markAPP1
		if found {
			x = parseEXIF(block)
		}
		return !found
	})
	return x
}

// planesOf is how many planes of the size of the picture those of a JPEG make
// together, and whether it is coded in several scans. The planes of the colours
// are often of half its width and height.
func planesOf(data []byte) (planes float64, progressive bool) {
	planes = 4
	segments(data, 2, func(s segment) bool {
		if s.marker < markSOF0 || s.marker > markSOF2 {
			return true
		}
		progressive = s.marker == markSOF2
		const head, each = 6, 3 // bytes before and of the description of a plane
		if len(s.body) >= head+each {
			sum, wide, high := 0, 1, 1
			for k := head; k+each <= len(s.body); k += each {
				w, h := int(s.body[k+1]>>4), int(s.body[k+1]&15)
				sum, wide, high = sum+w*h, max(wide, w), max(high, h)
			}
			planes = float64(sum) / float64(wide*high)
		}
		return false
	})
	return planes, progressive
}

// bare is a JPEG with nothing but what its pixels need: no notes of the
// camera, no place, no comment, no smaller picture, and nothing behind its
// end. Two segments say how its colours are meant and stay. It is nil where
// the file is not laid out as a JPEG.
func bare(data []byte) []byte {
	out := append(make([]byte, 0, len(data)), 0xff, markSOI)
	at := 2
	for {
		if at = segments(data, at, func(s segment) bool { out = append(out, s.kept()...); return true }); at < 0 {
			return nil
		}
		end := scanEnd(data, at)
		if end < 0 {
			return nil
		}
		out = append(out, data[at:end]...)
		if data[end+1] == markEOI {
			return append(out, 0xff, markEOI)
		}
		at = end
	}
}

// kept is what stays of a segment.
func (s segment) kept() []byte {
	switch {
	case s.marker == markAPP0 && bytes.HasPrefix(s.body, []byte("JFIF\x00")) && len(s.body) >= 14:
		return append([]byte{0xff, markAPP0, 0, 16}, append(bytes.Clone(s.body[:12]), 0, 0)...) // without its thumbnail
	case s.marker == markAPP14 && bytes.HasPrefix(s.body, []byte("Adobe")) && len(s.body) >= 12:
		return append([]byte{0xff, markAPP14, 0, 14}, s.body[:12]...)
	case s.marker == markCOM || markAPP0 <= s.marker && s.marker <= markAPP15:
		return nil
	}
	return s.all
}

// scanEnd is where the marker behind the coded pixels from at on stands; -1
// where none does.
func scanEnd(data []byte, at int) int {
	for {
		i := bytes.IndexByte(data[at:], 0xff)
		if i < 0 || at+i+1 >= len(data) {
			return -1
		}
		at += i
		switch m := data[at+1]; {
		case m == 0xff:
			at++ // a fill byte
		case m == 0 || 0xd0 <= m && m <= 0xd7: // a byte of the pixels, or a restart
			at += 2
		default:
			return at
		}
	}
}
