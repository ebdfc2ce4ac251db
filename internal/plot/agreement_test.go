package plot

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"saltline/internal/frame"
	"saltline/internal/pdf"
)

// against makes an invented log of tests, each given as its recomputed and its
// written value, against a limit of 50. All agree until a test says otherwise.
func against(values ...[2]float64) Agreement {
	a := Agreement{
		Title:  "Written against recomputed values",
		XLabel: "recomputed, mg/m²", YLabel: "written, mg/m²",
		Slips: []Slip{
			{"blank not subtracted", 0}, {"factor for 3 ml", 0.2}, {"digits cut off", 0}, {"µg/cm² for mg/m²", 0.1},
			{"a reading of a neighbouring row", 0}, {"two digits exchanged", 0}, {"patch of 625 mm²", 2},
		},
		Limits: []Limit{{50, "limit 50 mg/m², total salts, ≤"}},
		Words:  EnglishAgreement(),
	}
	for i, v := range values {
		a.Pairs = append(a.Pairs, Pair{Number: fmt.Sprint(i + 1), Recomputed: v[0], Written: v[1]})
	}
	return a
}

// add adds a test that does not follow.
func (a *Agreement) add(recomputed, written float64, standing Standing, slip int) {
	a.Pairs = append(a.Pairs, Pair{fmt.Sprint(len(a.Pairs) + 1), recomputed, written, standing, slip})
}

// agreeing is n values about 30 that agree.
func agreeing(n int) [][2]float64 {
	var out [][2]float64
	for _, v := range many(n) {
		out = append(out, [2]float64{v, v})
	}
	return out
}

type namedAgreement struct {
	name string
	plot Agreement
}

// agreements are the cases that are drawn, compared with golden files and,
// with -show, put into a PDF to be looked at.
func agreements() []namedAgreement {
	sheet := against(agreeing(18)...)
	for i := range 6 {
		v := 22 + 6.5*float64(i)
		sheet.add(v, v+10.8, OneSlip, 0)
	}
	sheet.Pairs[4].Standing = ThroughUnseenDigits
	sheet.add(100.8, 20.2, OneSlip, 1)
	sheet.add(61.2, 16.2, SeveralSlips, 0)
	sheet.add(42, 33.3, NoSlip, 0)
	sheet.add(54, 45, OneSlip, 5)
	sheet.add(18.6, 18.1, OneSlip, 2)

	factor := against()
	for i, v := range many(40) {
		if i%9 == 2 {
			factor.add(v, v, Agrees, 0)
		} else {
			factor.add(v, math.Round(2*v)/10, OneSlip, 1)
		}
	}
	units := against(agreeing(12)...)
	for _, v := range many(8) {
		units.add(v, v/10, OneSlip, 3)
		units.add(v, 2*v, OneSlip, 6)
	}
	units.add(-1.2, 4.8, NoSlip, 0)
	units.add(30, 0, NoSlip, 0)
	kinds := against(agreeing(5)...)
	for i := range kinds.Slips {
		for k := range 8 - i {
			kinds.add(20+7*float64(k), 32+4*float64(i)+9*float64(k), OneSlip, i)
		}
	}
	long := against()
	for i := range 4000 {
		v := 5 + 70*math.Abs(math.Sin(float64(i)))
		switch {
		case i%5 == 1:
			long.add(v, v+6+6*math.Abs(math.Cos(float64(3*i))), OneSlip, 0)
		case i%211 == 3:
			long.add(v, 90*math.Abs(math.Cos(float64(i))), NoSlip, 0)
		default:
			long.add(v, v, Agrees, 0)
		}
	}
	negative := against([2]float64{-4, -4}, [2]float64{12, 12}, [2]float64{30, -30})
	negative.Pairs[2].Standing = NoSlip
	two := against(agreeing(9)...)
	two.Limits = append(two.Limits, Limit{20, "limit 20 mg/m² of area T5, total salts, ≤"})
	low := against([2]float64{2.2, 2.2}, [2]float64{4.9, 4.9}, [2]float64{3.1, 8.1})
	low.Pairs[2].Standing = SeveralSlips
	bare := against([2]float64{20, 30})
	bare.Limits, bare.Title, bare.XLabel, bare.YLabel = nil, "", "", ""
	bare.Pairs[0].Standing = NoSlip
	huge := against([2]float64{20, 20}, [2]float64{31, 31}, [2]float64{9e11, 9e11}, [2]float64{44, 4.4e9})
	same := against([2]float64{20, 20}, [2]float64{20, 20}, [2]float64{20, 20}, [2]float64{20, 44}, [2]float64{20, 44}, [2]float64{20, 44}, [2]float64{20, 44})
	for i := range 4 {
		same.Pairs[3+i].Standing = NoSlip
	}
	return []namedAgreement{
		{"agreement-sheet", sheet}, {"agreement-factor", factor}, {"agreement-units", units}, {"agreement-kinds", kinds},
		{"agreement-long", long}, {"agreement-negative", negative}, {"agreement-two-limits", two}, {"agreement-low", low},
		{"agreement-bare", bare}, {"agreement-huge", huge}, {"agreement-same", same}, {"agreement-zero", against([2]float64{0, 0})},
	}
}

func drawAgreement(t testing.TB, a Agreement) *frame.Frame {
	t.Helper()
	f, err := a.Draw(loadFonts(t), 482, 300)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// TestAgreementPDF spells all cases as a PDF, each on a page.
func TestAgreementPDF(t *testing.T) {
	var pages []*frame.Frame
	for _, c := range agreements() {
		f := drawAgreement(t, c.plot)
		page := &frame.Frame{W: f.W + 60, H: f.H + 60}
		page.Put(30, 30, f)
		pages = append(pages, page)
	}
	var b bytes.Buffer
	meta := pdf.Meta{Title: "agreement", Lang: "en", Created: time.Date(2025, 3, 11, 0, 0, 0, 0, time.UTC)}
	if err := pdf.Write(&b, frame.Print{Pages: pages}, loadFonts(t), meta); err != nil {
		t.Fatal(err)
	}
	t.Logf("%d plots in %d bytes", len(pages), b.Len())
	if *show != "" {
		if err := os.WriteFile(filepath.Join(filepath.Dir(*show), "agreement.pdf"), b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// TestAgreementGolden holds the cases whose frames are short enough to be read.
func TestAgreementGolden(t *testing.T) {
	for _, c := range agreements() {
		if c.name == "agreement-long" {
			continue
		}
		got := drawAgreement(t, c.plot).String()
		file := filepath.Join("testdata", c.name+".txt")
		if *update {
			if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if got != string(want) {
			t.Errorf("%s differs from %s; look at it with -show and write it with -update", c.name, file)
		}
	}
}
