//go:build !linux

package memory

// Large does nothing: only Linux has to be asked.
func Large(int) {}

func large(int, bool) {}

func first() {}

func advise(from, to uintptr) {}
