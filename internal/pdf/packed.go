package pdf

import (
	_ "embed"

	"saltline/internal/objects"
)

// What is the same in every document lies in the program as it is packed. To pack
// it anew took a thirtieth of the time of a daily report, and most of a megabyte.
var (
	//go:embed characters.zlib
	packedCharacters []byte
	//go:embed sRGB2014.icc.zlib
	packedProfile []byte // of the International Color Consortium; LICENSE.color.org
)

// characters is the table by which every code is the character of its number: in
// ranges of which none goes beyond the last byte of a code (ISO 32000-1, 9.10.3).
func characters() *objects.Stream {
	return &objects.Stream{Dict: objects.Dict{"Filter": objects.Name("FlateDecode")}, Raw: packedCharacters}
}

// profile is that of the colours.
func profile() *objects.Stream {
	return &objects.Stream{
		Dict: objects.Dict{"Filter": objects.Name("FlateDecode"), "N": int64(3), "Alternate": objects.Name("DeviceRGB")},
		Raw:  packedProfile,
	}
}
