package papers

import (
	"slices"

	"saltline/internal/record"
	"saltline/internal/unit"
)

// Calibration is the row of the meters table that shows the certificate of a
// meter in force on a day: the last such row. Where none does, it is the last
// row of the meter and inForce is false; nil where the table does not have it.
//
// A certificate is in force until its due date, that day included. Since when
// is asked only of a row that says when it was calibrated.
func Calibration(job *record.Job, serial string, day unit.Date) (row *record.Meter, inForce bool) {
	key := record.Folded(serial)
	if key == "" {
		return nil, false
	}
	for i := range slices.Backward(job.Meters) {
		m := &job.Meters[i]
		if record.Folded(m.Serial.Val) != key {
			continue
		}
		if !day.IsZero() && m.Due.Known() && day.Compare(m.Due.Val) <= 0 && (!m.CalibratedOn.Known() || day.Compare(m.CalibratedOn.Val) >= 0) {
			return m, true
		}
		if row == nil {
			row = m
		}
	}
	return row, false
}
