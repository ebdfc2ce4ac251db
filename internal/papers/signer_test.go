package papers

import (
	"strings"
	"testing"

	"saltline/internal/record"
	"saltline/templates"
)

// The name of a role that the documents print is a role that the record may
// name, in every language that they are printed in.
func TestPrintedRolesAreRead(t *testing.T) {
	for _, lang := range []string{"en", "de", "es", "fr", "nb"} {
		data, err := templates.Files.ReadFile(lang + "/report.txt")
		if err != nil {
			t.Fatal(err)
		}
		for key, want := range map[string]Signer{
			"role-name-inspector": Inspector, "role-name-qc": QCManager, "role-name-owner": Owner,
			"role-inspector": Inspector, "role-qc-manager": QCManager, "role-owner's-representative": Owner,
		} {
			_, rest, _ := strings.Cut(string(data), "\n= "+key+"\n")
			text, _, _ := strings.Cut(rest, "\n")
			isOnly(t, text, want)
		}
	}
}

// The usual other names, and one that is nobody's who signs.
func TestRolesInUse(t *testing.T) {
	for text, want := range map[string]Signer{
		"Bauherrenvertreter": Owner, "QS-Leitung": QCManager, "Prüferin": Inspector, "Jefe de calidad": QCManager, "Representante del propietario": Owner,
		"Responsable qualité": QCManager, "Représentant du maître d'ouvrage": Owner, "contrôleur": Inspector, "QC‑leder": QCManager,
		"Byggherrens representant": Owner, "KS-leder": QCManager, "Owner's Rep.": Owner,
	} {
		isOnly(t, text, want)
	}
	for _, s := range Signers {
		if s.Is(record.Words{Val: "Polier", State: record.Known}) {
			t.Errorf("a foreman is taken for the %s", s.Key)
		}
	}
}

func isOnly(t *testing.T, text string, want Signer) {
	t.Helper()
	for _, s := range Signers {
		if got := s.Is(record.Words{Val: text, State: record.Known}); got != (s.Key == want.Key) {
			t.Errorf("%q is the %s: %v", text, s.Key, got)
		}
	}
}
