package objects

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"sync"
	"testing"
	"time"
)

// samples are documents that a PDF library wrote.
func samples(t testing.TB) []string {
	t.Helper()
	names, _ := filepath.Glob("../../samples/*/*.pdf")
	if len(names) == 0 {
		t.Fatal("the samples have no documents")
	}
	return names
}

func readFile(t testing.TB, name string) *File {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	f, err := Read(data)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return f
}

// copyOf writes all objects of f anew.
func copyOf(t testing.TB, f *File, compact bool) []byte {
	t.Helper()
	var out bytes.Buffer
	w := NewWriter(&out, Options{Compact: compact})
	for _, r := range f.Refs() {
		w.PutSmall(r, f.Get(r))
	}
	d := f.Trailer()
	if err := w.Close(Dict{"Root": d["Root"], "Info": d["Info"]}); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// A comparison walks two files side by side from their catalogs, whatever the
// numbers of the objects are, and says where they differ.
type comparison struct {
	a, b *File
	seen map[Ref]Ref
}

func compare(a, b *File) error {
	c := comparison{a, b, map[Ref]Ref{}}
	return c.values("catalog", a.Trailer()["Root"], b.Trailer()["Root"])
}

func (c *comparison) values(path string, x, y Value) error {
	if r, ok := x.(Ref); ok {
		if s, ok := y.(Ref); ok {
			if before, ok := c.seen[r]; ok {
				if before != s {
					return fmt.Errorf("%s: %v is %v and %v", path, r, before, s)
				}
				return nil
			}
			c.seen[r] = s
		}
	}
	x, y = c.a.Resolve(x), c.b.Resolve(y)
	switch x := x.(type) {
	case Dict:
		return c.dicts(path, x, y)
	case Array:
		z, _ := y.(Array)
		if len(x) != len(z) {
			return fmt.Errorf("%s: %d and %d elements", path, len(x), len(z))
		}
		for i := range x {
			if err := c.values(fmt.Sprintf("%s[%d]", path, i), x[i], z[i]); err != nil {
				return err
			}
		}
		return nil
	case *Stream:
		z, ok := y.(*Stream)
		if !ok {
			return fmt.Errorf("%s: a stream and %T", path, y)
		}
		p, err := c.a.Data(x, 1<<24)
		q, err2 := c.b.Data(z, 1<<24)
		if !bytes.Equal(p, q) || (err == nil) != (err2 == nil) {
			return fmt.Errorf("%s: the streams differ (%v, %v)", path, err, err2)
		}
		for _, s := range []*Stream{x, z} {
			delete(s.Dict, "Length")
			delete(s.Dict, "Filter")
			delete(s.Dict, "DecodeParms")
		}
		return c.dicts(path, x.Dict, z.Dict)
	}
	p, ok := c.a.Number(x)
	q, ok2 := c.b.Number(y)
	if ok && ok2 && p == q || reflect.DeepEqual(x, y) {
		return nil
	}
	return fmt.Errorf("%s: %v and %v", path, x, y)
}

func (c *comparison) dicts(path string, x Dict, y Value) error {
	z, _ := y.(Dict)
	if len(x) != len(z) {
		return fmt.Errorf("%s: %v and %v", path, x, y)
	}
	for k, v := range x {
		if err := c.values(path+"/"+string(k), v, z[k]); err != nil {
			return err
		}
	}
	return nil
}

// The samples are read, written in both forms, and read again.
func TestSamples(t *testing.T) {
	for _, name := range samples(t) {
		f := readFile(t, name)
		for _, compact := range []bool{false, true} {
			g := read(t, copyOf(t, f, compact))
			if err := compare(f, g); err != nil {
				t.Errorf("%s, compact %v: %v", name, compact, err)
			}
		}
	}
}

// One file may be used from several sides: run with -race.
func TestSideBySide(t *testing.T) {
	f := read(t, copyOf(t, readFile(t, samples(t)[0]), true))
	var all sync.WaitGroup
	for range 4 {
		all.Go(func() {
			then, _ := f.At(0)
			for _, r := range f.Refs() {
				if !reflect.DeepEqual(f.Get(r), then.Get(r)) {
					t.Errorf("object %v differs", r)
				}
			}
		})
	}
	all.Wait()
}

func qpdf(t testing.TB, args ...string) {
	t.Helper()
	if out, err := exec.Command("qpdf", args...).CombinedOutput(); err != nil {
		t.Errorf("qpdf %v: %v\n%s", args, err, out)
	}
}

func needQPDF(t testing.TB) {
	t.Helper()
	if _, err := exec.LookPath("qpdf"); err != nil {
		t.Skip("qpdf is not installed")
	}
}

// qpdf, which shares nothing with this package, finds no fault with what is
// written here.
func TestJudgeWritten(t *testing.T) {
	needQPDF(t)
	dir := t.TempDir()
	check := func(name string, data []byte) {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
		qpdf(t, "--check", path)
	}
	f := readFile(t, samples(t)[0])
	for _, compact := range []bool{false, true} {
		data := copyOf(t, f, compact)
		check(fmt.Sprintf("whole-%v.pdf", compact), data)
		for round := range 3 {
			g := read(t, data)
			catalog := g.Catalog()
			catalog["Lang"] = String(fmt.Sprint("en-", round))
			a, err := g.Append(map[Ref]Value{g.Trailer()["Root"].(Ref): catalog, {Number: g.Size()}: Array{}}, nil)
			if err != nil {
				t.Fatal(err)
			}
			data = a.Data
			check(fmt.Sprintf("updated-%v-%d.pdf", compact, round), data)
		}
	}
}

// What qpdf makes of a sample is read as the sample is.
func TestJudgeRead(t *testing.T) {
	needQPDF(t)
	dir := t.TempDir()
	name := samples(t)[0]
	f := readFile(t, name)
	for i, args := range [][]string{
		{"--object-streams=generate"},
		{"--newline-before-endstream"},
		{"--linearize"},
		{"--linearize", "--object-streams=generate"},
		{"--qdf"},
		{"--qdf", "--object-streams=generate"},
	} {
		path := filepath.Join(dir, fmt.Sprintf("%d.pdf", i))
		qpdf(t, append(args, name, path)...)
		g := readFile(t, path)
		// Some of these change the content or the tree of pages; so each is
		// compared with what qpdf reads in it, written in the plainest way.
		plain := filepath.Join(dir, "plain.pdf")
		qpdf(t, "--object-streams=disable", path, plain)
		if err := compare(g, readFile(t, plain)); err != nil {
			t.Errorf("qpdf %v: %v", args, err)
		}
		if i < 2 {
			if err := compare(f, g); err != nil {
				t.Errorf("qpdf %v: %v", args, err)
			}
		}
		a, err := g.Append(map[Ref]Value{{Number: g.Size()}: int64(7)}, nil)
		if err != nil {
			t.Fatal(err)
		}
		if h := read(t, a.Data); len(h.Updates()) != 2 {
			t.Errorf("qpdf %v: %d updates", args, len(h.Updates()))
		}
		if err := os.WriteFile(path, a.Data, 0o600); err != nil {
			t.Fatal(err)
		}
		if args[0] != "--linearize" { // the update takes that away, and qpdf says so
			qpdf(t, "--check", path)
		}
	}
	path := filepath.Join(dir, "encrypted.pdf")
	qpdf(t, "--encrypt", "a", "b", "256", "--", name, path)
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Read(data); err != ErrEncrypted {
		t.Errorf("an encrypted file gives the error %v", err)
	}
}

// Random files are written and read again.
func TestRoundTrip(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 0))
	for range 60 {
		compact := random.IntN(2) == 0
		var out bytes.Buffer
		w := NewWriter(&out, Options{Compact: compact})
		want := map[Ref]Value{}
		n := 1 + random.IntN(500)
		for range n {
			r := w.Reserve()
			want[r] = randomValue(random, 0)
		}
		want[Ref{Number: 1}] = Dict{"Type": Name("Catalog")}
		order := random.Perm(n)
		for _, i := range order {
			r := Ref{Number: i + 1}
			if random.IntN(3) == 0 {
				w.Put(r, want[r])
			} else {
				w.PutSmall(r, want[r])
			}
		}
		if err := w.Close(Dict{"Root": Ref{Number: 1}}); err != nil {
			t.Fatal(err)
		}
		f := read(t, out.Bytes())
		for r, v := range want {
			if got := f.Get(r); !reflect.DeepEqual(got, v) {
				t.Fatalf("object %v is %#v, want %#v", r, got, v)
			}
		}
	}
}

