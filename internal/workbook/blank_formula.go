package workbook

import (
	"fmt"
	"strings"

	"saltline/internal/diag"
	"saltline/internal/table"
)

// A live computes one row of a form from the cells beside it and from the
// sheet of the job. It uses only functions that mean the same in every
// spreadsheet program and that are recomputed when the workbook is read.
//
// Nothing is assumed: the volume and the patch area are those of the row, else
// those of the job, and without them there is no density.
type live struct {
	*blank
	form form
	row  int // of the sheet, from 1
}

// live is row n of a form; rows count from 0.
func (b *blank) live(f form, n int) live { return live{b, f, n + 2} }

// cell is the cell of a field in this row, by its name or that of its formula.
func (l live) cell(name string) string {
	for i, d := range l.form.fields {
		if d.name() == name || d.locked && d.live == name {
			return fmt.Sprintf("$%s%d", diag.ColumnName(i+1), l.row)
		}
	}
	l.miss(l.form.name + ": " + name)
	return ""
}

// miss keeps that a formula asks for what is not there.
func (b *blank) miss(what string) {
	if b.err == nil {
		b.err = fmt.Errorf("no cell for %s", what)
	}
}

// ofJob is the cell of the value of a key of the job.
func (b *blank) ofJob(key string) string {
	for i, t := range jobTerms {
		if t.key == key {
			return table.SheetRef(jobSheet, i+2, 2)
		}
	}
	b.miss(key)
	return ""
}

// formula is the formula of that name.
func (l live) formula(name string) string {
	switch name {
	case "dew":
		return l.dew()
	case "margin":
		dew, steel := l.cell("dew"), l.cell("steel temperature")
		return fmt.Sprintf(`IF(AND(ISNUMBER(%s),ISNUMBER(%s)),ROUND(%s-%s,9),"")`, dew, steel, steel, dew)
	case "kept":
		margin, least := l.cell("margin"), l.ofJob("dew point margin")
		return fmt.Sprintf(`IF(ISNUMBER(%s),IF(ISNUMBER(%s),IF(ROUND(%s-%s,9)<0,%s,%s),%s),"")`,
			margin, least, margin, least, l.quote("short"), l.quote("kept"), l.quote("no-margin"))
	case "difference":
		blank, extract := l.cell("blank"), l.cell("extract")
		return fmt.Sprintf(`IF(AND(ISNUMBER(%s),ISNUMBER(%s)),ROUND(%s-%s,9),"")`, blank, extract, extract, blank)
	case "factor":
		constant := l.ofJob("constant")
		return fmt.Sprintf(`IF(%s,"",IF(AND(%s,%s,%s),ROUND(100*%s*%s/%s,12),""))`,
			l.unread(), l.known("volume"), l.known("patch area"), above0(constant), constant, l.value("volume"), l.value("patch area"))
	case "density":
		factor, blank, extract := l.cell("factor"), l.cell("blank"), l.cell("extract")
		return fmt.Sprintf(`IF(AND(ISNUMBER(%[1]s),ISNUMBER(%[2]s),ISNUMBER(%[3]s)),ROUND(%[1]s*(%[3]s-%[2]s),9),"")`, factor, blank, extract)
	case "limit":
		return l.limit()
	case "against":
		return l.against()
	case "recorded":
		return fmt.Sprintf(`IF(ISNUMBER(%[1]s),%[1]s,"")`, l.cell("density"))
	case "verdict":
		return fmt.Sprintf(`IF(OR(%[1]s="pass",%[1]s="fail"),%[1]s,"")`, l.cell("against"))
	}
	l.miss("the formula " + name)
	return ""
}

// quote is a text of the templates as it stands in a formula.
func (b *blank) quote(key string) string { return literal(b.say(key, nil)) }

func above0(cell string) string { return fmt.Sprintf("AND(ISNUMBER(%s),%s>0)", cell, cell) }

// silent holds where a cell says nothing, so that the job may.
func silent(cell string) string { return fmt.Sprintf(`OR(LEN(%s)=0,%s="-")`, cell, cell) }

// unread holds where nothing was read in this row, which then shows nothing.
func (l live) unread() string {
	return fmt.Sprintf("AND(LEN(%s)=0,LEN(%s)=0)", l.cell("blank"), l.cell("extract"))
}

// known holds where the row or, if it is silent, the job gives a number above
// 0. A text that is no number is not silent.
func (l live) known(name string) string {
	own, job := l.cell(name), l.ofJob(name)
	return fmt.Sprintf("OR(%s,AND(%s,%s))", above0(own), silent(own), above0(job))
}

// value is the number of the row, else that of the job.
func (l live) value(name string) string {
	own := l.cell(name)
	return fmt.Sprintf("IF(ISNUMBER(%s),%s,%s)", own, own, l.ofJob(name))
}

