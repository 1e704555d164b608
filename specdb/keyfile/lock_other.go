//go:build !unix

package keyfile

// lock is nothing where there is no lock of files: updates must not run at once there.
func lock(string) (release func(), err error) { return func() {}, nil }
