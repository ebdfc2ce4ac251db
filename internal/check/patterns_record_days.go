package check

import (
	"cmp"
	"strings"
	"time"

	"saltline/internal/assess"
	"saltline/internal/diag"
	"saltline/internal/record"
	"saltline/internal/unit"
)

// workOnARestDay: tests bear the date of a day on which, by the diary, nobody
// tested, or that of a Sunday that the diary leaves out though it has a row
// for at least half of the other days with tests (house choice). A job without
// a diary is not asked, nor is what a night shift did after midnight.
var workOnARestDay = &assess.Check{
	Name:     "work-on-a-rest-day",
	Group:    assess.Integrity,
	Severity: assess.Weakens,
	Owner:    assess.QCManager,
	Run: func(v *assess.Review) {
		rest := restDays(v)
		if len(rest) == 0 {
			return
		}
		tests := onSteel(v, func(l *assess.Line) bool {
			t := l.Test
			if _, asked := rest[t.Date().Val]; !asked || !t.Date().Known() {
				return false
			}
			day, _, _ := momentOfTest(v, t)
			return day == t.Date().Val
		})
		for _, of := range byDay(v, tests) {
			day := v.Lines[of[0]].Test.Date().Val
			f := assess.Finding{Tests: of, Places: places(v, of, dateAt), Args: map[string]any{"Day": day, "Says": ""}}
			if d := rest[day]; d != nil {
				f.Args["Says"] = saysRest(d)
				f.Places = append([]diag.Pos{d.Row}, f.Places...)
			}
			report(v, f)
		}
	},
}

func dateAt(t *record.Test) diag.Pos { return t.Date().Pos }

// restDays are the days with tests on which nobody was to test, with the row
// of the diary that says so; nil for a Sunday that it leaves out.
func restDays(v *assess.Review) map[unit.Date]*record.Day {
	diary := map[unit.Date]*record.Day{}
	working := map[unit.Date]bool{} // a row says something else
	for i := range v.Job.Days {
		d := &v.Job.Days[i]
		if !d.Date.Known() {
			continue
		}
		working[d.Date.Val] = working[d.Date.Val] || saysRest(d) == ""
		diary[d.Date.Val] = cmp.Or(diary[d.Date.Val], d)
	}
	if len(diary) == 0 {
		return nil
	}
	rest := map[unit.Date]*record.Day{}
	others, kept := 0, 0
	for day := range datesOf(v, steel(v)) {
		row, has := diary[day]
		sunday := day.Weekday() == time.Sunday
		switch {
		case has && !working[day]:
			rest[day] = row
		case !has && sunday:
			rest[day] = nil
		}
		if !sunday {
			others++
			if has {
				kept++
			}
		}
	}
	for day, row := range rest {
		if row == nil && 2*kept < others {
			delete(rest, day)
		}
	}
	return rest
}

// saysRest is where a row of the diary says that nobody tested that day; "" if
// it does not. Only a clause that says nothing else counts: "no testing after
// 14:00" is of a working day.
func saysRest(d *record.Day) string {
	says := ""
	for _, w := range []record.Words{d.WorkDone, d.Remarks, d.Delays} {
		if anyClause(w.Val, func(clause string) bool {
			words := wordsOf(clause)
			for len(words) > 0 && allDay[words[len(words)-1]] {
				words = words[:len(words)-1]
			}
			says = strings.TrimSpace(clause)
			return restClauses[strings.Join(words, " ")]
		}) {
			return says
		}
	}
	return ""
}

// allDay are words that may follow such a clause and take nothing from it.
var allDay = setOf("today", "all", "day", "heute", "ganztägig", "hoy", "aujourd", "hui", "jour", "journée", "dag", "hele", "dagen")

var restClauses = setOf(
	"no testing", "no tests", "no work", "no work on site", "not working", "rest", "rest day", "holiday", "public holiday", "bank holiday", "site closed", "yard closed", "closed",
	"keine prüfung", "keine prüfungen", "keine arbeit", "keine arbeiten", "arbeitsfrei", "ruhetag", "feiertag", "baustelle geschlossen", "geschlossen",
	"sin ensayos", "sin trabajo", "sin actividad", "festivo", "día festivo", "descanso", "cerrado", "obra cerrada",
	"pas d essai", "pas d essais", "pas de travail", "férié", "repos", "fermé", "chantier fermé", "chômé",
	"ingen prøving", "ingen prøver", "ingen tester", "ikke arbeid", "intet arbeid", "ingen arbeid", "fridag", "helligdag", "stengt",
)
