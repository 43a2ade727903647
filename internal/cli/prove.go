package cli

import (
	"errors"
	"fmt"
	"io"
	"os"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/origin"
	"jobsheaf/internal/prove"
	"jobsheaf/internal/week"

	"github.com/spf13/cobra"
)

// maxPacket is the most bytes of a file that is proved: a packet has less than a
// million.
const maxPacket = 128 << 20

func proveCommand(s Streams) *cobra.Command {
	var asJSON bool
	c := &cobra.Command{
		Use:   "prove FILE.pdf...",
		Short: "Make packets again from what they carry and compare every byte",
		Long: `prove reads what a packet carries: the job and the lines of the records and
templates that it was made from. It makes the packet again from these and compares
the two. It says "same bytes", or what differs: another version of the program, a
line of the inputs, pages that were altered, moved, added or taken out, an
attachment. It finds what was altered by mistake or in passing; it is no seal.`,
		Example: `  jobsheaf prove out/K-24817.pdf
  jobsheaf prove archive/*.pdf --json`,
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return errors.New("name the files, such as `jobsheaf prove out/K-24817.pdf`")
			}
			return runProve(s, args, asJSON)
		},
	}
	c.Flags().BoolVar(&asJSON, "json", false, "print as JSON")
	return c
}

// proved is what prove says of a file as JSON.
type proved struct {
	File string `json:"file"`
	prove.Report
}

func runProve(s Streams, names []string, asJSON bool) error {
	reports := []proved{}
	same := true
	for _, name := range names {
		data, err := readWhole(name, maxPacket)
		if err != nil {
			return err
		}
		r := prove.File(data, prove.Again{Program: program, Make: remake})
		reports = append(reports, proved{name, r})
		same = same && r.Same
		if asJSON {
			continue
		}
		if err := tellProved(s.Out, name, r); err != nil {
			return err
		}
	}
	if asJSON {
		if err := writeJSON(s.Out, reports); err != nil {
			return err
		}
	}
	if !same {
		return errRefused
	}
	return nil
}

func tellProved(w io.Writer, name string, r prove.Report) error {
	if r.Same {
		_, err := fmt.Fprintf(w, "%s: same bytes\n", name)
		return err
	}
	if _, err := fmt.Fprintf(w, "%s: differs\n", name); err != nil {
		return err
	}
	for _, f := range r.Findings {
		if _, err := fmt.Fprintf(w, "  %s\n", f.Message); err != nil {
			return err
		}
	}
	return nil
}

// remake makes a packet's file from what one carries.
func remake(in *origin.Carried) ([]byte, string, error) {
	st := readSite(in.Site)
	if in.Blank {
		st.composer = st.composer.Forms()
	}
	press := &week.Press{Composer: st.composer}
	made, err := press.Print(in.Job)
	if err != nil {
		return nil, "", err
	}
	if made.Refused() {
		for _, p := range append(made.Problems, st.problems...) {
			if p.Severity == diag.Error {
				return nil, "", errors.New(p.String())
			}
		}
		return nil, "", errors.New("it is refused")
	}
	return made.Files[0].Data, made.Packet.Fingerprint, nil
}

// readWhole reads a plain file of at most so many bytes.
func readWhole(name string, most int64) ([]byte, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if info, err := f.Stat(); err != nil {
		return nil, err
	} else if !info.Mode().IsRegular() {
		return nil, fmt.Errorf("%s is no plain file", name)
	}
	data, err := io.ReadAll(io.LimitReader(f, most+1))
	if err == nil && int64(len(data)) > most {
		err = fmt.Errorf("%s has more than %d bytes, more than are read", name, most)
	}
	return data, err
}
