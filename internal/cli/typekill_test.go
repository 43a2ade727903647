package cli

import (
	"bytes"
	"fmt"
	"io"
	"math/rand/v2"
	"os/exec"
	"path/filepath"
	"regexp"
	"testing"
	"time"

	"jobsheaf/internal/register"
)

var keptLine = regexp.MustCompile(`(?m)^kept (\S+): (\S+) mm; within\n`)

// A run that is killed at any moment loses nothing that it said to be kept, and at most
// the one that was being typed is there unsaid. The register holds, and the next run goes
// on from there.
func TestKilledType(t *testing.T) {
	const kills = 25
	site, program := clearances(t, 2000), filepath.Join(shipped(t), "jobsheaf")
	rnd := rand.New(rand.NewPCG(12, 25))
	said, unsaid := map[string]string{}, 0
	for i := range kills {
		cmd := exec.Command(program, "type", "K-1", "--site", site, "--who", "Mechanic 1")
		var out bytes.Buffer
		cmd.Stdout = &out
		in, err := cmd.StdinPipe()
		must(t, err)
		must(t, cmd.Start())
		value := fmt.Sprintf("0.%d", 10+i%4)
		fed := make(chan struct{})
		go func() {
			defer close(fed)
			for range 100 {
				if _, err := io.WriteString(in, value+"\n"); err != nil {
					return
				}
				time.Sleep(time.Millisecond)
			}
		}()
		// The first moments are those of opening; then some readings are typed.
		time.Sleep(time.Duration(rnd.Int64N(int64(400 * time.Millisecond))))
		cmd.Process.Kill()
		cmd.Wait()
		<-fed
		there := inBoxes(t, site)
		lines := keptLine.FindAllStringSubmatch(out.String(), -1)
		for _, m := range lines {
			if was := said[m[1]]; was != "" {
				t.Errorf("kill %d: %s was kept as %s before, and was asked again", i, m[1], was)
			}
			said[m[1]] = m[2]
		}
		for box, v := range said {
			if want := "Mechanic 1 " + v + " " + v; there[box] != want {
				t.Errorf("kill %d: %s was said to be kept as %s, and the register holds %q", i, box, v, there[box])
			}
		}
		if more := len(there) - len(said); more > 0 {
			if more > 1 {
				t.Errorf("kill %d: %d readings are there unsaid", i, more)
			}
			unsaid++
			for box := range there {
				if said[box] == "" {
					said[box] = value
				}
			}
		}
		inRegister(t, site, func(r *register.Register) error {
			faults, err := r.Verify(t.Context(), register.Head{})
			for _, f := range faults {
				t.Errorf("kill %d: %s", i, f)
			}
			return err
		})
	}
	t.Logf("%d readings were kept, of %d kills %d came between a reading and its word", len(said), kills, unsaid)
	if len(said) < kills {
		t.Errorf("only %d readings were kept in all: this test shows nothing", len(said))
	}
}
