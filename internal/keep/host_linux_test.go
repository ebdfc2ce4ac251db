package keep

import (
	"bytes"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"
)

// mounted is a file system of its own in memory, with options as mount knows
// them. Where the test may not mount, it is skipped.
func mounted(t *testing.T, options string) folder {
	t.Helper()
	f := newFolder(t)
	if err := syscall.Mount("saltline-test", f.path, "tmpfs", 0, options); err != nil {
		t.Skipf("this process may not mount a file system with %q: %v", options, err)
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(f.path, 0); err != nil {
			t.Error(err)
		}
	})
	return f
}

// A disk that is really full: files of each size up to more than it holds are
// written over an old one, which stays wherever there is no room.
func TestDiskIsFull(t *testing.T) {
	const room = 64 << 10
	f := mounted(t, fmt.Sprintf("size=%d", room))
	f.put("a.pdf", oldText)
	f.put("beside.pdf", beside)
	full := 0
	for n := 1 << 10; n < 2*room; n += 3 << 10 {
		for _, o := range []Options{{}, replace} {
			name := "a.pdf"
			if !o.Overwrite {
				name = "new.pdf"
			}
			before, _ := os.ReadFile(f.at(name))
			data := pattern(fmt.Sprint("of ", n), n)
			why := whyNot(t, Write(f.at(name), data, o))
			got, _ := os.ReadFile(f.at(name))
			switch {
			case why == written && bytes.Equal(got, data):
			case why == Full && bytes.Equal(got, before):
				full++
			default:
				t.Errorf("%d bytes, %+v: %v, and the file holds %d bytes", n, o, why, len(got))
			}
			f.holds("beside.pdf", beside)
			if left, _ := filepath.Glob(f.at(".*")); len(left) > 0 {
				t.Errorf("%d bytes, %+v: temporary files are left: %q", n, o, left)
			}
			os.Remove(f.at("new.pdf"))
		}
	}
	if full < 10 {
		t.Errorf("the disk was full only %d times", full)
	}
}

// A disk without room for one more name.
func TestNoRoomForNames(t *testing.T) {
	f := mounted(t, "size=1m,nr_inodes=3")
	f.put("a.pdf", oldText)
	f.put("b.pdf", oldText)
	f.write("new.pdf", Options{}, Full)
	f.write("a.pdf", replace, Full)
	f.holds("a.pdf", oldText)
}

func TestReadOnlyDisk(t *testing.T) {
	f := mounted(t, "")
	f.put("a.pdf", oldText)
	f.put("sealed.pdf", sealedText)
	if err := syscall.Mount("saltline-test", f.path, "tmpfs", syscall.MS_REMOUNT|syscall.MS_RDONLY, ""); err != nil {
		t.Skipf("this process may not mount a file system to be read only: %v", err)
	}
	f.write("new.pdf", Options{}, ReadOnly)
	f.write("a.pdf", Options{}, Exists)
	f.write("a.pdf", replace, ReadOnly)
	f.write("sealed.pdf", replace, IsSealed)
	f.holds("a.pdf", oldText)
	if why := whyNot(t, Folder(f.at("folder"))); why != ReadOnly {
		t.Errorf("a folder: %v, want %v", why, ReadOnly)
	}
}

// A file that a mount holds in its place cannot be renamed over.
func TestMountedFile(t *testing.T) {
	f := mounted(t, "")
	f.put("a.pdf", oldText)
	f.put("b.pdf", beside)
	if err := syscall.Mount(f.at("b.pdf"), f.at("a.pdf"), "", syscall.MS_BIND, ""); err != nil {
		t.Skipf("this process may not mount a file: %v", err)
	}
	defer syscall.Unmount(f.at("a.pdf"), 0)
	f.write("a.pdf", replace, Other)
	f.holds("b.pdf", beside)
}

