//go:build unix

package cli

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// A run that is asked to stop says so, and ends with the code by which a shell knows
// it. Of 2, which means wrong use, a caller would think that the command was at fault.
func TestStoppedRunSaysBySignal(t *testing.T) {
	binary, args := weekOf(t, 300)
	for sig, want := range map[syscall.Signal]int{syscall.SIGINT: 130, syscall.SIGTERM: 143} {
		code, said := 0, ""
		for try := 0; code != want && try < 10; try++ { // a run may be through before it is asked
			out := filepath.Join(t.TempDir(), "out")
			cmd := exec.Command(binary, args(out)...)
			var text bytes.Buffer
			cmd.Stdout, cmd.Stderr = &text, &text
			if err := cmd.Start(); err != nil {
				t.Fatal(err)
			}
			ended := make(chan error, 1)
			go func() { ended <- cmd.Wait() }()
			for asked, over := false, false; !over; {
				select {
				case <-ended:
					over = true
				case <-time.After(time.Millisecond):
					if there, _ := os.ReadDir(out); len(there) >= 10 && !asked {
						asked = true
						cmd.Process.Signal(sig)
					}
				}
			}
			code, said = cmd.ProcessState.ExitCode(), text.String()
		}
		if code != want || !strings.Contains(said, "interrupted; every file that was written is whole") {
			t.Errorf("%v: exit code %d, want %d\n%s", sig, code, want, said)
		}
	}
}
