package pdf

import (
	"runtime"
	"sync"

	"saltline/internal/objects"
)

// A press packs pages while the next ones are drawn. Nothing of a page is kept
// but what is packed, for the pages of a long log take much room as they are drawn.
type press struct {
	sheets chan sheet
	blank  chan contents // to be drawn on again
	packed [][]byte      // by page

	working sync.WaitGroup
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
	for range hands {
		p.working.Go(p.work)
	}
	return p
}

// stop waits until all pages are packed.
func (p *press) stop() {
	close(p.sheets)
	p.working.Wait()
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
