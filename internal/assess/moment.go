package assess

import (
	"saltline/internal/record"
	"saltline/internal/unit"
)

// A moment is a point in time as far as it was written down. Minutes count
// from the midnight that begins its day.
type moment struct {
	day        unit.Date
	minutes    float64
	hasMinutes bool
}

// momentOf takes the first of the clocks that is known.
func momentOf(day record.Given[unit.Date], clocks ...record.Given[unit.Clock]) moment {
	m := moment{}
	if day.Known() {
		m.day = day.Val
	}
	for _, c := range clocks {
		if c.Known() {
			m.minutes, m.hasMinutes = float64(c.Val.Minutes()), true
			break
		}
	}
	return m
}

// begun is when a test began, or when it was read where that is all that was
// written down.
func begun(t *record.Test) moment { return momentOf(t.Date(), t.Start(), t.Read()) }

// finished is when the extract of a test was read, or when the test began
// where that is all that was written down. An extract that was read more than
// twelve hours before its water went in was read after midnight.
func finished(t *record.Test) moment {
	m := momentOf(t.Date(), t.Read(), t.Start())
	if m.hasMinutes && t.Start().Known() && float64(t.Start().Val.Minutes())-m.minutes > 12*60 {
		return m.nextDay()
	}
	return m
}

// treatmentBegun has no minutes where the start was not written down.
func treatmentBegun(t *record.Treatment) moment { return momentOf(t.Date, t.Started) }

// treatmentEnded has no minutes where the end was not written down.
func treatmentEnded(t *record.Treatment) moment {
	return overMidnight(momentOf(t.Date, t.Ended), t.Started)
}

// overMidnight moves an end that is earlier on the clock than its start to
// the next day.
func overMidnight(end moment, start record.Given[unit.Clock]) moment {
	if end.hasMinutes && start.Known() && end.minutes < float64(start.Val.Minutes()) {
		return end.nextDay()
	}
	return end
}

func (m moment) nextDay() moment {
	if !m.day.IsZero() {
		m.day = m.day.Add(1)
	}
	return m
}

// until is the time from m to n; false where the record does not tell. On
// different days it tells the order even without clocks, and the time is
// then only as good as the days.
func (m moment) until(n moment) (unit.Minutes, bool) {
	if m.day.IsZero() || n.day.IsZero() {
		return 0, false
	}
	days := float64(n.day.Since(m.day))
	switch {
	case m.hasMinutes && n.hasMinutes:
		return unit.Minutes(days*24*60 + n.minutes - m.minutes), true
	case days != 0:
		return unit.Minutes(days * 24 * 60), true
	}
	return 0, false
}
