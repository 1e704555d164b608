//go:build unix

package main

import "syscall"

// mostFiles is how many files the process may have open at once; ok is false where that cannot be had.
func mostFiles() (n uint64, ok bool) {
	var files syscall.Rlimit
	err := syscall.Getrlimit(syscall.RLIMIT_NOFILE, &files)
	return uint64(files.Cur), err == nil //nolint:unconvert // signed on some systems
}
