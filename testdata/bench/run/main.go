// Run measures whole processes, one beside the other in one run: saltline, the
// bare program that reads the same workbook and writes its cells with the same
// libraries, and, where they are installed, the general-purpose programs with
// which somebody would make a document of a workbook: a spreadsheet program
// without a window, and typesetting programs fed by a script. Those print the
// cells and do nothing else either.
//
// Inputs are made from a seed. What is printed are medians, in Markdown. The
// peak of memory is never less than that of this program, some 10 MiB.
//
//	go run ./testdata/bench/run [-rounds N] [day] [dossier] [flat] [photographs] [audit]
package main

import (
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
)

// A bench is where the processes are built and run.
type bench struct {
	dir    string
	rounds int
}

// works are what can be measured.
var works = []struct {
	name string
	do   func(*bench) error
}{
	{"day", (*bench).day}, {"dossier", (*bench).dossier}, {"flat", (*bench).flat}, {"photographs", (*bench).photographs}, {"audit", (*bench).audit},
}

func main() {
	rounds := flag.Int("rounds", 5, "how often each process is run, after once that is not counted")
	flag.Parse()
	if err := measure(*rounds, flag.Args()); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func measure(rounds int, wanted []string) error {
	dir, err := os.MkdirTemp("", "")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	b := &bench{dir: dir, rounds: rounds}
	for _, program := range []string{"./cmd/saltline", "./testdata/bench/bare", "./testdata/bench/make"} {
		c := exec.Command("go", "build", "-o", b.at(filepath.Base(program)), program)
		c.Env = append(c.Environ(), "CGO_ENABLED=0") // as the README says to build it
		if said, err := c.CombinedOutput(); err != nil {
			return fmt.Errorf("%s: %w\n%s", program, err, said)
		}
	}
	for _, w := range works {
		if len(wanted) == 0 || slices.Contains(wanted, w.name) {
			if err := w.do(b); err != nil {
				return err
			}
		}
	}
	return nil
}

// at is a path in the folder of the bench.
func (b *bench) at(name string) string { return filepath.Join(b.dir, name) }

// input makes an input, unless it is there.
func (b *bench) input(name string, args ...string) (string, error) {
	path := b.at(name)
	if _, err := os.Stat(path); err == nil {
		return path, nil
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return "", err
	}
	if said, err := exec.Command(b.at("make"), append(args, path)...).CombinedOutput(); err != nil {
		return "", fmt.Errorf("%s: %w\n%s", name, err, said)
	}
	return path, nil
}

// job makes the workbook of a whole job, whose days and areas grow with it.
func (b *bench) job(readings int) (string, error) {
	return b.input(fmt.Sprintf("job-%d.xlsx", readings), "-readings", strconv.Itoa(readings),
		"-days", strconv.Itoa(max(readings/333, 1)), "-areas", strconv.Itoa(max(readings/1666, 1)))
}

// saltline is a run of saltline that writes out, which may end with 3: it was
// done, and something does not hold.
func (b *bench) saltline(name, out string, args ...string) *run {
	out = b.at(out)
	return &run{name: name, args: slices.Concat([]string{b.at("saltline")}, args, []string{"-o", out, "--overwrite", "--quiet"}), out: out}
}

// beside are the programs that somebody would use instead, as far as they are
// installed, with the bare program before them.
func (b *bench) beside(book string, long bool) []*run {
	bare := &run{name: "bare program", args: []string{b.at("bare"), book, b.at("bare.pdf")}, out: b.at("bare.pdf")}
	all := []*run{bare}
	scripted := exec.Command("python3", "-c", "import openpyxl").Run() == nil
	cells := fmt.Sprintf("python3 testdata/bench/run/cells.py %s | awk -f testdata/bench/run/", book)
	for _, it := range []struct{ name, needs, command, out string }{
		{"spreadsheet program", "soffice", fmt.Sprintf("soffice --headless --convert-to pdf --outdir %s/sheet %s", b.dir, book), "sheet"},
		{"script and troff", "groff", cells + "troff.awk | groff -k -t -Tpdf -P-e > " + b.at("troff.pdf"), "troff.pdf"},
		{"script and LaTeX", "pdflatex", cells + "latex.awk > " + b.at("latex.tex") + " && pdflatex -interaction batchmode -output-directory " + b.dir + " " + b.at("latex.tex"), "latex.pdf"},
		{"script and HTML to PDF", "weasyprint", cells + "html.awk | weasyprint - " + b.at("html.pdf"), "html.pdf"},
	} {
		if long && it.needs == "weasyprint" {
			continue // takes minutes
		}
		if _, err := exec.LookPath(it.needs); err != nil || it.needs != "soffice" && !scripted {
			fmt.Fprintf(os.Stderr, "%s: %s is not installed, or python3 with openpyxl is not\n", it.name, it.needs)
			continue
		}
		all = append(all, &run{name: it.name, args: []string{"sh", "-c", it.command}, out: b.at(it.out)})
	}
	return all
}