func randomValue(random *rand.Rand, depth int) Value {
	text := func() []byte {
		b := make([]byte, random.IntN(12))
		for i := range b {
			b[i] = byte(random.Uint32())
		}
		return b
	}
	kinds := 10
	if depth > 4 {
		kinds = 7
	}
	switch random.IntN(kinds) {
	case 0:
		return random.IntN(2) == 0
	case 1:
		return random.Int64N(2e18/10) - 1e17
	case 2:
		return (random.Float64()-0.5)*1e4 + 0.000123 // no integer, which would be read as one
	case 3:
		return Name(bytes.ReplaceAll(text(), []byte{0}, []byte{'#'}))
	case 4:
		return String(text())
	case 5:
		return Ref{random.IntN(maxNumber), random.IntN(maxGeneration)}
	case 6:
		return Text("µ" + string(text()))
	case 7, 8:
		out := Array{}
		for range random.IntN(6) {
			out = append(out, randomValue(random, depth+1))
		}
		return out
	}
	out := Dict{}
	for range random.IntN(6) {
		out[Name(bytes.ReplaceAll(text(), []byte{0}, []byte{'x'}))] = randomValue(random, depth+1)
	}
	return out
}

// The letters that the operators of the samples' pages show are those that
// poppler's pdftotext finds. The font library writes UTF-16BE.
func TestJudgeContent(t *testing.T) {
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Skip("pdftotext is not installed")
	}
	for i, name := range samples(t) {
		if i%3 > 0 {
			continue // pdftotext takes its time, and they are much alike
		}
		f := readFile(t, name)
		shown := map[rune]int{}
		show := func(s String) {
			for _, c := range (append(String{0xfe, 0xff}, s...)).Text() {
				shown[c]++
			}
		}
		err := f.EachPage(func(_ Ref, page Dict) error {
			data, err := f.Data(page["Contents"], 1<<24)
			if err != nil {
				return err
			}
			return Content(data, func(operator string, operands []Value) error {
				switch operator {
				case "Tj":
					show(operands[0].(String))
				case "TJ":
					for _, o := range operands[0].(Array) {
						if s, ok := o.(String); ok {
							show(s)
						}
					}
				}
				return nil
			})
		})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		text, err := exec.Command("pdftotext", "-raw", "-enc", "UTF-8", name, "-").Output()
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range string(text) {
			shown[c]--
		}
		for c, n := range shown {
			if n != 0 && c != ' ' && c != '\n' && c != '\f' && c != '\u00a0' {
				t.Errorf("%s: %q is shown %d times more than pdftotext finds", name, c, n)
			}
		}
	}
}
