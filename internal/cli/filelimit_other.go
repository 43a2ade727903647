//go:build !unix

package cli

// tellOfFileLimit has nothing to do where the system has no such limit.
func tellOfFileLimit() {}
