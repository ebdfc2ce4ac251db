package record

import (
	"strings"

	"saltline/internal/heading"
	"saltline/internal/pattern"
	"saltline/internal/salt"
	"saltline/internal/unit"
)

var testKinds = vocabulary[TestKind]{
	{Original, heading.OriginalTest},
	{Repeat, heading.RepeatTest},
	{Retest, heading.Retest},
	{Adjacent, heading.AdjacentTest},
	{Witness, heading.WitnessTest},
	{ProceduralBlank, heading.BlankTest},
}

// writtenVerdicts are the words of a verdict. A word that says what is to be
// done next, such as "redo", is none of them: it stands beside a fail as well
// as beside an extraction that was lost. Nor is "high", which may be a grade.
var writtenVerdicts = vocabulary[WrittenVerdict]{
	{WrittenPass, "pass, passed, p, ok, okay, ✓, ✔, ☑, y, yes, acc, accept, accepted, acceptable, satisfactory, sat, conforms, conforming, compliant, within limit, within limits, within the limit, i o, io, in ordnung, ja, j, bestanden, erfullt, angenommen, konform, cumple, si, s, apto, apta, aceptado, aceptada, conforme, c, accepte, acceptee, bon, bonne, oui, o, godkjent, bestatt, akseptert, innenfor, innenfor krav, " +
		"zufriedenstellend, satisfactorio, satisfactoria, satisfaisant, satisfaisante, tilfredsstillende"},
	{WrittenFail, "fail, failed, f, not ok, nok, no, n, ✗, ✘, ❌, rej, reject, rejected, not accepted, unacceptable, unsatisfactory, unsat, nonconforming, non conforming, not compliant, over, over limit, over the limit, above, above limit, above the limit, too high, exceeds, exceeds limit, exceeds the limit, exceeded, limit exceeded, n i o, nio, nicht i o, nicht in ordnung, nein, nicht bestanden, nicht erfullt, abgelehnt, nicht konform, no conforme, no cumple, no apto, no apta, rechazado, rechazada, nc, non conforme, non, refuse, refusee, rejete, mauvais, ikke godkjent, ikke bestatt, ikke akseptert, underkjent, ikke ok, nei, avvik, " +
		"nicht zufriedenstellend, zu hoch, uber, uber grenzwert, uber dem grenzwert, uberschritten, grenzwert uberschritten, insatisfactorio, insatisfactoria, no satisfactorio, no satisfactoria, demasiado alto, excede, excede el limite, supera el limite, " +
		"insatisfaisant, insatisfaisante, non satisfaisant, non satisfaisante, trop eleve, depasse, depasse la limite, limite depassee, utilfredsstillende, ikke tilfredsstillende, for hoyt, for hoy, overskredet, over krav, over kravet, over grensen"},
	{WrittenVoid, "void, voided, invalid, not valid, annulled, cancelled, water lost, lost, v, ungultig, ungueltig, verworfen, wiederholen, nicht gewertet, nulo, nula, anulado, anulada, no valido, no valida, invalido, nul, nulle, annule, annulee, invalide, non valable, ugyldig, forkastet, annullert"},
}

var switches = vocabulary[bool]{
	{true, "on, yes, y, true, 1, ✓, ✔, atc, atc on, auto, automatic, compensated, temperature compensated, ein, an, ja, j, automatisch, kompensiert, si, s, encendido, activado, activada, automatico, compensado, compensada, oui, o, active, activee, automatique, compense, compensee, pa, automatisk, kompensert"},
	{false, "off, no, n, false, 0, ✗, ✘, none, no atc, atc off, manual, uncompensated, not compensated, aus, nein, ohne, nicht kompensiert, unkompensiert, apagado, desactivado, desactivada, sin, no compensado, no compensada, non, desactive, desactivee, sans, non compense, non compensee, av, nei, uten, ikke kompensert, ukompensert"},
}

var procedures = vocabulary[Procedure]{
	{Direct, "direct, direct sampling, direct reading, direkt, direkte, directo, directe, prelevement direct, lecture directe, mesure directe, lectura directa, direkte avlesning, direkte avlest, direkte metode, direktes verfahren, metodo directo, methode directe"},
	{BeakerReturn, "beaker return, beaker, return to beaker, becher, becherglas, ruckfuhrung in den becher, vaso, vaso de precipitados, becher de retour, begerglass, beger, ruckfuhrung, ruckfuhrung ins becherglas, retorno al vaso, retour au becher, retur til beger"},
}

