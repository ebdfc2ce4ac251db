package keep

import (
	"bytes"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"saltline/internal/crew"
)

// The test program runs itself again as the process that is killed. These
// variables of the environment say what it is to write, and when it dies.
const (
	envPath      = "KEEP_TEST_PATH"
	envPoint     = "KEEP_TEST_POINT" // the step that it dies at; 0 never, -1 writes until it is killed from outside
	envOverwrite = "KEEP_TEST_OVERWRITE"
)

func TestMain(m *testing.M) {
	if path := os.Getenv(envPath); path != "" {
		point, err := strconv.Atoi(os.Getenv(envPoint))
		if err == nil {
			err = child(path, point, Options{Overwrite: os.Getenv(envOverwrite) != ""})
		}
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

const (
	grain = 64          // bytes between two points of writing
	size  = 250 * grain // of the file that is written while the process dies
	many  = 300 << 10   // of the files that are written until it is killed
)

// pattern is a content of n bytes of which every part shows whose it is.
func pattern(name string, n int) []byte {
	var b bytes.Buffer
	for i := 0; b.Len() < n; i++ {
		fmt.Fprintf(&b, "%s %d\n", name, i)
	}
	return b.Bytes()[:n]
}

// child is what the second process does. It prints the number of its steps, or
// that it is at work.
func child(path string, point int, o Options) error {
	if point >= 0 {
		m := &mortal{point: point}
		err := write(m, path, pattern("new", size), o)
		fmt.Println(m.step)
		return err
	}
	contents := [][]byte{pattern("one", many), pattern("two", many)}
	for i := 0; ; i++ {
		if err := Write(path, contents[i%2], o); err != nil {
			return err
		}
		if i == 0 {
			fmt.Println("at work")
		}
	}
}

// A mortal is the file system of the machine, in which the process kills
// itself before or after a call, or when it has written some of a file.
type mortal struct {
	host
	step, point int
}

// die counts a step and, if it is the one, ends the process so that nothing of
// it can be cleared up.
func (m *mortal) die() {
	m.step++
	if m.step != m.point {
		return
	}
	self, err := os.FindProcess(os.Getpid())
	if err == nil {
		err = self.Kill()
	}
	if err != nil {
		panic(err)
	}
	select {}
}

func (m *mortal) Lstat(path string) (fs.FileInfo, error) {
	m.die()
	defer m.die()
	return m.host.Lstat(path)
}

func (m *mortal) Stat(path string) (fs.FileInfo, error) {
	m.die()
	defer m.die()
	return m.host.Stat(path)
}

func (m *mortal) Open(path string) (file, error) {
	m.die()
	defer m.die()
	f, err := m.host.Open(path)
	return &mortalFile{f, m}, err
}

func (m *mortal) Create(folder string) (file, error) {
	m.die()
	defer m.die()
	f, err := m.host.Create(folder)
	return &mortalFile{f, m}, err
}

func (m *mortal) Link(from, to string) error {
	m.die()
	defer m.die()
	return m.host.Link(from, to)
}

func (m *mortal) Rename(from, to string) error {
	m.die()
	defer m.die()
	return m.host.Rename(from, to)
}

func (m *mortal) Remove(path string) error {
	m.die()
	defer m.die()
	return m.host.Remove(path)
}

type mortalFile struct {
	file
	m *mortal
}

func (f *mortalFile) Write(b []byte) (n int, err error) {
	for n < len(b) && err == nil {
		f.m.die()
		var k int
		k, err = f.file.Write(b[n:min(n+grain, len(b))])
		n += k
	}
	f.m.die()
	return n, err
}

func (f *mortalFile) Chmod(mode fs.FileMode) error {
	f.m.die()
	defer f.m.die()
	return f.file.Chmod(mode)
}

func (f *mortalFile) Sync() error {
	f.m.die()
	defer f.m.die()
	return f.file.Sync()
}

func (f *mortalFile) Close() error {
	f.m.die()
	defer f.m.die()
	return f.file.Close()
}

// process is the test program as the process that is killed.
func process(path string, point int, overwrite bool) *exec.Cmd {
	c := exec.Command(os.Args[0])
	c.Env = append(os.Environ(), "GOMAXPROCS=1", envPath+"="+path, envPoint+"="+strconv.Itoa(point), envOverwrite+"=")
	if overwrite {
		c.Env[len(c.Env)-1] += "yes"
	}
	return c
}

// TestProcessKilledAtEachPoint kills a process before and after each of its
// calls, and at every 64 bytes that it writes.
func TestProcessKilledAtEachPoint(t *testing.T) {
	old := pattern("old", size*2/3)
	points := 0
	for _, overwrite := range []bool{false, true} {
		dir := t.TempDir()
		prepare := func(name string) string {
			path := filepath.Join(dir, name)
			if err := os.Mkdir(path, 0o755); err != nil {
				t.Fatal(err)
			}
			path = filepath.Join(path, "a.pdf")
			if overwrite {
				if err := os.WriteFile(path, old, 0o600); err != nil {
					t.Fatal(err)
				}
			}
			return path
		}
		said, err := process(prepare("whole"), 0, overwrite).Output()
		steps, e := strconv.Atoi(strings.TrimSpace(string(said)))
		if err != nil || e != nil {
			t.Fatalf("a process that is not killed: %v, %q", err, said)
		}
		points += steps
		paths := make([]string, steps)
		for i := range paths {
			paths[i] = prepare(strconv.Itoa(i + 1))
		}
		states := make([]string, steps)
		crew.Do(steps, func(i int) {
			c := process(paths[i], i+1, overwrite)
			if err := c.Run(); err == nil || c.ProcessState.ExitCode() == 1 {
				t.Errorf("overwrite %v, point %d: the process was not killed: %v", overwrite, i+1, err)
			}
			states[i] = stateOf(t, paths[i], old, overwrite)
		})
		// From one point on the file is the new one, and never again the old.
		if first := strings.Index(strings.Join(states, ""), "n"); first < steps/2 || strings.Contains(strings.Join(states[first:], ""), "o") {
			t.Errorf("overwrite %v: old and new after each point: %s", overwrite, strings.Join(states, ""))
		}
	}
	t.Logf("killed at %d points", points)
	if points < 500 {
		t.Errorf("killed at %d points, and wanted 500 or more", points)
	}
}

// stateOf is "o" if the file is as before, and "n" if it is the new one.
func stateOf(t *testing.T, path string, old []byte, overwrite bool) string {
	entries, err := os.ReadDir(filepath.Dir(path))
	if err != nil {
		t.Error(err)
	}
	for _, e := range entries {
		leftover, _ := filepath.Match(".saltline-*.tmp", e.Name())
		if e.Name() != "a.pdf" && !leftover {
			t.Errorf("%s is left behind", e.Name())
		}
	}
	got, err := os.ReadFile(path)
	switch {
	case err == nil && bytes.Equal(got, pattern("new", size)):
		return "n"
	case err == nil && overwrite && bytes.Equal(got, old), os.IsNotExist(err) && !overwrite:
		return "o"
	}
	t.Errorf("%s: %v, and it holds %d bytes that are neither the old file nor the new one", path, err, len(got))
	return "?"
}

// TestProcessKilledAtAnyTime kills from outside a process that writes one file
// over and over.
func TestProcessKilledAtAnyTime(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 1))
	path := filepath.Join(t.TempDir(), "a.pdf")
	one, two := pattern("one", many), pattern("two", many)
	seen := map[string]int{}
	for range 40 {
		c := process(path, -1, true)
		out, err := c.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		if _, err := io.ReadFull(out, make([]byte, 1)); err != nil {
			t.Fatalf("the process does not write: %v", err)
		}
		time.Sleep(time.Duration(random.Int64N(int64(40 * time.Millisecond))))
		if err := c.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		if err := c.Wait(); err == nil || c.ProcessState.ExitCode() == 1 {
			t.Fatalf("the process was not killed: %v", err)
		}
		got, err := os.ReadFile(path)
		switch {
		case err == nil && bytes.Equal(got, one):
			seen["one"]++
		case err == nil && bytes.Equal(got, two):
			seen["two"]++
		default:
			t.Errorf("%v, and %d bytes that are neither file", err, len(got))
		}
	}
	left, _ := filepath.Glob(filepath.Join(filepath.Dir(path), ".saltline-*.tmp"))
	t.Logf("found %v, and %d temporary files", seen, len(left))
}
