// Package fonts holds IBM Plex Sans with its licence, which has to go where the
// fonts go.
package fonts

import (
	_ "embed"
	"fmt"
	"io/fs"
)

// Files holds the faces under their file names, and OFL.txt.
var Files = files{
	"IBMPlexSans-Regular.ttf":           regular,
	"IBMPlexSans-SemiBold.ttf":          semiBold,
	"IBMPlexSans-Italic.ttf":            italic,
	"IBMPlexSansCondensed-Regular.ttf":  condensed,
	"IBMPlexSansCondensed-SemiBold.ttf": condensedSemiBold,
	"OFL.txt":                           licence,
}

type files map[string][]byte

// ReadFile returns a file as it lies in the program, for reading only: a file
// system of package embed would copy a megabyte for each document.
func (f files) ReadFile(name string) ([]byte, error) {
	data, ok := f[name]
	if !ok {
		return nil, fmt.Errorf("%s: %w", name, fs.ErrNotExist)
	}
	return data, nil
}

var (
	//go:embed IBMPlexSans-Regular.ttf
	regular []byte
	//go:embed IBMPlexSans-SemiBold.ttf
	semiBold []byte
	//go:embed IBMPlexSans-Italic.ttf
	italic []byte
	//go:embed IBMPlexSansCondensed-Regular.ttf
	condensed []byte
	//go:embed IBMPlexSansCondensed-SemiBold.ttf
	condensedSemiBold []byte
	//go:embed OFL.txt
	licence []byte
)