// procedureStems are the beginnings of words that tell the procedure,
// however the rest of a sentence runs.
var procedureStems = []struct {
	procedure Procedure
	stems     string
}{
	{Direct, "direct, direkt"},
	{BeakerReturn, "beaker, becher, vaso, beger"},
}

// procedure reads the name of a procedure, or a sentence with a word of it;
// false where there is none, or both are spoken of.
func procedure(text string) (Procedure, bool) {
	if p, ok := procedures.find(text); ok {
		return p, true
	}
	found := ProcedureNotStated
	for w := range strings.FieldsSeq(fold(text)) {
		for _, p := range procedureStems {
			for stem := range strings.SplitSeq(p.stems, ", ") {
				switch {
				case !strings.HasPrefix(w, stem) || found == p.procedure:
				case found != ProcedureNotStated:
					return ProcedureNotStated, false
				default:
					found = p.procedure
				}
			}
		}
	}
	return found, found != ProcedureNotStated
}

var choices = vocabulary[Choice]{
	{AtRandom, "at random, random, randomly, chosen at random, zufallig, zufallig gewahlt, zufallig ausgewahlt, nach dem zufallsprinzip, " +
		"al azar, aleatorio, aleatoriamente, elegidos al azar, au hasard, aleatoire, aleatoirement, choisis au hasard, tilfeldig, tilfeldig valgt"},
	{ByJudgement, "by judgement, by judgment, judgement, judgment, worst spots, nach ermessen, ermessen, nach ermessen des prufers, ungunstigste stellen, " +
		"por criterio, a criterio, a criterio del inspector, segun criterio, a juicio, a juicio del inspector, peores puntos, los peores puntos, " +
		"par jugement, par choix raisonne, choix raisonne, au jugement de l inspecteur, points les plus defavorables, " +
		"etter skjonn, skjonn, etter inspektorens skjonn, verste punkter, de verste punktene"},
}

var comparisons = vocabulary[salt.Comparison]{
	{salt.AtMost, heading.AtMost},
	{salt.LessThan, heading.LessThan},
}

var bases = vocabulary[salt.Basis]{
	{salt.TotalSalts, "total salts, total soluble salts, soluble salts, total, salts, total salt, soluble salt, total soluble salt, water soluble salts, total water soluble salts, soluble salts total, total dissolved salts, " +
		"gesamtsalz, gesamtsalze, gesamtsalzen, gesamtsalzgehalt, losliche salze, loslichen salze, loslicher salze, loesliche salze, losl salze, losliche salze gesamt, gesamte losliche salze, gesamt losliche salze, wasserlosliche salze, wasserloslichen salze, wasserloslicher salze, " +
		"sales totales, sales solubles, sales solubles totales, sales totales solubles, total de sales, total de sales solubles, " +
		"sels totaux, sels solubles, sels solubles totaux, sels totaux solubles, total des sels, total des sels solubles, " +
		"totalt salt, totalsalt, totalsalter, totale salter, totale loselige salter, loselige salter, vannloselige salter, totale vannloselige salter"},
	{salt.SodiumChloride, "conductivity of sodium chloride, sodium chloride, nacl, nacl equivalent, as nacl, as sodium chloride, nacl eq, natriumchlorid, leitfahigkeit von natriumchlorid, als nacl, als natriumchlorid, cloruro de sodio, cloruro sodico, conductividad del cloruro sodico, conductividad del cloruro de sodio, como nacl, chlorure de sodium, conductivite du chlorure de sodium, en nacl, natriumklorid, natriumklorid etter ledningsevne, ledningsevne av natriumklorid, som nacl"},
	{salt.ChlorideIon, "chloride ion, chloride ions, chloride, chlorides, cl, chloride only, as chloride, as chloride ion, total chloride, total chlorides, soluble chlorides, chloridion, chlorid ion, chloridionen, chlorid ionen, chlorid, chloride cl, gesamtchlorid, ion cloruro, iones cloruro, cloruro, cloruros, cloruros totales, ion chlorure, ions chlorure, ions chlorures, chlorure, chlorures, chlorures totaux, kloridion, klorid ion, kloridioner, klorid, klorider, totalklorid"},
}

