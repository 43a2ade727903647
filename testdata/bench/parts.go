package main

import (
	"bytes"
	"fmt"
	"io"
	"io/fs"
	"math"
	"regexp"
	"runtime"
	"runtime/debug"
	"strconv"
	"syscall"
	"testing/fstest"
	"time"

	"jobsheaf/internal/compose"
	"jobsheaf/internal/diag"
	"jobsheaf/internal/joblist"
	"jobsheaf/internal/layout"
	"jobsheaf/internal/manifest"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/page"
	"jobsheaf/internal/pagecode"
	"jobsheaf/internal/pdf"
	"jobsheaf/internal/printjob"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"
	"jobsheaf/internal/words"
	"jobsheaf/templates"
	"jobsheaf/testdata/bench/made"

	"github.com/klauspost/compress/zlib"
)

// sampled is how many packets each part is measured with, after as many to warm up.
const sampled = 60

// site is a made site, read and compiled.
type site struct {
	fsys  fs.FS
	book  *record.Book
	maker *printjob.Maker
	jobs  []*record.Job
}

func openSite(seed uint64, units, jobs int, long bool) (*site, error) {
	files, csv, err := made.Site(seed, units, jobs, long)
	if err != nil {
		return nil, err
	}
	fsys := fstest.MapFS{}
	for name, data := range files {
		fsys[name] = &fstest.MapFile{Data: data}
	}
	s := &site{fsys: fsys}
	return s, s.read(csv)
}

// read reads the site anew: what a run does once.
func (s *site) read(csv []byte) error {
	var problems diag.List
	s.book, problems = record.Load(s.fsys, templates.FS, record.Options{})
	library, more := procedure.Load(s.fsys, templates.FS, procedure.Options{})
	problems = append(problems, more...)
	catalogue, more := words.Load(nil, templates.FS, "en", nil)
	problems = append(problems, more...)
	c, more := compose.New(s.book, library, catalogue, "jobsheaf bench")
	problems = append(problems, more...)
	li, more := joblist.Read("list.csv", csv, joblist.Options{Site: s.book.Site})
	problems = append(problems, more...)
	if problems.HasErrors() {
		return fmt.Errorf("the made site has faults: %s", problems.Sorted()[0])
	}
	s.maker, s.jobs = &printjob.Maker{Composer: c}, li.Jobs
	return nil
}

// cpu is the processor time that this process has taken.
func cpu() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		panic(err) // not on any system that the tests run on
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// cost is what one packet takes.
type cost struct {
	ms     float64 // of processor time
	allocs float64
	mb     float64 // allocated
}

// rounds is how often each part is measured: the best round counts, since what else
// the machine does only ever adds.
const rounds = 12

// each measures what each of some things takes, the mean of n packets in the best
// round. They take turns, so that what else the machine does falls on all alike.
func each(n int, do ...func(i int)) []cost {
	out := make([]cost, len(do))
	for k, f := range do { // also warms up
		var a, b runtime.MemStats
		runtime.ReadMemStats(&a)
		for i := range n {
			f(i)
		}
		runtime.ReadMemStats(&b)
		out[k].allocs = float64(b.Mallocs-a.Mallocs) / float64(n)
		out[k].mb = float64(b.TotalAlloc-a.TotalAlloc) / float64(n) / (1 << 20)
	}
	for k := range out {
		out[k].ms = math.Inf(1)
	}
	for range rounds {
		runtime.GC()
		took := make([]time.Duration, len(do))
		for i := range n {
			for k, f := range do {
				from := cpu()
				f(i)
				took[k] += cpu() - from
			}
		}
		for k := range out {
			out[k].ms = min(out[k].ms, float64(took[k].Nanoseconds())/1e6/float64(n))
		}
	}
	return out
}

func (c cost) less(d cost) cost {
	return cost{max(0, c.ms-d.ms), max(0, c.allocs-d.allocs), max(0, c.mb-d.mb)}
}

