package report_test

import (
	"io/fs"
	"path"
	"regexp"
	"strings"
	"testing"

	"saltline/templates"
)

// neverSaid is, by language, what no text may say: that steel is clean or free
// of salt, or released, approved or fit for coating; that it complies with a
// standard which holds no limit; that anything is guaranteed; and whatever
// accuses. A word stands for its forms.
var neverSaid = map[string]string{
	"en": `is clean|are clean|(un)?clean steel|salt-free|free (of|from) (any )?salts?|uncontaminated|not contaminated|releas\pL*|approv\pL*|(fit|ready|suitable|safe) for coating|may be coated|compl(y|ies|iant|iance)\b|meets ISO|conforms? (to|with)|certified clean|guarant\pL*|warrant\pL*|` +
		`fraud\pL*|fals(e|ely|if\pL*)\b|fabricat\pL*|cheat\pL*|forge[dr]?\pL*|suspici\pL*|suspect\pL*|tamper\pL*|manipulat\pL*|dishonest\pL*|deceiv\pL*|decepti\pL*|invented|blame\pL*|guilt\pL*|culprit|negligen\pL*|careless\pL*|liar|lying|culpable`,
	"de": `sauber\pL*|(ist|sind) rein\b|salzfrei\pL*|frei von Salz\pL*|unbelastet\pL*|unkontaminiert\pL*|freigegeben\pL*|(beschichtungs)?freigabe\pL*|(gibt|geben) \pL+ frei\b|genehmigt\pL*|zugelassen (zur|zum|für)|beschichtungs(fähig|reif|bereit)\pL*|beschichtet werden darf|entspr\pL+ (der )?(DIN )?(EN )?ISO|erfüllt (die )?(DIN )?(EN )?ISO|(norm-?|ISO-)konform\pL*|konform (mit|zu|nach)|\pL*garanti\pL*|gewährleist\pL*|` +
		`gefälscht\pL*|fälsch\pL*|verfälsch\pL*|betr(u|o|ü)g\pL*|verdächt\pL*|verdacht\pL*|manipul\pL*|geschönt\pL*|erfunden\pL*|unehrlich\pL*|täusch\pL*|schuld\pL*|fahrlässig\pL*|nachlässig\pL*|lüg\pL*`,
	"es": `(está|están|es|son|acero|superficie|área|zona) limpi[oa]s?\b|(libre|exent[oa]s?) de sal\pL*|sin sal(es)?\b|no contaminad\pL*|sin contaminar|liberad\pL*|liberaci\pL*|libera\b|autoriz\pL*|aprob\pL*|apt[oa]s? para|list[oa]s? para (el )?recubri\pL*|cumplen? (con )?(la )?(norma )?(UNE|ISO)\pL*|conformes? (a|con) (la )?(norma )?(UNE|ISO)|garant\pL*|` +
		`fraud\pL*|fals[oa]s?\b|falsific\pL*|tramp\pL*|engañ\pL*|sospech\pL*|manipul\pL*|inventad\pL*|culp\pL*|deshonest\pL*|negligen\pL*|amañ\pL*|mentir\pL*`,
	"fr": `(est|sont|acier|surface|zone) propres?\b|exempt\pL* de sel\pL*|sans sels?\b|non contamin\pL*|libér\pL*|libèr\pL*|approuv\pL*|approbation\pL*|autoris\pL*|aptes? (au|à)|bons? pour (le )?revêt\pL*|prêts? (pour|au) (le )?revêt\pL*|conformes? à (l’|la )?(norme )?(NF )?(EN )?ISO|satisfait à (l’)?ISO|garant\pL*|` +
		`fraud\pL*|faux\b|fauss\pL*|falsifi\pL*|trich\pL*|tromp\pL*|suspect\pL*|soupçon\pL*|manipul(é|at(eur|rice))\pL*|truqu\pL*|inventé\pL*|coupable\pL*|faute\pL*|malhonnêt\pL*|néglig\pL*|mensong\pL*`,
	"nb": `(er|blir) rent?\b|rent stål|saltfri\pL*|fri(tt)? for salt\pL*|uforurens\pL*|frigi\pL*|godkjen\pL*|(egnet|klar\pL*|skikket) (for|til) (maling|å male|belegg)\pL*|kan males|oppfyller (NS-)?(EN )?ISO|i samsvar med (NS-)?(EN )?ISO|\pL*garanti\pL*|garanter\pL*|` +
		`svindel\pL*|svindl\pL*|falsk\pL*|forfalsk\pL*|juks\pL*|mistenk\pL*|mistank\pL*|manipul\pL*|oppdikt\pL*|uærlig\pL*|skyld\pL*|uaktsom\pL*|slurv\pL*|lurt\b|lureri\pL*|løgn\pL*`,
}

