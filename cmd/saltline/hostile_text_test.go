package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"testing"
)

// Two honest rows that stand in most of these files, so that what is wrong is
// the rest of it.
const (
	logHead = "Test,Date,Blank µS/cm,Extract µS/cm,Volume ml,mg/m²,Remark\n"
	logRows = "1,2026-03-03,1.5,12.0,3,12.6,\n2,2026-03-03,1.5,13.0,3,13.8,\n"
)

// TestTextsOfStrangers reads CSV files that are made to fill the memory, to
// take for ever or to say what they do not show.
func TestTextsOfStrangers(t *testing.T) {
	const mega = 1 << 20
	utf16 := func(s string, big bool) string {
		var b strings.Builder
		for _, r := range s {
			if big {
				b.WriteByte(byte(r >> 8))
			}
			b.WriteByte(byte(r))
			if !big {
				b.WriteByte(byte(r >> 8))
			}
		}
		return b.String()
	}
	cell := func(column, text string) recipe { // one more row, with one odd cell
		row := map[string]string{"test": "3", "date": "2026-03-03", "blank": "1.5", "extract": "14.0", "volume": "3", "mg": "15.0", "remark": ""}
		row[column] = text
		return of(logHead + logRows + strings.Join([]string{row["test"], row["date"], row["blank"], row["extract"], row["volume"], row["mg"], row["remark"]}, ",") + "\n")
	}
	all(t, []stranger{
		{"a million columns.csv", times("Test", ",x", 1_000_000, "\n1\n"), 1, "but wanted at most", ""},
		{"2,000 columns.csv", times("Test", ",x", 2_000, "\n1\n"), 1, "something in column 2001, but wanted at most 1024 columns", "delete what stands far"},
		{"mixed line ends.csv", of(strings.ReplaceAll(logHead, "\n", "\r\n") + strings.Replace(logRows, "\n", "\r\r\n", 1) + "3,2026-03-03,1.5,14.0,3,15.0,\r"), 0, "", ""},
		{"line ends of old.csv", of(strings.ReplaceAll(logHead+logRows, "\n", "\r")), 0, "", ""},

		{"NUL bytes.csv", cell("extract", "14\x00.0"), 0, `\x00`, "write the number"},
		{"terminal.csv", cell("extract", "\x1b]0;owned\x07\x1b[2J14.0"), 0, `\x1B`, "write the number"},
		{"terminal of 8 bits.csv", cell("extract", "\u009b2J14.0"), 0, `\u009b`, "write the number"},
		{"backwards.csv", cell("extract", "\u202e0.41"), 0, `\u202e`, "write the number"},
		{"isolated.csv", cell("extract", "14\u2066.0\u2069"), 0, `\u2066`, "write the number"},
		{"without width.csv", cell("extract", "1\u200b4.0"), 0, `\u200b`, ""},
		{"joined.csv", cell("extract", "1\u20604\ufeff.0"), 0, `\u2060`, ""},
		{"tags.csv", cell("extract", "14.0\U000E0031"), 0, `\U000e0031`, ""},
		{"no letters.csv", cell("remark", "\u202ewet\u202c \U000F0000"), 0, "U+F0000", ""},
		{"heading with an escape.csv", of(strings.Replace(logHead, "Remark", "Rem\x1b[31mark", 1) + logRows), 0, "", ""},
		{"BOM of UTF-8.csv", of("\xEF\xBB\xBF" + logHead + logRows), 0, "", ""},
		{"two BOMs.csv", of("\xEF\xBB\xBF\xEF\xBB\xBF" + logHead + logRows), 0, "", ""},
		{"UTF-16 little.csv", of("\xFF\xFE" + utf16(logHead+logRows, false)), 0, "", ""},
		{"UTF-16 big.csv", of("\xFE\xFF" + utf16(logHead+logRows, true)), 0, "", ""},
		{"UTF-16 unmarked.csv", of(utf16(logHead+logRows, false)), 0, "", ""},
		{"UTF-16 cut.csv", of("\xFF\xFE" + utf16(logHead+logRows, false) + "3"), 0, "cannot spell", "save the file as UTF-8"},
		{"UTF-16 halves.csv", of("\xFF\xFE" + utf16(logHead+logRows, false) + "3\x00,\x00\x00\xD8,\x00\n\x00"), 0, "cannot spell", "save the file as UTF-8"},
		{"UTF-32.csv", of("\xFF\xFE\x00\x00T\x00\x00\x00e\x00\x00\x00s\x00\x00\x00t\x00\x00\x00"), 1, "UTF-32", "save the file as UTF-8"},
		{"not UTF-8.csv", of(logHead + logRows + "3,2026-03-03,1.5,14.0,3,15.0,na\xDF \x81\n"), 0, "", ""},

		{"formula.csv", cell("remark", "=cmd|'/C calc'!A0"), 0, "", ""},
		{"formula for a number.csv", cell("extract", "=1+1"), 0, `"=1+1"`, "write the number"},
		{"exponent.csv", cell("extract", "1e999999999"), 0, `"1e999999999"`, "write the number"},
		{"small exponent.csv", cell("extract", "1e-999999999"), 0, `"1e-999999999"`, "write the number"},
		{"10,000 zeros.csv", cell("extract", "0."+strings.Repeat("0", 10_000)+"1"), 0, "", ""},
		{"10,000 digits.csv", cell("extract", strings.Repeat("7", 10_000)), 0, "", ""},
		{"400 digits.csv", cell("extract", "1"+strings.Repeat("0", 400)), 0, "", ""},
		{"NaN.csv", cell("extract", "NaN"), 0, `"NaN"`, "write the number"},
		{"Inf.csv", cell("extract", "-Infinity"), 0, `"-Infinity"`, "write the number"},
		{"hexadecimal.csv", cell("extract", "0x1p-2"), 0, `"0x1p-2"`, ""},
		{"other digits.csv", cell("extract", "١٤٫٠"), 0, `"١٤٫٠"`, ""},
		{"date of nines.csv", cell("date", "9999-99-99"), 0, `"9999-99-99"`, "write year"},
		{"year 0.csv", cell("date", "0000-01-01"), 0, `"0000-01-01"`, ""},
		{"year 20260101.csv", cell("date", "20260101-01-01"), 0, `"20260101-01-01"`, "write year"},
		{"year below 0.csv", cell("date", "-2026-03-03"), 0, `"-2026-03-03"`, "write year"},
		{"time of nines.csv", of("Test,Date,Time,Blank µS/cm,Extract µS/cm,Volume ml\n1,2026-03-03,99:99,1.5,12.0,3\n"), 0, `"99:99"`, ""},
		{"time below 0.csv", of("Test,Date,Time,Blank µS/cm,Extract µS/cm,Volume ml\n1,2026-03-03,-08:15,1.5,12.0,3\n"), 0, "", ""},
		{"marks in the middle.csv", cell("remark", `2" nozzle, "wet`), 0, "", ""},
		{"remark of marks above letters.csv", cell("remark", "a"+strings.Repeat("\u0301", 100_000)), 0, "", ""},
	})
	grand(t, []stranger{
		{"one line of 100 MB.csv", times("", "x", 100*mega, ""), 1, "found 100 MiB of text, but wanted at most 16", "in parts"},
		{"one line of 10 MB.csv", times("", "x", 10*mega, ""), 1, "a line of 10485760 bytes, but wanted at most", "one test a line"},
		{"one field of 10 MB.csv", times(logHead+logRows+"3,", "9", 10*mega, ",3\n"), 1, "but wanted at most", "one test a line"},
		{"a quote never closed over 100 MB.csv", times(logHead+logRows+"3,\"", "wet wet wet\n", 8*mega, ""), 1, "", ""},
		{"a quote never closed over 15 MB.csv", times(logHead+logRows+"3,\"", "wet wet wet\n", 5*mega/4, ""), 1, "", ""},
		{"a quote never closed in one line of 10 MB.csv", times(logHead+logRows+"3,\"", "wet ", 5*mega/2, ""), 1, "but wanted at most", "one test a line"},
		{"10 million commas.csv", times(logHead, ",", 10_000_000, ""), 1, "but wanted at most", "one test a line"},
		{"commas in long lines.csv", times(logHead+logRows, strings.Repeat(",", 200_000)+"\n", 80, ""), 0, "", ""},
		{"quoted cells in long lines.csv", times(logHead+logRows, strings.Repeat(`"",`, 80_000)+"\n", 100, ""), 1, "", ""},
		{"ditto marks in long lines.csv", times(logHead+logRows, strings.Repeat(`",`, 120_000)+"\n", 100, ""), 1, "", ""},
		{"doubled marks in long lines.csv", times(logHead+logRows, strings.Repeat(`"""`, 80_000)+"\n", 5, ""), 0, "", ""},
		{"quoted cells of many lines.csv", times(logHead+logRows, `3,"`+strings.Repeat("wet\n", 39)+`"`+"\n", 50_000, ""), 1, "", ""},
		{"10 million empty lines.csv", times(logHead+logRows, "\n", 10_000_000, ""), 0, "", ""},
		{"10 million empty lines and a row.csv", times(logHead+logRows, "\n", 10_000_000, "3,2026-03-03,1.5,14.0,3,15.0,\n"), 1, "row", ""},
		{"4 million lines of commas.csv", times(logHead+logRows, ",,,\n", 4_000_000, ""), 1, "row", ""},
		{"3 million words.csv", times(logHead+logRows, "x\n", 3_000_000, ""), 1, "row", ""},
		{"a million words.csv", times("", "x\n", 1_000_000, ""), 1, "row", ""},
		{"20,000 lines of nonsense.csv", times(logHead+logRows, "x,y,z,u,v,w,x\n", 20_000, ""), 0, "", ""},
		{"20,000 lines of nonsense numbers.csv", times(logHead+logRows, "1,2026-99-99,a1,b2,c3,d4,wet\n", 20_000, ""), 0, "", ""},
		{"20,000 headings.csv", times("", strings.ReplaceAll(logHead, ",Remark", ""), 20_000, ""), 1, "", ""},
		{"1,000 tables.csv", times("", logHead+logRows+"\n\n", 1_000, ""), 0, "", ""},
		{"remark without a space.csv", cell("remark", strings.Repeat("x", 200_000)), 0, "", ""},
		{"remark of many words.csv", cell("remark", strings.Repeat("wet ", 50_000)), 0, "", ""},
	})
}

// A log of many rows that ask for the same thing says so in few lines.
func TestManyStrangeRows(t *testing.T) {
	var b strings.Builder
	b.WriteString(logHead)
	for i := range 20_000 {
		fmt.Fprintf(&b, "%d,2026-03-%02d,x%d,NaN,1e999,--,\x1b[%dm\n", i, i%99, i, i)
	}
	if os.Getenv("SALTLINE_LARGE") == "" {
		t.Skip("read with SALTLINE_LARGE=1")
	}
	stranger{"many.csv", func(w io.Writer) error { _, err := io.WriteString(w, b.String()); return err }, 0, "", ""}.meets(t)
}
