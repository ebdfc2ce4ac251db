package objects

import (
	"bytes"
	"encoding/binary"
	"errors"
	"image"
	"image/color"
	"image/png"
	"math/rand/v2"
	"testing"
	"time"
)

// What the standard library's PNG encoder predicts, row by row in the ways it
// finds best, is undone: the packed bytes of a PNG file are those of a stream
// with prediction 15 (7.4.4.4).
func TestPrediction(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 0))
	const w, h = 37, 64
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			// Smooth in one part, alike from row to row in another, and noise:
			// so that each way of prediction is the best somewhere.
			v := uint8(x * y / 8)
			switch y / 16 {
			case 1:
				v = uint8(x * x)
			case 2:
				v = uint8(random.Uint32())
			case 3:
				v = uint8(x*5 + y*3)
			}
			img.SetNRGBA(x, y, color.NRGBA{v, v / 2, uint8(x), uint8(128 + y)})
		}
	}
	var file bytes.Buffer
	if err := png.Encode(&file, img); err != nil {
		t.Fatal(err)
	}
	var packed []byte
	for at := 8; at < file.Len(); {
		chunk := file.Bytes()[at:]
		n := int(binary.BigEndian.Uint32(chunk))
		if string(chunk[4:8]) == "IDAT" {
			packed = append(packed, chunk[8:8+n]...)
		}
		at += 12 + n
	}
	parms := Dict{"Predictor": int64(15), "Colors": int64(4), "Columns": int64(w)}
	s := &Stream{Dict{"Filter": Array{Name("FlateDecode")}, "DecodeParms": Array{parms}}, packed}
	got, err := s.Data(w * h * 4)
	if err != nil || !bytes.Equal(got, img.Pix) {
		t.Errorf("the picture is not what it was (%v)", err)
	}
	if _, err := s.Data(w*h*4 - 1); err != ErrLong {
		t.Errorf("one byte less gives the error %v", err)
	}
}

// Each way of prediction once, undone by hand from ISO/IEC 15948, clause 9.
func TestPredictionWays(t *testing.T) {
	data := []byte{
		0, 10, 20, 30, // as it is
		1, 1, 1, 1, // + left: 1 2 3
		2, 5, 5, 5, // + above: 6 7 8
		3, 7, 1, 0, // + half of left and above: 10 9 8
		4, 1, 250, 2, // + the nearest of left, above and corner (above, corner, left): 11 4 6
	}
	want := []byte{10, 20, 30, 1, 2, 3, 6, 7, 8, 10, 9, 8, 11, 4, 6}
	s := Deflated(Dict{}, data)
	s.Dict["DecodeParms"] = Dict{"Predictor": int64(10), "Columns": int64(3)}
	if got, err := s.Data(100); err != nil || !bytes.Equal(got, want) {
		t.Errorf("%v, want %v (%v)", got, want, err)
	}
	s = Deflated(nil, []byte{1, 2, 3, 10, 20, 30, 5, 5, 5, 1, 1, 1})
	s.Dict["DecodeParms"] = Dict{"Predictor": int64(2), "Colors": int64(3), "Columns": int64(2)}
	if got, err := s.Data(100); err != nil || !bytes.Equal(got, []byte{1, 2, 3, 11, 22, 33, 5, 5, 5, 6, 6, 6}) {
		t.Errorf("%v (%v)", got, err)
	}
}

func TestDataRefuses(t *testing.T) {
	parms := func(d Dict) *Stream {
		s := Deflated(nil, []byte{5, 1, 1})
		s.Dict["DecodeParms"] = d
		return s
	}
	good := Deflated(nil, bytes.Repeat([]byte("salt "), 1000))
	for name, s := range map[string]*Stream{
		"other filter":   {Dict{"Filter": Name("LZWDecode")}, nil},
		"twice over":     {Dict{"Filter": Array{Name("FlateDecode"), Name("FlateDecode")}}, nil},
		"elsewhere":      {Dict{"Filter": Ref{1, 0}}, nil},
		"another file":   {Dict{"F": String("other.bin")}, nil},
		"not packed":     {Dict{"Filter": Name("FlateDecode")}, []byte("text")},
		"cut":            {good.Dict, good.Raw[:len(good.Raw)-3]},
		"no dictionary":  {Dict{"Filter": Name("FlateDecode"), "DecodeParms": int64(1)}, good.Raw},
		"unknown way":    parms(Dict{"Predictor": int64(15), "Columns": int64(2)}),
		"broken row":     parms(Dict{"Predictor": int64(15), "Columns": int64(3)}),
		"unknown kind":   parms(Dict{"Predictor": int64(3)}),
		"no columns":     parms(Dict{"Predictor": int64(12), "Columns": int64(0)}),
		"columns":        parms(Dict{"Predictor": int64(12), "Columns": int64(1 << 40)}),
		"columns a name": parms(Dict{"Predictor": int64(12), "Columns": Name("X")}),
		"bits":           parms(Dict{"Predictor": int64(12), "BitsPerComponent": int64(3)}),
	} {
		if got, err := s.Data(1 << 20); err == nil {
			t.Errorf("%s: %d bytes are given", name, len(got))
		}
	}
	if _, err := good.Data(4999); !errors.Is(err, ErrLong) {
		t.Errorf("4,999 of 5,000 bytes give the error %v", err)
	}
	if got, err := good.Data(5000); len(got) != 5000 || err != nil {
		t.Errorf("5,000 bytes are %d (%v)", len(got), err)
	}
	// Unpackers are used again, after errors too.
	for range 10 {
		(&Stream{good.Dict, good.Raw[:20]}).Data(5000)
		if got, err := good.Data(5000); len(got) != 5000 || err != nil {
			t.Fatalf("5,000 bytes are %d (%v)", len(got), err)
		}
	}
}
