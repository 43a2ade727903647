package desk

import (
	"io"
	"io/fs"
	"net/http"
	"regexp"
	"slices"
	"strconv"
	"time"

	"jobsheaf/internal/manifest"
	"jobsheaf/internal/register"
)

// jobPage is what is shown of a job.
type jobPage struct {
	register.Job
	All      []register.Printed // the newest first
	Shown    register.Printed   // the print whose pages are shown
	Sheets   []sheet
	Readings []typed
	Events   []register.Happened
	Packet   bool // it lies in the output folder
}

// sheet is one page of a print.
type sheet struct {
	N      int
	Sheet  string // the key of its title
	Papers []register.Paper
}

// typed is a reading with what its box asks for.
type typed struct {
	register.Reading
	Ask     manifest.Ask
	Outside bool
}

// printedPages is what a manifest says of a print, as far as a page here shows it.
type printedPages struct {
	sheets []string
	asks   map[string]manifest.Ask // by box, of those that say what they ask for
	order  map[string]int          // of the boxes
}

func (v *visit) job() error {
	ctx, id := v.r.Context(), v.r.PathValue("job")
	job, err := v.Register.Job(ctx, id)
	if err != nil {
		return err
	}
	is := jobPage{Job: job}
	if is.All, err = v.Register.Prints(ctx, id); err != nil {
		return err
	}
	slices.Reverse(is.All)
	is.Shown = is.All[0]
	if n, err := strconv.Atoi(v.asked("print", 9)); err == nil {
		for _, p := range is.All {
			if p.N == n {
				is.Shown = p
			}
		}
	}
	on, err := v.asks.get(is.Shown.Event, func() (printedPages, error) { return v.printed(is.Shown) })
	if err != nil {
		return err
	}
	papers, err := v.Register.Papers(ctx, is.Shown.Event)
	if err != nil {
		return err
	}
	for i, name := range on.sheets {
		s := sheet{N: i + 1, Sheet: name}
		for _, p := range papers {
			if p.Page == s.N {
				s.Papers = append(s.Papers, p)
			}
		}
		is.Sheets = append(is.Sheets, s)
	}
	readings, err := v.Register.Readings(ctx, is.Shown.Event)
	if err != nil {
		return err
	}
	for box, r := range readings {
		is.Readings = append(is.Readings, typed{Reading: r, Ask: on.asks[box], Outside: outside(r)})
	}
	slices.SortFunc(is.Readings, func(a, b typed) int { return on.order[a.Box] - on.order[b.Box] })
	if is.Events, err = v.Register.Happened(ctx, id); err != nil {
		return err
	}
	if f, _, err := v.openPacket(job, is.All); err == nil {
		is.Packet = true
		f.Close()
	}
	return v.show("job", is)
}

// printed reads what a page shows of a print's manifest.
func (v *visit) printed(p register.Printed) (out printedPages, err error) {
	raw, err := v.Register.Manifest(v.r.Context(), p)
	if err != nil {
		return out, err
	}
	out.asks, out.order = map[string]manifest.Ask{}, map[string]int{}
	m, err := manifest.Decode(raw)
	if err != nil { // of another version of the program, say: what it says of the boxes is not shown
		out.sheets = make([]string, p.Pages)
		return out, nil
	}
	for _, page := range m.Pages {
		out.sheets = append(out.sheets, page.Sheet)
		for _, b := range page.Boxes {
			out.order[b.ID] = len(out.order)
			if b.Ask != nil && (b.Ask.For == manifest.ForReading || b.Ask.For == manifest.ForWords || b.Ask.For == manifest.ForNumber || b.Ask.For == manifest.ForDue) {
				out.asks[b.ID] = *b.Ask
			}
		}
	}
	return out, nil
}

// outside reports whether a number is outside the limits to which it was held.
func outside(r register.Reading) bool {
	is, err := strconv.ParseFloat(r.Value, 64)
	return err == nil && (r.Low != nil && is < *r.Low || r.High != nil && is > *r.High)
}

