package main

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "rewrite what the scripts expect")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"saltline": weighed,
	})
}

// weighed is main, but for that it leaves its own peak of resident memory, in
// kB, in the file that peakVariable names. What the system counts for a process
// that ended includes the memory of the one that started it.
func weighed() {
	settle()
	status := run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	if to := os.Getenv(peakVariable); to != "" {
		said, err := os.ReadFile("/proc/self/status")
		if err == nil {
			_, rest, _ := strings.Cut(string(said), "VmHWM:")
			peak, _, _ := strings.Cut(rest, "kB")
			err = os.WriteFile(to, []byte(strings.TrimSpace(peak)), 0o600)
		}
		if err != nil {
			panic(err)
		}
	}
	os.Exit(status)
}

const peakVariable = "SALTLINE_PEAK"

// TestScripts runs the commands as a person would. $SAMPLES is the folder of
// the sample jobs.
func TestScripts(t *testing.T) {
	samples, err := filepath.Abs("../../samples")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:           "../../testdata/script",
		UpdateScripts: *update,
		Setup: func(env *testscript.Env) error {
			env.Setenv("SAMPLES", samples)
			return os.MkdirAll(filepath.Join(env.WorkDir, "out"), 0o755)
		},
	})
}
