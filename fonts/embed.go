// Package fonts embeds IBM Plex Sans with its licence, which has to go where the
// fonts go.
package fonts

import "embed"

// Files holds the faces under their file names, and OFL.txt.
//
//go:embed *.ttf OFL.txt
var Files embed.FS
