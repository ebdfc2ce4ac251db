package report_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"saltline/internal/assess"
	"saltline/internal/unit"
)

// A followed is a job of many days whose values go as they are told: without
// chance, so that what is to be seen of them is known beforehand.
type followed struct {
	days      int
	blank     func(day int) float64             // µS/cm
	check     func(n int) float64               // deviation of the n-th check, three a day, %
	density   func(area, inspector int) float64 // of the first tests, mg/m², before their scatter
	void      func(n, inspector int) bool       // whether the n-th test of an inspector is void
	afterWash func(day int) (float64, string)   // of the retests, mg/m², and the source of the water
	inspector func(day, n int) int              // who makes the n-th test of a day
}

// perDay is how many first tests a day has, and daysOfArea how many days an
// area takes.
const perDay, daysOfArea = 12, 2

// scatter is what is added to the n-th value so that no two are alike.
func scatter(n int) float64 { return float64(n*7%11) - 5 }

func (f followed) judge(t *testing.T) *assess.Result {
	t.Helper()
	dir := t.TempDir()
	files := map[string]*strings.Builder{}
	add := func(name, format string, args ...any) {
		if files[name] == nil {
			files[name] = new(strings.Builder)
		}
		fmt.Fprintf(files[name], format+"\n", args...)
	}
	add("job", "key,value\njob number,FJ-1\nlimit,50 mg/m2\nlimit basis,total salts\nlimit comparison,at most\nlimit rounding,unrounded\nprocedure,direct\n"+
		"volume,3 ml\npatch area,1250 mm2\nconstant,5\nsampling rule,3\ndate order,ymd")
	add("areas", "area,size (m²),abrasive batch")
	areas := (f.days + daysOfArea - 1) / daysOfArea
	for a := range areas {
		add("areas", "B%d,300,G-%d", a+1, 1+2*a/areas)
	}
	add("days", "date,weather,report number")
	add("checks", "date,time,meter,nominal (µS/cm),reading (µS/cm),tolerance (%%),as found / as left")
	add("treatments", "treatment,of tests,what,date,started,ended,water source")
	add("readings", "test,area,location,date,start,read,blank (µS/cm),extract (µS/cm),volume (ml),patch area (mm²),meter,recorded verdict,inspector,kind,of test,treatment")
	date := unit.Date{Year: 2026, Month: 3, Day: 2}
	n, tried := 0, [2]int{}
	test := func(area int, at int, blank, density float64, verdict string, who int, kind, of, treatment string) {
		n++
		add("readings", "%d,B%d,\"bay %d, %d\",%s,%02d:%02d,%02d:%02d,%.2f,%.2f,3.0,1250,K-1,%s,%s,%s,%s,%s", n, area+1, area+1, n, date.ISO(),
			at/60, at%60, (at+11)/60, (at+11)%60, blank, blank+density/1.2, verdict, []string{"Ilse Korvan", "Bo Tamm"}[who], kind, of, treatment)
	}
	for day := range f.days {
		if date.Weekday() == time.Sunday {
			date = date.Add(1)
		}
		add("days", "%s,dry,FJ-DR-%02d", date.ISO(), day+1)
		for k, hour := range []int{6, 12, 17} {
			add("checks", "%s,%02d:30,K-1,84,%.2f,5,as found", date.ISO(), hour, 84*(1+f.check(3*day+k)/100))
		}
		area := day / daysOfArea
		for k := range perDay {
			who := f.inspector(day, k)
			density := math.Max(1, f.density(area, who)*(1+scatter(n)/20))
			verdict := "pass"
			if density > 50 {
				verdict = "fail"
			}
			if f.void(tried[who], who) {
				verdict = "void"
			}
			tried[who]++
			test(area, 7*60+40*k, f.blank(day), density, verdict, who, "", "", "")
			if k == perDay-1 { // one more is a fail, washed and tested again
				test(area, 15*60, f.blank(day), 60, "fail", who, "", "", "")
				after, source := f.afterWash(day)
				add("treatments", "T%d,%d,fresh-water wash,%s,15:20,15:50,%s", n, n, date.ISO(), source)
				test(area, 16*60+30, f.blank(day), after+scatter(n)/4, "pass", who, "retest", fmt.Sprint(n), fmt.Sprintf("T%d", n))
			}
		}
		date = date.Add(1)
	}
	for name, b := range files {
		if err := os.WriteFile(filepath.Join(dir, name+".csv"), []byte(b.String()), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return judge(t, dir)
}

// even is a job of which nothing is worth a look.
func even(days int) followed {
	return followed{
		days:      days,
		blank:     func(day int) float64 { return 1.2 + scatter(day)/50 },
		check:     func(n int) float64 { return scatter(n) / 10 },
		density:   func(int, int) float64 { return 20 },
		void:      func(n, _ int) bool { return n%25 == 24 },
		afterWash: func(int) (float64, string) { return 15, "hydrant 1" },
		inspector: func(day, n int) int { return (day + n) % 2 },
	}
}

// followedJobs are one in which nothing is to be seen, and others in which every
// pattern is.
var followedJobs = func() []followed {
	rising := even(24)
	rising.blank = func(day int) float64 { return 1.2 + 0.12*float64(day) }
	rising.check = func(n int) float64 { // slowly down, then eight in a row up, and one far outside
		switch {
		case n == 70:
			return -9
		case n >= 40 && n < 49:
			return -2 + 0.5*float64(n-40)
		}
		return scatter(n)/20 - 0.04*float64(n)
	}
	rising.density = func(area, who int) float64 { return 12 + 10*float64(area/6) + 8*float64(who) }
	rising.void = func(n, who int) bool { return who == 1 && n%3 == 2 }
	rising.afterWash = func(day int) (float64, string) {
		if day < 12 {
			return 10, "hydrant 1"
		}
		return 25, "hydrant 2"
	}
	outside := even(24)
	outside.check = func(n int) float64 {
		if n == 41 {
			return -6
		}
		return scatter(n) / 10
	}
	return []followed{even(24), rising, outside}
}()
