package record

import "testing"

// Remarks as inspectors write them, with the kind of the test and the test
// that they name.
func TestRemarkNamesTest(t *testing.T) {
	for _, c := range []struct {
		remark, number string
		kind           TestKind
	}{
		{"retest of 12 after rinsing, right beside the old print", "12", Retest},
		{"Retest of test no. 12.", "12", Retest},
		{"new test of 12, washed and dried", "12", Retest},
		{"Nachmessung zur Prüfung 12", "12", Retest},
		{"Wiederholungsprüfung zu Nr. 12 nach dem Abwaschen, daneben", "12", Repeat},
		{"se repite el ensayo 12 después del lavado, al lado", "12", Repeat},
		{"repite la 12, junto a la huella vieja", "12", Repeat},
		{"nuevo ensayo del 12", "12", Retest},
		{"refait le 12 après rinçage, à côté", "12", Repeat},
		{"reprise de l'essai 12", "12", Repeat},
		{"nouvel essai du n° 12", "12", Retest},
		{"ny måling av prøve 12 etter spyling", "12", Retest},
		{"gjentak av nr 12", "12", Repeat},
		{"repeat of L-2/a", "L-2/a", Repeat},
		{"repeat of 12 due to a leak", "12", Repeat},
		{"retest of 12 required by the owner, made at once", "12", Retest},
		{"repeat of 12 5/6", "12", Repeat},
		{"Nachprüfung zu Nr. 12", "12", Retest},
		{"Nachtest von 12, daneben", "12", Retest},
		{"Gegenprobe zu Prüfung Nr. 12", "12", Retest},
		{"neuer Test von 12", "12", Retest},
		{"Nachbarprüfung zu 12", "12", Adjacent},
		{"repetición del 12", "12", Repeat},
		{"nuevo ensayo del n.º 12", "12", Retest},
		{"contiguo al 12", "12", Adjacent},
		{"contre-essai du n° 12", "12", Retest},
		{"contre-essai de l’essai n° 12", "12", Retest},
		{"nouvelle mesure du 12", "12", Retest},
		{"adjacent à 12", "12", Adjacent},
		{"ny test av nr. 12", "12", Retest},
		{"nabotest til 12", "12", Adjacent},
		{"Nachtest von 12 folgt", "", 0},
		{"Nachprüfung Nr. 2", "", 0}, // the second, of which test is not said
		{"nuevo ensayo del 12 de octubre", "", 0},
		{"contre-essai du 12 à faire", "", 0},
		{"ny test av 12 gjenstår", "", 0},
		{"retest of 12 wanted", "", 0},
		{"retest of 12 still needed.", "", 0},
		{"Nachprüfung zu 12 noch offen", "", 0},
		{"repetir el 12", "", 0},
		{"se repite el 12 de octubre", "", 0},
		{"repeat of 12 March values", "", 0},
		{"wash and retest", "", 0},
		{"repite 12 veces", "", 0},
	} {
		number, kind := "", TestKind(0)
		for _, m := range madeFor {
			if _, n := namedTest(m.find(), c.remark); n != "" {
				number, kind = n, m.kind
				break
			}
		}
		if number != c.number || kind != c.kind {
			t.Errorf("%q: kind %d of %q, want %d of %q", c.remark, kind, number, c.kind, c.number)
		}
	}
}

func TestRemarkNamesWashing(t *testing.T) {
	for _, c := range []struct {
		remark       string
		named, timed bool
	}{
		{"retest of 4 after rinsing with hot water", true, false},
		{"retest of 4, washed and dried", true, false},
		{"retest of 4 after washing 10:15-10:40", true, true},
		{"Nachprüfung zu 4, gewaschen um 9 Uhr", true, true},
		{"Nachprüfung zu 4 nach erneutem Waschen", true, false},
		{"repite el 4 después de lavar", true, false},
		{"contre-essai du 4 après le lavage, à côté", true, false},
		{"reprise du 4, lavé à 14 h", true, true},
		{"omtest av 4 etter vask kl. 12.30", true, true},
		{"ny prøve av 4 etter vask og tørking", true, false},
		{"retest of 4, washed the syringe first", false, false},
		{"retest of 4, syringe washed", false, false},
		{"retest of 4, not washed", false, false},
		{"Nachprüfung zu 4, nicht gewaschen", false, false},
		{"Nachprüfung zu 4 vor dem Waschen", false, false},
		{"repite el 4 sin lavar", false, false},
		{"contre-essai du 4, pas lavé", false, false},
		{"omtest av 4, ikke vasket", false, false},
		{"to be washed", false, false},
		{"wash and repeat", false, false},
		{"", false, false},
	} {
		test := NewTest()
		test.Own().Remark = Words{Val: c.remark, State: Known}
		if named, timed := test.Washing(); named != c.named || timed != c.timed {
			t.Errorf("%q: named %v, timed %v; want %v, %v", c.remark, named, timed, c.named, c.timed)
		}
	}
}
