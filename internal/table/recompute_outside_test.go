package table

import (
	"fmt"
	"math/rand/v2"
	"os"
	"strings"
	"testing"
	"time"

	"saltline/internal/diag"
)

// A formulaMaker makes formulas of every form that is computed here, over
// cells of every kind, and some that are not.
type formulaMaker struct {
	*rand.Rand
	rows int // of inputs, in columns A to F of either sheet
}

// The columns of inputs: mostly numbers, numbers, words, anything, dates and
// what follows from them, numbers throughout.
const inputColumns = "ABCDEF"

func (m formulaMaker) of(list ...string) string { return list[m.IntN(len(list))] }

func (m formulaMaker) number() string {
	switch m.IntN(4) {
	case 0:
		return fmt.Sprint(m.IntN(60))
	case 1:
		return fmt.Sprintf("%.1f", m.Float64()*60)
	case 2:
		return fmt.Sprintf("%.3f", float64(m.IntN(4000))*0.005)
	}
	return m.of("0", "1", "0.5", "2.675", "1250", "1E-3", "50", "100")
}

func (m formulaMaker) entry(col int) Entry {
	var v float64
	fmt.Sscan(m.number(), &v)
	switch kind := m.IntN(10); {
	case col == 5:
	case col == 2 && kind < 7:
		return Words(m.of("LG", "lg", "west", "pass", "fail", "FAIL", "south-west", "<1", "-", "n. a."))
	case col == 4 && kind < 7:
		return Day(2026, time.March, 1+m.IntN(28))
	case col == 3 && kind < 8 || kind == 9:
		switch m.IntN(7) {
		case 0:
			return Yes(m.IntN(2) == 0)
		case 1:
			return Words(m.of("14.0", "3", "12,5"))
		case 2:
			return Words(m.of("x y", " x  y", "µS"))
		case 3:
			return Num(-v, "")
		}
		return Entry{}
	}
	return Num(v, m.of("", "0.0", "0.00"))
}

func (m formulaMaker) cell() string {
	ref := fmt.Sprintf("%s%c%s%d", m.of("", "$"), inputColumns[m.IntN(len(inputColumns))], m.of("", "$"), 1+m.IntN(m.rows))
	if m.IntN(8) == 0 {
		return m.of("'Bay 7''s'!", "other!") + ref
	}
	if m.IntN(3) == 0 { // another formula
		return fmt.Sprintf("H%d", 1+m.IntN(m.rows))
	}
	return ref
}

func (m formulaMaker) area(wide int) string {
	col, row := m.IntN(len(inputColumns)+1-wide), 1+m.IntN(m.rows)
	if m.IntN(3) == 0 {
		col = len(inputColumns) - wide
	}
	return fmt.Sprintf("%c%d:%c%d", inputColumns[col], row, inputColumns[col+wide-1], min(m.rows, row+m.IntN(6)))
}

func (m formulaMaker) condition(depth int) string {
	switch m.IntN(8) {
	case 0:
		return m.of("AND", "OR") + "(" + m.condition(depth-1) + "," + m.condition(depth-1) + ")"
	case 1:
		return "NOT(" + m.condition(depth-1) + ")"
	case 2:
		return m.of("ISNUMBER", "ISBLANK", "ISTEXT", "ISERROR") + "(" + m.cell() + ")"
	case 3:
		return m.cell() + m.of("=", "<>") + m.of(`""`, `"LG"`, `"pass"`, `"west"`)
	}
	return m.value(depth-1) + m.of("=", "<>", "<", "<=", ">", ">=") + m.value(depth-1)
}

