package main

import (
	"bufio"
	"bytes"
	"context"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

// A stranger is a record that nobody should have to trust: made from a recipe,
// since most are too large or too odd to keep, and read by the whole program.
type stranger struct {
	name   string // of the record, in a folder of its own
	make   recipe
	status int
	says   string // words of one line of what the program says
	hint   string // words of the hint that follows that line; "" where it needs none
}

// A recipe writes the bytes of a file.
type recipe func(io.Writer) error

// Bounds on a run, whatever it reads.
const (
	mostMemory = 512 << 20        // bytes resident
	hung       = 60 * time.Second // no measure of speed: three times what any may take
)

// said is what one run came to.
type said struct {
	status     int
	out, lines string
	peak       int64 // bytes resident
	took       time.Duration
}

// runs runs the program in a folder. It fails the test where the program hangs,
// panics, takes more memory than it may, or hands control characters on.
func runs(t *testing.T, dir string, args ...string) said {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), hung)
	defer cancel()
	cmd := exec.CommandContext(ctx, "saltline", args...)
	cmd.Dir = dir
	var out, lines bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &lines
	peak := filepath.Join(t.TempDir(), "peak")
	cmd.Env = append(os.Environ(), peakVariable+"="+peak)
	begun := time.Now()
	err := cmd.Run()
	got := said{out: out.String(), lines: lines.String(), took: time.Since(begun)}
	if cmd.ProcessState == nil {
		t.Fatalf("saltline did not start: %v", err)
	}
	got.status = cmd.ProcessState.ExitCode()
	if said, err := os.ReadFile(peak); err == nil {
		kB, err := strconv.ParseInt(string(said), 10, 64)
		if err != nil {
			t.Fatalf("its peak is %q", said)
		}
		got.peak = kB << 10
	}
	head := got.lines[:min(len(got.lines), 2000)]
	switch {
	case ctx.Err() != nil:
		t.Fatalf("it had not ended after %v:\n%s", hung, head)
	case got.status < 0 || strings.Contains(got.lines, "a fault of the program") || strings.Contains(got.lines, "goroutine "):
		t.Fatalf("status %d:\n%s", got.status, head)
	case got.peak == 0:
		t.Errorf("status %d, and it did not say how much memory it took", got.status)
	case got.peak > mostMemory:
		t.Errorf("%d MiB resident, want at most %d", got.peak>>20, mostMemory>>20)
	case strings.ContainsFunc(got.lines+got.out, raw):
		t.Errorf("control characters reach the terminal:\n%q", head)
	}
	for line := range strings.Lines(got.lines) {
		if len(line) > 2000 {
			t.Errorf("a line of %d bytes: %s …", len(line), line[:200])
		}
	}
	t.Logf("status %d, %d MiB, %v\n%s", got.status, got.peak>>20, got.took.Round(time.Millisecond), head)
	return got
}

// raw reports whether a terminal would obey r, or show the text around it in
// another order, instead of showing it.
func raw(r rune) bool {
	switch {
	case r == '\n', r == '\t':
		return false
	case r < ' ', 0x7F <= r && r < 0xA0:
		return true
	}
	return r == 0x061C || 0x200E <= r && r <= 0x200F || 0x202A <= r && r <= 0x202E || 0x2066 <= r && r <= 0x2069
}

// meets reads a stranger's record and holds what the program says against what
// it must say.
func (s stranger) meets(t *testing.T) {
	dir := t.TempDir()
	if s.make != nil {
		f, err := os.Create(filepath.Join(dir, s.name))
		if err != nil {
			t.Fatal(err)
		}
		w := bufio.NewWriterSize(f, 1<<16)
		if err := s.make(w); err != nil {
			t.Fatal(err)
		}
		if err := w.Flush(); err != nil {
			t.Fatal(err)
		}
		if err := f.Close(); err != nil {
			t.Fatal(err)
		}
	}
	s.wants(t, runs(t, dir, "report", s.name, "-o", "out", "--quiet", "--produced", "2026-03-31"))
	made, _ := filepath.Glob(filepath.Join(dir, "out", "*.pdf"))
	if (len(made) > 0) != (s.status == 0) {
		t.Errorf("status %d with %d documents", s.status, len(made))
	}
}

// wants compares what was said with what must be.
func (s stranger) wants(t *testing.T, got said) {
	t.Helper()
	if got.status != s.status {
		t.Errorf("status %d, want %d", got.status, s.status)
	}
	if s.says == "" {
		return
	}
	lines := strings.Split(got.lines, "\n")
	for i, line := range lines {
		if strings.Contains(line, s.says) && strings.HasPrefix(line, "saltline: ") {
			if s.hint != "" && (i+1 == len(lines) || !strings.HasPrefix(lines[i+1], "hint: ") || !strings.Contains(lines[i+1], s.hint)) {
				t.Errorf("said %q without the hint %q", line, s.hint)
			}
			return
		}
	}
	t.Errorf("no line says %q", s.says)
}

// all meets strangers, each in a process of its own.
func all(t *testing.T, strangers []stranger) {
	for _, s := range strangers {
		t.Run(s.name, func(t *testing.T) {
			if os.Getenv("SALTLINE_LARGE") == "" {
				t.Parallel()
			}
			s.meets(t)
		})
	}
}

// grand meets strangers that take long to make or to read. They are met where
// SALTLINE_LARGE is set.
func grand(t *testing.T, strangers []stranger) {
	if os.Getenv("SALTLINE_LARGE") == "" {
		t.Logf("%d larger ones are read with SALTLINE_LARGE=1", len(strangers))
		return
	}
	all(t, strangers)
}

// of is a recipe of one text.
func of(text string) recipe {
	return func(w io.Writer) error { _, err := io.WriteString(w, text); return err }
}

// times is a recipe of a head, a text n times over and a tail.
func times(head, text string, n int, tail string) recipe {
	return func(w io.Writer) error {
		if _, err := io.WriteString(w, head); err != nil {
			return err
		}
		block, left := strings.Repeat(text, min(n, max(1, 1<<16/len(text)))), n*len(text)
		for ; left > 0; left -= len(block) {
			if _, err := io.WriteString(w, block[:min(left, len(block))]); err != nil {
				return err
			}
		}
		_, err := io.WriteString(w, tail)
		return err
	}
}
