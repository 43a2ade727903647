// Command jobsheaf prints job packets for pump work from records and procedures.
package main

import (
	"os"

	"jobsheaf/internal/cli"
)

func main() {
	os.Exit(cli.Main(os.Args[1:], cli.Streams{In: os.Stdin, Out: os.Stdout, Err: os.Stderr}))
}
