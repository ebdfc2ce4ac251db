package keep

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"syscall"
	"testing"
)

// What the tests write, and what stands there before. The sealed one has the
// mark of a signature.
const (
	oldText    = "%PDF-1.7 the old file\n%%EOF\n"
	newText    = "%PDF-1.7 the new file, which is longer than the old one\n%%EOF\n"
	sealedText = "%PDF-1.7 5 0 obj <</Type/Sig/Filter/Adobe.PPKLite/ByteRange[0 10 20 30]>> endobj\n%%EOF\n"
	beside     = "another file of the folder"
)

// A setting is one way in which a file is written.
type setting struct {
	old       string // "" for none
	overwrite bool
	noLinks   bool
}

func (s setting) String() string {
	return fmt.Sprintf("old %.20q, overwrite %v, no links %v", s.old, s.overwrite, s.noLinks)
}

func settings() []setting {
	var all []setting
	for _, old := range []string{"", oldText, sealedText} {
		for _, overwrite := range []bool{false, true} {
			for _, noLinks := range []bool{false, true} {
				all = append(all, setting{old, overwrite, noLinks})
			}
		}
	}
	return all
}

// memory is the file system as it stands before the writing.
func (s setting) memory() *memory {
	m := newMemory()
	m.noLinks = s.noLinks
	m.put("d/beside.pdf", beside, 0o644)
	if s.old != "" {
		m.put("d/a.pdf", s.old, 0o644)
	}
	return m
}

// written says whether the setting lets the new file take the place of the old.
func (s setting) written() bool {
	return s.old == "" || s.overwrite && s.old != sealedText
}

func (s setting) write(m *memory) error {
	return explained("d/a.pdf", write(m, "d/a.pdf", []byte(newText), Options{Overwrite: s.overwrite}))
}

// fits reports what is wrong with a content of the file: it is neither the old
// nor a new one that may be there.
func (s setting) fits(content string, there bool) string {
	switch {
	case !there && s.old == "":
		return ""
	case there && s.old != "" && content == s.old:
		return ""
	case there && content == newText && s.written():
		return ""
	case !there:
		return "the old file is lost"
	}
	return fmt.Sprintf("neither the old file nor the new one: %q", content)
}

// Undisturbed, a file is written, or refused for its reason, with nothing left
// beside it.
func TestWriteUndisturbed(t *testing.T) {
	for _, s := range settings() {
		m := s.memory()
		err := s.write(m)
		got, _ := m.content("d/a.pdf")
		want, names := newText, 3 // the folder and two files
		if !s.written() {
			want = s.old
		}
		if got != want || len(m.names) != names || (err == nil) != s.written() {
			t.Errorf("%v: %v, %d names, and the file holds %q", s, err, len(m.names), got)
		}
		var known *Error
		switch {
		case err == nil:
		case !errors.As(err, &known):
			t.Errorf("%v: %v is no *Error", s, err)
		case s.old == sealedText && known.Why != IsSealed, s.old == oldText && known.Why != Exists:
			t.Errorf("%v: refused because %v", s, known.Why)
		}
	}
}

