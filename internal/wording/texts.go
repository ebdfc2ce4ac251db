package wording

import (
	"fmt"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"
	"sync"
	"text/template"
)

// texts are the files of one language. A file is read when one of its texts is
// first asked for.
type texts struct {
	files  map[string]func() (map[string]*phrase, error) // by what their keys begin with
	over   map[string]*phrase                            // in place of those of the files
	parsed *template.Template                            // what the texts are parsed beside
}

// A phrase is a text with what it becomes when it is first said. Most are
// filled with nothing and need no template.
type phrase struct {
	text
	once   sync.Once
	filled *template.Template // nil for a plain text
	err    error
}

// A text is one text as read.
type text struct {
	body  string
	place place
}

// A place is where a text stands.
type place struct {
	file string
	line int // from 1
}

func (p place) String() string { return fmt.Sprintf("%s:%d", p.file, p.line) }

// open lists the files below lang.
func open(files fs.FS, lang string) (*texts, error) {
	t := &texts{files: map[string]func() (map[string]*phrase, error){}}
	err := eachFile(files, lang, func(name, prefix string) error {
		t.files[prefix] = sync.OnceValues(func() (map[string]*phrase, error) { return read(files, name, prefix) })
		return nil
	})
	if err == nil && len(t.files) == 0 {
		err = fmt.Errorf("no texts for language %q", lang)
	}
	return t, err
}

// eachFile calls do with every file of texts below lang and with what its keys
// begin with.
func eachFile(files fs.FS, lang string, do func(name, prefix string) error) error {
	return fs.WalkDir(files, lang, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || path.Ext(name) != ".txt" {
			return err
		}
		return do(name, strings.TrimSuffix(strings.TrimPrefix(name, lang+"/"), ".txt"))
	})
}

// read reads the texts of one file, by their keys in it; all of them begin with
// prefix elsewhere.
func read(files fs.FS, name, prefix string) (map[string]*phrase, error) {
	data, err := fs.ReadFile(files, name)
	if err != nil {
		return nil, err
	}
	lines := string(data)
	if stray := beforeKeys(lines); stray != "" {
		return nil, fmt.Errorf("%s: found %q before the first key, but wanted a line \"= key\"", name, stray)
	}
	found := map[string]*phrase{}
	for key, text := range split(lines, name) {
		if found[key] != nil {
			return nil, fmt.Errorf("%s: the key %q stands twice", text.place, prefix+"/"+key)
		}
		found[key] = &phrase{text: text}
	}
	return found, nil
}

// ready returns the template of p, and nil for a plain text.
func (t *texts) ready(p *phrase, key string) (*template.Template, error) {
	p.once.Do(func() {
		if !strings.Contains(p.body, "{{") {
			return
		}
		if p.filled, p.err = t.parsed.New(key).Parse(p.body); p.err != nil {
			p.err = fmt.Errorf("%s: %w", p.place, p.err)
		}
	})
	return p.filled, p.err
}

// override puts the texts of files in place of those of the same key.
func (t *texts) override(files fs.FS, lang string) error {
	if _, err := fs.Stat(files, lang); err != nil {
		return nil // nothing is overridden in this language
	}
	t.over = map[string]*phrase{}
	return eachFile(files, lang, func(name, prefix string) error {
		found, err := read(files, name, prefix)
		if err != nil {
			return err
		}
		for _, in := range slices.Sorted(maps.Keys(found)) {
			p, key := found[in], prefix+"/"+in
			switch ours, err := t.find(key); {
			case err != nil:
				return err
			case ours == nil:
				return fmt.Errorf("%s: no text is called %q", p.place, key)
			}
			if _, err := t.ready(p, key); err != nil {
				return err
			}
			t.over[key] = p
		}
		return nil
	})
}

// find returns the text of that key, and nil if there is none. A key is the
// name of a file, which may stand in a folder, and a key in it, and each may
// have more than one part.
func (t *texts) find(key string) (*phrase, error) {
	if p := t.over[key]; p != nil {
		return p, nil
	}
	for i := range len(key) {
		if key[i] != '/' {
			continue
		}
		if file := t.files[key[:i]]; file != nil {
			found, err := file()
			if p := found[key[i+1:]]; p != nil || err != nil {
				return p, err
			}
		}
	}
	return nil, nil
}

// keys lists the keys that begin with prefix, in order. Those of a file that
// cannot be read are none.
func (t *texts) keys(prefix string) []string {
	var keys []string
	for name, file := range t.files {
		if name += "/"; !strings.HasPrefix(name, prefix) && !strings.HasPrefix(prefix, name) {
			continue
		}
		found, _ := file()
		for key := range found {
			if key = name + key; strings.HasPrefix(key, prefix) {
				keys = append(keys, key)
			}
		}
	}
	slices.Sort(keys)
	return keys
}

// beforeKeys is a line of text that stands before the first key, where
// nothing would ever print it.
func beforeKeys(data string) string {
	for line := range strings.Lines(data) {
		line = strings.TrimSpace(line)
		switch {
		case strings.HasPrefix(line, "= "):
			return ""
		case line != "" && !strings.HasPrefix(line, "#"):
			return line
		}
	}
	return ""
}

// split yields the texts of one file in their order.
func split(data, name string) func(yield func(string, text) bool) {
	return func(yield func(string, text) bool) {
		var bodies strings.Builder
		bodies.Grow(len(data)) // no text is longer than its lines: one memory for all of them
		var key string
		from, line, gap := 0, 0, false
		at := place{file: name}
		done := func() bool { return key == "" || yield(key, text{bodies.String()[from:], at}) }
		for s := range strings.Lines(data) {
			line++
			s = strings.TrimSpace(s)
			if k, ok := strings.CutPrefix(s, "= "); ok {
				if !done() {
					return
				}
				key, at.line, from, gap = strings.TrimSpace(k), line, bodies.Len(), false
				continue
			}
			written := bodies.Len() > from
			switch {
			case strings.HasPrefix(s, "#"):
				continue
			case s == "":
				gap = written
				continue
			case written && gap:
				bodies.WriteString("\n\n")
			case written:
				bodies.WriteByte(' ')
			}
			bodies.WriteString(s)
			gap = false
		}
		done()
	}
}
