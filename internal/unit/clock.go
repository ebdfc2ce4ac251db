package unit

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// ParseClock reads a time of day: 8:05, 08:05:30, 0805, 8.05, 8h05, 8h,
// kl. 8.05, 8:05 Uhr, 8:05 AM, 24:00, and the fraction of a day of a
// spreadsheet (three decimals at least). "8" and "8.5" are refused: an hour,
// or half past, or 8:50.
func ParseClock(text string) (Clock, error) {
	if len(text) > longestText {
		return 0, fmt.Errorf("a text of %d bytes is not a time of day", len(text))
	}
	c, ok := clockOf(text)
	if !ok {
		return 0, fmt.Errorf("%q is not a time of day", text)
	}
	return c, nil
}

// clockOf is what text means; false where it is no time of day.
func clockOf(text string) (Clock, bool) {
	s := strings.ToLower(trim(text))
	for _, prefix := range []string{"kl.", "kl ", "um ", "at ", "à ", "ca."} {
		s = trim(strings.TrimPrefix(s, prefix))
	}
	for _, suffix := range []string{"uhr", "hrs", "hours", "h.", "z"} {
		s = trim(strings.TrimSuffix(s, suffix))
	}
	s, half := cutHalf(s)
	marked := strings.HasSuffix(s, "h")
	if c, ok := fractionOfDay(s); ok && half == 0 {
		return c, true
	}
	if strings.ContainsAny(s, "h.") {
		s = betweenHours.Replace(s)
	}
	hour, onTheHour := strings.CutSuffix(s, ":")
	fields := make([]string, 0, 4)
	for f := range strings.SplitSeq(s, ":") {
		fields = append(fields, f)
	}
	switch {
	case len(fields) == 1 && (len(s) == 3 || len(s) == 4) && half == 0:
		fields = []string{s[:len(s)-2], s[len(s)-2:]}
	case len(fields) == 1 && half != 0, len(fields) == 2 && onTheHour && marked:
		fields = []string{hour, "00"}
	}
	h, m, sec, ok := clockParts(fields)
	if half != 0 {
		ok = ok && h >= 1 && h <= 12
		h = h%12 + 12*(half-1)
	}
	ok = ok && (h < 24 || h == 24 && m+sec == 0) && m <= 59 && sec <= 59
	return ClockAt(h, m) + Clock(sec), ok
}

// betweenHours are the signs between hours and minutes.
var betweenHours = strings.NewReplacer(" h ", ":", " h", ":", "h", ":", ".", ":")

// clockParts reads hours of one or two digits, minutes and seconds of two.
func clockParts(fields []string) (h, m, s int, ok bool) {
	if len(fields) < 2 || len(fields) > 3 {
		return 0, 0, 0, false
	}
	var n [3]int
	for i, f := range fields {
		if len(f) > 2 || len(f) == 0 || i > 0 && len(f) != 2 || !isDigits(f) {
			return 0, 0, 0, false
		}
		n[i] = number(f)
	}
	return n[0], n[1], n[2], true
}

// cutHalf takes am (1) or pm (2) off the end.
func cutHalf(s string) (rest string, half int) {
	t := strings.TrimRight(strings.ReplaceAll(strings.ReplaceAll(s, "a.m", "am"), "p.m", "pm"), ".")
	if rest, ok := strings.CutSuffix(t, "am"); ok {
		return trim(rest), 1
	}
	if rest, ok := strings.CutSuffix(t, "pm"); ok {
		return trim(rest), 2
	}
	return s, 0
}

// fractionOfDay reads 0.336806 as 08:05.
func fractionOfDay(s string) (Clock, bool) {
	digits, ok := strings.CutPrefix(strings.Replace(s, ",", ".", 1), "0.")
	if !ok || len(digits) < 3 || len(digits) > 18 || !isDigits(digits) {
		return 0, false
	}
	f, err := strconv.ParseFloat("0."+digits, 64)
	return Clock(math.Round(f * 86400)), err == nil
}

// ParseDateTime reads a date with a time of day behind it ("2025-03-11
// 08:05", "2025-03-11T08:05:30", "11.03.2025, kl. 8.05") or a date alone,
// for which hasClock is false.
func ParseDateTime(text string) (dates []DateReading, clock Clock, hasClock bool, err error) {
	if len(text) > longestText {
		return nil, 0, false, fmt.Errorf("a text of %d bytes is not a date with a time", len(text))
	}
	s := trim(text)
	if dates := datesOf(s); len(dates) > 0 {
		return dates, 0, false, nil
	}
	for i, r := range s {
		if r != ' ' && r != 'T' && r != ',' && r != '\u00a0' {
			continue
		}
		dates := datesOf(strings.TrimRight(s[:i], ", "))
		if clock, ok := clockOf(strings.TrimLeft(s[i:], "T, \u00a0")); ok && len(dates) > 0 {
			return dates, clock, true, nil
		}
	}
	return nil, 0, false, fmt.Errorf("%q is not a date with a time", text)
}
