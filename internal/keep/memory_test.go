package keep

import (
	"errors"
	"io"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// A memory is a file system in memory that keeps what was synced apart from
// what was not, so that a loss of power can be tried at any call, and that lets
// a test look in, fail or change something at any call.
type memory struct {
	names   map[string]*node // as programs see them
	lasting map[string]*node // as they are on the disk
	pending []change         // of names, on their way to the disk
	calls   int
	// at is called before each call, and in the middle of each writing. Its
	// error fails the call, after it has had its effect where acts is true.
	at      func(op, path string) (err error, acts bool)
	short   bool // a failed write has no error, only fewer bytes
	noLinks bool
	noCase  bool // names are one that differ in their case only
	temps   int
}

// A node is a file, a folder or a symbolic link.
type node struct {
	data, synced []byte
	mode         fs.FileMode
	leads        string // of a symbolic link
	written      int    // times
}

// A change gives names new nodes, nil for none, all at once.
type change map[string]*node

func newMemory() *memory {
	folder := &node{mode: fs.ModeDir | 0o755}
	m := &memory{names: map[string]*node{"d": folder}, at: func(string, string) (error, bool) { return nil, false }}
	m.lasting = maps.Clone(m.names)
	return m
}

// put places a file that was there before, and lasts.
func (m *memory) put(name, data string, mode fs.FileMode) {
	n := &node{data: []byte(data), synced: []byte(data), mode: mode}
	m.names[m.fold(name)], m.lasting[m.fold(name)] = n, n
}

func (m *memory) fold(name string) string {
	if m.noCase {
		return strings.ToLower(name)
	}
	return name
}

// content is the content of a file, "" and false if there is none.
func (m *memory) content(name string) (string, bool) {
	n := m.names[m.fold(name)]
	if n == nil {
		return "", false
	}
	return string(n.data), true
}

// call counts a call and does it, unless it is to fail before.
func (m *memory) call(op, name string, do func() error) error {
	m.calls++
	injected, acts := m.at(op, name)
	if injected != nil && !acts {
		return &fs.PathError{Op: op, Path: name, Err: injected}
	}
	if err := do(); err != nil {
		return &fs.PathError{Op: op, Path: name, Err: err}
	}
	if injected != nil {
		return &fs.PathError{Op: op, Path: name, Err: injected}
	}
	return nil
}

func (m *memory) apply(c change) {
	for name, n := range c {
		if n == nil {
			delete(m.names, name)
		} else {
			m.names[name] = n
		}
	}
	m.pending = append(m.pending, c)
}

func (m *memory) find(name string, follow bool) (*node, error) {
	for range 8 {
		n := m.names[m.fold(name)]
		switch {
		case n == nil:
			return nil, syscall.ENOENT
		case n.leads == "" || !follow:
			return n, nil
		}
		name = n.leads
	}
	return nil, syscall.ELOOP
}

func (m *memory) info(op, name string, follow bool) (info fs.FileInfo, err error) {
	err = m.call(op, name, func() error {
		n, err := m.find(name, follow)
		if err == nil {
			info = seen{n, len(n.data), n.written}
		}
		return err
	})
	return info, err
}

func (m *memory) Lstat(name string) (fs.FileInfo, error) { return m.info("lstat", name, false) }
func (m *memory) Stat(name string) (fs.FileInfo, error)  { return m.info("stat", name, true) }
func (m *memory) Same(a, b fs.FileInfo) bool             { return a.(seen).node == b.(seen).node }

func (m *memory) Open(name string) (f file, err error) {
	name = strings.TrimSuffix(name, "/")
	err = m.call("open", name, func() error {
		n, err := m.find(name, true)
		f = &handle{m: m, node: n, name: name}
		return err
	})
	return f, err
}

func (m *memory) Create(folder string) (f file, err error) {
	folder = strings.TrimSuffix(folder, "/")
	err = m.call("create", folder, func() error {
		if _, err := m.find(folder, true); err != nil {
			return err
		}
		m.temps++
		name := path.Join(folder, ".saltline-"+strconv.Itoa(m.temps)+".tmp")
		n := &node{mode: 0o600}
		m.apply(change{name: n})
		f = &handle{m: m, node: n, name: name}
		return nil
	})
	if err != nil {
		return nil, err // where it failed after all, nobody learns the name
	}
	return f, nil
}

func (m *memory) Link(from, to string) error {
	return m.call("link", to, func() error {
		n, err := m.find(from, false)
		switch {
		case m.noLinks:
			return syscall.EPERM
		case err != nil:
			return err
		case m.names[m.fold(to)] != nil:
			return syscall.EEXIST
		}
		m.apply(change{m.fold(to): n})
		return nil
	})
}

func (m *memory) Rename(from, to string) error {
	return m.call("rename", to, func() error {
		n, err := m.find(from, false)
		if err != nil {
			return err
		}
		if there := m.names[m.fold(to)]; there != nil && there.mode.IsDir() {
			return syscall.EISDIR
		}
		m.apply(change{from: nil, m.fold(to): n})
		return nil
	})
}

func (m *memory) Remove(name string) error {
	return m.call("remove", name, func() error {
		if _, err := m.find(name, false); err != nil {
			return err
		}
		m.apply(change{name: nil})
		return nil
	})
}

// worlds calls each with every state that the names may be in after a loss of
// power now: each change of names that was not synced on the disk or not,
// whatever the others, and of what was written and not synced nothing, half,
// all, or only the length.
func (m *memory) worlds(each func(names map[string]*node, content func(*node) string)) {
	for kept := range 1 << len(m.pending) {
		names := maps.Clone(m.lasting)
		for i, c := range m.pending {
			if kept>>i&1 == 0 {
				continue
			}
			for name, n := range c {
				if n == nil {
					delete(names, name)
				} else {
					names[name] = n
				}
			}
		}
		for _, content := range []func(*node) string{
			func(n *node) string { return string(n.synced) },
			func(n *node) string { return string(n.data) },
			func(n *node) string {
				if slices.Equal(n.data, n.synced) {
					return string(n.data)
				}
				return string(n.data[:len(n.data)/2])
			},
			func(n *node) string {
				if slices.Equal(n.data, n.synced) {
					return string(n.data)
				}
				return strings.Repeat("\x00", len(n.data))
			},
		} {
			each(names, content)
		}
	}
}

// A handle is an open file of a memory.
type handle struct {
	m    *memory
	node *node
	name string
	read int
}

func (h *handle) Name() string { return h.name }

func (h *handle) Stat() (info fs.FileInfo, err error) {
	return seen{h.node, len(h.node.data), h.node.written}, nil
}

func (h *handle) Read(b []byte) (n int, err error) {
	err = h.m.call("read", h.name, func() error {
		n = copy(b, h.node.data[h.read:])
		h.read += n
		return nil
	})
	if err == nil && n == 0 {
		err = io.EOF
	}
	return n, err
}

// Write writes the halves of b one after the other; one that fails has written
// the first.
func (h *handle) Write(b []byte) (n int, err error) {
	half := len(b) / 2
	for _, part := range [][]byte{b[:half], b[half:]} {
		err = h.m.call("write", h.name, func() error {
			h.node.data = append(h.node.data[:len(h.node.data):len(h.node.data)], part...)
			h.node.written++
			n += len(part)
			return nil
		})
		if err != nil {
			break
		}
	}
	if h.m.short && err != nil && n < len(b) {
		err = nil
	}
	return n, err
}

func (h *handle) Chmod(mode fs.FileMode) error {
	return h.m.call("chmod", h.name, func() error { h.node.mode = mode; return nil })
}

// Sync makes the content of a file last, or the names of a folder. That a file
// system also makes the name of a file last is not relied upon.
func (h *handle) Sync() error {
	return h.m.call("sync", h.name, func() error {
		if h.node.mode.IsDir() {
			h.m.lasting, h.m.pending = maps.Clone(h.m.names), nil
			return nil
		}
		h.node.synced = slices.Clone(h.node.data)
		return nil
	})
}

func (h *handle) Close() error {
	return h.m.call("close", h.name, func() error { return nil })
}

// seen is what was seen of a node.
type seen struct {
	node    *node
	size    int
	written int
}

func (s seen) Name() string       { return "" }
func (s seen) Size() int64        { return int64(s.size) }
func (s seen) Mode() fs.FileMode  { return s.node.mode }
func (s seen) ModTime() time.Time { return time.Unix(int64(s.written), 0) }
func (s seen) IsDir() bool        { return s.node.mode.IsDir() }
func (s seen) Sys() any           { return s.node }

var errDisk = errors.New("the disk gave up")
