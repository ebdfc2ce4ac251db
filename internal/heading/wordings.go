package heading

import (
	"cmp"
	"slices"
)

// A Wording is one wording, in any of the five languages, by which Key knows a
// key: lower case, accents and punctuation off.
type Wording struct{ Text, Key string }

// Wordings are all by which Key knows a key without a doubt, in the order of
// their texts.
func Wordings() []Wording {
	var all []Wording
	for _, v := range []*vocabulary{words().tables["title"], words().tables["readings"], words().terms} {
		for text := range v.exact {
			if key, _ := Key(text); key != "" {
				all = append(all, Wording{text, key})
			}
		}
	}
	slices.SortFunc(all, func(a, b Wording) int { return cmp.Or(cmp.Compare(a.Text, b.Text), cmp.Compare(a.Key, b.Key)) })
	return slices.Compact(all)
}
