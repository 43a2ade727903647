// Package samples holds the demo sites: invented plants that use every part of
// the program, and that a new site starts from. It is for data only. It belongs
// here if a newcomer would learn from it; what tests need to be wrong is in
// testdata.
package samples

import "embed"

// FS holds the sites, each in a folder of its own.
//
//go:embed */*.yaml */*/*.yaml
var FS embed.FS