var decisionRules = vocabulary[salt.RuleKind]{
	{salt.Simple, "simple, simple acceptance, shared risk, einfach, einfache annahme, geteiltes risiko, sencilla, aceptacion simple, aceptacion sencilla, riesgo compartido, " +
		"acceptation simple, risque partage, enkel, enkel aksept, delt risiko"},
	{salt.Guarded, "guarded, guarded acceptance, guard band, abgesichert, abgesicherte annahme, mit schutzabstand, mit schutzband, " +
		"con banda de seguridad, con banda de guarda, aceptacion con banda de guarda, avec bande de garde, acceptation avec bande de garde, " +
		"med sikkerhetsmargin, med sikkerhetsband, aksept med sikkerhetsband"},
	{salt.GuardedRejection, "guarded rejection, abgesicherte ablehnung, rechazo con banda de guarda, rejet avec bande de garde, avvisning med sikkerhetsband"},
}

// decisionRule reads the name of a decision rule, with its explanation behind a
// colon or without.
func decisionRule(text string) (salt.RuleKind, bool) {
	if r, ok := decisionRules.find(text); ok {
		return r, true
	}
	name, _, _ := strings.Cut(text, ":")
	return decisionRules.find(name)
}

var dateOrders = vocabulary[unit.DateOrder]{
	{unit.DMY, "dmy, d m y, dd mm yyyy, dd mm yy, day month year, tt mm jjjj, dd mm aaaa, jj mm aaaa"},
	{unit.MDY, "mdy, m d y, mm dd yyyy, mm dd yy, month day year"},
	{unit.YMD, "ymd, y m d, yyyy mm dd, year month day, iso, iso 8601, jjjj mm tt, aaaa mm dd"},
}

// patchStems are the pieces of a word that tell the kind of a patch, however
// the rest of its description runs.
var patchStems = []struct {
	kind  PatchKind
	stems string
}{
	{MagneticRing, "magnet, imant"},
	{SingleUse, "single use, adhes, disposable, kleb, einweg, desechable, un solo uso, usage unique, jetable, engangs"},
	{Sleeve, "sleeve, manschette, manguito, manchon, mansjett, hylse"},
}

// patchKind reads the description of a patch; false where it names no kind,
// or two.
func patchKind(text string) (PatchKind, bool) {
	text = fold(text)
	found := PatchNotStated
	for _, p := range patchStems {
		for stem := range strings.SplitSeq(p.stems, ", ") {
			if !strings.Contains(text, stem) || found == p.kind {
				continue
			}
			if found != PatchNotStated {
				return PatchNotStated, false
			}
			found = p.kind
		}
	}
	return found, found != PatchNotStated
}

// touching are the comparisons that count right before their number alone: in
// another place they are words of place.
const touching = "below, under, unter, bis, up to, hasta, jusqu a, inntil, opptil"

// sources are the words behind which a sentence says where a limit is taken
// from, or nothing more of what it is a limit of.
const sources = "per, acc, according, to, by, in, on, only, iaw, selon, suivant, sur, uniquement, seulement, segun, conforme, sobre, solo, solamente, gemass, laut, nach, auf, nur, iht, ifolge, etter, ihht, pa, kun, i"

// isSmall reports whether a word between a limit and what is said of it says
// nothing by itself.
func isSmall(w string) bool { return heading.IsOneOf(smallWords, w) }

const smallWords = "a, an, the, of, for, to, as, at, is, are, be, shall, must, should, may, will, value, values, level, levels, content, concentration, amount, density, surface, residual, remaining, if, than, only, salt, " +
	"der, die, das, den, dem, des, von, fur, fuer, bei, darf, durfen, duerfen, soll, sollen, muss, mussen, sein, ist, sind, wert, gehalt, konzentration, menge, dichte, an, als, salz, salzgehalt, salzmenge, " +
	"el, la, los, las, de, del, para, un, una, debe, deben, ser, es, son, sera, valor, contenido, concentracion, nivel, en, como, que, " +
	"le, les, l, d, du, pour, une, doit, doivent, etre, est, sont, valeur, teneur, comme, " +
	"av, et, ei, saltinnhold, saltmengde, skal, ma, bor, vaere, er, verdi, innhold, konsentrasjon, mengde, niva, ved, som, i"

// saysLimit reports whether a word means a limit in one of the five languages.
func saysLimit(w string) bool { return limitStems().MatchString(w) }

var limitStems = pattern.Of(`^(?:limit|grenz|[ck]riter|accept|akzept|annahme|acept|aksept|godkj|requir|requis|anforder|exig|krav|seuil|thresh|admis|zulass|permit|permis|allow|tillatt|erlaubt|autoris|hochst|max|maks)|(?:grenzwert|grense|krav|kriterium)$`)
