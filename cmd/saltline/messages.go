package main

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/doc"
	"saltline/internal/frame"
)

// printDiagnostics prints every message with what to do about it. What is only
// worth a line in the reading note stays there. What is the same in several
// files, in the same cell, is said once.
func printDiagnostics(s stream, list []diag.Diagnostic) {
	type fault struct {
		sheet, cell, check, msg, hint string
		level                         diag.Level
	}
	faultOf := func(d diag.Diagnostic) fault {
		return fault{d.Pos.Sheet(), d.Pos.Cell(), d.Check, d.Msg, d.Hint, d.Level}
	}
	files := map[fault][]string{}
	for _, d := range list {
		if f := faultOf(d); !slices.Contains(files[f], d.Pos.File()) {
			files[f] = append(files[f], d.Pos.File())
		}
	}
	for _, d := range list {
		in := files[faultOf(d)]
		if d.Level < diag.Problem || in == nil {
			continue
		}
		delete(files, faultOf(d))
		also := ""
		if len(in) > 1 {
			also = fmt.Sprintf("; the same in %d files: %s", len(in), strings.Join(in, ", "))
		}
		fmt.Fprintf(s.err, "saltline: %s%s\n", d, also)
		if d.Hint != "" {
			fmt.Fprintf(s.err, "hint: %s\n", d.Hint)
		}
	}
}

// missing are the values of the job without which tests are not judged, each
// with the option that supplies it.
var missing = []struct {
	reason    assess.Reason
	what, how string
}{
	{assess.NoLimit, "no limit is recorded", `--set "limit=50 mg/m2" and --set "limit basis=total salts", with what the contract says`},
	{assess.NoLimitUnit, "the limit has no unit", `--set "limit=50 mg/m2", with what the contract says`},
	{assess.NoLimitBasis, "the basis of the limit is not recorded", `--set "limit basis=total salts" (or "conductivity of sodium chloride", or "chloride ion"), as the contract says`},
	{assess.NoVolume, "the volume of water in the formula is not recorded", `--set "volume=3 ml", with what the method statement says`},
}

// printMissing says what keeps tests from being judged though they were made.
func printMissing(s stream, r *assess.Result) {
	for _, m := range missing {
		n := 0
		for i := range r.Lines {
			if r.Lines[i].Because(m.reason) {
				n++
			}
		}
		if n > 0 {
			fmt.Fprintf(s.err, "saltline: %d of %d tests are not established: %s\nhint: record it, or give it with %s\n", n, len(r.Lines), m.what, m.how)
		}
	}
}

// unshown gathers the characters of documents that no font here has. The parts of
// a dossier are made side by side.
type unshown struct {
	faces *frame.Fonts
	lock  sync.Mutex
	seen  map[rune]bool
}

func (u *unshown) read(d *doc.Document) {
	u.lock.Lock()
	defer u.lock.Unlock()
	d.EachText(func(text string) {
		for _, c := range u.faces.Unshown(text) {
			if u.seen == nil {
				u.seen = map[rune]bool{}
			}
			u.seen[c] = true
		}
	})
}

// print names what was gathered.
func (u *unshown) print(s stream) {
	const most = 20
	if len(u.seen) == 0 {
		return
	}
	var names []string
	for _, c := range slices.Sorted(maps.Keys(u.seen)) {
		if len(names) == most {
			names = append(names, fmt.Sprintf("and %d more", len(u.seen)-most))
			break
		}
		names = append(names, fmt.Sprintf("%q (U+%04X)", c, c))
	}
	fmt.Fprintf(s.err, "saltline: no font here can print %s; a substitute sign stands in the document\n", strings.Join(names, ", "))
}

// announced says of an image that the record names and that cannot be had
// where it was looked for.
func announced(s stream, image func(string) ([]byte, error)) func(string) ([]byte, error) {
	return func(name string) ([]byte, error) {
		data, err := image(name)
		if err != nil {
			fmt.Fprintf(s.err, "saltline: the image %q of a signature cannot be read: %v\nhint: put it beside the record, or correct its name in the table signatures\n", name, err)
		}
		return data, err
	}
}
