package record_test

import (
	"testing"

	"saltline/internal/record"
)

// Areas may be called C and P, which are also words for a verdict.
func TestAreasLikeVerdicts(t *testing.T) {
	job := bindText(t, "log.csv", "test,area,location,date,blank (µS/cm),extract (µS/cm),volume (ml)\n"+
		"1,C,f1,2026-03-02,1.0,20.0,3\n2,P,f2,2026-03-02,1.0,21.0,3\n3,NC,f3,2026-03-02,1.0,22.0,3\n")
	for i, want := range []string{"C", "P", "NC"} {
		if got := job.Tests[i].Area().Val; got != want {
			t.Errorf("test %d: area %q, want %q", i+1, got, want)
		}
	}
}

// The procedure that one block states is that of the job, unless another block
// states the other.
func TestProcedureOfBlocks(t *testing.T) {
	block := func(title, first string) string {
		return title + "\ntest,location,date,blank (µS/cm),extract (µS/cm)\n" + first + ",f,2026-03-02,1.0,20.0\n,,,,\n"
	}
	job := bindText(t, "log.csv", block("Procedure: direct,Volume: 3 ml,,,", "1")+block("Area B,Volume: 3 ml,,,", "2"))
	if p := job.Terms.Procedure; p.Val != record.Direct {
		t.Errorf("procedure of the job %q", p.Text)
	}
	job = bindText(t, "log.csv", block("Procedure: direct,Volume: 3 ml,,,", "1")+block("Procedure: beaker return,Volume: 15 ml,,,", "2"))
	if job.Terms.Procedure.Known() || len(job.Conflicts) > 0 {
		t.Errorf("procedure of the job %q, conflicts %v", job.Terms.Procedure.Text, job.Conflicts)
	}
	for i, want := range []record.Procedure{record.Direct, record.BeakerReturn} {
		if got := job.Tests[i].Procedure(); got.Val != want {
			t.Errorf("test %d: %q", i+1, got.Text)
		}
	}
}
