package wording

import (
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"saltline/templates"
)

// TestEveryTextIsReady reads and parses what a run reads and parses only when
// it is said, from several places at once as composers do.
func TestEveryTextIsReady(t *testing.T) {
	for _, lang := range languages(t) {
		w, err := Load(templates.Files, nil, lang)
		if err != nil {
			t.Fatal(err)
		}
		var all sync.WaitGroup
		for range 3 {
			all.Go(func() {
				for name, file := range w.texts.files {
					found, err := file()
					if err != nil {
						t.Error(err)
					}
					for key, p := range found {
						if found, err := w.texts.find(name + "/" + key); found != p || err != nil {
							t.Errorf("%s: %q is not found, %v", p.place, key, err)
						}
						if _, err := w.texts.ready(p, key); err != nil {
							t.Error(err)
						}
					}
				}
			})
		}
		all.Wait()
		if n := len(w.Keys("")); n < 1000 {
			t.Errorf("%s: %d texts", lang, n)
		}
	}
}

// A file that cannot be read is an error of whoever says one of its texts, and
// of no other.
func TestFaultsOfFiles(t *testing.T) {
	format, err := templates.Files.ReadFile("en/format.txt")
	if err != nil {
		t.Fatal(err)
	}
	w, err := Load(fstest.MapFS{
		"en/format.txt":  {Data: format},
		"en/stray.txt":   {Data: []byte("no key yet\n= one\nx\n")},
		"en/twice.txt":   {Data: []byte("= one\nx\n\n= one\ny\n")},
		"en/a.txt":       {Data: []byte("= b/c\nof the file a\n= b/d\n{{.x\n")},
		"en/a/b.txt":     {Data: []byte("= e\nof the file b\n")},
		"en/a/notes.txt": {Data: []byte("# nothing\n")},
	}, nil, "en")
	if err != nil {
		t.Fatal(err)
	}
	for key, want := range map[string]string{"a/b/c": "of the file a", "a/b/e": "of the file b", "format/yes": "yes"} {
		if got, err := w.Say(key, nil); got != want || err != nil {
			t.Errorf("%s: got %q, %v", key, got, err)
		}
	}
	for key, want := range map[string]string{
		"stray/one": `en/stray.txt: found "no key yet" before the first key`, "twice/one": `en/twice.txt:4: the key "twice/one" stands twice`,
		"a/b/d": "en/a.txt:3: ", "a/b/f": `no text is called "a/b/f"`, "one": `no text is called "one"`, "b/c": `no text is called "b/c"`,
	} {
		for range 2 { // and again when it was said before
			if got, err := w.Say(key, nil); err == nil || !strings.Contains(err.Error(), want) {
				t.Errorf("%s: got %q, %v", key, got, err)
			}
		}
	}
	if got := strings.Join(w.Keys("a/"), " "); got != "a/b/c a/b/d a/b/e" {
		t.Errorf("keys of a: %q", got)
	}
	if w.Has("stray/one") || w.Has("a") || !w.Has("a/b/d") {
		t.Error("has what it has not, or has not what it has")
	}
}

// The words of a run: those that it says are read from the files.
func BenchmarkLoad(b *testing.B) {
	for b.Loop() {
		if _, err := Load(templates.Files, nil, "en"); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkLoadAll is what it took when every text was made ready.
func BenchmarkLoadAll(b *testing.B) {
	for b.Loop() {
		w, err := Load(templates.Files, nil, "en")
		if err != nil {
			b.Fatal(err)
		}
		for _, file := range w.texts.files {
			found, _ := file()
			for key, p := range found {
				w.texts.ready(p, key)
			}
		}
	}
}