// TestWriteFailsAtAnyCall fails each call in turn, with each kind of error,
// before it has its effect and after, alone or with all that follow.
func TestWriteFailsAtAnyCall(t *testing.T) {
	tried := 0
	kinds := []struct {
		err   error
		short bool
	}{
		{errDisk, false}, {errDisk, true}, {syscall.EIO, false}, {syscall.ENOSPC, false}, {syscall.ENOSPC, true},
		{syscall.EDQUOT, false}, {syscall.EROFS, false}, {syscall.EACCES, false}, {syscall.EPERM, false},
		{syscall.ENOENT, false}, {syscall.ENOTDIR, false}, {syscall.ENAMETOOLONG, false}, {syscall.EEXIST, false},
		{syscall.EINVAL, false}, {syscall.ENOTSUP, false}, {syscall.EISDIR, false},
	}
	for _, s := range settings() {
		for _, kind := range kinds {
			for mode := range 4 {
				acts, stays := mode&1 != 0, mode&2 != 0
				for n := 1; ; n++ {
					m := s.memory()
					m.short = kind.short
					var failed []string
					m.at = func(op, _ string) (error, bool) {
						if m.calls == n || stays && m.calls > n {
							failed = append(failed, op)
							return kind.err, acts
						}
						return nil, false
					}
					err := s.write(m)
					if len(failed) == 0 {
						break // there is no n-th call
					}
					tried++
					where := fmt.Sprintf("%v, call %d (%s) fails with %v, short %v, after its effect %v, for good %v", s, n, failed[0], kind.err, kind.short, acts, stays)
					content, there := m.content("d/a.pdf")
					if wrong := s.fits(content, there); wrong != "" {
						t.Errorf("%s: %s", where, wrong)
					}
					if got, _ := m.content("d/beside.pdf"); got != beside {
						t.Errorf("%s: the file beside it holds %q", where, got)
					}
					var known *Error
					isNew := there && content == newText
					switch {
					case err == nil && !isNew:
						t.Errorf("%s: no error, and nothing is written", where)
					case err != nil && !errors.As(err, &known):
						t.Errorf("%s: %v is no *Error", where, err)
					case err != nil && isNew && !acts && known.Why != Unsettled:
						t.Errorf("%s: written in spite of %v", where, err)
					}
					// A temporary file is left only where removing it failed, or
					// where its name was never learned.
					left := 0
					for name := range m.names {
						if strings.HasSuffix(name, ".tmp") {
							left++
						}
					}
					if left > 0 && !stays && failed[0] != "remove" && !(failed[0] == "create" && acts) {
						t.Errorf("%s: %d temporary files are left", where, left)
					}
				}
			}
		}
	}
	t.Logf("%d failures tried", tried)
	if tried < 5000 {
		t.Errorf("only %d failures were tried", tried)
	}
}

// Whatever the system says of a full disk, wherever it says it, the error says
// so too.
func TestFullDisk(t *testing.T) {
	for _, err := range []error{syscall.ENOSPC, syscall.EDQUOT} {
		for _, op := range []string{"create", "write", "sync", "close", "rename"} {
			m := setting{old: oldText, overwrite: true}.memory()
			m.at = func(o, name string) (error, bool) {
				if o == op && (op != "close" || strings.HasSuffix(name, ".tmp")) {
					return err, false
				}
				return nil, false
			}
			got := explained("d/a.pdf", write(m, "d/a.pdf", []byte(newText), Options{Overwrite: true}))
			var known *Error
			if !errors.As(got, &known) || known.Why != Full || !errors.Is(got, err) {
				t.Errorf("%s fails with %v: got %v", op, err, got)
			}
			if content, _ := m.content("d/a.pdf"); content != oldText || len(m.names) != 3 {
				t.Errorf("%s fails with %v: %d names, and the file holds %q", op, err, len(m.names), content)
			}
		}
	}
}

// TestKilledOrPowerLost stops the writing before each call, and in the middle
// of what is written, and looks at what a killed process leaves behind and at
// all that a loss of power may.
func TestKilledOrPowerLost(t *testing.T) {
	worlds, most := 0, 0
	for _, s := range settings() {
		m := s.memory()
		look := func(where string) {
			content, there := m.content("d/a.pdf")
			most = max(most, len(m.pending))
			if wrong := s.fits(content, there); wrong != "" {
				t.Errorf("%v, killed before %s: %s", s, where, wrong)
			}
			m.worlds(func(names map[string]*node, content func(*node) string) {
				worlds++
				n, text := names["d/a.pdf"], ""
				if n != nil {
					text = content(n)
				}
				if wrong := s.fits(text, n != nil); wrong != "" {
					t.Errorf("%v, power lost before %s: %s", s, where, wrong)
				}
				if n := names["d/beside.pdf"]; n == nil || content(n) != beside {
					t.Errorf("%v, power lost before %s: the file beside it is lost", s, where)
				}
			})
		}
		m.at = func(op, _ string) (error, bool) {
			look(fmt.Sprintf("call %d (%s)", m.calls, op))
			return nil, false
		}
		err := s.write(m)
		look("the end")
		if err != nil {
			continue
		}
		// What Write has called written outlasts the loss of power.
		m.worlds(func(names map[string]*node, content func(*node) string) {
			if n := names["d/a.pdf"]; n == nil || content(n) != newText {
				t.Errorf("%v: written, and lost with the power", s)
			}
		})
	}
	t.Logf("%d states after a loss of power", worlds)
	if most < 3 { // the temporary name made, the file linked, the temporary name removed
		t.Errorf("no more than %d changes of names were on their way to the disk at once", most)
	}
}

