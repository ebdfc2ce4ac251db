package unit

import (
	"strings"
	"unicode/utf8"
)

// months are the names of the months by number in five languages, with the
// abbreviations that are not merely their first letters.
var months = [13][]string{
	1:  strings.Fields("january januar enero janvier jän jänner janv ene"),
	2:  strings.Fields("february februar febrero février feber fevrier feb fév févr fevr"),
	3:  strings.Fields("march märz marzo mars mrz maerz mär"),
	4:  strings.Fields("april abril avril avr abr"),
	5:  strings.Fields("may mai mayo"),
	6:  strings.Fields("june juni junio juin"),
	7:  strings.Fields("july juli julio juillet juil"),
	8:  strings.Fields("august agosto août aout ago"),
	9:  strings.Fields("september septiembre septembre setiembre sept"),
	10: strings.Fields("october oktober octubre octobre okt oct"),
	11: strings.Fields("november noviembre novembre nov"),
	12: strings.Fields("december dezember diciembre décembre desember decembre dez des dic déc"),
}

// weekdays are the full names and their usual abbreviations, in the same
// five languages.
const weekdays = " monday tuesday wednesday thursday friday saturday sunday mon tue tues wed thu thur thurs fri sat sun " +
	"montag dienstag mittwoch donnerstag freitag samstag sonnabend sonntag mo di mi do fr sa so " +
	"lunes martes miércoles jueves viernes sábado domingo lundi mardi mercredi jeudi vendredi samedi dimanche " +
	"mandag tirsdag onsdag torsdag fredag lørdag søndag man tir ons tor fre lør søn "

// monthNumber gives the month that name, in lower case, is the name of or
// the first letters (three at least) of; 0 for none and for two.
func monthNumber(name string) int {
	name = strings.Trim(name, ".")
	if utf8.RuneCountInString(name) < 3 {
		return 0
	}
	found := 0
	for n, names := range months {
		for _, full := range names {
			if full == name {
				return n
			}
			if strings.HasPrefix(full, name) {
				if found != 0 && found != n {
					return 0
				}
				found = n
			}
		}
	}
	return found
}

// dropWeekday takes the name of a day off the front.
func dropWeekday(s string) string {
	word, rest, ok := strings.Cut(s, " ")
	if ok && strings.Contains(weekdays, " "+strings.TrimRight(word, ".,")+" ") {
		return trim(rest)
	}
	return s
}
