//go:build !linux

package ample

func inLargePages([]byte) {}
