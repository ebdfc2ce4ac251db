package doc

import "fmt"

// A Volume is documents bound into one: pages are counted through, one
// contents names all parts, and each part keeps its own running head. The
// embedded Document is what stands in front of the parts; its Words count the
// pages, and a Contents in it lists the parts behind its own headings.
type Volume struct {
	Document
	Parts []Part

	// Cautions is the place, as InPart names it, of the cautions that stand once
	// for all parts without their own; "" for none.
	Cautions string
}

// A Part is one document of a volume. The names of places in it are its own.
type Part struct {
	// Entry is how contents and bookmarks name it. A part of several sections
	// has none: its headings of the first level stand there in its place, and its
	// title in the running head alone.
	Entry string
	Level int // in them: 1 for a part, 2 for a document bound into the one before

	// Own says that the part is a document by itself: its own pages are counted
	// in its running head, too.
	Own bool

	// Make makes the document when it is its turn, so that no more than a few
	// stand in memory. Those of several parts run side by side.
	Make func() (Document, error)
}

// Opening is the name of the place where part n of a volume begins, from 0: a
// link in front of the parts leads to it.
func Opening(n int) string { return InPart(n, OpeningOfPart) }

// OpeningOfPart is the name within a part of the place where it begins.
const OpeningOfPart = "opening"

// InPart is the name in a volume of a place of its part n.
func InPart(n int, place string) string { return fmt.Sprintf("part %d: %s", n+1, place) }
