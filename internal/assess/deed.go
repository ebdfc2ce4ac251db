package assess

import (
	"slices"
	"strings"
	"unicode"

	"saltline/internal/record"
)

// Wordings of what takes salt off steel, in the five languages of the headings:
// washing, rinsing, steaming, blasting, grinding, cleaning. An adjective is
// none of them: steel that is clean has not been cleaned.
var (
	// Anywhere in a word, for they stand at the end of compound ones.
	deeds = []string{"wash", "rins", "steam", "blast", "grind", "hydrojet",
		"wasch", "wäsch", "waesch", "spül", "spuel", "dampf", "strahl", "schleif", "schliff", "reinig", "säuber", "saeuber", "sweep",
		"vask", "skyll", "spyl", "rengj", "renset", "rensing", "sandblås", "sveipeblås", "etterblås", "omblås", "våtblås", "blåsing"}
	// At the beginning of a word.
	begunDeeds = []string{"cleaned", "cleaning", "recleaned", "recleaning", "jetting", "jetted", "flushed", "flushing", "scrubbed", "sanded", "sanding",
		"ground down", "ground off", "ground out", "ground back", "ground flush",
		"lavad", "lavar", "hidrolav", "enjuag", "aclarad", "vapor", "chorr", "granallad", "arenad", "amolad", "esmeril", "lijad", "limpiad", "limpiar", "limpieza", "baldead",
		"lavage", "lavé", "laver", "relav", "hydrolav", "rinç", "rinc", "vapeur", "sablage", "sablé", "sabler", "grenaill", "décap", "decap", "hydrodécap", "meul", "ponç", "nettoy",
		"dampet", "dampe", "slipt", "sliping"}
)

// Words of something that was not done, or not yet.
var (
	// Anywhere in a clause.
	undone = []string{"not", "no", "never", "planned", "pending", "nicht", "nie", "geplant", "ausstehend", "nunca", "previsto", "prevista", "pendiente",
		"non", "pas", "jamais", "prévu", "prévue", "ikke", "aldri", "planlagt"}
	// Before the word of the deed: a wash without soap is one.
	beforeDeed = []string{"without", "before", "prior", "be", "ohne", "vor", "kein", "keine", "keinerlei", "zu", "sin", "antes", "ningún", "ningun", "ninguna", "ninguno",
		"sans", "avant", "aucun", "aucune", "uten", "før", "ingen", "intet"}
	// As the beginning of a word: "unwashed", "ungewaschen", "uvasket".
	denials = []string{"un", "unge", "u"}
)

// saysWhat reports whether what a treatment is said to have been is one: a
// clause of it names a deed and does not deny it.
func saysWhat(what string) bool {
	text := strings.NewReplacer("n't", " not", "n’t", " not").Replace(record.Folded(what))
	for clause := range strings.FieldsFuncSeq(text, func(r rune) bool { return strings.ContainsRune(",;.:()", r) }) {
		if namesDeed(strings.FieldsFunc(clause, func(r rune) bool { return !unicode.IsLetter(r) })) {
			return true
		}
	}
	return false
}

// namesDeed reports whether the words of a clause name a deed that was done.
func namesDeed(words []string) bool {
	if slices.ContainsFunc(words, func(w string) bool { return slices.Contains(undone, w) }) {
		return false
	}
	for k, w := range words {
		if slices.ContainsFunc(words[max(0, k-2):k], func(w string) bool { return slices.Contains(beforeDeed, w) }) {
			continue
		}
		rest := strings.Join(words[k:], " ")
		if slices.ContainsFunc(begunDeeds, func(d string) bool { return strings.HasPrefix(rest, d) }) ||
			slices.ContainsFunc(deeds, func(d string) bool {
				at := strings.Index(w, d)
				return at >= 0 && !slices.Contains(denials, w[:at])
			}) {
			return true
		}
	}
	return false
}
