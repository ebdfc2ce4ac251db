package main

import (
	"os"
	"path/filepath"
	"testing"
)

func TestLargest(t *testing.T) {
	dir := t.TempDir()
	folder := filepath.Join(dir, "job")
	if err := os.Mkdir(folder, 0o755); err != nil {
		t.Fatal(err)
	}
	for name, size := range map[string]int{"a.csv": 300, "b.xlsx": 500, "job/readings.csv": 400, "job/water.csv": 200, "job/photo.jpg": 9000} {
		if err := os.WriteFile(filepath.Join(dir, name), make([]byte, size), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	a, b := filepath.Join(dir, "a.csv"), filepath.Join(dir, "b.xlsx")
	for _, tt := range []struct {
		args []string
		want int64
	}{
		{[]string{"audit", "--quiet"}, 0},
		{[]string{"audit", a}, 300},
		{[]string{"audit", a, b, "missing.csv"}, 500},
		{[]string{"audit", a, folder}, 600},
	} {
		if got := largest(tt.args); got != tt.want {
			t.Errorf("%v: %d bytes, want %d", tt.args[1:], got, tt.want)
		}
	}
}
