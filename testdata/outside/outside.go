// Package outside finds the judges that are not ours, for a test.
package outside

import (
	"os"
	"os/exec"
	"testing"
)

// Program is the path of a program that is not ours. Where it is not installed
// the test is skipped, but not where SALTLINE_OUTSIDE says that it must run.
func Program(t *testing.T, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		if os.Getenv("SALTLINE_OUTSIDE") != "" {
			t.Fatalf("%s is not installed", name)
		}
		t.Skipf("%s is not installed", name)
	}
	return path
}
