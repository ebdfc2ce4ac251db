package check_test

import (
	"fmt"
	"math"
	"slices"
)

// A hand is one inspector with a meter, a bottle and so many sets of patch
// and syringe.
type hand struct {
	*honestDay
	index       int
	name, meter string
	free        []int // when each set is ready again
	rings       []string
	uses        []int
	lastStart   int
	lastRead    int
	bottle      string
	bottles     int
	base        int64 // what the water of the bottle has
	blank       int64
	blankAt     int
	median      float64 // of the densities, as a share of the limit
	spread      float64 // of their logarithms
	failed      []*honestTest
}

func newHand(d *honestDay, index, sets int) *hand {
	h := &hand{
		honestDay: d, index: index, name: []string{"Ilse Korvan", "Tomas Rell"}[index], meter: []string{"K-0417", "K-0418"}[index],
		free: make([]int, sets), lastStart: morning + 2, lastRead: morning,
		median: 0.12 + 0.3*d.Float64(), spread: 0.3 + 0.25*d.Float64(),
	}
	for k := range sets {
		h.rings, h.uses = append(h.rings, fmt.Sprintf("R-%d%d", index+1, k+1)), append(h.uses, d.upTo(0, 180))
	}
	if d.medians[1] > 0 {
		h.median, h.spread = d.medians[0]+(d.medians[1]-d.medians[0])*d.Float64(), 0.15+0.2*d.Float64()
	}
	h.base = d.tenths(9, 22)
	h.readBlank(morning + 3 + index)
	return h
}

// readBlank reads the water, of a new bottle or of the one in use. An open
// bottle takes up carbon dioxide in the course of the day.
func (h *hand) readBlank(at int) {
	if h.bottles == 0 || h.newBottles {
		h.bottles++
		h.bottle = fmt.Sprintf("W-%d%d", h.index+1, h.bottles)
	}
	h.blank = h.base + h.tenths(-1, 1)
	if h.newBottles {
		if h.blank += h.tenths(-2, 2); h.unlike {
			h.blank = h.tenths(8, 30)
		}
	} else {
		h.blank += int64((at - morning) / 120)
	}
	h.blank = h.shown(min(max(h.blank, 8), 30))
	h.blankAt = at
	h.water = append(h.water, []string{h.bottle, "ISO 3696 grade 3", "2026-05-04", "2026-09-30", h.on(0), clock(at), h.reading(h.blank), "water"})
}

// shown is a conductivity as far as the meter shows it.
func (h *hand) shown(tenths int64) int64 {
	if h.coarse {
		return (tenths + 5) / 10 * 10
	}
	return tenths
}

// next takes the set that is ready first and finds the times of the next
// test: the sets are handled for 2 to 5 min between two tests, the water
// stays for 10 min or a little longer, two extracts are not read within a
// minute, and nobody works over lunch. The blank is never older than an hour.
func (h *hand) next(earliest int) *honestTest {
	set := 0
	for k, at := range h.free {
		if at < h.free[set] {
			set = k
		}
	}
	start := max(earliest, h.free[set], h.lastStart+h.upTo(2, 5))
	read := func() int { return max(start+h.upTo(10, 13), h.lastRead+h.upTo(2, 3)) }
	end := read()
	if start < afterLunch && end+5 >= lunch {
		start = afterLunch + h.upTo(3, 9)
		end = read()
	}
	if start-h.blankAt >= 55 {
		h.readBlank(start + 1)
		start, end = start+3, end+4
	}
	h.free[set], h.lastStart, h.lastRead = end+h.upTo(2, 5), start, end
	t := &honestTest{
		hand: h, start: start, read: end, set: set, water: h.bottle, blank: h.blank,
		temperature: h.upTo(-15, 15), cycles: h.upTo(4, 6), remark: pick(h.honestDay, h.remarks),
	}
	h.tests = append(h.tests, t)
	return t
}

