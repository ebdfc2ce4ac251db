package table

import "io"

// A large part is unpacked ahead of its reader by another processor, beside the
// reading of its XML.
const (
	aheadBytes = 256 << 10 // at a time
	aheadParts = 3
	aheadFrom  = 4 * aheadBytes // smaller parts are not worth it
)

// An ahead reads a part ahead of its reader. What comes out of it is what comes out
// of the part, an error behind the bytes before it.
type ahead struct {
	io.ReadCloser // the part
	read          chan []byte
	spare         chan []byte
	done          chan struct{} // closed when nothing more is wanted
	ended         chan struct{} // closed when nothing more comes
	err           error         // of the part, once read is closed
	fault         any           // what reading it panicked with; the reader panics with it
	buf, rest     []byte
}

func readAhead(part io.ReadCloser) *ahead {
	a := &ahead{ReadCloser: part, read: make(chan []byte, aheadParts), spare: make(chan []byte, aheadParts), done: make(chan struct{}), ended: make(chan struct{})}
	for range aheadParts {
		a.spare <- make([]byte, aheadBytes)
	}
	go a.run()
	return a
}

func (a *ahead) run() {
	defer close(a.ended)
	defer close(a.read)
	defer func() { a.fault = recover() }()
	for a.err == nil {
		var b []byte
		select {
		case b = <-a.spare:
		case <-a.done:
			return
		}
		n := 0
		for n < len(b) && a.err == nil {
			var k int
			k, a.err = a.ReadCloser.Read(b[n:])
			n += k
		}
		a.read <- b[:n] // has room for all there are
	}
}

func (a *ahead) Read(b []byte) (int, error) {
	for len(a.rest) == 0 {
		if a.buf != nil {
			a.spare <- a.buf[:cap(a.buf)]
			a.buf = nil
		}
		next, ok := <-a.read
		if !ok {
			if a.fault != nil {
				panic(a.fault)
			}
			return 0, a.err
		}
		a.buf, a.rest = next, next
	}
	n := copy(b, a.rest)
	a.rest = a.rest[n:]
	return n, nil
}

func (a *ahead) Close() error {
	close(a.done)
	<-a.ended
	return a.ReadCloser.Close()
}
