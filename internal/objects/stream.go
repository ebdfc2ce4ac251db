package objects

import (
	"bytes"
	"compress/zlib"
	"errors"
	"fmt"
	"io"
	"maps"
	"sync"
)

// ErrLong says that unpacked bytes are more than the limit.
var ErrLong = errors.New("the unpacked bytes are more than the limit")

// Unpackers and packers are kept for the next stream: they are large beside
// most of what goes through them. A packer takes a megabyte, and goes from one
// processor to another: a pool would have one made for each.
var (
	unpackers sync.Pool
	packers   = make(chan *packer, 64) // of the common level
	quick     = make(chan *packer, 64) // of the fastest
)

// Packed is the parts, one behind the other, packed for FlateDecode as fast as
// can be: a long log has thousands of pages, and half a million small objects,
// which pack well at any level.
func Packed(parts ...[]byte) []byte {
	packed, _ := pack(quick, zlib.BestSpeed, func(w io.Writer) error { // into memory, which cannot fail
		for _, b := range parts {
			w.Write(b)
		}
		return nil
	})
	return packed
}

// A packer packs one stream after the other.
type packer struct {
	zip *zlib.Writer
	out bytes.Buffer
}

// pack packs what is written at a level, whose packers are kept. The error is
// that of writes.
func pack(kept chan *packer, level int, writes func(io.Writer) error) ([]byte, error) {
	var p *packer
	select {
	case p = <-kept:
	default:
		p = new(packer)
		p.zip, _ = zlib.NewWriterLevel(nil, level) // a level that there is
	}
	p.out.Reset()
	p.zip.Reset(&p.out)
	if err := writes(p.zip); err != nil {
		return nil, err
	}
	p.zip.Close()
	packed := p.out.Bytes()
	if len(packed) > 64<<10 {
		p.out = bytes.Buffer{} // given away: to copy it would take its room once more
	} else {
		packed = bytes.Clone(packed)
	}
	select {
	case kept <- p:
	default:
	}
	return packed, nil
}

// Deflated is a stream with the dictionary d that holds data, packed by
// FlateDecode (7.4.4). d is not changed.
func Deflated(d Dict, data []byte) *Stream {
	s, _ := Deflating(d, func(w io.Writer) error { // into memory, which cannot fail
		_, err := w.Write(data)
		return err
	})
	return s
}

// Deflating is Deflated of what is written to w. The error is that of writes.
func Deflating(d Dict, writes func(w io.Writer) error) (*Stream, error) {
	data, err := pack(packers, zlib.DefaultCompression, writes)
	if err != nil {
		return nil, err
	}
	packed := maps.Clone(d)
	if packed == nil {
		packed = Dict{}
	}
	packed["Filter"] = Name("FlateDecode")
	delete(packed, "DecodeParms")
	return &Stream{packed, data}, nil
}

// Data unpacks a stream that says in its own dictionary how it is packed: not
// at all, or once by FlateDecode. It gives ErrLong for more than limit bytes.
func (s *Stream) Data(limit int) ([]byte, error) {
	same := func(v Value) Value { return v }
	return s.data(limit, same)
}

// Data is the unpacked stream that v is or refers to, as (*Stream).Data gives
// it; how it is packed may be said by other objects.
func (f *File) Data(v Value, limit int) ([]byte, error) {
	s := f.Stream(v)
	if s == nil {
		return nil, errors.New("there is no stream")
	}
	return s.data(limit, f.Resolve)
}

func (s *Stream) data(limit int, resolve func(Value) Value) ([]byte, error) {
	if s.Dict["F"] != nil {
		return nil, errors.New("the bytes of the stream are in another file")
	}
	filter, parms := resolve(s.Dict["Filter"]), resolve(s.Dict["DecodeParms"])
	if list, ok := filter.(Array); ok {
		if len(list) > 1 {
			return nil, fmt.Errorf("the stream is packed %d times over", len(list))
		}
		filter = nil
		if len(list) == 1 {
			filter = resolve(list[0])
		}
		if of, ok := parms.(Array); ok {
			parms = nil
			if len(of) == 1 {
				parms = resolve(of[0])
			}
		}
	}
	if filter == nil {
		if len(s.Raw) > limit {
			return nil, ErrLong
		}
		return s.Raw, nil
	}
	if name, ok := filter.(Name); !ok || name != "FlateDecode" {
		return nil, fmt.Errorf("the stream is packed by %q, and only FlateDecode is read", string(name))
	}
	d, ok := parms.(Dict)
	if !ok && parms != nil {
		return nil, errors.New("DecodeParms is no dictionary")
	}
	p, err := predictorOf(d, resolve)
	if err != nil {
		return nil, err
	}
	room := limit
	if p.row > 0 && limit <= maxUnpacked {
		room += limit/p.row + 1 // one byte a row says how it was predicted
	}
	out, err := unpack(s.Raw, room)
	if err != nil {
		return nil, err
	}
	if out, err = p.undo(out); err == nil && len(out) > limit {
		err = ErrLong
	}
	return out, err
}

