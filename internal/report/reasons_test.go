package report_test

import (
	"testing"

	"saltline/internal/certificate"
	"saltline/internal/dossier"
	"saltline/internal/papers"
)

// Whatever keeps a document from being issued is said with what to do.
func TestReasonsHaveNextSteps(t *testing.T) {
	w := words(t, nil)
	var keys []string
	for k := certificate.NotTested; k <= certificate.RevisionUnexplained; k++ {
		if k != certificate.ReportIncomplete { // said by its gaps
			keys = append(keys, "certificate/reason-"+k.String())
		}
	}
	for k := papers.NoDiary; k <= papers.Undated; k++ {
		keys = append(keys, "certificate/gap-"+k.String())
		if !w.Has("dossier/gaps-" + k.String()) {
			t.Errorf("many reports with the gap %q have no words", k)
		}
	}
	for k := dossier.NoTests; k <= dossier.RevisionUnexplained; k++ {
		if k != dossier.NotCertified && k != dossier.ReportIncomplete {
			keys = append(keys, "dossier/missing-"+k.String())
		}
	}
	for _, key := range append(keys, "dossier/missing-not-certified") {
		if !w.Has(key) || !w.Has(key+"-next") {
			t.Errorf("%s has no words, or no next step", key)
		}
	}
}
