package main

import (
	"fmt"
	"strings"
	"testing"
)

// What would take more memory than strangers may have is refused before it does,
// and taken by whoever says so.
func TestLargeRecords(t *testing.T) {
	const head = "test,blank (µS/cm),extract (µS/cm),volume (ml)\n"
	rows := func(n int) string {
		var b strings.Builder
		b.WriteString(head)
		for i := range n {
			fmt.Fprintf(&b, "%d,1.0,9.0,3\n", i+1)
		}
		return b.String()
	}
	long := func(bytes int) string {
		return head + "1,1.0,9.0,3\n" + strings.Repeat(strings.Repeat("x", 1000)+"\n", bytes/1000)
	}
	for _, c := range []struct {
		name, record, says string
		args               []string
	}{
		{"text", long(64 << 20), "found 65 MiB of text, but wanted at most 64", []string{"audit"}},
		{"text for a document", long(16 << 20), "found 17 MiB of text, but wanted at most 16", []string{"audit", "-o", t.TempDir() + "/a.pdf"}},
		{"text for a report", long(16 << 20), "found 17 MiB of text, but wanted at most 16", []string{"report", "-o", t.TempDir()}},
		{"rows", rows(1_048_576), "found 1048577 rows, but wanted at most 1048576", []string{"audit"}},
		{"rows for a document", rows(250_000), "found 250001 rows, but wanted at most 250000", []string{"audit", "-o", t.TempDir()}},
		{"tests in a report", rows(mostTests + 1), "found 25001 tests, but wanted at most 25000 for a document", []string{"report", "-o", t.TempDir()}},
		{"tests in an audit", rows(mostTests + 1), "found 25001 tests, but wanted at most 25000 for a document", []string{"audit", "-o", t.TempDir() + "/a.pdf"}},
		{"tests in a dossier", rows(mostTests + 1), "found 25001 tests, but wanted at most 25000 for a document", []string{"handover", "--produced", "2026-04-20", "-o", t.TempDir() + "/h.pdf"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := fileWith(t, "log.csv", []byte(c.record))
			status, says := does(append(c.args, path)...)
			if status != 1 || !strings.Contains(says, c.says) || !strings.Contains(says, "--large") {
				t.Errorf("status %d; %q and --large are not in\n%.2000s", status, c.says, says)
			}
		})
	}
	if r := (&jobReader{large: true}); r.bearTests(mostTests+1) != nil || r.bearText([]input{{data: make([]byte, 65<<20)}}) != nil {
		t.Error("what was said to be large is refused")
	}
}
