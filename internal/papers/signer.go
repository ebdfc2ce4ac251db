package papers

import (
	"slices"
	"strings"

	"saltline/internal/record"
)

// A Signer is somebody whom a document asks to sign.
type Signer struct {
	Key   string   // of its texts
	roles []string // how a record may name the role, in lower case and without hyphens
}

// Those who sign. A daily report asks for all three; a certificate and a
// dossier for the two who did not make the tests themselves.
var (
	Inspector = Signer{"inspector", []string{
		"inspector", "coating inspector", "salt inspector", "paint inspector",
		"prüfer", "prüferin", "prüfer/in", "inspektor", "inspektorin", "beschichtungsinspektor", "beschichtungsprüfer",
		"inspectora", "inspector de recubrimientos", "inspector de pintura",
		"inspecteur", "inspectrice", "contrôleur", "contrôleuse", "inspecteur peinture", "inspecteur revêtement",
		"inspektør", "kontrollør", "overflateinspektør", "malingsinspektør",
	}}
	QCManager = Signer{"qc", []string{
		"qc manager", "quality manager", "quality control manager", "qa/qc manager", "qc",
		"qs leiter", "qs leiterin", "qs leitung", "leiter qs", "leiter der qs", "qualitätsleiter", "leiter qualitätssicherung", "leiter der qualitätssicherung", "qs",
		"responsable de calidad", "responsable de control de calidad", "responsable qc", "jefe de calidad", "jefa de calidad", "encargado de calidad",
		"responsable cq", "responsable qualité", "responsable contrôle qualité", "responsable du contrôle qualité", "chef qualité",
		"qc leder", "kvalitetsleder", "kvalitetssjef", "ks leder", "leder for kvalitetskontroll",
	}}
	Owner = Signer{"owner", []string{
		"owner's representative", "owner representative", "owner's rep", "owner rep", "representative of the owner",
		"vertreter des eigentümers", "vertreterin des eigentümers", "eigentümervertreter", "vertreter des bauherrn", "vertreterin des bauherrn", "bauherrenvertreter", "bauherrenvertreterin", "bauherrnvertreter",
		"representante de la propiedad", "representante del propietario",
		"représentant du maître d'ouvrage", "représentante du maître d'ouvrage", "représentant du propriétaire", "représentant maître d'ouvrage",
		"eierens representant", "eiers representant", "eierrepresentant", "byggherrens representant", "byggherrerepresentant", "representant for byggherren", "representant for eieren",
	}}
)

// Signers are those who sign a daily report.
var Signers = []Signer{Inspector, QCManager, Owner}

// Is reports whether a role as the record writes it is the signer's.
func (s Signer) Is(role record.Words) bool {
	return slices.Contains(s.roles, record.Folded(spelled.Replace(role.OrZero())))
}

// spelled brings the marks in the name of a role to one spelling.
var spelled = strings.NewReplacer("’", "'", "-", " ", "‑", " ", ".", "")

// A Kind is a kind of document.
type Kind int

const (
	DailyReport Kind = iota
	Certificate
	Dossier
	Permit // of work: none of ours, and its signatures are under none
)

// Words by which a record names documents, in lower case.
var kindWords = map[Kind][]string{
	Certificate: {"certificate", "zertifikat", "bescheinigung", "certificado", "certificat", "sertifikat"},
	Dossier:     {"dossier", "handover", "übergabe", "expediente", "entrega", "overlevering"},
	Permit:      {"permit", "erlaubnis", "permiso", "permis de", "arbeidstillatelse"},
}

// KindOf is the kind of document that a record speaks of. What names none of the
// others is a daily report.
func KindOf(document string) Kind {
	text := record.Folded(document)
	for _, k := range []Kind{Permit, Certificate, Dossier} {
		for _, w := range kindWords[k] {
			if strings.Contains(text, w) {
				return k
			}
		}
	}
	return DailyReport
}

// Names reports whether a text names something as a whole word: "certificate
// UG, page 1" names UG, and "certificate UG-2" does not.
func Names(text, what string) bool {
	what = inWords(what)
	return strings.TrimSpace(what) != "" && strings.Contains(inWords(text), what)
}

// inWords is a text, folded, with a space before and after each word and no mark
// at the end of one.
func inWords(text string) string {
	words := strings.Fields(strings.ToLower(text))
	for i, w := range words {
		words[i] = strings.Trim(w, ",;:.()")
	}
	return " " + strings.Join(words, " ") + " "
}

// SignatureOf is the record's signature of a role under a certificate or a
// dossier: the last one under its number, or under its area where the log has
// areas, and its revision.
func SignatureOf(job *record.Job, k Kind, s Signer, area, number, revision string) *record.Signature {
	var last *record.Signature
	for i := range job.Signatures {
		g := &job.Signatures[i]
		if KindOf(g.Document.Val) == k && valid(g, s) &&
			(k == Dossier || area == "" || Names(g.Document.Val, number) || Names(g.Document.Val, area)) &&
			ofRevision(g, revision, first(revision) != "") {
			last = g
		}
	}
	return last
}

// Card is the row of the people table of whoever signed, by name; without a
// name it is that of the only person with the role, nil where there are several:
// which of the two will sign is not for the tool to say.
func Card(job *record.Job, s Signer, name string) *record.Person {
	var only *record.Person
	for i := range job.People {
		p := &job.People[i]
		switch {
		case name != "":
			if record.Folded(p.Name.OrZero()) == record.Folded(name) {
				return p
			}
		case s.Is(p.Role):
			if only != nil {
				return nil
			}
			only = p
		}
	}
	return only
}
