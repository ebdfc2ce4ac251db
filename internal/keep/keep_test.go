package keep

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

// whyNot is the reason of an error; -1 for none.
func whyNot(t *testing.T, err error) Reason {
	t.Helper()
	var known *Error
	switch {
	case err == nil:
		return -1
	case !errors.As(err, &known):
		t.Errorf("%v is no *Error", err)
		return -1
	}
	return known.Why
}

// A folder is one for tests, with what they ask of it.
type folder struct {
	t    *testing.T
	path string
}

func newFolder(t *testing.T) folder {
	t.Helper()
	return folder{t, t.TempDir()}
}

func (f folder) at(name string) string { return filepath.Join(f.path, name) }

func (f folder) put(name, text string) {
	f.t.Helper()
	if err := os.WriteFile(f.at(name), []byte(text), 0o644); err != nil {
		f.t.Fatal(err)
	}
}

func (f folder) symlink(leads, name string) {
	f.t.Helper()
	if err := os.Symlink(leads, f.at(name)); err != nil {
		f.t.Skipf("no symbolic links here: %v", err)
	}
}

func (f folder) holds(name, want string) {
	f.t.Helper()
	got, err := os.ReadFile(f.at(name))
	if err != nil || string(got) != want {
		f.t.Errorf("%s: %v, and it holds %q, want %q", name, err, got, want)
	}
}

// write writes the new text, and holds the reason of its failure and that
// Check says the same, and that no temporary file is left.
func (f folder) write(name string, o Options, want Reason) {
	f.t.Helper()
	foretold := whyNot(f.t, Check(f.at(name), o))
	got := whyNot(f.t, Write(f.at(name), []byte(newText), o))
	if got != want {
		f.t.Errorf("%s, %+v: not written because %v, want %v", name, o, got, want)
	}
	switch want {
	case Exists, IsSealed, IsFolder, NoFile, Unread, -1:
		if foretold != want {
			f.t.Errorf("%s, %+v: foretold %v, want %v", name, o, foretold, want)
		}
	}
	left, _ := filepath.Glob(f.at(".*"))
	if len(left) > 0 {
		f.t.Errorf("%s: temporary files are left: %q", name, left)
	}
	if got == -1 {
		f.holds(name, newText)
	}
}

const written Reason = -1

var replace = Options{Overwrite: true}

func TestWrite(t *testing.T) {
	f := newFolder(t)
	f.write("a.pdf", Options{}, written)
	f.put("a.pdf", oldText)
	f.write("a.pdf", Options{}, Exists)
	f.holds("a.pdf", oldText)
	f.write("a.pdf", replace, written)
	f.write("new.pdf", replace, written)
	f.write("none/a.pdf", Options{}, NoFolder)
	f.write("a.pdf/b.pdf", Options{}, NoFolder)
	f.write(strings.Repeat("long", 100)+".pdf", replace, LongName)
	if err := Write(f.at("empty.pdf"), nil, Options{}); err != nil {
		t.Error(err)
	}
	f.holds("empty.pdf", "")
}

// A sealed file stays, whatever it is called and whatever is written.
func TestSealedStays(t *testing.T) {
	f := newFolder(t)
	f.put("sealed.pdf", sealedText)
	f.symlink("sealed.pdf", "link.pdf")
	f.symlink("link.pdf", "link.xlsx")
	if err := os.Link(f.at("sealed.pdf"), f.at("second.txt")); err != nil {
		t.Skipf("no hard links here: %v", err)
	}
	for _, name := range []string{"sealed.pdf", "link.pdf", "link.xlsx", "second.txt"} {
		f.write(name, Options{}, IsSealed)
		f.write(name, replace, IsSealed)
		f.holds(name, sealedText)
	}
	if info, err := os.Lstat(f.at("link.pdf")); err != nil || info.Mode()&fs.ModeSymlink == 0 {
		t.Error("the link is no link any more")
	}
}

// A symbolic link is replaced itself, and nothing is written through it.
func TestSymbolicLinks(t *testing.T) {
	f := newFolder(t)
	f.put("there.pdf", oldText)
	f.symlink("there.pdf", "link.pdf")
	f.write("link.pdf", Options{}, Exists)
	f.write("link.pdf", replace, written)
	f.holds("there.pdf", oldText)
	info, err := os.Lstat(f.at("link.pdf"))
	if err != nil || !info.Mode().IsRegular() {
		t.Error("the link was not replaced by the file")
	} else if runtime.GOOS != "windows" && info.Mode() != 0o644 {
		t.Errorf("the file has the permissions of the link: %v", info.Mode())
	}
	f.symlink("nowhere", "dangling.pdf")
	f.write("dangling.pdf", Options{}, Exists)
	f.write("dangling.pdf", replace, written)
	f.symlink("round.pdf", "round.pdf")
	f.write("round.pdf", Options{}, Exists)
	f.write("round.pdf", replace, written)
	f.symlink(".", "folder.pdf")
	f.write("folder.pdf", replace, IsFolder)
	if _, err := os.Lstat(f.at("nowhere")); err == nil {
		t.Error("a file was written through a link that led nowhere")
	}
}

