package pdf

import (
	"runtime"
	"sync"

	"saltline/internal/objects"
)

// A press packs pages while the next ones are drawn. Packing takes about as
// long as drawing, and nothing of a page is kept but what is packed: the pages
// of a long log would take some ten times as much as they are drawn.
type press struct {
	sheets chan sheet
	blank  chan contents // to be drawn on again
	packed [][]byte      // by page
	stop   func()        // waits until all pages are packed; it may be called again
}

// A sheet is a page that is drawn, counted from 0.
type sheet struct {
	page     int
	contents contents
}

// newPress makes a press for a number of pages. It works until it is stopped.
func newPress(pages int) *press {
	hands := max(1, runtime.GOMAXPROCS(0)-1) // one processor draws
	p := &press{sheets: make(chan sheet, hands), blank: make(chan contents, 2*hands+1), packed: make([][]byte, pages)}
	var working sync.WaitGroup
	for range hands {
		working.Go(p.work)
	}
	p.stop = sync.OnceFunc(func() {
		close(p.sheets)
		working.Wait()
	})
	return p
}

func (p *press) work() {
	for s := range p.sheets {
		p.packed[s.page] = objects.Packed(s.contents)
		select {
		case p.blank <- s.contents[:0]:
		default:
		}
	}
}

// paper is room for the next page.
func (p *press) paper() contents {
	select {
	case c := <-p.blank:
		return c
	default:
		return nil
	}
}

// take packs a page.
func (p *press) take(page int, c contents) { p.sheets <- sheet{page, c} }
