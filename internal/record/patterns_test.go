package record

import (
	"testing"

	"saltline/internal/pattern"
)

// TestPatterns compiles every expression of this package and of those below
// it, of which a run compiles those that it asks for.
func TestPatterns(t *testing.T) {
	if len(pattern.All()) < 80 {
		t.Errorf("%d expressions", len(pattern.All()))
	}
	for _, p := range pattern.All() {
		p()
	}
}