// link/.. is the folder above the one that the link leads to: the temporary
// file is made there as well.
func TestFolderThroughLink(t *testing.T) {
	f := newFolder(t)
	if err := os.MkdirAll(f.at("far/away"), 0o755); err != nil {
		t.Fatal(err)
	}
	f.symlink("far/away", "link")
	path := f.path + "/link/../a.pdf"
	if err := Write(path, []byte(newText), Options{}); err != nil {
		t.Fatal(err)
	}
	f.holds("far/a.pdf", newText)
	m := newMemory()
	m.put("d/link/..", "", fs.ModeDir|0o755)
	made := ""
	m.at = func(op, path string) (error, bool) {
		if op == "create" {
			made = path
		}
		return nil, false
	}
	write(m, "d/link/../a.pdf", nil, Options{})
	if made != "d/link/.." {
		t.Errorf("the temporary file is made in %s", made)
	}
}

// A folder is not replaced by a file.
func TestIsFolder(t *testing.T) {
	f := newFolder(t)
	if err := os.Mkdir(f.at("folder.pdf"), 0o755); err != nil {
		t.Fatal(err)
	}
	f.write("folder.pdf", Options{}, IsFolder)
	f.write("folder.pdf", replace, IsFolder)
}

// A file that is replaced hands its permissions on.
func TestPermissions(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("files have no such permissions here")
	}
	f := newFolder(t)
	modeOf := func(name string) fs.FileMode {
		info, err := os.Stat(f.at(name))
		if err != nil {
			t.Fatal(err)
		}
		return info.Mode()
	}
	f.write("a.pdf", Options{}, written)
	if got := modeOf("a.pdf"); got != 0o644 {
		t.Errorf("a new file has %v", got)
	}
	if err := os.Chmod(f.at("a.pdf"), 0o600); err != nil {
		t.Fatal(err)
	}
	f.write("a.pdf", replace, written)
	if got := modeOf("a.pdf"); got != 0o600 {
		t.Errorf("a file that only its owner could read has %v when it is replaced", got)
	}
}

func TestFolder(t *testing.T) {
	f := newFolder(t)
	for _, name := range []string{"a/b/c", "a/b/c", "a/d/", "."} {
		if err := Folder(f.path + "/" + name); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if info, err := os.Stat(f.at(name)); err != nil || !info.IsDir() {
			t.Errorf("%s is not there", name)
		}
	}
	f.put("file", oldText)
	for _, name := range []string{"file", "file/a"} {
		if got := whyNot(t, Folder(f.at(name))); got != NoFolder {
			t.Errorf("%s: got %v, want %v", name, got, NoFolder)
		}
	}
	f.holds("file", oldText)
	t.Chdir(f.path)
	if err := Folder("e/f"); err != nil {
		t.Error(err)
	}
}

// A folder that is taken away while a process writes into it takes the file
// along, and the error says so.
func TestFolderVanishes(t *testing.T) {
	for n := 1; ; n++ {
		f := newFolder(t)
		dir := f.at("d")
		if err := os.Mkdir(dir, 0o755); err != nil {
			t.Fatal(err)
		}
		m := &vanishing{dir: dir, away: f.at("away"), at: n}
		err := explained("", write(m, filepath.Join(dir, "a.pdf"), []byte(newText), Options{}))
		if m.calls < n {
			if err != nil {
				t.Errorf("undisturbed: %v", err)
			}
			if n < 5 {
				t.Errorf("writing has only %d calls", n-1)
			}
			return
		}
		got, readErr := os.ReadFile(f.at("away/a.pdf"))
		whole := readErr == nil && bytes.Equal(got, []byte(newText))
		if !whole && !errors.Is(readErr, fs.ErrNotExist) {
			t.Errorf("call %d: the folder was renamed, and the file in it holds %q", n, got)
		}
		if why := whyNot(t, err); !whole && why != NoFolder || whole && why != Unsettled {
			t.Errorf("call %d: whole %v, but the error is %v", n, whole, err)
		}
	}
}

// vanishing is the file system of the machine, whose folder is renamed before
// one of the calls that look for it.
type vanishing struct {
	host
	dir, away string
	calls, at int
}

func (v *vanishing) call() {
	v.calls++
	if v.calls == v.at {
		os.Rename(v.dir, v.away)
	}
}

func (v *vanishing) Lstat(path string) (fs.FileInfo, error) { v.call(); return v.host.Lstat(path) }
func (v *vanishing) Open(path string) (file, error)         { v.call(); return v.host.Open(path) }
func (v *vanishing) Create(path string) (file, error)       { v.call(); return v.host.Create(path) }
func (v *vanishing) Link(from, to string) error             { v.call(); return v.host.Link(from, to) }
func (v *vanishing) Rename(from, to string) error           { v.call(); return v.host.Rename(from, to) }
func (v *vanishing) Remove(path string) error               { v.call(); return v.host.Remove(path) }
