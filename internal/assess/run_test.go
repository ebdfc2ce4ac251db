package assess

import (
	"testing"

	"saltline/internal/record"
)

// A fault in a check comes out where Run was called, so that a caller who has
// other records to judge can go on.
func TestFaultOfACheckCanBeCaught(t *testing.T) {
	defer func() {
		if p := recover(); p != "at fault" {
			t.Errorf("caught %v", p)
		}
	}()
	fine := &Check{Name: "fine", Run: func(*Review) {}}
	Run(&record.Job{}, []*Check{fine, {Name: "faulty", Run: func(*Review) { panic("at fault") }}, fine})
	t.Error("nothing was caught")
}
