// Package templates holds what the program knows without a site: the built-in
// procedures, the terms that records may use, the GHS statements, the
// instruments and the words of the pages. It is for data only; what the files
// mean is in README.md beside them. It belongs here if another site would want
// it unchanged.
package templates

import "embed"

// FS holds the files, with this folder as its root.
//
//go:embed *.yaml */*.yaml */*/*.yaml
var FS embed.FS