// onGlass draws the procedural blank of the morning.
func (h *hand) onGlass() *honestTest {
	t := h.next(h.blankAt + 4)
	h.tests = h.tests[:len(h.tests)-1]
	allowed, _ := h.factor().Float64() // a tenth of the limit may come from syringe and patch
	most := int64(float64(h.limit) / allowed)
	t.area, t.kind, t.location, t.remark = h.areas[0], "procedural blank", "glass plate", ""
	t.extract = h.shown(t.blank + h.tenths(0, min(5, most)))
	if t.extract-t.blank > most {
		t.extract = t.blank
	}
	return t
}

// test makes test n of an area. An extraction that loses its water is void
// and repeated beside it.
func (h *hand) test(a *honestArea, n int) {
	t := h.next(0)
	panel := fmt.Sprintf(h.panel, n+1)
	t.area, t.location, t.spot = a, fmt.Sprintf("%s, %s", panel, pick(h.honestDay, h.plates)), "plate"
	switch n % 5 {
	case 0:
		t.location, t.spot, t.remark = fmt.Sprintf("%s, %s %d", panel, pick(h.honestDay, h.uneven), n+1), "weld", pick(h.honestDay, h.sealed)
	case 1:
		t.location, t.spot = fmt.Sprintf("%s, %s", panel, h.underside), "underside"
	}
	h.extracts(t, h.median)
	if h.oneIn(60) {
		t.void, t.remark, t.extract = true, h.void, 0
		again := h.next(0)
		again.area, again.kind, again.of = a, "repeat", t
		again.location, again.spot, again.remark = t.location+", +100 mm", t.spot, pick(h.honestDay, h.sealed)
		h.extracts(again, h.median)
		t = again
	}
	if h.fails(h.density(t)) {
		if t.kind == "" {
			t.remark = h.fail
			if t.spot == "weld" {
				t.remark += ", " + h.sealed[0]
			}
		}
		h.failed = append(h.failed, t)
	}
}

// extracts lets a test find a density: skewed to the right, and now and then
// as near to the limit as the meter can show.
func (h *hand) extracts(t *honestTest, median float64) {
	factor, _ := h.factor().Float64()
	at := float64(h.limit) * median * math.Exp(h.spread*h.NormFloat64())
	if median == h.median && h.oneIn(40) {
		at = float64(h.limit) + factor*float64(h.tenths(-6, 6))/10
	}
	read := t.blank + int64(math.Round(10*at/factor))
	t.extract = h.shown(read)
	h.holdOn(t, read-t.blank+h.tenths(-4, 4))
}

// treatFails has the spots that failed washed, and tests each again beside
// its footprint and at two places next to it.
func (h *hand) treatFails() {
	for _, fail := range slices.Clone(h.failed) {
		from := fail.read + h.upTo(20, 60)
		if from > lastWash {
			continue
		}
		w := &honestWash{name: fmt.Sprintf("T%d", len(h.washes)+1), of: fail, from: from, to: from + h.upTo(15, 45), conductive: h.tenths(1500, 3500)}
		h.washes = append(h.washes, w)
		ready := w.to + h.upTo(25, 60)
		for k, kind := range []string{"retest", "adjacent", "adjacent"} {
			t := h.next(ready)
			t.area, t.kind, t.of, t.wash, t.spot = fail.area, kind, fail, w, fail.spot
			t.location = fail.location + []string{", +80 mm", ", +0.5 m", ", -0.5 m"}[k]
			t.remark = pick(h.honestDay, h.sealed)
			if k == 0 {
				t.remark = h.beside + ", " + t.remark
			}
			for h.extracts(t, 0.1); h.fails(h.density(t)); h.extracts(t, 0.1) {
			}
		}
	}
}

// check holds the meter against its solution.
func (h *hand) check(at int) {
	off := 10 * float64(h.fineCheck) * (1 + 0.008*max(-3, min(3, h.NormFloat64())))
	h.checks = append(h.checks, []string{
		h.on(0), clock(at), h.meter, "potassium chloride", fmt.Sprint(h.fineCheck), "S-1142", "2026-11-30",
		h.tenth(h.tenths(120, 260)), h.reading(h.shown(int64(math.Round(off)))), "5", "as found", h.name,
	})
}
