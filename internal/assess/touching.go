package assess

// A touching tells which findings touch a test: those of test i stand from
// first[i] to first[i+1].
type touching struct {
	first    []int32 // nil where no test is touched
	findings []int32
}

// touched lists, by test, the findings that touch it, in their order.
func touched(findings []Finding, tests int) touching {
	n := 0
	for k := range findings {
		n += len(findings[k].Tests)
	}
	if n == 0 {
		return touching{}
	}
	t := touching{first: make([]int32, tests+1), findings: make([]int32, n)}
	for k := range findings {
		for _, i := range findings[k].Tests {
			t.first[i]++ // how many, and then where they end
		}
	}
	end := int32(0)
	for i := range t.first {
		end += t.first[i]
		t.first[i] = end
	}
	for k := len(findings) - 1; k >= 0; k-- {
		for m := len(findings[k].Tests) - 1; m >= 0; m-- {
			i := findings[k].Tests[m]
			t.first[i]--
			t.findings[t.first[i]] = int32(k)
		}
	}
	return t
}

// of lists the findings of a test; nil for none.
func (t *touching) of(test int) []int {
	if t.first == nil {
		return nil
	}
	var all []int
	for _, n := range t.findings[t.first[test]:t.first[test+1]] {
		all = append(all, int(n))
	}
	return all
}
