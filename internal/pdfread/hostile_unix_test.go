//go:build unix

package pdfread

import (
	"fmt"
	"strings"
	"syscall"
	"testing"
	"time"
)

// spent is the processor time that this process has taken so far, which does not
// hang on what else the machine does.
func spent(t *testing.T) time.Duration {
	t.Helper()
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		t.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// A hostile file costs no more time than its size allows.
func TestReadHostile(t *testing.T) {
	fill := func(s string) []byte {
		return []byte("%PDF-1.7\n" + strings.Repeat(s, 2<<20/len(s)) + "\ntrailer<</Root 1 0 R>>\n")
	}
	chain := []byte("%PDF-1.7\n1 0 obj<</Pages 2 0 R/Outlines 2 0 R>>endobj\n")
	for i := 2; i < 50_000; i++ {
		chain = fmt.Appendf(chain, "%d 0 obj<</Kids[%d 0 R %d 0 R]/First %d 0 R/Next %d 0 R>>endobj\n", i, i+1, i, i+1, i+1)
	}
	shared := []byte("%PDF-1.7\n1 0 obj<</Pages 2 0 R>>endobj\n2 0 obj<</Resources[" + strings.Repeat("0 ", 1<<19) + "]/Kids[")
	for i := range 5000 {
		shared = fmt.Appendf(shared, "%d 0 R ", i+3)
	}
	shared = append(shared, "]>>endobj\n"...)
	for i := range 5000 {
		shared = fmt.Appendf(shared, "%d 0 obj<</Type/Page>>endobj\n", i+3)
	}
	for name, b := range map[string][]byte{
		"open arrays": fill("["), "open strings": fill("1 0 obj ("), "open dictionaries": fill("1 0 obj<</A"), "streams": fill("1 0 obj<<>>stream "),
		"objects": fill("1 0 obj 2 0 obj "), "references": fill("1 0 R "), "nested": fill("1 0 obj[[[[[[[["), "hex": fill("1 0 obj<00"), "numbers": fill("1 0 obj 1.1.1.1"),
		"itself": []byte("%PDF-1.7\n1 0 obj 1 0 R endobj 2 0 obj<</Pages 3 0 R>>endobj 3 0 obj<</Kids[3 0 R 1 0 R 2 0 R]/A 3 0 R>>endobj trailer<</Root 2 0 R/Info 1 0 R>>"),
		"chain":  append(chain, "trailer<</Root 1 0 R>>"...), "shared": append(shared, "trailer<</Root 1 0 R>>"...),
	} {
		began := spent(t)
		_, _ = Read(b)
		if d := spent(t) - began; d > 20*time.Second {
			t.Errorf("%s: %v", name, d)
		}
	}
	if _, err := Read([]byte("GIF89a")); err != ErrNotPDF {
		t.Errorf("a picture: %v", err)
	}
}