// measureParts prints what a packet costs by part, in one thread, and the same
// content by other programs.
func measureParts(seed uint64, long bool, peers []string) error {
	runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(runtime.NumCPU())
	defer debug.SetGCPercent(debug.SetGCPercent(400)) // as the program sets it for a run
	s, err := openSite(seed, sampled, sampled, long)
	if err != nil {
		return err
	}
	_, csv, err := made.Site(seed, sampled, sampled, long)
	if err != nil {
		return err
	}
	packets := make([]*packet.Packet, sampled)
	docs := make([]page.Doc, sampled)
	files := make([][]byte, sampled)
	pages, size := 0, 0
	for i, j := range s.jobs {
		made, err := s.maker.Print(j)
		if err != nil || made.Packet == nil {
			return fmt.Errorf("job %s: %v %v", j.ID, err, made.Problems)
		}
		packets[i], files[i] = made.Packet, made.Files[0].Data
		docs[i], _ = layout.Layout(*made.Packet)
		pages += len(docs[i].Pages)
		size += len(files[i])
	}
	records := each(1, func(int) { err = s.read(csv) })[0]
	if err != nil {
		return err
	}
	streams := make([][][]byte, sampled)
	for i, d := range docs {
		var b bytes.Buffer
		if err := pdf.Write(&b, d); err != nil {
			return err
		}
		streams[i] = inflated(b.Bytes())
	}
	keep := func(e error) {
		if err == nil {
			err = e
		}
	}
	z, zerr := zlib.NewWriterLevel(io.Discard, 1) // as pdf packs them
	c := each(sampled,
		func(i int) { s.maker.Composer.Make(s.jobs[i]) },
		func(i int) {
			desk := layout.NewDesk() // as printjob lays out
			desk.Layout(*packets[i])
			desk.Done()
		},
		func(i int) {
			for _, pg := range docs[i].Pages {
				_, e := pagecode.Encode(pg.Codes[0].Text)
				keep(e)
			}
		},
		func(i int) {
			_, e := manifest.From(docs[i], manifest.Job{}).Encode()
			keep(e)
		},
		func(i int) { keep(pdf.Write(io.Discard, docs[i])) },
		func(i int) {
			for _, raw := range streams[i] {
				z.Reset(io.Discard)
				z.Write(raw)
				z.Close()
			}
		},
		func(i int) {
			_, e := s.maker.Print(s.jobs[i])
			keep(e)
		})
	computing, laid, codes, where, written, zipped, whole := c[0], c[1], c[2], c[3], c[4], c[5], c[6]
	if err != nil || zerr != nil {
		return fmt.Errorf("%v %v", err, zerr)
	}
	perPage := float64(pages) / sampled
	fmt.Printf("One packet of %.1f pages, %.0f KB, mean of %d, best of %d rounds, one thread:\n", perPage, float64(size)/sampled/1024, sampled, rounds)
	row := func(name string, c cost) {
		fmt.Printf("  %-34s %8.2f ms CPU  %8.0f allocations  %6.2f MB allocated\n", name, c.ms, c.allocs, c.mb)
	}
	row("computing", computing)
	row("layout, without the codes", laid.less(codes))
	row("codes", codes)
	row("manifest", where)
	row("PDF, without zlib", written.less(zipped))
	row("zlib of the pages", zipped)
	row("what the packet carries, and the rest", whole.less(cost{computing.ms + laid.ms + where.ms + written.ms, computing.allocs + laid.allocs + where.allocs + written.allocs, computing.mb + laid.mb + where.mb + written.mb}))
	row("all, as printjob.Maker prints it", whole)
	fmt.Printf("  for ten pages: %.2f ms, without the codes %.2f ms\n", whole.ms*10/perPage, whole.less(codes).ms*10/perPage)
	fmt.Printf("  once a run, reading %d units and %d jobs and compiling the procedures: %.0f ms\n", sampled, sampled, records.ms)
	ours := computing.ms + laid.ms + written.ms - codes.ms
	return comparePeers(peers, docs, ours, perPage)
}

var lengthBefore = regexp.MustCompile(`/Filter/FlateDecode/Length (\d+)>>\nstream\n`)

// inflated gives the contents of a file's pages as they were before zlib.
func inflated(file []byte) [][]byte {
	var out [][]byte
	for _, m := range lengthBefore.FindAllSubmatchIndex(file, -1) {
		n, _ := strconv.Atoi(string(file[m[2]:m[3]]))
		r, err := zlib.NewReader(bytes.NewReader(file[m[1] : m[1]+n]))
		if err != nil {
			continue
		}
		if raw, err := io.ReadAll(r); err == nil && bytes.HasPrefix(raw, []byte("0 J 0 j")) { // pages begin so
			out = append(out, raw)
		}
	}
	return out
}
