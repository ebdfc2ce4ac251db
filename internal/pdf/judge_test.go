package pdf

import (
	"bytes"
	"maps"
	"slices"
	"strings"
	"testing"

	"saltline/internal/objects"
	"saltline/internal/pdf/judge"
)

// A spoilt file is a good one, taken apart to be changed.
type spoilt struct {
	*objects.File
	t       *testing.T
	all     map[objects.Ref]objects.Value
	catalog objects.Dict
	trailer objects.Dict
}

func takeApart(t *testing.T, data []byte) *spoilt {
	t.Helper()
	in, err := objects.Read(data)
	if err != nil {
		t.Fatal(err)
	}
	s := &spoilt{in, t, map[objects.Ref]objects.Value{}, nil, objects.Dict{"Root": in.Trailer()["Root"], "Info": in.Trailer()["Info"]}}
	for _, r := range in.Refs() {
		v := in.Get(r)
		if kind := in.Name(in.Dict(v)["Type"]); kind == "ObjStm" || kind == "XRef" {
			continue
		}
		s.all[r] = v
	}
	s.catalog = s.all[in.Trailer()["Root"].(objects.Ref)].(objects.Dict)
	return s
}

// bytes puts the file together again.
func (s *spoilt) bytes() []byte {
	s.t.Helper()
	var b bytes.Buffer
	w := objects.NewWriter(&b, objects.Options{})
	for _, r := range slices.SortedFunc(maps.Keys(s.all), func(a, b objects.Ref) int { return a.Number - b.Number }) {
		w.Put(r, s.all[r])
	}
	if err := w.Close(s.trailer); err != nil {
		s.t.Fatal(err)
	}
	return b.Bytes()
}

// at is the dictionary of an object, to be changed.
func (s *spoilt) at(v objects.Value) objects.Dict {
	switch v := s.all[v.(objects.Ref)].(type) {
	case objects.Dict:
		return v
	case *objects.Stream:
		return v.Dict
	}
	s.t.Fatalf("no dictionary in %v", v)
	return nil
}

// the is the nth dictionary, from 0, whose key has a value.
func (s *spoilt) the(key, value objects.Name, nth ...int) objects.Dict {
	return s.at(s.ref(key, value, nth...))
}

func (s *spoilt) ref(key, value objects.Name, nth ...int) objects.Ref {
	n := append(nth, 0)[0]
	for _, r := range slices.SortedFunc(maps.Keys(s.all), func(a, b objects.Ref) int { return a.Number - b.Number }) {
		d, _ := s.all[r].(objects.Dict)
		if st, is := s.all[r].(*objects.Stream); is {
			d = st.Dict
		}
		if d[key] == value {
			if n--; n < 0 {
				return r
			}
		}
	}
	s.t.Fatalf("no object has %s %s", key, value)
	return objects.Ref{}
}

func (s *spoilt) add(v objects.Value) objects.Ref {
	r := objects.Ref{Number: len(s.all) + 1000}
	s.all[r] = v
	return r
}

// unpack replaces a stream by what f makes of its content.
func (s *spoilt) unpack(v objects.Value, f func([]byte) []byte) {
	st := s.all[v.(objects.Ref)].(*objects.Stream)
	data, err := s.Data(st, 1<<24)
	if err != nil {
		s.t.Fatal(err)
	}
	d := maps.Clone(st.Dict)
	delete(d, "Filter")
	delete(d, "Length")
	s.all[v.(objects.Ref)] = &objects.Stream{Dict: d, Raw: f(slices.Clone(data))}
}

// draw adds operators to the first page.
func (s *spoilt) draw(operators string) {
	s.unpack(s.the("Type", "Page")["Contents"], func(b []byte) []byte { return append(b, "\n"+operators...) })
}

// resources are those that the first page has or inherits.
func (s *spoilt) resources() objects.Dict {
	for _, v := range []objects.Value{s.the("Type", "Page")["Resources"], s.the("Type", "Pages")["Resources"]} {
		if r, is := v.(objects.Ref); is {
			return s.at(r)
		} else if d, is := v.(objects.Dict); is {
			return d
		}
	}
	s.t.Fatal("the page has no resources")
	return nil
}

// says replaces words of the metadata.
func (s *spoilt) says(old, new string) {
	s.unpack(s.catalog["Metadata"], func(b []byte) []byte {
		if !bytes.Contains(b, []byte(old)) {
			s.t.Fatalf("the metadata does not say %s", old)
		}
		return bytes.Replace(b, []byte(old), []byte(new), 1)
	})
}

// attached is the specification of the first attached file, and its stream.
func (s *spoilt) attached() (spec, stream objects.Dict) {
	spec = s.at(s.catalog["AF"].(objects.Array)[0])
	return spec, s.at(spec["EF"].(objects.Dict)["F"])
}

// A spoiling changes a good file so that it breaks a rule.
type spoiling struct {
	rule, how string
	do        func(*spoilt)
}

// raw are spoilings of the bytes.
var raw = []struct {
	rule, how string
	do        func([]byte) []byte
}{
	{"readable", "cut short", func(b []byte) []byte { return b[:len(b)-100] }},
	{"readable", "bytes behind the end", func(b []byte) []byte { return append(b, "more"...) }},
	{"readable", "another length of a stream", func(b []byte) []byte { return bytes.Replace(b, []byte("/Length 3"), []byte("/Length 2"), 1) }},
	{"header", "another version", func(b []byte) []byte { return bytes.Replace(b, []byte("%PDF-1.7"), []byte("%PDF-2.0"), 1) }},
	{"header", "no comment of bytes", func(b []byte) []byte {
		return bytes.Replace(b, []byte("%\xe2\xe3\xcf\xd3"), []byte("%abcd"), 1)
	}},
	{"end", "empty lines behind the end", func(b []byte) []byte { return append(b, "\n\n\n"...) }},
}

func TestJudge(t *testing.T) {
	m := meta
	m.Files = attachedFiles()
	good := writePrint(t, everything(t), m).raw
	for name, data := range map[string][]byte{"as written": good, "taken apart": takeApart(t, good).bytes()} {
		if bs := judge.File(data, judge.Accessible); len(bs) > 0 {
			t.Fatalf("the good file %s:\n%s", name, judge.Report(bs))
		}
	}
	broken := map[string]int{}
	check := func(rule, how string, data []byte) {
		broken[rule]++
		bs := judge.File(data, judge.Accessible)
		if !slices.ContainsFunc(bs, func(b judge.Breach) bool { return b.Name == rule }) {
			t.Errorf("%s: %s is not seen; what is seen:\n%s", rule, how, judge.Report(bs))
		}
	}
	for _, it := range raw {
		check(it.rule, it.how, it.do(slices.Clone(good)))
	}
	for _, it := range slices.Concat(fileSpoilings, graphicsSpoilings, fontSpoilings, annotationSpoilings, wordSpoilings, structureSpoilings) {
		s := takeApart(t, good)
		it.do(s)
		check(it.rule, it.how, s.bytes())
	}
	for _, r := range judge.Rules(judge.Accessible) {
		if broken[r.Name] == 0 {
			t.Errorf("no file breaks the rule %s", r)
		}
		delete(broken, r.Name)
		if !strings.HasPrefix(r.Clause, "ISO ") || !strings.HasSuffix(r.Says, ".") {
			t.Errorf("%s: clause %q, says %q", r.Name, r.Clause, r.Says)
		}
	}
	for name := range broken {
		t.Errorf("there is no rule %s", name)
	}
}
