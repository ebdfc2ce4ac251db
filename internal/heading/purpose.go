package heading

import "slices"

// These are the words for what a test was made for, each as folding leaves it,
// in the five languages. A column headed "kind" and no more is known by them,
// and whoever reads the column reads it with the same ones. They are set off by
// a comma and a space.
const (
	OriginalTest = "original, orig, first, first test, initial test, " +
		"erstmessung, erstprufung, ersttest, erste prufung, original prufung, ursprungliche prufung, " +
		"ensayo original, ensayo inicial, primer ensayo, primera, primero, " +
		"initial, premier, premiere mesure, premier essai, essai initial, essai d origine, " +
		"opprinnelig, opprinnelig test, forste, forste test"

	RepeatTest = "repeat, repeat of, repeat of void, repeat test, repetition, repetition of, repeated, " +
		"wiederholung, wiederholung von, wiederholung zu, wiederholungsmessung, wiederholte prufung, " +
		"repeticion, repeticion de, repetido, repetida, repetee, repetition de, essai repete, " +
		"gjentak, gjentak av, gjentakelse, gjentakelse av, gjentatt, gjentatt test"

	Retest = "retest, retest of, re test, re tested, retested, after wash, after washing, retesting, " +
		"nachprufung, nachprufung zu, nachprufung von, nachmessung, nachtest, wiederholungsprufung, gegenprobe, kontrollprufung, nach waschen, nach dem waschen, " +
		"reensayo, reensayo de, re ensayo, contraensayo, contraensayo de, nuevo ensayo, tras lavado, tras el lavado, " +
		"contre essai, contre essai de, contre essai du, reessai, re essai, nouvel essai, apres lavage, " +
		"ny test, ny test av, omtest, omtest av, etterkontroll, etter vask"

	AdjacentTest = "adjacent, adjacent to, adjacent test, beside, neighbouring test, " +
		"nachbarstelle, nachbarprufung, nachbarprufung zu, nachbartest, nachbar, benachbart, angrenzend, nebenstelle, " +
		"adyacente, adyacente a, ensayo adyacente, contiguo, contigua, ensayo contiguo, " +
		"adjacente, adjacent a, essai adjacent, voisin, voisine, essai voisin, " +
		"tilstotende, tilstotende test, nabo, nabotest, nabotest til, nabopunkt"

	WitnessTest = "witness, witness of, witness test, witness duplicate, duplicate, witnessed, " +
		"doppelbestimmung, zeugenmessung, zeugenprufung, doppel, zeuge, vergleichsprufung, vergleichsprufung zu, vergleichsmessung, " +
		"duplicado, testigo, ensayo testigo, contraste, contraste de, ensayo de contraste, " +
		"doublon, temoin, essai temoin, double, contradictoire, contradictoire de, essai contradictoire, " +
		"vitne, vitnetest, vitnetest til, duplikat, parallell, parallellprove, parallelltest"

	BlankTest = "procedural blank, blank, glass blank, blank on glass, procedural blank on glass, procedural on glass, glass, " +
		"verfahrensblindwert, blindprobe, blindwert, blindwert auf glas, blindversuch, glasplatte, " +
		"blanco, blanco de procedimiento, blanco sobre vidrio, " +
		"blanc, blanc de procedure, blanc sur verre, " +
		"blindprove, blindprove pa glass, blindverdi, blindverdi pa glass, blank pa glass, prosedyreblank, glassplate"
)

// purposes are the lists above.
var purposes = []string{OriginalTest, RepeatTest, Retest, AdjacentTest, WitnessTest, BlankTest}

// isPurpose reports whether a cell says what a test was made for, in no other
// words.
func isPurpose(s string) bool {
	f := plain(s)
	return f != "" && slices.ContainsFunc(purposes, func(list string) bool { return IsOneOf(list, f) })
}
