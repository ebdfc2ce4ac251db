package check_test

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"fmt"
	"math/big"
	"math/rand/v2"
	"slices"
	"strings"
	"time"

	"saltline/internal/assess"
)

// An honestDay is the record of one day as a careful inspector keeps it:
// everything that is asked for was done and written down. Quantities are
// whole numbers of the last digit that was read: conductivities in tenths of
// 1 µS/cm, volumes in tenths of 1 ml, times in minutes.
type honestDay struct {
	*rand.Rand
	tongue
	agreed
	hands   []*hand
	areas   []*honestArea
	tests   []*honestTest
	glass   *honestTest
	washes  []*honestWash
	water   [][]string
	checks  [][]string
	end     int
	coldest float64 // air, °C
	ordinal int     // of the day in its record, from 0
	tested  int     // the number of the last test of the days before
}

// agreed is what the contract and the equipment settle.
type agreed struct {
	limit              int64 // mg/m²
	lessThan           bool
	direct             bool
	volume, injected   int64
	patchArea          int64 // mm²
	rings              bool
	coarse             bool // the meter shows whole µS/cm
	unseen             bool // and it is worked out from the tenths that it holds
	newBottles         bool // a bottle an hour, instead of a blank an hour of one bottle
	unlike             bool // and they come from many batches
	fineCheck          int  // nominal of the check solution, µS/cm
	onlyRead, onlyBath bool // no time of start; nothing said of what was injected
	decimals           int  // of the written density
	halfEven           bool
	micrograms         bool // written in µg/cm²
	wholeDew, wholeAir bool // dew point and air written to 1 °C
	numbering          int
	patchNames         int
	capitals           bool
	medians            [2]float64 // of the densities, from and to, as a share of the limit; as usual where zero
}

type honestArea struct {
	name, steel string
	made        int // tests so far, for numbers and panels
	left        int
}

type honestTest struct {
	hand                *hand
	area                *honestArea
	number              string
	kind                string
	of                  *honestTest
	wash                *honestWash
	location, spot      string
	start, read         int
	water               string
	blank, extract      int64    // as shown
	held                *big.Rat // the density by what the meter holds, where that is used
	patch               string
	use                 int
	set                 int
	remark              string
	void                bool
	temperature, cycles int
}

type honestWash struct {
	name       string
	of         *honestTest
	from, to   int
	conductive int64
}

const (
	morning    = 7*60 + 5
	lunch      = 12 * 60
	afterLunch = lunch + 40
	lastWash   = 16 * 60 // a fail found too late is treated on the next day
)

func (r *honestDay) upTo(low, high int) int       { return low + r.IntN(high-low+1) }
func (r *honestDay) tenths(low, high int64) int64 { return low + r.Int64N(high-low+1) }
func (r *honestDay) oneIn(n int) bool             { return r.IntN(n) == 0 }
func pick[T any](r *honestDay, of []T) T          { return of[r.IntN(len(of))] }

// newHonestDay makes the day of a seed.
func newHonestDay(seed, day uint64) *honestDay {
	d := &honestDay{Rand: rand.New(rand.NewPCG(seed, day))}
	d.settle()
	d.work()
	return d
}

// newHonestRecord makes the working days of one job, which share contract,
// equipment, language and areas. Numbers go on from day to day.
func newHonestRecord(seed, record uint64, days int) []*honestDay {
	first := newHonestDay(seed, record)
	all := []*honestDay{first}
	for len(all) < days {
		before := all[len(all)-1]
		d := &honestDay{Rand: first.Rand, tongue: first.tongue, agreed: first.agreed, areas: first.areas, ordinal: len(all), tested: before.tested + len(before.tests)}
		d.coldest = min(27, max(10, before.coldest+2*d.NormFloat64()))
		d.work()
		all = append(all, d)
	}
	return all
}