// Verdict says how a reading stands to its limits: within, outside, or neither.
func (t typed) Verdict() string {
	switch {
	case t.Outside:
		return "outside"
	case t.Value != "" && (t.Low != nil || t.High != nil):
		return "within"
	}
	return ""
}

// Limits gives the limits of a reading: as its page has them, else as it was held to them.
func (t typed) Limits() string {
	if t.Ask.Limits != "" {
		return t.Ask.Limits
	}
	number := func(f *float64) string {
		if f == nil {
			return ""
		}
		return strconv.FormatFloat(*f, 'f', -1, 64)
	}
	low, high := number(t.Low), number(t.High)
	switch {
	case low == "" && high == "":
		return ""
	case low == "":
		return "≤ " + high
	case high == "":
		return "≥ " + low
	}
	return low + " – " + high
}

// packet shows a job's packet as it lies in the output folder, if it is of one of the
// job's prints.
func (v *visit) packet() error {
	job, err := v.Register.Job(v.r.Context(), v.r.PathValue("job"))
	if err != nil {
		return err
	}
	prints, err := v.Register.Prints(v.r.Context(), job.ID)
	if err != nil {
		return err
	}
	f, changed, err := v.openPacket(job, prints)
	if err != nil {
		return refuse(http.StatusNotFound, "fault.packet")
	}
	defer f.Close()
	body, ok := f.(io.ReadSeeker)
	if !ok {
		return refuse(http.StatusNotFound, "fault.packet")
	}
	h := v.w.Header()
	h.Set("Content-Type", "application/pdf")
	h.Set("Content-Disposition", `inline; filename="`+job.ID+`.pdf"`) // the register takes letters, digits, "-" and "." alone
	http.ServeContent(v.w, v.r, "", changed, body)
	return nil
}

// openPacket opens a job's packet, whose name is the job's as the register has it. What lies
// there of that name and was printed of nothing in the register is not opened.
func (v *visit) openPacket(job register.Job, prints []register.Printed) (fs.File, time.Time, error) {
	var never time.Time
	if v.Packets == nil || !fs.ValidPath(job.ID) || job.ID == "." {
		return nil, never, fs.ErrNotExist
	}
	m, err := v.Packets.Open(job.ID + ".json")
	if err != nil {
		return nil, never, err
	}
	head, err := manifest.ReadHead(io.LimitReader(m, 64<<10))
	m.Close()
	if err != nil || !slices.ContainsFunc(prints, func(p register.Printed) bool { return p.Fingerprint == head.Fingerprint }) {
		return nil, never, fs.ErrNotExist
	}
	f, err := v.Packets.Open(job.ID + ".pdf")
	if err != nil {
		return nil, never, err
	}
	info, err := f.Stat()
	if err != nil || !info.Mode().IsRegular() {
		f.Close()
		return nil, never, fs.ErrNotExist
	}
	return f, info.ModTime(), nil
}

// picture shows the picture of a page that came back. It is asked for by the event of the
// paper, and its file's name comes from the register alone.
func (v *visit) picture() error {
	n, err := strconv.ParseInt(v.r.PathValue("paper"), 10, 64)
	if err != nil {
		return errNoPage
	}
	p, err := v.Register.Paper(v.r.Context(), n)
	if err != nil {
		return err
	}
	if !sumForm.MatchString(p.Picture) {
		return errNoPage
	}
	f, err := v.Scans.Open(register.PictureFile(p.Picture))
	if err != nil {
		return errNoPage
	}
	defer f.Close()
	info, err := f.Stat()
	body, ok := f.(io.ReadSeeker)
	if err != nil || !ok || !info.Mode().IsRegular() {
		return errNoPage
	}
	v.w.Header().Set("Content-Type", "image/jpeg")
	v.w.Header().Set("Cache-Control", "private, max-age=31536000, immutable") // it is named by what is in it
	http.ServeContent(v.w, v.r, "", time.Time{}, body)
	return nil
}

// sumForm is how a SHA-256 is written.
var sumForm = regexp.MustCompile(`^[0-9a-f]{64}$`)
