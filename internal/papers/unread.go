package papers

import (
	"slices"

	"saltline/internal/assess"
	"saltline/internal/pattern"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// An Unread day is one on which, by its papers, salt was tested, and of which no
// test was read: its file was perhaps not named.
type Unread struct {
	Date   unit.Date
	Number string // of its report; "" where none is recorded
	Signed bool   // the report of the day is signed
	Checks int    // readings of a meter in a check solution
}

// UnreadDays are those days, in order. They stand in the diary, and a signature
// under the report of the day or a meter check shows that something was tested,
// unless the diary says that nothing was. Without the diary a check may be that
// of a shift that went on past midnight, and a date of a signature a slip.
func UnreadDays(r *assess.Result) []Unread {
	byDay := map[unit.Date]*Unread{}
	of := func(d record.Given[unit.Date]) *Unread {
		if !d.Known() {
			return nil
		}
		if byDay[d.Val] == nil {
			byDay[d.Val] = &Unread{Date: d.Val}
		}
		return byDay[d.Val]
	}
	for i := range r.Job.Signatures {
		g := &r.Job.Signatures[i]
		if u := of(g.Date); u != nil && KindOf(g.Document.Val) == DailyReport && g.SignedAt.Known() {
			u.Signed = true
		}
	}
	for i := range r.Job.Checks {
		if u := of(r.Job.Checks[i].Date); u != nil {
			u.Checks++
		}
	}
	if len(r.Job.Tests) == 0 {
		return nil
	}
	for i := range r.Job.Tests {
		delete(byDay, r.Job.Tests[i].Date().Val)
	}
	inDiary := map[unit.Date]bool{}
	for i := range r.Job.Days {
		d := &r.Job.Days[i]
		u := byDay[d.Date.Val]
		switch {
		case u == nil:
		case saysNone(d):
			delete(byDay, d.Date.Val)
		default:
			u.Number = d.ReportNumber.OrZero()
			inDiary[d.Date.Val] = true
		}
	}
	var out []Unread
	for _, u := range byDay {
		if inDiary[u.Date] && (u.Signed || u.Checks > 0) {
			out = append(out, *u)
		}
	}
	slices.SortFunc(out, func(a, b Unread) int { return a.Date.Compare(b.Date) })
	return out
}

// none finds what a diary says of a day without tests, in the languages that
// logs are read in.
var none = pattern.Of(`(?i)\bno (salt |more )?tests?\b|\bno testing\b|not tested|without tests?|keine (weiteren )?(salz)?(prüf|mess|test)|nicht geprüft|ohne prüf|sin ensayos?|no se ensay|ningún ensayo|aucun essai|pas d.essai|sans essai|ingen (salt)?(test|prøv|måling)|ikke (test|prøv|målt)`)

// saysNone reports whether the diary says that nothing was tested on a day.
func saysNone(d *record.Day) bool {
	for _, w := range []record.Words{d.WorkDone, d.Delays, d.Remarks, d.Instructions} {
		if none().MatchString(w.OrZero()) {
			return true
		}
	}
	return false
}
