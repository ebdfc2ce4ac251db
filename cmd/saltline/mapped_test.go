package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestKnownWords: what a log says in words that are known is not told
// otherwise on the command line; what it says in other words may be.
func TestKnownWords(t *testing.T) {
	log := filepath.Join(t.TempDir(), "log.csv")
	rows := "\"Limit: at most 50 mg/m², total salts\"\n" +
		"test,date,blank (µS/cm),extract_uS_cm,volume (ml),Inyectado (ml),spot,remark,verdict\n" +
		"1,2026-03-09,1.5,19.0,3,3,web,dry,pass\n2,2026-03-09,1.5,91.0,3,3,web,dry,Over it\n"
	if err := os.WriteFile(log, []byte(rows), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		option, value string
		refused       bool
		says          string // on standard error; nothing may stand there where this is empty
	}{
		{"--set", "verdict fail=pass", true, `"fail" is known and says fail`},
		{"--set", "verdict Nicht bestanden=pass", true, "says fail"},
		{"--set", "verdict void=pass", true, "says void"},
		{"--set", "verdict pass=fail", true, "says pass"},
		{"--set", "verdict n=pass", true, "says fail"},
		{"--set", "verdict o=fail", false, ""},
		{"--set", "verdict fail=fail", false, ""},
		{"--set", "verdict Over it=fail", false, ""},

		{"--map", "extract_uS_cm=blank", true, `"extract_uS_cm" says extract`},
		{"--map", "volume (ml)=injected", true, `"volume (ml)" says volume`},
		{"--map", "2:5=injected", true, `"volume (ml)" says volume`},
		{"--map", "remark=photo", false, `"remark" says remark`},
		{"--map", "Inyectado (ml)=recovered", false, "says injected"},
		{"--map", "remark=remark", false, ""},
		{"--map", "spot=location", false, ""},
		{"--map", "Inyectado (ml)=-", false, ""},
	} {
		t.Run(c.option+" "+c.value, func(t *testing.T) {
			var out, errOut bytes.Buffer
			args := []string{"audit", log, c.option, c.value}
			if c.value != "verdict Over it=fail" {
				args = append(args, "--set", "verdict Over it=fail")
			}
			status := run(args, strings.NewReader(""), &out, &errOut)
			if refused := status == 1 || status == 2; refused != c.refused {
				t.Errorf("status %d, refused should be %v:\n%s", status, c.refused, errOut.String())
			}
			switch said := errOut.String(); {
			case c.says == "" && strings.Contains(said, "found --"), !strings.Contains(said, c.says):
				t.Errorf("standard error should hold %q:\n%s", c.says, said)
			}
		})
	}
}