// settle settles what is there before the first test: contract, equipment,
// areas and weather.
func (d *honestDay) settle() {
	d.tongue = pick(d, tongues)
	d.agree()
	d.coldest = 9.5 + 17.9*d.Float64() // with the sun and the patch, 8 to 32 °C in the solution
	for k := range d.upTo(1, 4) {
		steel := pick(d, d.steels)
		if !d.rings && d.oneIn(5) {
			steel = d.stainless
		}
		d.areas = append(d.areas, &honestArea{name: []string{"UG", "LG", "CV", "FP"}[k], steel: steel})
	}
}

// work makes the tests of the day.
func (d *honestDay) work() {
	hands := 1
	if len(d.areas) > 1 && d.oneIn(5) {
		hands = 2
	}
	sets := d.upTo(1, 3)
	planned := min(d.upTo(8, 40), 22*sets*hands)
	for _, a := range d.areas {
		a.left = 0
	}
	for k := range planned {
		d.areas[k%len(d.areas)].left++
	}
	for k := range hands {
		d.hands = append(d.hands, newHand(d, k, sets))
	}
	d.glass = d.hands[0].onGlass()
	d.tests = append(d.tests, d.glass)
	for _, h := range d.hands {
		for k := h.index; k < len(d.areas); k += hands {
			for n := range d.areas[k].left {
				h.test(d.areas[k], n)
			}
		}
		h.treatFails()
		d.end = max(d.end, h.lastRead)
	}
	slices.SortStableFunc(d.tests, func(a, b *honestTest) int { return cmp.Compare(a.start, b.start) })
	d.number()
	for _, h := range d.hands {
		h.check(morning)
		h.check(lunch + d.upTo(1, 5))
		h.check(d.end + d.upTo(1, 9))
	}
}

// on is a day so many days from this one, as the record writes it. A week has
// six working days, and the first is a Monday.
func (d *honestDay) on(offset int) string {
	return time.Date(2026, 5, 11+d.ordinal+d.ordinal/6+offset, 0, 0, 0, 0, time.UTC).Format(time.DateOnly)
}

func (d *honestDay) agree() {
	d.limit = pick(d, []int64{20, 25, 30, 40, 50, 60, 75, 100})
	d.lessThan, d.direct, d.rings = d.oneIn(2), d.IntN(5) < 3, d.oneIn(3)
	d.patchArea, d.injected = 1250, pick(d, []int64{30, 30, 30, 25})
	if d.oneIn(4) {
		d.patchArea, d.injected = 625, 15
	}
	if d.volume = d.injected; !d.direct {
		d.volume = pick(d, []int64{100, 150})
	}
	whole := new(big.Rat).Mul(d.factor(), big.NewRat(10, 1))
	d.coarse = d.oneIn(4) && whole.Cmp(big.NewRat(d.limit, 1)) <= 0 // one step is a tenth of the limit, at the most
	d.unseen = d.coarse && d.oneIn(3)
	d.newBottles, d.unlike, d.fineCheck = d.oneIn(2), d.oneIn(3), pick(d, []int{84, 147})
	d.onlyRead, d.onlyBath = d.oneIn(8), !d.direct && d.oneIn(2)
	d.decimals, d.halfEven, d.micrograms = d.IntN(2), d.oneIn(2), d.oneIn(8)
	if d.micrograms {
		d.decimals++
	}
	d.wholeDew, d.wholeAir, d.capitals = d.oneIn(6), d.oneIn(12), d.oneIn(3)
	d.numbering, d.patchNames = d.IntN(3), d.IntN(3)
}

// factor is K in mg/m² per µS/cm, K = 100·c·V/A with c = 5 kg·m⁻²·S⁻¹
// (ISO 8502-9, from memory), V in ml and A in mm².
func (d *honestDay) factor() *big.Rat { return big.NewRat(500*d.volume, 10*d.patchArea) }

// density is that of a test, exactly, in mg/m².
func (d *honestDay) density(t *honestTest) *big.Rat {
	return new(big.Rat).Mul(d.factor(), big.NewRat(t.extract-t.blank, 10))
}

