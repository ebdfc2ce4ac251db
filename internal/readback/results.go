package readback

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
)

// Results holds the results that a document carries against those computed
// anew. Where is the path of each value that differs, as in tests[12].density.
// A key that only one of them has is no difference of values: another version
// of the program may say more.
func Results(was, now []byte) ([]Difference, error) {
	a, err := decodedJSON(was)
	if err != nil {
		return nil, err
	}
	b, err := decodedJSON(now)
	if err != nil {
		return nil, err
	}
	ofOneDay(a, b)
	var all []Difference
	held("", a, b, &all)
	return all, nil
}

// ofOneDay leaves of results of a whole record what can be held against those of
// one day. Up to version 0.4.0 the results of a daily report were those of the
// whole record; what it says of areas and findings stands on its pages.
func ofOneDay(was, now any) {
	w, _ := was.(map[string]any)
	n, _ := now.(map[string]any)
	day, of := n["day"].(string)
	if _, has := w["day"]; has || !of || w == nil {
		return
	}
	for _, list := range []string{"tests", "ambient"} {
		all, _ := w[list].([]any)
		w[list] = slices.DeleteFunc(slices.Clone(all), func(v any) bool {
			it, _ := v.(map[string]any)
			date, dated := it["date"].(string)
			return date != day && (dated || day != "undated")
		})
	}
	for _, of := range []string{"areas", "findings", "changes"} {
		delete(w, of)
		delete(n, of)
	}
}

func decodedJSON(data []byte) (v any, err error) {
	in := json.NewDecoder(bytes.NewReader(data))
	in.UseNumber() // a digit more is a difference, too
	if err := in.Decode(&v); err != nil {
		return nil, err
	}
	if in.More() {
		return nil, fmt.Errorf("more than one value")
	}
	return v, nil
}

func held(path string, was, now any, all *[]Difference) {
	switch w := was.(type) {
	case map[string]any:
		n, is := now.(map[string]any)
		if !is {
			break
		}
		keys := maps.Clone(w)
		maps.Copy(keys, n)
		for _, k := range slices.Sorted(maps.Keys(keys)) {
			inner := k
			if path != "" {
				inner = path + "." + k
			}
			before, had := w[k]
			after, has := n[k]
			switch {
			case had && has:
				held(inner, before, after, all)
			case had:
				*all = append(*all, Difference{Added, inner, short(before), ""})
			default:
				*all = append(*all, Difference{Lost, inner, "", short(after)})
			}
		}
		return
	case []any:
		n, is := now.([]any)
		if !is {
			break
		}
		if len(w) != len(n) {
			*all = append(*all, Difference{Value, path, strconv.Itoa(len(w)) + " of them", strconv.Itoa(len(n)) + " of them"})
		}
		for i := range min(len(w), len(n)) {
			held(path+"["+strconv.Itoa(i)+"]", w[i], n[i], all)
		}
		return
	}
	if short(was) != short(now) || kindOf(was) != kindOf(now) {
		k := Value
		if path == "tool" {
			return // each names itself
		}
		if prose[lastKey(path)] && slices.Equal(numbers(short(was)), numbers(short(now))) {
			k = Wording
		}
		*all = append(*all, Difference{k, path, short(was), short(now)})
	}
}

// prose are the keys of what is said in sentences, which each version may word
// in its own way.
var prose = map[string]bool{"message": true, "next": true, "says": true, "reason": true, "questions": true}

// lastKey is the last key of a path, without the places in lists behind it.
func lastKey(path string) string {
	key, _, _ := strings.Cut(path[strings.LastIndexByte(path, '.')+1:], "[")
	return key
}

func kindOf(v any) string { return fmt.Sprintf("%T", v) }

// short is a value as one line.
func short(v any) string {
	if s, is := v.(string); is {
		return s
	}
	b, err := json.Marshal(v)
	if err != nil {
		return fmt.Sprint(v)
	}
	const most = 200
	if len(b) > most {
		return string(b[:most]) + "…"
	}
	return string(b)
}
