package assess

import (
	"testing"

	"saltline/internal/unit"
)

func TestSaysWhat(t *testing.T) {
	for _, what := range []string{
		"fresh-water wash", "washed twice, then blown dry", "steam", "sweep blast", "re-blast", "Rinsed", "power tool cleaning", "ground flush", "washed without soap",
		"Frischwasserwäsche", "mit Süßwasser gewaschen", "Hochdruckreinigung", "abgespült", "gedampft, gestrahlt", "geschliffen", "Waschen ohne Zusatz",
		"lavado con agua dulce", "hidrolavado", "enjuague", "chorreado ligero", "limpieza con vapor", "amolado",
		"lavage à l’eau douce", "rinçage", "sablage", "nettoyé à la vapeur", "meulage", "non séché, lavé",
		"ferskvannsvask", "spylt med ferskvann", "sandblåst", "slipt", "rengjort", "høytrykksspyling",
	} {
		if !saysWhat(what) {
			t.Errorf("%q is no treatment", what)
		}
	}
	for _, what := range []string{
		"", "–", "-", "none", "n/a", "keine", "ninguno", "aucun", "ingen", "photographed", "to follow", "looks clean", "sauber", "limpio", "propre", "ren",
		"not washed", "no wash", "wasn't washed", "unwashed", "to be washed", "wash planned", "photographed before washing", "looked at from the ground", "left damp",
		"nicht gewaschen", "ungewaschen", "keine Wäsche", "ohne Reinigung", "Waschen geplant", "vor dem Waschen",
		"sin lavar", "no se lavó", "lavado pendiente", "pas lavé", "sans lavage", "lavage prévu", "ikke vasket", "uvasket", "uten vask", "ingen spyling",
	} {
		if saysWhat(what) {
			t.Errorf("%q is a treatment", what)
		}
	}
}

// A treatment clears a fail only where the record says what it was, and that
// it was made for that fail.
func TestDeeds(t *testing.T) {
	const (
		fail    = "1 original | 08:00 | L1 | 70\n"
		besides = "8 adjacent 1 | 14:00 | l | 20\n9 adjacent 1 | 14:10 | r | 20\n"
		retest  = "2 retest 1 | 13:00 | L1 b | 20 | | W\n" + besides
	)
	for _, c := range []struct{ name, history, want string }{
		{"washed", fail + "T:W 1 | 11:00-12:00 | washed\n" + retest, "1 cleared by 2"},
		{"nothing said", fail + "T:W 1 | 11:00-12:00 | \n" + retest, "1 open: treatment-unsaid 2"},
		{"none", fail + "T:W 1 | 11:00-12:00 | none\n" + retest, "1 open: treatment-unsaid 2"},
		{"photographed, and not tested since", fail + "T:W 1 | 11:00-12:00 | photographed\n" + besides, "1 open: treatment-unsaid"},
		{"photographed, then washed", fail + "T 1 | 10:00-10:10 | photographed\nT:W 1 | 11:00-12:00 | washed\n" + retest, "1 cleared by 2"},
		{"washed, then photographed", fail + "T 1 | 10:00-10:10 | washed\nT:W 1 | 11:00-12:00 | photographed\n" + retest, "1 cleared by 2"},
		{"none, and the end is not written down", fail + "T:W 1 | 11:00- | none\n" + besides, "1 open: treatment-end-unknown"},
		{"none, retest on the next day", fail + "T:W 1 | 11:00- | none\n2 retest 1 | 2/08:00 | L1 b | 20 | | W\n" + besides,
			"1 open: treatment-unsaid 2"},
		{"of no test, named by the retest", fail + "T:W | 11:00-12:00\n" + retest, "1 cleared by 2"},
		{"of another test, named by the retest", "7 original | 07:00 | L7 | 20\n" + fail + "T:W 7 | 11:00-12:00\n" + retest, "1 open: treatment-of-others 2"},
		{"of a test that is not there, named by the retest", fail + "T:W 77 | 11:00-12:00\n" + retest, "1 open: treatment-of-others 2"},
		{"of another test and the fail", "7 original | 07:00 | L7 | 20\n" + fail + "T:W 7 1 | 11:00-12:00\n" + retest, "1 cleared by 2"},
		{"of the retest itself", fail + "T:W 2 | 11:00-12:00\n" + retest, "1 cleared by 2"},
		{"of another test, named by an adjacent test, not tested since",
			"7 original | 07:00 | L7 | 20\n" + fail + "T:W 7 | 11:00-12:00\n8 adjacent 1 | 14:00 | l | 20 | | W\n9 adjacent 1 | 14:10 | r | 20\n",
			"1 open: treatment-of-others"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := spell(parseHistory(t, c.history), unit.Date{}); got != c.want {
				t.Errorf("got\n%s\nwant\n%s", got, c.want)
			}
		})
	}
}
