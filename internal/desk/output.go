package desk

import (
	"errors"
	"io"
	"io/fs"
	"mime"
	"net/http"
	"path"
	"slices"
	"strings"
	"sync"
	"time"

	"jobsheaf/internal/week"
)

// This file shows what lies in the output folder, as the ledger of its last run has it.
// Nothing else of the folder is ever opened here.

// mostOfLedger is the most bytes of a ledger that the desk reads: one of 10,000 jobs has
// some 12 MB.
const mostOfLedger = 24 << 20

// outputFolder keeps what the ledger says, as long as it is the same file.
type outputFolder struct {
	mu   sync.Mutex
	size int64
	when time.Time
	is   *printoutPage
}

// printoutPage is what the last run left.
type printoutPage struct {
	List   string
	When   time.Time
	Rounds []week.RoundDone
	Front  []string // files of the front matter
	Jobs   []string
	Refuse int
	files  []string // all that may be had, by name
}

// printoutOf reads the ledger. The page is nil where there is none.
func (d *Desk) printoutOf() (*printoutPage, error) {
	if d.Packets == nil {
		return nil, nil
	}
	f, err := d.Packets.Open(week.LedgerName)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return nil, err
	}
	d.output.mu.Lock()
	defer d.output.mu.Unlock()
	if d.output.is != nil && d.output.size == info.Size() && d.output.when.Equal(info.ModTime()) {
		return d.output.is, nil
	}
	if !info.Mode().IsRegular() || info.Size() > mostOfLedger {
		return nil, refuse(http.StatusNotFound, "printed.large")
	}
	raw, err := io.ReadAll(io.LimitReader(f, mostOfLedger))
	if err != nil {
		return nil, err
	}
	l, err := week.DecodeLedger(raw)
	if err != nil {
		d.Log("the ledger of the output folder: %v", err)
		return nil, refuse(http.StatusNotFound, "printed.damaged")
	}
	is := &printoutPage{List: l.List, When: info.ModTime(), Rounds: l.Rounds, Refuse: len(l.Refused)}
	for _, f := range l.Files {
		if ext := path.Ext(f.Name); !fs.ValidPath(f.Name) || fileTypes[ext] == "" {
			continue
		}
		is.files = append(is.files, f.Name)
		if strings.HasPrefix(f.Name, "front/") {
			is.Front = append(is.Front, f.Name)
		}
	}
	for i := range l.Jobs {
		is.Jobs = append(is.Jobs, l.Jobs[i].Job.Job)
	}
	d.output.size, d.output.when, d.output.is = info.Size(), info.ModTime(), is
	return is, nil
}

// fileTypes are what may be had, by how names end.
var fileTypes = map[string]string{".pdf": "application/pdf", ".csv": "text/csv; charset=utf-8"}

// printout shows what was printed last.
func (v *visit) printout() error {
	is, err := v.printoutOf()
	if err != nil {
		return err
	}
	return v.show("printed", is)
}

// Base is the name of a file without its folder.
func (*visit) Base(name string) string { return path.Base(name) }

// printedFile sends one of the files that the ledger names.
func (v *visit) printedFile() error {
	is, err := v.printoutOf()
	if err != nil {
		return err
	}
	name := v.r.PathValue("file")
	if is == nil || !slices.Contains(is.files, name) {
		return refuse(http.StatusNotFound, "printed.no_file")
	}
	f, err := v.Packets.Open(name)
	if err != nil {
		return refuse(http.StatusNotFound, "printed.no_file")
	}
	defer f.Close()
	info, err := f.Stat()
	body, ok := f.(io.ReadSeeker)
	if err != nil || !ok || !info.Mode().IsRegular() {
		return refuse(http.StatusNotFound, "printed.no_file")
	}
	ext := path.Ext(name)
	shown := "attachment"
	if ext == ".pdf" {
		shown = "inline"
	}
	h := v.w.Header()
	h.Set("Content-Type", fileTypes[ext])
	h.Set("Content-Disposition", mime.FormatMediaType(shown, map[string]string{"filename": path.Base(name)}))
	http.NewResponseController(v.w).SetWriteDeadline(v.Now().Add(v.limits.sending)) // a year's print file, through a plant's network
	http.ServeContent(v.w, v.r, "", info.ModTime(), body)
	return nil
}
