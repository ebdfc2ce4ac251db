package main

import (
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"syscall"
	"time"
)

// A run is one way to do a work, as a process of its own.
type run struct {
	name string
	args []string
	out  string // the file that it writes, or a folder

	seen []seen
}

// A seen is what one process took.
type seen struct {
	wall, cpu time.Duration
	peak      int64 // bytes of memory, the most that it or a process of its own had
	size      int64 // bytes of what it wrote
}

// do runs it once and remembers what it took.
func (r *run) do() error {
	if err := os.RemoveAll(r.out); err != nil {
		return err
	}
	c := exec.Command(r.args[0], r.args[1:]...)
	from := time.Now()
	said, err := c.CombinedOutput()
	wall := time.Since(from)
	if c.ProcessState == nil || err != nil && c.ProcessState.ExitCode() != 3 {
		return fmt.Errorf("%s: %w\n%s", r.name, err, said)
	}
	usage := c.ProcessState.SysUsage().(*syscall.Rusage)
	r.seen = append(r.seen, seen{wall, c.ProcessState.UserTime() + c.ProcessState.SystemTime(), usage.Maxrss << 10, sizeOf(r.out)})
	return nil
}

func sizeOf(path string) (n int64) {
	filepath.Walk(path, func(_ string, f os.FileInfo, err error) error {
		if err == nil && f.Mode().IsRegular() {
			n += f.Size()
		}
		return nil
	})
	return n
}

// median is the median of each figure by itself.
func (r *run) median() (m seen) {
	middle := func(of func(seen) int64) int64 {
		var all []int64
		for _, s := range r.seen {
			all = append(all, of(s))
		}
		slices.Sort(all)
		return all[len(all)/2]
	}
	m.wall = time.Duration(middle(func(s seen) int64 { return int64(s.wall) }))
	m.cpu = time.Duration(middle(func(s seen) int64 { return int64(s.cpu) }))
	m.peak, m.size = middle(func(s seen) int64 { return s.peak }), middle(func(s seen) int64 { return s.size })
	return m
}

// compare runs all of them in turn, so many rounds after one that is not
// counted, and prints the medians, with how many times the first each took. Each
// round has an order of its own: what runs behind a large process is slower (a
// quarter, of 60 readings).
func compare(title string, rounds int, runs ...*run) error {
	order := slices.Clone(runs)
	rnd := rand.New(rand.NewPCG(1, 0))
	for round := -1; round < rounds; round++ {
		for _, r := range order {
			if err := r.do(); err != nil {
				return err
			}
			if round < 0 {
				r.seen = nil
			}
		}
		rnd.Shuffle(len(order), func(i, j int) { order[i], order[j] = order[j], order[i] })
	}
	fmt.Printf("\n%s\n\n| | wall | CPU | peak memory | written | wall, times the first |\n|---|---|---|---|---|---|\n", title)
	first := runs[0].median()
	for _, r := range runs {
		m := r.median()
		fmt.Printf("| %s | %s s | %s s | %.0f MiB | %s | %.2f |\n", r.name, seconds(m.wall), seconds(m.cpu), float64(m.peak)/(1<<20), size(m.size), float64(m.wall)/float64(first.wall))
	}
	return nil
}

func seconds(d time.Duration) string {
	if d < 10*time.Second {
		return fmt.Sprintf("%.2f", d.Seconds())
	}
	return fmt.Sprintf("%.1f", d.Seconds())
}

func size(n int64) string {
	switch {
	case n == 0:
		return "–"
	case n < 1e6:
		return fmt.Sprintf("%.0f kB", float64(n)/1e3)
	}
	return fmt.Sprintf("%.1f MB", float64(n)/1e6)
}
