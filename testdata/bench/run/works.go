package main

import (
	"fmt"
	"slices"
	"strconv"
)

// day is the report of a day.
func (b *bench) day() error {
	book, err := b.input("day.xlsx", "-readings", "60")
	if err != nil {
		return err
	}
	return compare("60 readings, workbook to daily report", b.rounds,
		append(b.beside(book, false), b.saltline("saltline", "day", "report", book))...)
}

// dossier is a long job, handed over, and as many readings on one day.
func (b *bench) dossier() error {
	job, err := b.job(20_000)
	if err != nil {
		return err
	}
	if err := compare("20,000 readings, workbook to dossier", b.rounds,
		append(b.beside(job, true), b.saltline("saltline", "dossier.pdf", "handover", job))...); err != nil {
		return err
	}
	book, err := b.input("long-day.xlsx", "-readings", "20000")
	if err != nil {
		return err
	}
	return compare("20,000 readings of one day, workbook to daily report", b.rounds,
		append(b.beside(book, true), b.saltline("saltline", "long-day", "report", book))...)
}

// afterAll is a day after the last of the longest job.
const afterAll = "2028-01-01"

// flat is jobs of growing size.
func (b *bench) flat() error {
	var runs []*run
	for _, n := range []int{2_000, 20_000, 200_000} {
		job, err := b.job(n)
		if err != nil {
			return err
		}
		runs = append(runs, b.saltline("dossier of "+strconv.Itoa(n), "dossier.pdf", "handover", job, "--large", "--produced", afterAll))
	}
	return compare("Dossiers", b.rounds, runs...)
}

// photographs is a job with and without them.
func (b *bench) photographs() error {
	var runs []*run
	for _, photos := range []string{"0", "100"} {
		job, err := b.input("photos-"+photos+"/job.xlsx", "-readings", "2000", "-days", "60", "-areas", "12", "-photos", photos)
		if err != nil {
			return err
		}
		runs = append(runs, b.saltline(photos+" photographs of 3 megapixels", "dossier.pdf", "handover", job))
	}
	return compare("2,000 readings, 60 days and 12 areas, workbook to dossier", b.rounds, runs...)
}

// audit is long logs, and many records.
func (b *bench) audit() error {
	limit := []string{"--quiet", "--set", "limit=50 mg/m2", "--set", "limit basis=total salts"}
	var runs []*run
	for _, rows := range []string{"100000", "1000000"} {
		for _, kind := range []string{"csv", "xlsx"} {
			log, err := b.input("log-"+rows+"."+kind, "-readings", rows, "-log")
			if err != nil {
				return err
			}
			audit := append([]string{b.at("saltline"), "audit", log}, limit...)
			toFile := slices.Concat([]string{"sh", "-c", `"$@" >"$0"`, b.at("audit.json")}, audit, []string{"--json"})
			runs = append(runs,
				&run{name: rows + " rows, " + kind, args: audit, out: b.at("none")},
				&run{name: rows + " rows, " + kind + " to JSON", args: toFile, out: b.at("audit.json")})
		}
	}
	var days []string
	for seed := range 1000 {
		day, err := b.input(fmt.Sprintf("days/%d.xlsx", seed), "-readings", "60", "-seed", strconv.Itoa(seed))
		if err != nil {
			return err
		}
		days = append(days, day)
	}
	args := append([]string{b.at("saltline"), "audit"}, days...)
	runs = append(runs, &run{name: "1,000 workbooks of 60 rows", args: append(args, limit...), out: b.at("none")})
	return compare("Audits", b.rounds, runs...)
}