func (m formulaMaker) value(depth int) string {
	if depth <= 0 {
		return m.of(m.cell(), m.cell(), m.number())
	}
	v := func() string { return m.value(depth - 1) }
	switch m.IntN(16) {
	case 0, 1:
		return v() + m.of("+", "-", "*", "/", " - ", " * ") + v()
	case 2:
		return "(" + v() + m.of("-", "+") + v() + ")" + m.of("*", "/", "^") + m.of(v(), "2", "3", "-1")
	case 3:
		return m.of("-", "+", "-2^", "") + "(" + v() + ")" + m.of("", "%")
	case 4:
		return fmt.Sprintf("%s(%s,%s)", m.of("ROUND", "ROUND", "ROUNDUP", "ROUNDDOWN", "TRUNC"), v(), m.of("0", "1", "2", "-1", "9"))
	case 5:
		return fmt.Sprintf("%s(%s)", m.of("ABS", "SQRT", "LN", "LOG10", "EXP", "INT", "LOG", "SIN", "ASIN", "LEN"), v())
	case 6:
		return fmt.Sprintf("%s(%s,%s)", m.of("MOD", "POWER", "LOG"), v(), m.of(v(), "2", "0.5", "3"))
	case 7:
		return fmt.Sprintf("%s(%s)", m.of("SUM", "AVERAGE", "MIN", "MAX", "COUNT", "COUNTA", "PRODUCT", "MEDIAN", "STDEV", "_xlfn.STDEV.S"), m.area(1+m.IntN(2)))
	case 8:
		return fmt.Sprintf("%s(%s,%s,%s)", m.of("SUM", "AVERAGE", "MIN", "MAX", "COUNT", "COUNTA"), v(), m.cell(), m.area(1))
	case 9:
		return fmt.Sprintf("IF(%s,%s,%s)", m.condition(depth-1), v(), m.of(v(), `""`, `"fail"`))
	case 10:
		return fmt.Sprintf("IFERROR(%s,%s)", v(), m.of(v(), `""`, "0"))
	case 11:
		return fmt.Sprintf("COUNTIF(%s,%s)", m.area(1), m.of(`"fail"`, `"LG"`, `">20"`, `"<=50"`, `"=3"`, m.number(), m.cell()))
	case 12:
		row := 1 + m.IntN(m.rows-6)
		return fmt.Sprintf("%s(%s%d:%[2]s%[4]d,%[5]s,F%[3]d:F%[4]d)", "SUMIF", m.of("A", "B", "C"), row, row+5, m.of(`"fail"`, `"LG"`, `">20"`))
	case 13:
		row := 1 + m.IntN(m.rows-6)
		return m.of(
			fmt.Sprintf("SUMPRODUCT(F%d:F%d,%s%[1]d:%[3]s%[2]d)", row, row+5, m.of("A", "B", "F")),
			fmt.Sprintf("VLOOKUP(%s,$C$%d:$F$%d,%s,%s)", m.of(`"LG"`, `"west"`, m.cell()), row, row+6, m.of("3", "4"), m.of("FALSE", "0")),
			fmt.Sprintf("INDEX(F%d:F%d,MATCH(%s,C%[1]d:C%[2]d,0))", row, row+6, m.of(`"LG"`, `"fail"`, m.cell())),
			fmt.Sprintf("INDEX(A%d:F%d,%s,%s)", row, row+6, m.of("1", "2", "7"), m.of("1", "6")),
			`SUMPRODUCT((C1:C9="LG")*ISNUMBER(F1:F9))`)
	case 14:
		return v() + "&" + m.of(v(), `" mg/m²"`, `""`)
	}
	return fmt.Sprintf("(%s)*PI()/%s", m.condition(depth-1), m.of("4", v()))
}

func (m formulaMaker) formula() string {
	if m.IntN(3) == 0 {
		return m.condition(3)
	}
	return m.value(1 + m.IntN(4))
}

// TestRecomputedAsOutside has LibreOffice compute formulas made from a seed,
// and holds every result that is computed here to what it gives. What is not
// computed here is only counted.
func TestRecomputedAsOutside(t *testing.T) {
	if os.Getenv("SALTLINE_OUTSIDE") == "" {
		t.Skip("SALTLINE_OUTSIDE is not set")
	}
	const rows, formulas = 400, 4800
	seed := uint64(time.Now().UnixNano())
	if s := os.Getenv("SALTLINE_SEED"); s != "" {
		fmt.Sscan(s, &seed)
	}
	t.Logf("SALTLINE_SEED=%d", seed)
	m := formulaMaker{rand.New(rand.NewPCG(seed, 1)), rows}
	var b Book
	for _, name := range []string{"log", "Bay 7's", "other"} {
		p := Page{Name: name}
		for range rows {
			var l Line
			for col := range len(inputColumns) {
				l.Cells = append(l.Cells, m.entry(col))
			}
			l.Cells = append(l.Cells, Entry{})
			p.Lines = append(p.Lines, l)
		}
		b.Pages = append(b.Pages, p)
	}
	log := b.Pages[0].Lines
	for i := range formulas {
		log[i%rows].Cells = append(log[i%rows].Cells, Formula(m.formula(), ""))
	}
	data := written(t, b)
	ours, theirs := read(t, "x.xlsx", data).Sheets[0], recalculated(t, "x.xlsx", data).Sheets[0]
	known, kinds := 0, map[Kind]int{}
	for _, row := range ours.Rows {
		for _, c := range row.Cells() {
			if c.Formula() == "" || c.Kind == Error && c.Text == "" {
				continue
			}
			known++
			kinds[c.Kind]++
			got := theirs.Rows[row.Number-1].Cell(c.Pos.Col())
			if !sameCell(c, got) {
				t.Errorf("%s%d: =%s: computed here as %v %q, there as %v %q", diag.ColumnName(c.Pos.Col()), row.Number, c.Formula(), c.Kind, c.Raw, got.Kind, got.Raw)
			}
		}
	}
	t.Logf("%d of %d formulas computed here: %v", known, formulas, kinds)
	if known < formulas/4 || kinds[Number] < 300 || kinds[Bool] < 100 || kinds[Text] < 50 || kinds[Error] < 10 {
		t.Errorf("only %d of %d formulas were computed here: %v", known, formulas, kinds)
	}
}

// sameCell compares a result with another program's. An error has other names
// there, and a truth may be stored as 1 or 0.
func sameCell(ours, theirs Cell) bool {
	switch ours.Kind {
	case Error:
		return theirs.Kind == Error || strings.HasPrefix(theirs.Raw, "#")
	case Bool:
		return theirs.Kind == Bool && theirs.Raw == ours.Raw
	case Number, Date:
		var v value
		fmt.Sscan(ours.Raw, &v.num)
		v.kind = Number
		return (theirs.Kind == Number || theirs.Kind == Date) && sameResult(theirs, v)
	}
	return (theirs.Kind == Text || theirs.Kind == Empty) && theirs.Raw == ours.Raw
}
