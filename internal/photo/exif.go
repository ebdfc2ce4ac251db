package photo

import (
	"bytes"
	"encoding/binary"
	"time"
)

// An exif is what is read of the notes of a camera.
type exif struct {
	turn  Turn // 0 where not noted
	taken time.Time
}

// Tags and types of EXIF, by number.
const (
	tagOrientation = 0x0112
	tagExif        = 0x8769 // where the notes of the camera stand
	tagTaken       = 0x9003 // DateTimeOriginal

	typeASCII = 2
	typeShort = 3
	typeLong  = 4
)

// mostEntries bounds a directory: cameras write some fifty entries.
const mostEntries = 1000

// tiff is a block of tagged values. Every offset in it is held against its
// length.
type tiff struct {
	data  []byte
	order binary.ByteOrder
}

// parseEXIF reads the few tags that are needed. What cannot be read is as if
// it were not noted.
func parseEXIF(data []byte) (x exif) {
	t := tiff{data: data}
	switch {
	case bytes.HasPrefix(data, []byte("II*\x00")):
		t.order = binary.LittleEndian
	case bytes.HasPrefix(data, []byte("MM\x00*")):
		t.order = binary.BigEndian
	default:
		return x
	}
	first, ok := t.long(4)
	if !ok {
		return x
	}
	t.entries(first, func(tag, kind uint16, count uint32, at uint64) {
		switch {
		case tag == tagOrientation && kind == typeShort && count == 1:
			if v, ok := t.short(at); ok {
				x.turn = Turn(v)
			}
		case tag == tagExif && kind == typeLong && count == 1:
			if notes, ok := t.long(at); ok {
				x.taken = t.takenAt(notes)
			}
		}
	})
	if !x.turn.known() {
		x.turn = 0
	}
	return x
}

// takenAt reads the moment of the picture from the directory at offset.
func (t tiff) takenAt(offset uint64) (taken time.Time) {
	t.entries(offset, func(tag, kind uint16, count uint32, at uint64) {
		if tag != tagTaken || kind != typeASCII || count < 19 || count > 64 {
			return
		}
		if at, ok := t.long(at); ok {
			if text, ok := t.bytes(at, 19); ok {
				if m, err := time.Parse("2006:01:02 15:04:05", string(text)); err == nil && m.Year() >= 1990 {
					taken = m
				}
			}
		}
	})
	return taken
}

// entries tells the entries of the directory at offset: tag, type, number of
// values, and where the value stands, or its offset where it takes more than
// four bytes.
func (t tiff) entries(offset uint64, tell func(tag, kind uint16, count uint32, at uint64)) {
	n, ok := t.short(offset)
	for i := range min(uint64(n), mostEntries) {
		e := offset + 2 + 12*i
		var tag, kind uint16
		var count uint64
		if tag, ok = t.short(e); !ok {
			return
		}
		if kind, ok = t.short(e + 2); !ok {
			return
		}
		if count, ok = t.long(e + 4); !ok {
			return
		}
		tell(tag, kind, uint32(count), e+8)
	}
}

// bytes are n bytes from offset on, where the block has them.
func (t tiff) bytes(offset, n uint64) ([]byte, bool) {
	size := uint64(len(t.data))
	if offset > size || n > size-offset {
		return nil, false
	}
	return t.data[offset : offset+n], true
}

func (t tiff) short(offset uint64) (uint16, bool) {
	b, ok := t.bytes(offset, 2)
	if !ok {
		return 0, false
	}
	return t.order.Uint16(b), true
}

func (t tiff) long(offset uint64) (uint64, bool) {
	b, ok := t.bytes(offset, 4)
	if !ok {
		return 0, false
	}
	return uint64(t.order.Uint32(b)), true
}

// exifOfPNG reads the EXIF chunk of a PNG.
func exifOfPNG(data []byte) exif {
	rest := data[min(8, len(data)):]
	for len(rest) >= 12 {
		n := uint64(binary.BigEndian.Uint32(rest))
		if n > uint64(len(rest)-12) {
			return exif{}
		}
		switch string(rest[4:8]) {
		case "eXIf":
			return parseEXIF(rest[8 : 8+n])
		case "IEND":
			return exif{}
		}
		rest = rest[12+n:]
	}
	return exif{}
}
