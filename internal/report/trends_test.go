package report

import (
	"bytes"
	"flag"
	"fmt"
	"io/fs"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"saltline/fonts"
	"saltline/internal/assess"
	"saltline/internal/check"
	"saltline/internal/doc"
	"saltline/internal/frame"
	"saltline/internal/layout"
	"saltline/internal/pdf"
	"saltline/internal/stock"
	"saltline/internal/trend"
	"saltline/internal/unit"
	"saltline/internal/wording"
	"saltline/templates"
	"saltline/testdata/jobs"
)

var (
	takeTrends = flag.Bool("take-trends", false, "write the golden files of trends and consumables anew")
	showTrends = flag.String("show-trends", "", "write trends and consumables to this folder as PDF, to be looked at")
)

// composing is a composer for sections that are of a whole record.
func composing(t testing.TB, r *assess.Result, over fs.FS) *composer {
	t.Helper()
	words, err := wording.Load(templates.Files, over, "en")
	if err != nil {
		t.Fatal(err)
	}
	faces, err := frame.LoadFonts(fonts.Files)
	if err != nil {
		t.Fatal(err)
	}
	return &composer{Record: Record{Result: r, Words: words, Fonts: faces, Width: layout.A4().TextWidth()}, job: r.Job}
}

// longJob writes a job of so many working days as CSV files: invented, from a
// seed, with water that goes bad, a batch of abrasive that is saltier, a meter
// that jumps twice, a pause of two weeks and two kinds of patches.
func longJob(t testing.TB, days, perDay int, seed uint64) string {
	t.Helper()
	rnd := rand.New(rand.NewPCG(seed, 0))
	dir := t.TempDir()
	files := map[string]*strings.Builder{}
	add := func(name, format string, args ...any) {
		if files[name] == nil {
			files[name] = new(strings.Builder)
		}
		fmt.Fprintf(files[name], format+"\n", args...)
	}
	add("job", "key,value\njob number,LJ-1\ncurrency,EUR\nlimit,50 mg/m2\nlimit basis,total salts\nlimit comparison,at most\nlimit rounding,unrounded\n"+
		"limit clause,4.2\nprocedure,direct\nvolume,3 ml\npatch area,1250 mm2\nconstant,5\nsampling rule,8\ndate order,ymd\nsets in use,4")
	add("areas", "area,size (m²),substrate,abrasive batch")
	for a := range 12 {
		add("areas", "S%d,400,carbon steel,G-%d", a+1, 31+a/6)
	}
	add("checks", "date,time,meter,nominal (µS/cm),reading (µS/cm),tolerance (%%),found or left")
	add("water", "water,date,time,conductivity (µS/cm),blank kind")
	add("extracts", "date,kind,batch,conductivity,limit")
	add("patches", "batch,kind,patch area (mm²),unit price,maximum uses,opening stock,closing stock,water cost,check solution cost,syringes cost")
	add("days", "date,weather,report number")
	add("readings", "test,area,location,date,start,read,blank (µS/cm),water,volume (ml),extract (µS/cm),solution temperature (°C),compensated,patch area (mm²),patch,patch use,meter,recorded (mg/m²),recorded verdict,inspector,steel temperature (°C)")
	date := unit.Date{Year: 2026, Month: 3, Day: 2}
	n, ring, single := 0, 0, 0
	for d := range days {
		if date.Weekday() == time.Sunday {
			date = date.Add(1)
		}
		if d == days/2 {
			date = date.Add(14)
		}
		add("days", "%s,\"dry, light wind\",LJ-DR-%02d", date.ISO(), d+1)
		for k, hour := range []int{6, 12, 17} {
			v := 84 + 0.4*rnd.NormFloat64()
			if d == 20 && k == 1 || d == 44 && k == 0 {
				v += 5
			}
			add("checks", "%s,%02d:30,M-7,84,%.1f,5,as found", date.ISO(), hour, v)
		}
		g1 := 1.2 + 3.2*float64(d)/float64(days) + 0.3*rnd.Float64()
		add("water", "W-%d,%s,06:50,%.1f,water", d, date.ISO(), g1)
		if d%10 == 0 {
			add("extracts", "%s,abrasive,G-%d,%d µS/cm,250 µS/cm", date.ISO(), 31+2*d/days, 90+rnd.IntN(60))
		}
		for i := range perDay {
			n++
			area := d * 12 / days
			salt := 14 * math.Exp(0.35*rnd.NormFloat64())
			if area >= 6 {
				salt *= 1.7
			}
			blank := math.Round(10*(g1+0.1*rnd.NormFloat64())) / 10
			extract := blank + math.Round(10*salt/1.2)/10
			patch, use := fmt.Sprintf("P-%04d", single+1), 1
			if i%4 == 0 {
				ring++
				patch, use = "R-9", 200+ring
			} else {
				single++
			}
			verdict := "pass"
			switch density := 1.2 * (extract - blank); {
			case density > 50:
				verdict = "fail"
			case rnd.IntN(30) == 0:
				verdict = "void"
			}
			minute := 7*60 + i*540/perDay
			add("readings", "%d,S%d,\"plate %d, %.1f m up\",%s,%02d:%02d,%02d:%02d,%.1f,W-%d,3.0,%.1f,%.1f,on,1250,%s,%d,M-7,%.1f,%s,%s,%.1f",
				n, area+1, i+1, 0.5+4*rnd.Float64(), date.ISO(), minute/60, minute%60, (minute+11)/60, (minute+11)%60, blank, d, extract,
				17+rnd.Float64(), patch, use, 1.2*(extract-blank), verdict, []string{"Ilse Korvan", "Bo Tamm"}[i%2], 12+4*rnd.Float64())
		}
		date = date.Add(1)
	}
	add("patches", "P,single-use adhesive,1250,3.10,1,2000,%d,60.00,85.50,44.25", 2000-single-3)
	add("patches", "R-9,reusable magnetic ring,1250,184.00,1000,,,,,")
	for name, b := range files {
		if err := os.WriteFile(filepath.Join(dir, name+".csv"), []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// TestTrendsPages lays trends and consumables out for the sample and for a long
// job, and holds what those of the sample say.
func TestTrendsPages(t *testing.T) {
	const seed = 60
	t.Logf("seed %d", seed)
	for name, path := range map[string]string{"quillmere-lock": "../../samples/quillmere-lock", "long": longJob(t, 60, 34, seed)} {
		c := composing(t, assess.Run(jobs.Read(t, path), check.All()), nil)
		d := doc.Document{Title: "Trends and consumables", Lang: "en", Words: doc.English(), Blocks: append(c.trends(), c.stock(true)...)}
		if c.err != nil {
			t.Fatal(c.err)
		}
		pages, err := layout.Pages(&d, layout.A4(), c.Fonts)
		if err != nil {
			t.Fatal(err)
		}
		if *showTrends != "" {
			var b bytes.Buffer
			if err := pdf.Write(&b, pages, c.Fonts, pdf.Meta{Title: d.Title, Lang: "en", Created: time.Date(2026, 4, 17, 0, 0, 0, 0, time.UTC)}); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(filepath.Join(*showTrends, name+".pdf"), b.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		if name == "long" {
			continue
		}
		var b bytes.Buffer
		if err := d.WriteText(&b, 100); err != nil {
			t.Fatal(err)
		}
		file := "../../testdata/report/trends-" + name + ".txt"
		if *takeTrends {
			if err := os.WriteFile(file, b.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if b.String() != string(want) {
			t.Errorf("what %s says differs from %s; read it, and take it with -take-trends", name, file)
		}
	}
}

// TestNoCost sees that nothing of a price is said where it is not asked for.
func TestNoCost(t *testing.T) {
	c := composing(t, assess.Run(jobs.Read(t, "../../samples/quillmere-lock"), check.All()), nil)
	d := doc.Document{Blocks: c.stock(false)}
	d.EachText(func(s string) {
		if regexp.MustCompile(`(?i)EUR|price|cost|3\.10|184`).MatchString(s) {
			t.Errorf("said without being asked: %q", s)
		}
	})
}

// TestTrendTexts sees every text of trends and consumables filled at least
// once, and no text of an English plural or an empty place.
func TestTrendTexts(t *testing.T) {
	files, keys := fstest.MapFS{}, []string(nil)
	begin := regexp.MustCompile(`(?m)^= (\S+)\n`)
	for _, f := range []string{"trends", "stock"} {
		data, err := fs.ReadFile(templates.Files, "en/"+f+".txt")
		if err != nil {
			t.Fatal(err)
		}
		for _, k := range begin.FindAllSubmatch(data, -1) {
			keys = append(keys, f+"/"+string(k[1]))
		}
		files["en/"+f+".txt"] = &fstest.MapFile{Data: begin.ReplaceAll(data, []byte("= $1\n‹"+f+"/$1› "))}
	}
	var said strings.Builder
	take := func(c *composer, blocks []doc.Block) {
		if c.err != nil {
			t.Fatal(c.err)
		}
		d := doc.Document{Blocks: blocks}
		d.EachText(func(s string) { said.WriteString(s + "\n") })
		for _, b := range blocks {
			if f, ok := b.(doc.Figure); ok {
				said.WriteString(f.Alt + f.Draw(0).String())
			}
		}
	}
	whole := func(path string, sets ...string) *composer {
		c := composing(t, assess.Run(jobs.Read(t, path, sets...), check.All()), files)
		take(c, c.trends())
		take(c, c.stock(true))
		return c
	}
	whole("../../testdata/jobs/emptiest.csv")
	whole("../../samples/quillmere-lock")
	c := whole(longJob(t, 60, 34, 60))
	for k := range trend.Kinds() {
		f := trend.Flag{Kind: trend.Kind(k), Who: "one", Other: "other", N: 3, Of: 9, From: 1, To: 2, Chance: 0.00001}
		if f.Kind != trend.MedianAfterWind {
			take(c, c.trendFlags([]trend.Flag{f}))
			f.Other, f.ByDay, f.Last, f.Chance = "", true, unit.Date{Year: 2026, Month: 3, Day: 2}, 0.07
			take(c, c.trendFlags([]trend.Flag{f}))
		}
		take(c, c.trendSilences([]trend.Silence{{Kind: f.Kind, Who: "one", N: 1, Need: 5}, {Kind: f.Kind, Before: 1}, {Kind: f.Kind}}))
	}
	take(c, c.trendFlags(nil))
	a := stock.Account{Listed: true, Unnamed: 2, Days: []unit.Date{{}}, Batches: []stock.Batch{{Name: "Q-1", Tests: 2, ByDay: map[unit.Date]int{{}: 2}}},
		Lives: []stock.Life{{Name: "R-1", Maximum: 5, Recorded: 7}, {Name: "R-2", Recorded: 1}}}
	a.Cost.Mixed = []string{"EUR", "NOK"}
	for k := stock.NoPrice; k <= stock.UnreadableAmount; k++ {
		a.Cost.Missing = append(a.Cost.Missing, stock.Gap{Kind: k, Name: "Q-1", Count: 2})
	}
	for p := stock.Patches; p <= stock.Other; p++ {
		a.Cost.Parts = append(a.Cost.Parts, stock.Part{For: p, Name: "Q-1", Amount: unit.Int(1).Ratio()})
	}
	take(c, c.costs(&a))
	take(c, c.unlisted(&a))
	take(c, c.lives(&a))
	take(c, c.usesByDay(&a))
	for _, kind := range patchKinds {
		said.WriteString(c.say("stock/kind-"+kind, nil))
	}
	take(c, []doc.Block{doc.Paragraph{Text: doc.Plain(c.meterName(""))}})
	for _, key := range keys {
		if !strings.Contains(said.String(), "‹"+key+"›") {
			t.Errorf("nothing says %q", key)
		}
	}
	for _, bad := range []string{"<no value>", "%!", "NaN", "suspicious", "fraud"} {
		if strings.Contains(said.String(), bad) {
			t.Errorf("a text holds %q", bad)
		}
	}
}

func BenchmarkTrendsAndStock(b *testing.B) {
	for _, days := range []int{60, 120} {
		r := assess.Run(jobs.Read(&testing.T{}, longJob(b, days, 34, 60)), check.All())
		b.Run(fmt.Sprintf("%d days, %d tests", days, len(r.Lines)), func(b *testing.B) {
			for b.Loop() {
				c := composing(b, r, nil)
				c.trends()
				c.stock(true)
				if c.err != nil {
					b.Fatal(c.err)
				}
			}
		})
	}
}
