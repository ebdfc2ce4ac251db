// Package fonts embeds IBM Plex Sans, whose licence stands beside it in OFL.txt.
package fonts

import "embed"

// Files holds the faces under their file names.
//
//go:embed *.ttf
var Files embed.FS
