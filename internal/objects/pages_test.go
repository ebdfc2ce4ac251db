package objects

import (
	"fmt"
	"reflect"
	"strings"
	"testing"
)

// A tree with two levels; what is inherited is as 7.7.3.4 has it.
func TestPages(t *testing.T) {
	h := newHand().put(1, "<</Type/Catalog/Pages 2 0 R>>").
		put(2, "<</Type/Pages/Kids[3 0 R 4 0 R 5 0 R]/Count 4/MediaBox[0 0 1 1]/Rotate 90/Resources<<>>>>").
		put(3, "<</Type/Page/Parent 2 0 R/Rotate 0>>").
		put(4, "<</Type/Pages/Parent 2 0 R/Kids 6 0 R/Count 2/MediaBox[0 0 2 2]>>").
		put(5, "<</Type/Page/Parent 2 0 R>>").
		put(6, "[8 0 R 7 0 R]").
		put(7, "<</Type/Page/Parent 4 0 R>>").
		put(8, "<</Type/Page/Parent 4 0 R/MediaBox[0 0 3 3]>>").table("")
	f := read(t, []byte(h.String()))
	type page struct {
		number int
		side   int64
		rotate int64
	}
	var got []page
	err := f.EachPage(func(r Ref, d Dict) error {
		got = append(got, page{r.Number, d["MediaBox"].(Array)[2].(int64), d["Rotate"].(int64)})
		return nil
	})
	want := []page{{3, 1, 0}, {8, 3, 90}, {7, 2, 90}, {5, 1, 90}}
	if err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("the pages are %v, want %v (%v)", got, want, err)
	}
	if d := f.Dict(Ref{5, 0}); d["Rotate"] != nil {
		t.Errorf("the object itself became %v", d)
	}
}

func TestPagesRefuses(t *testing.T) {
	tree := func(objects ...string) *hand {
		h := newHand().put(1, "<</Type/Catalog/Pages 2 0 R>>")
		for i, o := range objects {
			h.put(2+i, o)
		}
		return h.table("")
	}
	const page = "<</Type/Page/Parent 2 0 R>>"
	for _, test := range []struct{ file, want, place string }{
		{tree("<</Type/Pages/Kids[3 0 R 3 0 R]/Count 2>>", page).String(), "object 3: the node of the tree of pages is there twice", "3 0 obj"},
		{tree("<</Type/Pages/Kids[2 0 R]/Count 1>>").String(), "object 2: the node of the tree of pages is there twice", "2 0 obj"},
		{tree("<</Type/Pages/Kids[3 0 R]/Count 2>>", page).String(), "object 2: the node counts 2 pages, and has 1", "2 0 obj"},
		{tree("<</Type/Pages/Kids[3 0 R]>>", page).String(), "object 2: the node counts 0 pages, and has 1", "2 0 obj"},
		{tree("<</Type/Pages/Kids[3 0 R]/Count 1>>", "<</Type/Page/Parent 1 0 R>>").String(), "object 3: the page hangs below object 2, and names another as its parent", "3 0 obj"},
		{tree("<</Type/Pages/Kids[3 0 R]/Count 1>>", "<</Type/Font/Parent 2 0 R>>").String(), "object 3: a node of the tree of pages is neither page nor pages", "3 0 obj"},
		{tree("<</Type/Pages/Kids[3 0 R]/Count 1>>", "7").String(), "object 3: a node of the tree of pages is no dictionary", "3 0 obj"},
		{tree("<</Type/Pages/Kids[<<>>]/Count 1>>").String(), "object 2: a kid in the tree of pages is no reference", "2 0 obj"},
		{tree("<</Type/Pages/Kids 9 0 R/Count 1>>").String(), "object 2: the node of the tree of pages has no list of kids", "2 0 obj"},
	} {
		_, err := read(t, []byte(test.file)).Pages()
		want := &Damage{At: strings.Index(test.file, test.place), What: test.want}
		if !reflect.DeepEqual(err, want) {
			t.Errorf("error %v, want %v", err, want)
		}
	}
	for _, file := range []string{newHand().put(1, "<<>>").table("").String(), newHand().put(1, "<</Pages<<>>>>").table("").String()} {
		if _, err := read(t, []byte(file)).Pages(); err == nil {
			t.Error("a catalog without pages has pages")
		}
	}
	// A tree whose nodes hang below each other, deeper than is looked at.
	deep := []string{}
	for i := range maxDepth + 2 {
		deep = append(deep, fmt.Sprintf("<</Type/Pages/Kids[%d 0 R]/Count 1/Parent %d 0 R>>", 3+i, 1+i))
	}
	file := tree(deep...).String()
	if _, err := read(t, []byte(file)).Pages(); err == nil || !strings.Contains(err.Error(), "too deep") {
		t.Errorf("error %v", err)
	}
}

// References that lead to each other lead nowhere.
func TestResolve(t *testing.T) {
	f := read(t, []byte(newHand().page().put(4, "5 0 R").put(5, "4 0 R").put(6, "7 0 R").put(7, "1.5").table("").String()))
	if v := f.Resolve(Ref{4, 0}); v != nil {
		t.Errorf("a circle leads to %v", v)
	}
	if v, ok := f.Number(Ref{6, 0}); v != 1.5 || !ok {
		t.Errorf("object 6 is %v", v)
	}
	if f.Dict(Ref{7, 0}) != nil || f.Array(nil) != nil || f.Stream(Ref{1, 0}) != nil || f.Name(int64(1)) != "" {
		t.Error("a value of another kind is given")
	}
	if _, ok := f.Int(Ref{7, 0}); ok {
		t.Error("a real is an integer")
	}
}
