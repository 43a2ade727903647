package cli

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"image"
	"image/png"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"time"

	"jobsheaf/internal/intake"
	"jobsheaf/internal/register"
	"jobsheaf/internal/scan/sheets"

	"github.com/spf13/cobra"
)

// reading is what the read command was asked for.
type reading struct {
	site, who string
	asJSON    bool
}

func readCommand(s Streams) *cobra.Command {
	var r reading
	c := &cobra.Command{
		Use:   "read SCAN...",
		Short: "Read scanned pages back in",
		Long: `read takes scanned pages of packets into the site's register: which page of which
print each is, by its code, and which of its boxes are marked. A SCAN is a PDF, TIFF,
JPEG or PNG file, or a folder of them; pages may come in any order, turned any way, of
several packets mixed, and as photos. What is written by hand is never guessed at: a
person types it in (jobsheaf type).

A box is marked, blank, or unsure; a person settles what is unsure. A page of an older
print, one that came before, one of another site, and one whose print the register does
not hold are told and kept; nothing is overwritten. A page whose code cannot be read is
placed by a person (jobsheaf place). Reading a scan twice changes nothing.

The pictures, squared up, are kept in the folder scans of the site.`,
		Example: `  jobsheaf read --site works monday.pdf
  jobsheaf read --site works scans/2026-12-04/`,
		Args: cobra.MinimumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error { return runRead(cmd.Context(), s, r, args) },
	}
	f := c.Flags()
	f.StringVar(&r.site, "site", ".", "the site's folder")
	f.StringVar(&r.who, "who", "", "who reads them in, for the register; by default the name of the account")
	f.BoolVar(&r.asJSON, "json", false, "print a line of JSON for each page")
	completeFlags(c, map[string]completer{"site": folders})
	return c
}

// tally counts what became of pages.
type tally struct {
	pages, placed, before, empty, odd, failed int
	jobs                                      []string // in the order in which they came
	prints                                    map[string]int64
}

func runRead(ctx context.Context, s Streams, r reading, args []string) error {
	files, err := scansIn(args)
	if err != nil {
		return err
	}
	ctx, stop := untilStopped(ctx)
	defer stop()
	st, err := openSite(r.site)
	if err != nil {
		return err
	}
	return withRegister(ctx, r.site, false, func(reg *register.Register) error {
		pictures := pictures{r.site}
		in := &intake.Intake{Register: reg, By: register.By{Who: account(r.who), At: time.Now()}, Link: st.link(), Workers: runtime.GOMAXPROCS(0), Keep: pictures.keep}
		t := tally{prints: map[string]int64{}}
		for _, name := range files {
			if err := readScan(ctx, s, r, in, name, &t); err != nil {
				return err
			}
		}
		if !r.asJSON {
			if err := t.tell(ctx, s, reg); err != nil {
				return err
			}
		}
		if t.odd+t.failed > 0 {
			return errRefused
		}
		return nil
	})
}

// readScan reads the pages of one file. A file that cannot be read is told, and the
// others go on.
func readScan(ctx context.Context, s Streams, r reading, in *intake.Intake, name string, t *tally) error {
	wrong := func(err error) error {
		t.failed++
		fmt.Fprintf(s.Err, "%s: %s\n", name, err)
		return nil
	}
	f, err := os.Open(name)
	if err != nil {
		return wrong(errors.Unwrap(err))
	}
	defer f.Close()
	sum := sha256.New()
	size, err := io.Copy(sum, f)
	if err != nil {
		return wrong(err)
	}
	pages, err := sheets.Open(ctx, f, size, drawnBy(name))
	if err != nil {
		if ctx.Err() != nil {
			return context.Cause(ctx)
		}
		return wrong(err)
	}
	encode := json.NewEncoder(s.Out)
	return in.File(ctx, intake.Source{Scan: hex.EncodeToString(sum.Sum(nil)), File: filepath.Base(name)}, pages, func(o intake.Outcome) error {
		t.count(o)
		if r.asJSON {
			return encode.Encode(pageJSON(name, o))
		}
		_, err := fmt.Fprintf(s.Out, "%s %d: %s\n", name, o.At, says(o))
		return err
	})
}