// The model of a disk loses what it ought to: a file that is written in place,
// or renamed unsynced, does not come through a loss of power.
func TestMemoryLoses(t *testing.T) {
	torn := func(m *memory) bool {
		found := false
		s := setting{old: oldText, overwrite: true}
		m.worlds(func(names map[string]*node, content func(*node) string) {
			n, text := names["d/a.pdf"], ""
			if n != nil {
				text = content(n)
			}
			found = found || s.fits(text, n != nil) != ""
		})
		return found
	}
	m := setting{old: oldText}.memory()
	f, _ := m.Create("d")
	f.Write([]byte(newText))
	m.Rename(f.Name(), "d/a.pdf")
	if !torn(m) {
		t.Error("a rename without a sync comes through")
	}
	m = setting{old: oldText}.memory()
	f, _ = m.Open("d/a.pdf")
	f.Write([]byte(newText))
	if !torn(m) {
		t.Error("writing in place comes through")
	}
	m = setting{old: oldText}.memory()
	m.Remove("d/a.pdf")
	if !torn(m) {
		t.Error("a removed file comes through")
	}
}

// A sealed file that another program puts at the name while the writing goes on
// stays, but in the one gap that is told of: just before the renaming.
func TestSealedMeanwhile(t *testing.T) {
	for _, s := range settings() {
		if s.old == oldText {
			s.old += strings.Repeat("%", len(sealedText)-len(oldText)) // not told from it by its length
		}
		for _, inPlace := range []bool{false, true} { // another file, or the same one signed
			if s.old == sealedText || inPlace && s.old == "" {
				continue
			}
			for n := 1; ; n++ {
				m := s.memory()
				at := ""
				m.at = func(op, _ string) (error, bool) {
					if m.calls != n {
						return nil, false
					}
					at = op
					if inPlace && m.names["d/a.pdf"] != nil {
						m.names["d/a.pdf"].data = []byte(sealedText)
						m.names["d/a.pdf"].written++
					} else {
						m.put("d/a.pdf", sealedText, 0o644)
					}
					return nil, false
				}
				err := s.write(m)
				if at == "" {
					break
				}
				got, _ := m.content("d/a.pdf")
				if got != sealedText && at != "rename" {
					t.Errorf("%v, in place %v, sealed before call %d (%s): %v, and the file holds %q", s, inPlace, n, at, err, got)
				}
				if at == "rename" {
					if err != nil || got != newText {
						t.Errorf("%v: the gap is not where it is said to be: %v", s, err)
					}
				}
			}
		}
	}
}

// A file that changes whenever it has been read is left alone.
func TestChangesAllTheWhile(t *testing.T) {
	m := setting{old: oldText}.memory()
	m.at = func(op, _ string) (error, bool) {
		if op == "stat" {
			m.names["d/a.pdf"].written++
		}
		return nil, false
	}
	var known *Error
	err := write(m, "d/a.pdf", []byte(newText), Options{Overwrite: true})
	if !errors.As(err, &known) || known.Why != Changing {
		t.Errorf("got %v, want that it keeps changing", err)
	}
}

// Where case does not tell names apart, a sealed file is found under each.
func TestSealedUnderAnotherCase(t *testing.T) {
	m := newMemory()
	m.noCase = true
	m.put("d/Report.pdf", sealedText, 0o644)
	var known *Error
	err := write(m, "d/REPORT.PDF", []byte(newText), Options{Overwrite: true})
	if !errors.As(err, &known) || known.Why != IsSealed {
		t.Errorf("got %v, want that it is sealed", err)
	}
}

// A file system that keeps no permissions is written to nevertheless.
func TestNoPermissionsKept(t *testing.T) {
	for _, err := range []error{fs.ErrPermission, syscall.EPERM, syscall.ENOTSUP} {
		s := setting{}
		m := s.memory()
		m.at = func(op, _ string) (error, bool) {
			if op == "chmod" {
				return err, false
			}
			return nil, false
		}
		if got := s.write(m); got != nil {
			t.Errorf("chmod fails with %v: %v", err, got)
		}
	}
}
