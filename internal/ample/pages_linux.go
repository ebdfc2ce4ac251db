package ample

import "syscall"

// inLargePages asks for large pages where memory begins and ends with one.
func inLargePages(memory []byte) {
	const hugepage = 14                   // MADV_HUGEPAGE, which package syscall has not on every machine
	_ = syscall.Madvise(memory, hugepage) // an advice: where it is not taken, all is as it would be
}
