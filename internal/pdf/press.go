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

	hands   int // that work: as many as are needed, and no more than there are processors
	working sync.WaitGroup
}

// A sheet is a page that is drawn, counted from 0.
type sheet struct {
	page     int
	contents contents
}

// newPress makes a press for a number of pages. It works until it is stopped.
func newPress(pages int) *press {
	most := runtime.GOMAXPROCS(0)
	return &press{sheets: make(chan sheet, most), blank: make(chan contents, 2*most+1), packed: make([][]byte, pages)}
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

// take packs a page. What is drawn faster than it is packed, as pages are that
// were drawn ahead, has one more hand packing.
func (p *press) take(page int, c contents) {
	if p.hands == 0 || p.hands < runtime.GOMAXPROCS(0) && len(p.sheets) == cap(p.sheets) {
		p.hands++
		p.working.Go(p.work)
	}
	p.sheets <- sheet{page, c}
}