// In a folder that somebody has removed nothing can be made.
func TestRemovedFolder(t *testing.T) {
	f := newFolder(t)
	if err := os.Mkdir(f.at("d"), 0o755); err != nil {
		t.Fatal(err)
	}
	t.Chdir(f.at("d"))
	if err := os.Remove(f.at("d")); err != nil {
		t.Fatal(err)
	}
	if why := whyNot(t, Folder("folder")); why != NoFolder {
		t.Errorf("a folder: %v, want %v", why, NoFolder)
	}
	if why := whyNot(t, Write("a.pdf", nil, Options{})); why != NoFolder {
		t.Errorf("a file: %v, want %v", why, NoFolder)
	}
}

// A pipe, a socket or a device is not replaced by a file. All of them are made
// for the test: those of the machine would be lost if it failed.
func TestNoFile(t *testing.T) {
	f := newFolder(t)
	for name, kind := range map[string]uint32{"pipe": syscall.S_IFIFO, "socket": syscall.S_IFSOCK, "null": syscall.S_IFCHR} {
		const null = 1<<8 | 3 // the numbers of the device that swallows all
		if err := syscall.Mknod(f.at(name), kind|0o666, null); err != nil {
			t.Logf("no %s can be made here: %v", name, err)
			continue
		}
		f.symlink(name, name+".pdf")
		for _, path := range []string{name, name + ".pdf"} {
			f.write(path, Options{}, NoFile)
			f.write(path, replace, NoFile)
		}
		if info, err := os.Lstat(f.at(name)); err != nil || info.Mode().IsRegular() {
			t.Errorf("%s was replaced", name)
		}
	}
}

// As somebody who may not write to the folder, or not read the file.
func TestPermissionMissing(t *testing.T) {
	f := newFolder(t)
	f.put("a.pdf", oldText)
	f.put("secret.pdf", oldText)
	as := func(folder fs.FileMode, check func()) {
		t.Helper()
		chmod := func(path string, mode fs.FileMode) {
			if err := os.Chmod(path, mode); err != nil {
				t.Fatal(err)
			}
		}
		chmod(f.at("secret.pdf"), 0)
		chmod(f.path, folder)
		withoutRights(t, f.path, check)
		chmod(f.path, 0o755)
		chmod(f.at("secret.pdf"), 0o644)
		f.holds("a.pdf", oldText)
		f.holds("secret.pdf", oldText)
	}
	as(0o555, func() {
		f.write("new.pdf", Options{}, Forbidden)
		f.write("a.pdf", Options{}, Exists)
		f.write("a.pdf", replace, Forbidden)
		if why := whyNot(t, Folder(f.at("folder"))); why != Forbidden {
			t.Errorf("a folder: %v, want %v", why, Forbidden)
		}
	})
	as(0, func() { f.write("new.pdf", Options{}, Forbidden) })
	// What cannot be read may be sealed.
	as(0o777, func() {
		f.write("secret.pdf", Options{}, Exists)
		f.write("secret.pdf", replace, Unread)
	})
	// A folder that can be written to and not be listed.
	as(0o333, func() {
		if err := Write(f.at("new.pdf"), []byte(newText), Options{}); err != nil {
			t.Error(err)
		}
	})
	f.holds("new.pdf", newText)
}

// withoutRights does something with no more rights than the permissions of
// files give. A test that has all rights takes them off for that while, and
// lets everybody pass the folders above path.
func withoutRights(t *testing.T, path string, do func()) {
	t.Helper()
	if os.Getuid() != 0 {
		do()
		return
	}
	for dir := filepath.Dir(path); strings.HasPrefix(dir, os.TempDir()) && dir != os.TempDir(); dir = filepath.Dir(dir) {
		if err := os.Chmod(dir, 0o755); err != nil {
			t.Fatal(err)
		}
	}
	// The user of this thread for the file system alone: other threads keep theirs.
	const nobody = 65534
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	syscall.RawSyscall(syscall.SYS_SETFSUID, nobody, 0, 0)
	defer syscall.RawSyscall(syscall.SYS_SETFSUID, 0, 0, 0)
	do()
}
