package check

import (
	"math"
	"slices"

	"saltline/internal/assess"
	"saltline/internal/record"
	"saltline/internal/stat"
	"saltline/internal/unit"
)

// Extracts are those of all tests, those on glass too, each by its place among
// the readings that occur.
type extracts struct {
	values []float64 // ascending, µS/cm
	token  []int32   // by the number of a reading, its place
	of     *record.Answers[int32]
}

// extractsRead finds them.
var extractsRead = assess.Shared(func(v *assess.Review) *extracts {
	const none = -1
	var number readings // as they appear
	e := &extracts{of: ask(v, record.Columns.Extract, func(g record.Given[unit.Conductivity]) int32 {
		if !g.Known() {
			return none
		}
		return number.of(float64(g.Val))
	})}
	e.values = slices.Sorted(slices.Values(number.values))
	e.token = make([]int32, len(e.values))
	for n, x := range number.values {
		k, _ := slices.BinarySearch(e.values, x)
		e.token[n] = int32(k)
	}
	return e
})

// at is the place of the extract of a test; −1 where that is not known.
func (e *extracts) at(test int) int32 {
	if n := e.of.At(test); n >= 0 {
		return e.token[n]
	}
	return -1
}

// median is the median of the extracts of tests, of which all are known. Where
// these are more than the readings that there are, they are counted.
func (e *extracts) median(tests []int) float64 {
	if len(tests) < len(e.values) {
		read := make([]float64, len(tests))
		for k, i := range tests {
			read[k] = e.values[e.at(i)]
		}
		return stat.Median(read)
	}
	times := make([]int, len(e.values))
	for _, i := range tests {
		times[e.at(i)]++
	}
	nth := func(n int) float64 {
		k := 0
		for ; n >= times[k]; k++ {
			n -= times[k]
		}
		return e.values[k]
	}
	n := len(tests)
	middle := nth(n / 2)
	if n%2 == 1 {
		return middle
	}
	below := nth(n/2 - 1)
	return below + (middle-below)/2
}

// Readings numbers readings from 0 as they appear. A meter shows whole steps,
// so most are thousandths, and have a place in a list.
type readings struct {
	values     []float64 // by number
	thousandth []int32   // one more than the number of the reading that is so many of them; 0 for none
	others     map[float64]int32
}

// mostThousandths bounds the list: up to 262 µS/cm.
const mostThousandths = 1 << 18

func (r *readings) of(x float64) int32 {
	k := int(math.Round(1000 * x))
	if k < 0 || k >= mostThousandths || float64(k)/1000 != x {
		n, seen := r.others[x]
		if !seen {
			if r.others == nil {
				r.others = map[float64]int32{}
			}
			n = r.add(x)
			r.others[x] = n
		}
		return n
	}
	if k >= len(r.thousandth) {
		r.thousandth = append(r.thousandth, make([]int32, k+1-len(r.thousandth))...)
	}
	if r.thousandth[k] == 0 {
		r.thousandth[k] = r.add(x) + 1
	}
	return r.thousandth[k] - 1
}

func (r *readings) add(x float64) int32 {
	r.values = append(r.values, x)
	return int32(len(r.values) - 1)
}
