// Package templates holds every word that a document says, by language.
//
// A file is a list of texts. A line "= key" begins one; the lines below it are
// the text, joined by spaces; an empty line begins a new paragraph. Texts are
// filled in by text/template, with the functions of package wording. A line
// that begins with "#" is a comment.
package templates

import "embed"

// Files holds one folder a language.
//
//go:embed */*.txt */*/*.txt
var Files embed.FS
