package table

import (
	"math"
	"strconv"
	"strings"
	"time"
)

// A moment is a format that spells a date or a time with nothing but numbers, as
// nearly all that stand in logs are: "yyyy-mm-dd", "dd.mm.yyyy", "hh:mm". It is
// spelled here as the workbook library spells it, without asking it.
type moment []momentPart

// A momentPart is a number with so many digits at least, or a text.
type momentPart struct {
	kind   byte // y, M for a month, d, h, m for minutes, s; 0 for a text
	digits int
	text   string
}

// builtInMoment are the codes of the built-in formats that are moments, as the
// library has them.
var builtInMoment = map[int]string{14: "mm-dd-yy", 20: "hh:mm", 21: "hh:mm:ss", 22: "m/d/yy hh:mm"}

// momentOf reads a format code; nil where it is no moment.
func momentOf(code string) moment {
	var m moment
	code = strings.TrimSuffix(code, ";@")
	for i := 0; i < len(code); {
		c := code[i]
		n := 1
		switch {
		case strings.IndexByte("ymdhs", c) >= 0:
			for i+n < len(code) && code[i+n] == c {
				n++
			}
			if n > 2 && (c != 'y' || n != 4) {
				return nil // a name, or what programs do not read alike
			}
			m = append(m, momentPart{kind: c, digits: n})
		case c == '\\' && i+1 < len(code) && strings.IndexByte("-./: ", code[i+1]) >= 0:
			m = append(m, momentPart{text: code[i+1 : i+2]})
			n = 2
		case strings.IndexByte("-./: ", c) >= 0:
			m = append(m, momentPart{text: code[i : i+1]})
		default:
			return nil
		}
		i += n
	}
	for i := range m {
		if m[i].kind == 'm' && m.beside(i, -1) != 'h' && m.beside(i, 1) != 's' {
			m[i].kind = 'M'
		}
	}
	if datePartsOf(code) == 0 {
		return nil
	}
	return m
}

// beside is the kind of the next number on one side.
func (m moment) beside(i, step int) byte {
	for i += step; i >= 0 && i < len(m); i += step {
		if m[i].kind != 0 {
			return m[i].kind
		}
	}
	return 0
}

// spell spells a serial number; ok is false where that is for the library: the
// days about the 29th of February 1900, which the calendars count differently, and
// numbers below 0.
func (m moment) spell(raw string, v float64, date1904 bool) (s string, ok bool) {
	const day = 86400e9 // nanoseconds
	if strings.Trim(raw, "0123456789.") != "" {
		return "", false
	}
	if len(raw) > 15 { // of the digits that programs count on
		v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'G', 15, 64), 64)
	}
	var date time.Time
	var second int64
	switch whole := math.Floor(v); {
	case v >= 0 && v < 1 && !m.dated():
		// The library counts from a day of long ago, so that the fraction is a little
		// less exact than v.
		_, part := math.Modf(v + 15018)
		if date1904 {
			_, part = math.Modf(v + 16480)
		}
		n := int64(day*((part+0.5)-0.5) + 500)
		second = n / 1e9
		if n%1e9/1e3*1e3 >= 5e8 {
			second++
		}
		if second >= 86400 {
			return "", false
		}
	case whole > 61 && v < 2_958_000:
		n := int64(day * (v - whole + 1e-9))
		second = n / 1e9
		if n%1e9/1e6 > 500 {
			second++
		}
		first := time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)
		if date1904 {
			first = time.Date(1904, 1, 1, 0, 0, 0, 0, time.UTC)
		}
		date = first.AddDate(0, 0, int(whole)+int(second/86400))
		second %= 86400
	default:
		return "", false
	}
	var out [64]byte
	b := out[:0]
	for _, p := range m {
		n := 0
		switch p.kind {
		case 'y':
			if n = date.Year(); p.digits <= 2 {
				n %= 100
				p.digits = 2
			}
		case 'M':
			n = int(date.Month())
		case 'd':
			n = date.Day()
		case 'h':
			n = int(second / 3600)
		case 'm':
			n = int(second / 60 % 60)
		case 's':
			n = int(second % 60)
		default:
			b = append(b, p.text...)
			continue
		}
		if p.digits >= 2 && n < 10 {
			b = append(b, '0')
		}
		b = strconv.AppendInt(b, int64(n), 10)
	}
	return clean(string(b)), true
}

// dated reports whether a date is among the parts.
func (m moment) dated() bool {
	for _, p := range m {
		if strings.IndexByte("yMd", p.kind) >= 0 {
			return true
		}
	}
	return false
}