// saidAllTheSame are the texts in which such a word stands, each with the
// reason why it says nothing of the kind.
var saidAllTheSame = map[string]string{
	"cautions/decision":         "says who decides whether the steel may be coated, and that the document does not",
	"report/release":            "says whose the release is",
	"audit/advice-lead":         "says that nothing there releases steel",
	"workbook/signs-nothing":    "says that nothing there releases steel, and who decides",
	"workbook-blank/how/read":   "says that the words of a workbook release no steel",
	"slips/salinity-factor/doc": "in French, a factor is a meter's own",
}

// wordOf finds what may not be said in a language, where a word begins.
func wordOf(lang string) *regexp.Regexp {
	return regexp.MustCompile(`(?i)(^|[^\pL])(` + neverSaid[lang] + `)`)
}

// TestNeverSaidInAnyLanguage looks for what no document may say in every text of
// every language.
func TestNeverSaidInAnyLanguage(t *testing.T) {
	begin := regexp.MustCompile(`(?m)^= (.+)\n`)
	comment := regexp.MustCompile(`(?m)^#.*\n?`)
	texts, needed := 0, map[string]bool{}
	for lang := range neverSaid {
		word := wordOf(lang)
		err := fs.WalkDir(templates.Files, lang, func(name string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				return err
			}
			data, err := fs.ReadFile(templates.Files, name)
			if err != nil {
				return err
			}
			file := strings.TrimSuffix(strings.TrimPrefix(name, lang+"/"), path.Ext(name))
			keys := begin.FindAllStringSubmatch(string(data), -1)
			for i, body := range begin.Split(string(data), -1)[1:] {
				texts++
				key := file + "/" + keys[i][1]
				for _, m := range word.FindAllStringSubmatch(comment.ReplaceAllString(body, ""), -1) {
					if _, why := saidAllTheSame[key]; why {
						needed[key] = true
						continue
					}
					t.Errorf("%s: %s says %q: %s", lang, key, m[2], strings.TrimSpace(body))
				}
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if texts < 1000*len(neverSaid) {
		t.Errorf("only %d texts were looked at", texts)
	}
	for key := range saidAllTheSame {
		if !needed[key] {
			t.Errorf("%s needs no exception any more", key)
		}
	}
	entries, err := fs.ReadDir(templates.Files, ".")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if neverSaid[e.Name()] == "" {
			t.Errorf("nothing says what may not be said in %q", e.Name())
		}
	}
}

// TestNeverSaidIsFound sees that what may not be said would be found.
func TestNeverSaidIsFound(t *testing.T) {
	for lang, sentences := range map[string][]string{
		"en": {"The surface is clean.", "The area is salt-free.", "The steel is released for coating.", "Approved.", "The steel complies with ISO 8502-9.", "The row was falsified.", "These rows look suspicious."},
		"de": {"Die Oberfläche ist sauber.", "Der Stahl ist salzfrei.", "Der Bereich ist zur Beschichtung freigegeben.", "Freigabe erteilt", "Der Stahl entspricht ISO 8502-9.", "Die Zeile ist gefälscht.", "Ein verdächtiger Wert."},
		"es": {"La superficie está limpia.", "Acero libre de sales.", "El área queda liberada.", "Aprobado.", "El acero cumple la norma ISO 8502-9.", "La fila fue falsificada.", "Un valor sospechoso."},
		"fr": {"La surface est propre.", "Acier exempt de sels.", "La zone est libérée.", "Approuvé.", "L’acier est conforme à la norme ISO 8502-9.", "La ligne a été falsifiée.", "Une valeur suspecte."},
		"nb": {"Stålet er rent.", "Flaten er saltfri.", "Området er frigitt for maling.", "Godkjent.", "Stålet oppfyller ISO 8502-9.", "Raden er forfalsket.", "En mistenkelig verdi."},
	} {
		for _, s := range sentences {
			if !wordOf(lang).MatchString(s) {
				t.Errorf("%s: %q would be said", lang, s)
			}
		}
	}
}

// TestClosingNeverSays looks for it in the closing documents of the samples,
// with all that they are filled with.
func TestClosingNeverSays(t *testing.T) {
	for name, c := range closingSamples(t) {
		look := func(s string) {
			if m := unsaid.FindString(s); m != "" {
				t.Errorf("%s: %q is said: %s", name, m, s)
			}
		}
		for _, made := range c.certificates(t) {
			look(made.Summary)
			made.Document.EachText(look)
		}
		summary, all := c.dossier(t)
		look(summary)
		for i := range all {
			all[i].EachText(look)
		}
	}
}
