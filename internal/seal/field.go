package seal

import (
	"saltline/internal/objects"
)

// A Field is a place for a signature.
type Field struct {
	Name   string
	Says   string // what it is for
	Signed bool
	W, H   float64 // in points
}

// Fields are the fields for signatures of a file, in its order.
func Fields(f *objects.File) []Field {
	var all []Field
	eachField(f, func(_ objects.Ref, d objects.Dict) {
		r := [4]float64{}
		for i, v := range f.Array(d["Rect"]) {
			if i < 4 {
				r[i], _ = f.Number(v)
			}
		}
		all = append(all, Field{f.String(d["T"]).Text(), f.String(d["TU"]).Text(), d["V"] != nil, r[2] - r[0], r[3] - r[1]})
	})
	return all
}

// eachField calls visit for each field for a signature. Those of this program
// stand in one list.
func eachField(f *objects.File, visit func(objects.Ref, objects.Dict)) {
	for _, v := range f.Array(f.Dict(f.Catalog()["AcroForm"])["Fields"]) {
		r, is := v.(objects.Ref)
		if d := f.Dict(v); is && f.Name(d["FT"]) == "Sig" {
			visit(r, d)
		}
	}
}

// fieldCalled is the field of a name; nil for none.
func fieldCalled(f *objects.File, name string) (ref objects.Ref, field objects.Dict) {
	eachField(f, func(r objects.Ref, d objects.Dict) {
		if field == nil && f.String(d["T"]).Text() == name {
			ref, field = r, d
		}
	})
	return ref, field
}