// count takes up what became of a page.
func (t *tally) count(o intake.Outcome) {
	t.pages++
	p := o.Paper
	switch {
	case errors.Is(o.Err, intake.ErrEmpty):
		t.empty++
	case o.Err != nil:
		t.failed++
	case p.State != register.Placed:
		t.odd++
	case !o.New:
		t.before++
	default:
		t.placed++
		if o.Odd {
			t.odd++
		}
	}
	if p.Print != 0 {
		if t.prints[p.Job] == 0 {
			t.jobs = append(t.jobs, p.Job)
		}
		t.prints[p.Job] = max(t.prints[p.Job], p.Print)
	}
}

// says says what became of a page, in one line.
func says(o intake.Outcome) string {
	p := o.Paper
	switch {
	case o.Err != nil:
		return o.Err.Error()
	case p.State == register.Placed:
		is := map[register.Mark]int{}
		for _, b := range p.Boxes {
			is[b.Is]++
		}
		text := fmt.Sprintf("%s page %d: %d marked, %d blank", p.Job, p.Page, is[register.Marked], is[register.Blank])
		if n := is[register.Unsure]; n > 0 {
			text += fmt.Sprintf(", %d to be settled", n)
		}
		if o.Remark != "" {
			text += "; " + o.Remark
		}
		return text
	case p.State == register.Unread:
		return fmt.Sprintf("paper %d, %s page %d: %s; settle its boxes by hand", p.Event, p.Job, p.Page, p.Why)
	}
	return fmt.Sprintf("paper %d: %s", p.Event, p.Why)
}

// pageJSON is what a program gets of a page.
func pageJSON(name string, o intake.Outcome) map[string]any {
	out := map[string]any{"file": name, "at": o.At, "new": o.New}
	if o.Err != nil {
		out["error"] = o.Err.Error()
		return out
	}
	p := o.Paper
	out["paper"], out["state"], out["remark"] = p.Event, p.State, o.Remark
	if p.Print != 0 {
		out["job"], out["page"], out["boxes"], out["quality"], out["picture"] = p.Job, p.Page, p.Boxes, p.Quality, p.Picture
	}
	return out
}

// tell says at the end which packets are whole, and what is left to do.
func (t *tally) tell(ctx context.Context, s Streams, reg *register.Register) error {
	for _, job := range t.jobs {
		missing, pages, err := missingPages(ctx, reg, job, t.prints[job])
		if err != nil {
			return err
		}
		if len(missing) == 0 {
			fmt.Fprintf(s.Out, "%s: all %d pages\n", job, pages)
		} else {
			fmt.Fprintf(s.Out, "%s: %d of %d pages; page %s missing\n", job, pages-len(missing), pages, strings.Join(missing, ", "))
		}
	}
	_, err := fmt.Fprintf(s.Out, "%s: %d read, %d read before, %d empty, %d to be looked at, %d not read\n", plural(t.pages, "page"), t.placed, t.before, t.empty, t.odd, t.failed)
	return err
}

// missingPages gives the pages of a print that did not come back, and how many it has.
func missingPages(ctx context.Context, reg *register.Register, job string, print int64) (missing []string, pages int, err error) {
	prints, err := reg.Prints(ctx, job)
	if err != nil {
		return nil, 0, err
	}
	for _, p := range prints {
		if p.Event == print {
			pages = p.Pages
		}
	}
	papers, err := reg.Papers(ctx, print)
	for n := 1; n <= pages; n++ {
		if !slices.ContainsFunc(papers, func(p register.Paper) bool { return p.Page == n }) {
			missing = append(missing, strconv.Itoa(n))
		}
	}
	return missing, pages, err
}