// holdOn works a test out from a difference that the meter holds and does not
// show, unless it is so near to the limit that it matters.
func (d *honestDay) holdOn(t *honestTest, difference int64) {
	within := new(big.Rat).Sub(d.density(t), big.NewRat(d.limit, 1))
	if d.unseen && within.Abs(within).Cmp(new(big.Rat).Mul(d.factor(), big.NewRat(2, 1))) > 0 {
		t.held = new(big.Rat).Mul(d.factor(), big.NewRat(max(0, difference), 10))
	}
}

// fails reports whether a density does not satisfy the limit.
func (d *honestDay) fails(density *big.Rat) bool {
	above := density.Cmp(big.NewRat(d.limit, 1))
	return above > 0 || above == 0 && d.lessThan
}

// verdict is what the numbers of a test are, by rationals alone.
func (d *honestDay) verdict(t *honestTest) assess.Verdict {
	switch {
	case t.kind == "procedural blank":
		return assess.NotEstablished
	case t.void:
		return assess.Void
	case d.fails(d.density(t)):
		return assess.Fail
	}
	return assess.Pass
}

// rounded writes a rational with so many decimals, a tie up or to the even
// digit.
func rounded(x *big.Rat, decimals int, halfEven bool) string {
	scaled := new(big.Rat).Set(x)
	for range decimals {
		scaled.Mul(scaled, big.NewRat(10, 1))
	}
	whole, left := new(big.Int), new(big.Int)
	whole.DivMod(scaled.Num(), scaled.Denom(), left)
	tie := new(big.Int).Mul(left, big.NewInt(2)).Cmp(scaled.Denom())
	if tie > 0 || tie == 0 && (!halfEven || whole.Bit(0) == 1) {
		whole.Add(whole, big.NewInt(1))
	}
	digits := whole.String()
	if decimals == 0 {
		return digits
	}
	digits = strings.Repeat("0", max(0, decimals+1-len(digits))) + digits
	return digits[:len(digits)-decimals] + "." + digits[len(digits)-decimals:]
}

// number numbers the tests in the order in which they were begun, and draws
// the patches from their box in that order.
func (d *honestDay) number() {
	n := d.upTo(0, 3) * 40
	if d.ordinal > 0 {
		n = d.tested
	} else {
		d.tested = n
	}
	for k, t := range d.tests {
		n++
		switch d.numbering {
		case 0:
			t.number = fmt.Sprint(n)
		case 1:
			t.number = fmt.Sprintf("S-%03d", n)
		default:
			t.area.made++
			t.number = fmt.Sprintf("%s-%02d", t.area.name, t.area.made)
		}
		switch {
		case d.rings:
			t.patch = t.hand.rings[t.set]
			t.hand.uses[t.set]++
			t.use = t.hand.uses[t.set]
		case d.patchNames == 0:
			t.patch, t.use = fmt.Sprintf("A31-%03d", k+1), 1
		case d.patchNames == 1:
			t.patch, t.use = "A31", 1
		default:
			t.patch, t.use = fmt.Sprintf("no. %d", k+1), 1
		}
	}
	for _, t := range d.tests { // the words that name another test
		if t.kind == "repeat" {
			t.remark = fmt.Sprintf(d.again, t.of.number) + ", " + t.remark
		}
	}
}

// csv is one table of the day.
func (d *honestDay) csv(rows [][]string) []byte {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	if d.comma {
		w.Comma = ';'
	}
	w.WriteAll(rows)
	return b.Bytes()
}

// decimal spells digits as the language of the day does.
func (d *honestDay) decimal(digits string) string {
	if d.comma {
		return strings.Replace(digits, ".", ",", 1)
	}
	return digits
}

// tenth spells a number of tenths.
func (d *honestDay) tenth(n int64) string {
	return d.decimal(rounded(big.NewRat(n, 10), 1, false))
}

// reading spells a conductivity as the meter shows it.
func (d *honestDay) reading(n int64) string {
	if d.coarse {
		return fmt.Sprint(n / 10)
	}
	return d.tenth(n)
}

func clock(minutes int) string { return fmt.Sprintf("%02d:%02d", minutes/60, minutes%60) }
