package check

import (
	"slices"
)

// saysWaterLost reports whether a remark speaks of lost water, in one of two
// ways. A leak is one of the patch unless something else is named that leaks:
// to overlook one would keep a void test. What was lost or lifted may be a pen
// or a plank, so such a word counts beside one of the water, the patch or its
// rim, or where it is all that is said.
func saysWaterLost(remark string) bool {
	leaks := anyClause(remark, func(c string) bool {
		return leakWords.in(c) && (!names(c, otherLeaks) || names(c, cellWords))
	})
	return leaks || lostWords.told(remark, cellWords)
}

var (
	leakWords = lexiconOf("water loss", "loss of water", "leak", "leaks", "leaked", "leaking", "leakage",
		"wasserverlust", "undicht", "ausgelaufen", "leck", "leckt", "leckage",
		"fuga", "fugas", "pérdida de agua", "perdida de agua",
		"fuite", "fuites", "perte d eau", "lekkasje", "lekket", "lekker", "vanntap").
		butNotBeside("test", "check", "checked", "tested", "proof", "tight", "free")
	otherLeaks = setOf("roof", "tent", "oil", "hose", "gas", "fuel", "hydraulic", "compressor", "dach", "zelt", "öl", "schlauch", "kompressor",
		"techo", "carpa", "aceite", "manguera", "toit", "tente", "huile", "tuyau", "tak", "telt", "olje", "slange")
	lostWords = lexiconOf("lost", "lifted", "spilled", "spilt", "spill", "ran out", "ran off",
		"verloren", "verlust", "verschüttet", "abgelöst", "derrame", "derramada", "derramado", "pérdida", "perdida", "perdido", "perdió", "despegado",
		"perdu", "perdue", "renversé", "renversée", "décollé", "décollée", "mistet", "tapt", "sølt", "løsnet").
		butNotBeside("time", "hour", "hours", "minute", "minutes", "day", "photo", "label", "mark", "marking", "zeit", "foto", "tid")
	cellWords = setOf("water", "patch", "seal", "ring", "cell", "edge", "edges", "rim", "corner", "corners", "side", "syringe", "adhesive", "extract", "solution", "drop", "drops", "ml",
		"wasser", "pflaster", "dichtung", "zelle", "rand", "kante", "ecke", "seite", "spritze", "tropfen", "lösung",
		"agua", "parche", "sello", "junta", "anillo", "célula", "celda", "borde", "esquina", "jeringa", "gotas", "gota", "solución",
		"eau", "pastille", "joint", "anneau", "cellule", "bord", "coin", "seringue", "gouttes", "goutte",
		"vann", "vannet", "plaster", "plasteret", "lapp", "lappen", "tetning", "pakning", "celle", "kant", "kanten", "hjørne", "sprøyte", "dråper")
)

// speaksOfWater reports whether a remark says of the water that it was lost or
// that it was not.
func speaksOfWater(remark string) bool {
	return anyClause(remark, func(c string) bool {
		return leakWords.mentionedIn(c) || lostWords.mentionedIn(c) && (names(c, cellWords) || anyIn(negations, wordsOf(c)))
	})
}

// told reports whether a clause of a text has a wording, undenied, with one
// of the words of that matter in the clause or with nothing else in it.
func (x lexicon) told(text string, matter map[string]bool) bool {
	return x.toldOf(text, matter) || anyClause(text, func(c string) bool { return x.in(c) && x.isAll(wordsOf(c)) })
}

// toldOf reports whether a clause of a text has a wording, undenied, with one
// of the words of that matter beside it.
func (x lexicon) toldOf(text string, matter map[string]bool) bool {
	return anyClause(text, func(c string) bool { return x.in(c) && names(c, matter) })
}

// names reports whether a clause has one of the words.
func names(clause string, words map[string]bool) bool {
	var few [16]string
	return anyIn(words, appendWords(few[:0], clause))
}

// isAll reports whether words are those of wordings and name no matter of
// their own.
func (x lexicon) isAll(words []string) bool {
	own := map[string]bool{}
	for _, wordings := range x.wordings {
		for _, wording := range wordings {
			for _, w := range wording {
				own[w] = true
			}
		}
	}
	return !slices.ContainsFunc(words, func(w string) bool { return !own[w] && !smallWords[w] })
}

// smallWords name nothing.
var smallWords = setOf("a", "the", "some", "it", "its", "of", "half", "most", "all", "was", "were", "is", "has", "had", "little", "slightly", "partly", "again",
	"etwas", "ein", "eine", "wenig", "teils", "teilweise", "ist", "wurde", "hat", "sich",
	"un", "una", "poco", "algo", "parte", "se", "ha", "hubo", "fue",
	"une", "peu", "partie", "est", "a", "été", "s",
	"en", "et", "litt", "noe", "delvis", "ble", "er", "har")