// unpack gives at most limit bytes.
func unpack(raw []byte, limit int) ([]byte, error) {
	if len(raw) == 0 {
		return nil, nil // as some writers pack nothing
	}
	in := bytes.NewReader(raw)
	r, ok := unpackers.Get().(io.ReadCloser)
	var err error
	if ok {
		err = r.(zlib.Resetter).Reset(in, nil)
	} else {
		r, err = zlib.NewReader(in)
	}
	if err != nil {
		return nil, fmt.Errorf("the packed bytes are damaged: %w", err)
	}
	// Most of what is packed here unpacks to four times its length.
	out := bytes.NewBuffer(make([]byte, 0, min(limit, 4*len(raw), 4<<20)+bytes.MinRead))
	n, err := io.Copy(out, io.LimitReader(r, int64(limit)+1))
	if err != nil {
		return nil, fmt.Errorf("the packed bytes are damaged: %w", err)
	}
	unpackers.Put(r)
	if n > int64(limit) {
		return nil, ErrLong
	}
	return out.Bytes(), nil
}

// A predictor undoes what was done to bytes before they were packed (7.4.4.4).
type predictor struct {
	row  int // bytes of a row, 0 for no prediction
	step int // bytes of a pixel, at least 1
	tiff bool
}

func predictorOf(d Dict, resolve func(Value) Value) (predictor, error) {
	get := func(key Name, otherwise int) int {
		switch v := resolve(d[key]).(type) {
		case nil:
			return otherwise
		case int64:
			if v >= 0 && v <= 1<<24 {
				return int(v)
			}
		case int:
			return v
		}
		return -1
	}
	kind, colours := get("Predictor", 1), get("Colors", 1)
	bits, columns := get("BitsPerComponent", 8), get("Columns", 1)
	if kind == 1 {
		return predictor{}, nil
	}
	if kind != 2 && (kind < 10 || kind > 15) || colours < 1 || colours > 32 || columns < 1 ||
		bits != 1 && bits != 2 && bits != 4 && bits != 8 && bits != 16 || kind == 2 && bits != 8 {
		return predictor{}, fmt.Errorf("prediction %d with %d colours of %d bits in %d columns is not read", kind, colours, bits, columns)
	}
	return predictor{row: (colours*bits*columns + 7) / 8, step: max(1, colours*bits/8), tiff: kind == 2}, nil
}

// undo works in place.
func (p predictor) undo(in []byte) ([]byte, error) {
	if p.row == 0 {
		return in, nil
	}
	if p.tiff {
		for row := in; len(row) >= p.row; row = row[p.row:] {
			for i := p.step; i < p.row; i++ {
				row[i] += row[i-p.step]
			}
		}
		return in, nil
	}
	if len(in)%(p.row+1) != 0 {
		return nil, fmt.Errorf("%d bytes are no rows of %d and one each", len(in), p.row)
	}
	before := make([]byte, p.row)
	out := in[:0]
	for at := 0; at < len(in); at += p.row + 1 {
		row := in[at+1 : at+1+p.row]
		if !p.undoRow(in[at], row, before) {
			return nil, fmt.Errorf("the row at byte %d is predicted in the unknown way %d", at, in[at])
		}
		// The row moves forward over the bytes that said how; before may
		// not be where it moved from, which the next move overwrites.
		out = append(out, row...)
		before = out[len(out)-p.row:]
	}
	return out, nil
}

// undoRow undoes one row as ISO/IEC 15948, clause 9, predicts it.
func (p predictor) undoRow(how byte, row, before []byte) bool {
	for i := range row {
		var left, corner byte
		if i >= p.step {
			left, corner = row[i-p.step], before[i-p.step]
		}
		switch how {
		case 0:
		case 1:
			row[i] += left
		case 2:
			row[i] += before[i]
		case 3:
			row[i] += byte((int(left) + int(before[i])) / 2)
		case 4:
			row[i] += paeth(int(left), int(before[i]), int(corner))
		default:
			return false
		}
	}
	return true
}

func paeth(left, up, corner int) byte {
	abs := func(n int) int { return max(n, -n) }
	guess := left + up - corner
	l, u, c := abs(guess-left), abs(guess-up), abs(guess-corner)
	switch {
	case l <= u && l <= c:
		return byte(left)
	case u <= c:
		return byte(up)
	}
	return byte(corner)
}
