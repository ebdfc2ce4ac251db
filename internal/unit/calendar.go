package unit

import (
	"cmp"
	"fmt"
	"time"
)

// A Date is a day of the Gregorian calendar. The zero Date is no day; Year 0
// with a month and a day means that no year was written.
type Date struct{ Year, Month, Day int }

// IsZero reports whether d is no day.
func (d Date) IsZero() bool { return d == Date{} }

// Compare orders days.
func (d Date) Compare(e Date) int {
	return cmp.Or(cmp.Compare(d.Year, e.Year), cmp.Compare(d.Month, e.Month), cmp.Compare(d.Day, e.Day))
}

// ISO spells d as 2025-03-11; without a year, as --03-11.
func (d Date) ISO() string {
	if d.Year == 0 {
		return fmt.Sprintf("--%02d-%02d", d.Month, d.Day)
	}
	return fmt.Sprintf("%04d-%02d-%02d", d.Year, d.Month, d.Day)
}

// Valid reports whether the calendar has d. A day without a year is valid
// if some year has it.
func (d Date) Valid() bool {
	year := d.Year
	if year == 0 {
		year = 2000 // a leap year
	}
	t := Date{year, d.Month, d.Day}.midnight()
	return year > 0 && year <= 9999 && t.Year() == year && t.Month() == time.Month(d.Month) && t.Day() == d.Day
}

// Since counts the days from e to d; negative where d is the earlier.
func (d Date) Since(e Date) int { return int(d.midnight().Sub(e.midnight()) / (24 * time.Hour)) }

// Add returns the day n days after d.
func (d Date) Add(n int) Date {
	t := d.midnight().AddDate(0, 0, n)
	return Date{t.Year(), int(t.Month()), t.Day()}
}

// Weekday is the day of the week.
func (d Date) Weekday() time.Weekday { return d.midnight().Weekday() }

// midnight is d as the standard library counts it, without a time zone.
func (d Date) midnight() time.Time {
	return time.Date(d.Year, time.Month(d.Month), d.Day, 0, 0, 0, 0, time.UTC)
}

// A DateOrder is the order in which a date's numbers are written.
type DateOrder int

const (
	OrderNotStated DateOrder = iota
	DMY
	MDY
	YMD
)

// A Clock is a time of day in seconds after midnight, 0 to 86 400.
type Clock int

// ClockAt returns h:m.
func ClockAt(h, m int) Clock { return Clock(h*3600 + m*60) }

// Minutes returns c in minutes after midnight.
func (c Clock) Minutes() Minutes { return Minutes(float64(c) / 60) }

// Since returns the time from d to c; negative where c is the earlier.
func (c Clock) Since(d Clock) Minutes { return Minutes(float64(c-d) / 60) }

// String spells c as 08:05, with seconds only where they are not zero.
func (c Clock) String() string {
	h, m, s := int(c)/3600, int(c)/60%60, int(c)%60
	if s != 0 {
		return fmt.Sprintf("%02d:%02d:%02d", h, m, s)
	}
	return fmt.Sprintf("%02d:%02d", h, m)
}