// scansIn gives the files that are named, and those in folders that are, in order.
func scansIn(args []string) ([]string, error) {
	var out []string
	for _, arg := range args {
		info, err := os.Stat(arg)
		switch {
		case err != nil:
			return nil, err
		case info.Mode().IsRegular():
			out = append(out, arg)
			continue
		case !info.IsDir():
			return nil, fmt.Errorf("%s is neither a file nor a folder", arg)
		}
		err = filepath.WalkDir(arg, func(path string, d fs.DirEntry, err error) error {
			if err == nil && d.Type().IsRegular() && !strings.HasPrefix(d.Name(), ".") {
				out = append(out, path)
			}
			return err
		})
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}

// pictures is where a site keeps the pictures of its pages.
type pictures struct{ site string }

// path gives the place of a picture by its sum.
func (p pictures) path(sum string) string {
	return filepath.Join(p.site, filepath.FromSlash(register.PictureFile(sum)))
}

// keep writes a picture to the disk for good. What is there already is the same.
func (p pictures) keep(sum string, raw []byte) error {
	to := p.path(sum)
	if info, err := os.Stat(to); err == nil && info.Size() == int64(len(raw)) {
		return nil
	}
	if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
		return err
	}
	f, err := os.CreateTemp(filepath.Dir(to), ours+"*")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name()) // once it is renamed, nothing has that name
	_, err = f.Write(raw)
	if err = errors.Join(err, f.Chmod(0o644), f.Sync(), f.Close()); err != nil {
		return err
	}
	return os.Rename(f.Name(), to)
}

// mostPicture is the most bytes of a picture that is kept.
const mostPicture = 64 << 20

// open reads a picture that was kept.
func (p pictures) open(ctx context.Context, sum string) (*image.Gray, error) {
	f, err := os.Open(p.path(sum))
	if err != nil {
		return nil, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return nil, err
	}
	if info.Size() > mostPicture {
		return nil, fmt.Errorf("%s is larger than any picture that was kept", f.Name())
	}
	pages, err := sheets.Open(ctx, f, info.Size(), nil)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", f.Name(), err)
	}
	s, err := pages.Sheet(ctx, 1)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", f.Name(), err)
	}
	return s.Gray, nil
}

// verify finds the pictures that were edited or are missing.
func (p pictures) verify(ctx context.Context, r *register.Register) (faults []string, err error) {
	err = r.Pictures(ctx, func(sum string) error {
		raw, err := os.ReadFile(p.path(sum))
		of := sha256.Sum256(raw)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			faults = append(faults, "the picture "+p.path(sum)+" is missing")
		case err != nil:
			return err
		case hex.EncodeToString(of[:]) != sum:
			faults = append(faults, "the picture "+p.path(sum)+" was edited: its sum is another")
		}
		return ctx.Err()
	})
	return faults, err
}

// Of a page that another program draws: how long it may take, and how many pixels its
// longer side has (A4 at 240 dpi), whatever size of paper the file claims.
const (
	drawingTime = time.Minute
	drawnPixels = 2800
)

// drawnBy draws pages of a PDF by pdftoppm of poppler, where it is installed.
func drawnBy(name string) sheets.Renderer {
	tool, err := exec.LookPath("pdftoppm")
	if err != nil {
		return nil
	}
	return func(ctx context.Context, page int) (image.Image, error) {
		ctx, cancel := context.WithTimeout(ctx, drawingTime)
		defer cancel()
		path, err := filepath.Abs(name) // one that begins with a hyphen is no option then
		if err != nil {
			return nil, err
		}
		n := strconv.Itoa(page)
		cmd := exec.CommandContext(ctx, tool, "-f", n, "-l", n, "-scale-to", strconv.Itoa(drawnPixels), "-gray", "-png", path)
		var out, said bytes.Buffer
		cmd.Stdout, cmd.Stderr = &out, &said
		if err := cmd.Run(); err != nil {
			if line, _, _ := strings.Cut(strings.TrimSpace(said.String()), "\n"); line != "" {
				return nil, fmt.Errorf("pdftoppm: %.200s", line)
			}
			return nil, fmt.Errorf("pdftoppm: %w", err)
		}
		return png.Decode(&out)
	}
}
