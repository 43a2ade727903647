//go:build unix

package scan

import (
	"bytes"
	"context"
	"image"
	"image/jpeg"
	"os"
	"runtime"
	"runtime/pprof"
	"syscall"
	"testing"
	"time"

	"jobsheaf/testdata/scribble"
)

// spent is the processor time that this process has taken so far, which does not hang on
// what else the machine does.
func spent(t testing.TB) time.Duration {
	t.Helper()
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		t.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// BenchmarkPage is a page at 200 dpi from its JPEG to the JPEG of its picture squared up:
// processor time a page, and what is allocated.
func BenchmarkPage(b *testing.B) {
	p := packets(b, 1)[0]
	c, _ := scribble.Named("jpeg 40")
	var files [][]byte
	for n := 1; n <= len(p.Manifest.Pages); n++ {
		s, err := p.Shoot(context.Background(), n, c, 1, scribble.Ordinary)
		if err != nil {
			b.Fatal(err)
		}
		files = append(files, s.JPEG)
	}
	runtime.GC()
	if name := os.Getenv("SCANPROF"); name != "" {
		f, _ := os.Create(name)
		pprof.StartCPUProfile(f)
		defer pprof.StopCPUProfile()
	}
	b.ReportAllocs()
	b.ResetTimer()
	began, n := spent(b), 0
	for b.Loop() {
		img, err := jpeg.Decode(bytes.NewReader(files[n%len(files)]))
		if err != nil {
			b.Fatal(err)
		}
		g, ok := img.(*image.Gray)
		if !ok {
			b.Fatalf("%T", img)
		}
		k := Codes(g, nil)
		if len(k) != 1 {
			b.Fatal(len(k), "codes")
		}
		s, err := Read(g, k[0], &p.Manifest.Pages[k[0].Ref.Page-1])
		if err != nil {
			b.Fatal(err)
		}
		var out bytes.Buffer
		if err := jpeg.Encode(&out, s.Picture, &jpeg.Options{Quality: 75}); err != nil {
			b.Fatal(err)
		}
		n++
	}
	b.ReportMetric(float64((spent(b)-began).Milliseconds())/float64(n), "cpu-ms/page")
}
