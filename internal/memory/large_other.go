//go:build !linux

package memory

// Large does nothing: only Linux has to be asked.
func Large(int) {}

func advise([]byte) {}
