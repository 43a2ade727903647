package cli

import (
	"encoding/json"
	"errors"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// TestScript runs the commands as a person would, each script in a folder of its
// own: testdata/script. `exits N command...` wants that exit code, `json FILE` that
// a file (or stdout) is one JSON value.
func TestScript(t *testing.T) {
	program := shipped(t)
	testscript.Run(t, testscript.Params{
		Dir:                filepath.Join("..", "..", "testdata", "script"),
		UpdateScripts:      *update,
		RequireUniqueNames: true,
		Setup: func(e *testscript.Env) error {
			e.Setenv("PATH", program+string(filepath.ListSeparator)+e.Getenv("PATH"))
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": func(ts *testscript.TestScript, neg bool, args []string) {
				if neg || len(args) < 2 {
					ts.Fatalf("usage: exits N command [args]")
				}
				want, err := strconv.Atoi(args[0])
				if err != nil {
					ts.Fatalf("%v", err)
				}
				got := 0
				if err := ts.Exec(args[1], args[2:]...); err != nil {
					var exit *exec.ExitError
					if !errors.As(err, &exit) {
						ts.Fatalf("%v", err)
					}
					got = exit.ExitCode()
				}
				if got != want {
					ts.Fatalf("exit code %d, want %d", got, want)
				}
			},
			"json": func(ts *testscript.TestScript, neg bool, args []string) {
				if len(args) != 1 {
					ts.Fatalf("usage: [!] json FILE")
				}
				if ok := json.Valid([]byte(ts.ReadFile(args[0]))); ok == neg {
					ts.Fatalf("valid JSON: %v", ok)
				}
			},
		},
	})
}
