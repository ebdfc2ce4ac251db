package main

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"saltline/internal/keep"
)

// Whatever keeps a file from being written is said in one line, with what to
// do, ends in status 1, and shows no temporary name. A sealed file is never
// offered to --overwrite.
func TestUnwritten(t *testing.T) {
	temporary := func(err error) error {
		return &fs.PathError{Op: "open", Path: "out/.saltline-1.tmp", Err: err}
	}
	renamed := func(err error) error {
		return &os.LinkError{Op: "rename", Old: "out/.saltline-1.tmp", New: "out/a.pdf", Err: err}
	}
	for _, c := range []struct {
		why             keep.Reason
		err             error
		file, folder    string // what is said of a file, and of a folder where one can have that trouble
		hint, otherHint string
	}{
		{keep.Exists, nil, "out/a.pdf exists", "out/a.pdf is no folder, or lies in what is none", "--overwrite", "another folder"},
		{keep.IsSealed, nil, "out/a.pdf is sealed", "", "another name", ""},
		{keep.IsFolder, nil, "out/a.pdf is a folder", "", "a file in it", ""},
		{keep.NoFile, nil, "out/a.pdf is a device, a pipe or a socket", "", "standard output", ""},
		{keep.Unread, temporary(syscall.EACCES), "out/a.pdf is not replaced: it cannot be read, and may be sealed: permission denied", "", "readable", ""},
		{keep.Changing, nil, "out/a.pdf is not replaced: another program is changing it", "", "wait", ""},
		{keep.NoFolder, temporary(syscall.ENOENT), "out/a.pdf: there is no folder out", "out/a.pdf is no folder, or lies in what is none", "make the folder", "another folder"},
		{keep.Forbidden, temporary(syscall.EACCES), "out/a.pdf: the folder out may not be written to", "out/a.pdf: the folder out may not be written to", "another folder", "another folder"},
		{keep.ReadOnly, temporary(syscall.EROFS), "out/a.pdf: its file system is read-only", "out/a.pdf: its file system is read-only", "another disk", "another disk"},
		{keep.Full, temporary(syscall.ENOSPC), "out/a.pdf: the disk is full, or your share of it", "out/a.pdf: the disk is full, or your share of it", "make room", "make room"},
		{keep.LongName, renamed(syscall.ENAMETOOLONG), "out/a.pdf: the name is too long for the file system", "out/a.pdf: the name is too long for the file system", "shorter", "shorter"},
		{keep.Unsettled, temporary(syscall.EIO), "out/a.pdf is written, but may be lost if the power goes: input/output error", "the folder out/a.pdf is made, but may be lost if the power goes: input/output error", "write it again", "try again"},
		{keep.Other, renamed(syscall.EBUSY), "out/a.pdf could not be written: device or resource busy", "out/a.pdf could not be written: device or resource busy", "another place", "another place"},
	} {
		given := &keep.Error{Path: filepath.FromSlash("out/a.pdf"), Why: c.why, Err: c.err}
		check := func(err error, msg, hint string) {
			t.Helper()
			var known *statusError
			if !errors.As(err, &known) || known.code != 1 {
				t.Errorf("%v: %v does not end in status 1", c.why, err)
				return
			}
			if filepath.ToSlash(known.msg) != msg || !strings.Contains(known.hint, hint) {
				t.Errorf("%v: got %q, hint %q, want %q, hint … %q …", c.why, known.msg, known.hint, msg, hint)
			}
			if strings.ContainsAny(known.msg+known.hint, "\n") {
				t.Errorf("%v: more than one line: %q, %q", c.why, known.msg, known.hint)
			}
			if strings.Contains(known.hint, "--overwrite") != (hint == "--overwrite") {
				t.Errorf("%v: the hint %q", c.why, known.hint)
			}
		}
		check(unwritten(given), c.file, c.hint)
		if c.folder != "" {
			check(unmade(given), c.folder, c.otherHint)
		}
	}
	for _, f := range []func(error) error{unwritten, unmade} {
		if f(nil) != nil {
			t.Error("no error became one")
		}
	}
}

// A sealed file that stands in the way of one of several documents is named
// before anything is written, beside the others.
func TestRefuseExisting(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	for name, text := range map[string]string{"old.pdf": "%PDF-1.7", "sealed.pdf": "%PDF-1.7 <</Type/Sig/ByteRange[0 1 2 3]>>", "other.pdf": "%PDF-1.7 /#42yteRange[0 1 2 3]"} {
		if err := os.WriteFile(at(name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Mkdir(at("folder.pdf"), 0o755); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		targets         string
		plain, replaced string // what is said without --overwrite, and with it
	}{
		{"new.pdf", "", ""},
		{"old.pdf new.pdf", "old.pdf: exists", ""},
		{"folder.pdf old.pdf", "folder.pdf, old.pdf: exists", ""},
		{"new.pdf sealed.pdf", "sealed.pdf is sealed", "sealed.pdf is sealed"},
		{"sealed.pdf new.pdf other.pdf", "sealed.pdf, other.pdf: sealed", "sealed.pdf, other.pdf: sealed"},
		{"sealed.pdf old.pdf other.pdf", "sealed.pdf, other.pdf: sealed; old.pdf: exists", "sealed.pdf, other.pdf: sealed"},
	} {
		var targets []string
		for _, name := range strings.Fields(c.targets) {
			targets = append(targets, at(name))
		}
		for overwrite, want := range map[bool]string{false: c.plain, true: c.replaced} {
			got := ""
			if err := (&documents{overwrite: overwrite}).refuseExisting(targets); err != nil {
				got = strings.ReplaceAll(err.Error(), dir+string(filepath.Separator), "")
			}
			if got != want {
				t.Errorf("%s, overwrite %v: got %q, want %q", c.targets, overwrite, got, want)
			}
		}
	}
}

// What is written is what was given, and nothing else is left.
func TestWriteFileReplaces(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.pdf")
	sealed := []byte("%PDF-1.7 <</Type/Sig/ByteRange[0 1 2 3]>>")
	if err := writeFile(path, sealed, false); err != nil {
		t.Fatal(err)
	}
	if err := writeFile(path, []byte("%PDF-1.7"), true); err == nil || !strings.HasSuffix(err.Error(), "is sealed") {
		t.Errorf("got %v, want that it is sealed", err)
	}
	if got, err := os.ReadFile(path); err != nil || !bytes.Equal(got, sealed) {
		t.Errorf("%v: a sealed file was changed", err)
	}
}