// dew is the dew point over water of air and humidity, by the constants of
// WMO-No. 8 (17.62 and 243.12 °C, from −45 to 60 °C), as salt.DewPoint has it.
func (l live) dew() string {
	air, humidity := l.cell("air temperature"), l.cell("humidity")
	x := fmt.Sprintf("(LN(%s/100)+17.62*%s/(243.12+%s))", humidity, air, air)
	return fmt.Sprintf(`IF(AND(ISNUMBER(%[1]s),ISNUMBER(%[2]s)),IF(AND(%[2]s>0,%[2]s<=100,%[1]s>=-45,%[1]s<=60),ROUND(243.12*%[3]s/(17.62-%[3]s),9),""),"")`,
		air, humidity, x)
}

// limit is the limit of the area of the test where the areas sheet gives it
// one, else that of the job.
func (l live) limit() string {
	job := l.ofJob("limit")
	rest := fmt.Sprintf(`IF(ISNUMBER(%s),%s,"")`, job, job)
	var areas form
	for _, f := range forms {
		if f.name == "areas" {
			areas = f
		}
	}
	own := 0
	for i, d := range areas.fields {
		if d.name() == "limit" {
			own = i + 1
		}
	}
	area, all := l.cell("area"), rest
	for n := l.rows(areas) - 1; n >= 0; n-- {
		name, limit := table.SheetRef(areas.name, n+2, 1), table.SheetRef(areas.name, n+2, own)
		all = fmt.Sprintf("IF(%s=%s,IF(ISNUMBER(%s),%s,%s),%s)", area, name, limit, limit, rest, all)
	}
	return fmt.Sprintf(`IF(%s,"",IF(LEN(%s)=0,%s,%s))`, l.unread(), area, rest, all)
}

// against puts the density against the limit. What is missing or in doubt
// takes away a pass, never a fail; where the numbers of the row do not settle
// it, it says where to look.
func (l live) against() string {
	blank, extract, density, limit := l.cell("blank"), l.cell("extract"), l.cell("density"), l.cell("limit")
	comparison, rounding := l.ofJob("limit comparison"), l.ofJob("limit rounding")
	// The limit is taken off and the rest held against 0: a cell that holds a
	// formula is not everywhere a number to an operator that compares.
	over := fmt.Sprintf(`ROUND(ROUND(%[2]s,IF(%[1]s="to 1 mg/m2",0,IF(%[1]s="to 0.1 mg/m2",1,9)))-%[3]s,9)`, rounding, density, limit)
	steps := []struct{ holds, says string }{
		{l.unread(), `""`},
		{fmt.Sprintf(`%s="procedural blank"`, l.cell("kind")), l.quote("of-glass")},
		{notNumber(blank), l.quote("no-blank")},
		{notNumber(extract), l.quote("no-extract")},
		{not(l.known("volume")), l.quote("no-volume")},
		{not(l.known("patch area")), l.quote("no-patch-area")},
		{not(above0(l.ofJob("constant"))), l.quote("no-constant")},
		{notNumber(limit), l.quote("no-limit")},
		{fmt.Sprintf("LEN(%s)=0", l.ofJob("limit basis")), l.quote("no-basis")},
		{fmt.Sprintf(`%s<>"total salts"`, l.ofJob("limit basis")), l.quote("other-basis")},
		{not(fmt.Sprintf(`OR(%[1]s,%[2]s="simple")`, silent(l.ofJob("decision rule")), l.ofJob("decision rule"))), l.quote("guarded")},
		{not(fmt.Sprintf(`OR(%[1]s,%[2]s="unrounded",%[2]s="to 1 mg/m2",%[2]s="to 0.1 mg/m2")`, silent(rounding), rounding)), l.quote("other-rounding")},
		{over + ">0", `"fail"`},
		{fmt.Sprintf(`AND(%s=0,%s="less than")`, over, comparison), `"fail"`},
		{fmt.Sprintf(`AND(%s=0,%s<>"at most")`, over, comparison), l.quote("no-comparison")},
		{not(silent(l.ofJob("limit 2"))), l.quote("several-limits")},
		{fmt.Sprintf("%s<%s", extract, blank), l.quote("below-blank")},
		{fmt.Sprintf(`%s<>"on"`, l.cell("compensated")), l.quote("not-compensated")},
	}
	formula := `"pass"`
	for i := len(steps) - 1; i >= 0; i-- {
		formula = fmt.Sprintf("IF(%s,%s,%s)", steps[i].holds, steps[i].says, formula)
	}
	return formula
}

func notNumber(cell string) string { return not("ISNUMBER(" + cell + ")") }

func not(condition string) string { return "NOT(" + strings.TrimSpace(condition) + ")" }
