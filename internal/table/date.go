package table

import (
	"fmt"
	"math"
	"strings"
	"time"
)

// dateParts are the parts of a moment that a number format shows.
type dateParts int

const (
	showsDate dateParts = 1 << iota
	showsTime
	showsElapsed // hours, minutes or seconds that may run past a day: [h]:mm
)

// builtInDate tells which of the formats that every workbook has show a date
// or a time. 14–22 and 45–47 are in ISO/IEC 29500-1 18.8.30 for all
// languages, 27–36 and 50–58 for the East Asian ones.
func builtInDate(id int) dateParts {
	switch {
	case id >= 14 && id <= 17, id >= 27 && id <= 31, id == 36, id >= 50 && id <= 54, id == 57, id == 58:
		return showsDate
	case id >= 18 && id <= 21, id >= 32 && id <= 35, id == 45, id == 47, id == 55, id == 56:
		return showsTime
	case id == 22:
		return showsDate | showsTime
	case id == 46:
		return showsTime | showsElapsed
	}
	return 0
}

// datePartsOf reads a format code. Only its first section counts, the one for
// positive numbers. An m means minutes after an h or before an s, and a month
// otherwise.
func datePartsOf(code string) dateParts {
	var parts dateParts
	var tokens []byte // the letters y m d h s in their order, each run once
	for i := 0; i < len(code); i++ {
		switch c := code[i] | 0x20; {
		case code[i] == ';':
			i = len(code)
		case code[i] == '"':
			if end := strings.IndexByte(code[i+1:], '"'); end >= 0 {
				i += end + 1
			}
		case code[i] == '\\', code[i] == '_', code[i] == '*': // the next character is shown, skipped or repeated
			i++
		case code[i] == '[':
			end := strings.IndexByte(code[i:], ']')
			if end < 0 {
				return parts
			}
			inside := strings.ToLower(code[i+1 : i+end])
			if inside != "" && strings.Trim(inside, inside[:1]) == "" && strings.Contains("hms", inside[:1]) {
				parts |= showsTime | showsElapsed
				tokens = append(tokens, inside[0])
			}
			i += end
		case prefixed(code[i:], "general"), prefixed(code[i:], "am/pm"):
			i += len("am/pm") - 1 // the rest of "general" has no letter that counts
		case strings.IndexByte("ymdhs", c) >= 0:
			if n := len(tokens); n == 0 || tokens[n-1] != c || code[i-1]|0x20 != c {
				tokens = append(tokens, c)
			}
		}
	}
	for i, c := range tokens {
		switch c {
		case 'y', 'd':
			parts |= showsDate
		case 'h', 's':
			parts |= showsTime
		case 'm':
			afterHour := i > 0 && tokens[i-1] == 'h'
			beforeSecond := i+1 < len(tokens) && tokens[i+1] == 's'
			if !afterHour && !beforeSecond && parts&showsElapsed == 0 {
				parts |= showsDate
			} else {
				parts |= showsTime
			}
		}
	}
	return parts
}

// prefixed reports whether s begins with prefix, in capitals or not.
func prefixed(s, prefix string) bool {
	return len(s) >= len(prefix) && strings.EqualFold(s[:len(prefix)], prefix)
}

// isoSerial spells a serial number as ISO 8601, to the nearest second, with
// the parts that its format shows. Day 1 is 1900-01-01, or day 0 is
// 1904-01-01; in the first calendar day 60 is a 29th of February 1900 that
// never was. What is no date there, or runs past a day where only a time is
// shown, gives "".
func isoSerial(v float64, shows dateParts, date1904 bool) string {
	const lastDay = 2_958_465 // 9999-12-31 counted from 1900
	if v < 0 || v > lastDay+1 || math.IsNaN(v) {
		return ""
	}
	seconds := int64(math.Round(v * 86400))
	day, second := seconds/86400, seconds%86400
	clock := fmt.Sprintf("%02d:%02d:%02d", second/3600, second/60%60, second%60)
	if shows&showsDate == 0 {
		if shows&showsElapsed != 0 && day > 0 {
			return ""
		}
		return clock
	}
	first := time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)
	switch {
	case date1904:
		first = time.Date(1904, 1, 1, 0, 0, 0, 0, time.UTC)
	case day == 0, day == 60:
		return ""
	case day < 60:
		first = first.AddDate(0, 0, 1)
	}
	date := first.AddDate(0, 0, int(day))
	if date.Year() > 9999 {
		return ""
	}
	if shows&showsTime == 0 {
		return date.Format(time.DateOnly)
	}
	return date.Format(time.DateOnly) + "T" + clock
}

// isoText is the ISO spelling of a date that is stored as text, "" if it is
// none that is known here.
func isoText(s string) string {
	for _, in := range []struct{ layout, out string }{
		{time.DateOnly, time.DateOnly},
		{"2006-01-02T15:04:05", "2006-01-02T15:04:05"},
		{"2006-01-02T15:04", "2006-01-02T15:04:05"},
		{time.RFC3339, "2006-01-02T15:04:05"},
		{time.TimeOnly, time.TimeOnly},
	} {
		if t, err := time.Parse(in.layout, s); err == nil {
			return t.Format(in.out)
		}
	}
	return ""
}
