package cli

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/origin"
	"jobsheaf/internal/printjob"
	"jobsheaf/internal/prove"
	"jobsheaf/internal/source"

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
		Long: `prove reads what a packet or an annex carries: the job and the lines of the records
and templates that it was made from. It makes the file again from these and compares
the two. It says "same bytes", or what differs: another version of the program, a
line of the inputs, pages that were altered, moved, added or taken out, an
attachment. Of a print file it compares the pages of each packet, and of its annex,
with the packet's own file, in the folder above or the same. It finds what was altered by mistake or in passing; it does not protect against forgery.`,
		Example: `  jobsheaf prove out/K-24817.pdf
  jobsheaf prove out/K-24817-annex.pdf
  jobsheaf prove archive/*.pdf --json`,
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return errors.New("name the files, such as `jobsheaf prove out/K-24817.pdf`")
			}
			return runProve(s, args, asJSON)
		},
	}
	c.Flags().BoolVar(&asJSON, "json", false, "print as JSON")
	c.ValidArgsFunction = pdfFiles
	return c
}

// proved is what prove says of a file as JSON. Error is set where the file could not
// be read at all.
type proved struct {
	File  string `json:"file"`
	Error string `json:"error,omitempty"`
	prove.Report
}

func runProve(s Streams, names []string, asJSON bool) error {
	reports := []proved{}
	same, unread := true, 0
	for _, name := range names {
		data, err := readWhole(name, maxPacket)
		if err != nil {
			unread++
			reports = append(reports, proved{File: name, Error: err.Error()})
			fmt.Fprintf(s.Err, "jobsheaf: %s\n", err)
			continue
		}
		r := prove.File(data, prove.Again{Program: program, Make: remake, Packet: beside(name)})
		reports = append(reports, proved{File: name, Report: r})
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
	switch {
	case unread > 0:
		return errUnread
	case !same:
		return errRefused
	}
	return nil
}

func tellProved(w io.Writer, name string, r prove.Report) error {
	if len(r.Packets) > 0 {
		return tellPrintFile(w, name, r)
	}
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

func tellPrintFile(w io.Writer, name string, r prove.Report) error {
	same, annexes := 0, 0
	for _, p := range r.Packets {
		if p.Same {
			same++
		}
		if p.Annex {
			annexes++
		}
	}
	of := plural(len(r.Packets)-annexes, "packet")
	if annexes > 0 {
		of = fmt.Sprintf("%d packets and annexes", len(r.Packets))
	}
	if _, err := fmt.Fprintf(w, "%s: print file, %d of %s the same\n", name, same, of); err != nil {
		return err
	}
	for _, p := range r.Packets {
		said := "same pages as in its own file, which is the same byte for byte"
		switch {
		case !p.Same:
			said = "differs"
		case p.Annex:
			said = "same pages as in the annex that its packet carries, and the packet is the same byte for byte"
		}
		if p.After {
			said += "; the page after it, usually a blank back, is not checked"
		}
		what := p.Job
		if p.Annex {
			what += ", annex"
		}
		if _, err := fmt.Fprintf(w, "  %s, from page %d: %s\n", what, p.First, said); err != nil {
			return err
		}
		for _, f := range p.Findings {
			if _, err := fmt.Fprintf(w, "    %s\n", f.Message); err != nil {
				return err
			}
		}
	}
	return nil
}

// beside gives the packets that belong to a print file: week puts them into the folder
// above, and a person may have put them into the same.
func beside(name string) func(job string) ([]byte, error) {
	return func(job string) ([]byte, error) {
		dir := filepath.Dir(name)
		if fault := source.NameFault(job); fault != "" {
			return nil, fmt.Errorf("%q is not a job: %s", job, fault)
		}
		data, err := readWhole(filepath.Join(dir, "..", job+".pdf"), maxPacket)
		if errors.Is(err, os.ErrNotExist) {
			return readWhole(filepath.Join(dir, job+".pdf"), maxPacket)
		}
		return data, err
	}
}

// remake makes a packet's file, and its annex, from what one carries.
func remake(in *origin.Carried) (prove.Remade, error) {
	st := readSite(in.Site)
	if in.Blank {
		st.composer = st.composer.Forms()
	}
	maker := &printjob.Maker{Composer: st.composer}
	made, err := maker.Print(in.Job)
	if err != nil {
		return prove.Remade{}, err
	}
	if made.Packet == nil {
		for _, p := range append(made.Problems, st.problems...) {
			if p.Severity == diag.Error {
				return prove.Remade{}, errors.New(p.String())
			}
		}
		return prove.Remade{}, errors.New("its job is not printed")
	}
	return prove.Remade{Packet: made.Files[0].Data, Annex: made.AnnexFile.Data, Fingerprint: made.Packet.Fingerprint}, nil
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
		return nil, fmt.Errorf("%s is not a plain file", name)
	}
	data, err := io.ReadAll(io.LimitReader(f, most+1))
	if err == nil && int64(len(data)) > most {
		err = fmt.Errorf("%s has more than %d bytes, more than are read", name, most)
	}
	return data, err
}
