package scan

import (
	"context"
	"fmt"
	"image/png"
	"os"
	"testing"
	"time"

	"jobsheaf/testdata/scribble"
)

func TestIdent(t *testing.T) {
	if os.Getenv("IDENT") == "" {
		t.Skip()
	}
	c, _ := scribble.Named(os.Getenv("IDENT"))
	all, bad := 0, 0
	var spent time.Duration
	for _, p := range packets(t, 0)[:7] {
		for n := 1; n <= len(p.Manifest.Pages); n += 2 {
			s, err := p.Shoot(context.Background(), n, c, *seed, scribble.Rough)
			if err != nil {
				t.Fatal(err)
			}
			all++
			t0 := time.Now()
			k := Codes(s.Image, nil)
			spent += time.Since(t0)
			if len(k) == 0 {
				bad++
				out, _ := os.Create(fmt.Sprintf("/tmp/fail/%s-%d.png", c.Name, bad))
				png.Encode(out, s.Image)
				out.Close()
			}
		}
	}
	fmt.Println(c.Name, all, bad, spent/time.Duration(all))
}
