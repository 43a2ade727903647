package manifest

import (
	"bytes"
	"encoding/json"
	"maps"
	"math"
	"reflect"
	"strings"
	"testing"

	"jobsheaf/internal/page"

	"pgregory.net/rapid"
)

func doc() page.Doc {
	return page.Doc{ID: "7F3A91C2", Pages: []page.Page{{
		W: 210, H: 297, Sheet: "cover", Marks: [4][2]float64{{10, 10}, {200, 10}, {10, 287}, {200, 287}},
		Codes: []page.Code{{X: 170, Y: 8, Size: 22, Text: "J1:K-1/1/1/7F3A91C2", Level: "Q", Version: 2}},
		Boxes: []page.Box{
			{ID: "a", Kind: page.Blank, X: 20.004, Y: 30.126, W: 22, H: 9, Printed: []page.Printed{{Text: "mm", X: 37.2, Y: 35, W: 4.1, H: 3}}},
			{ID: "b", Kind: page.Tick, X: 20, Y: 50, W: 5, H: 5, Hatched: true},
		},
	}}}
}

func TestEncode(t *testing.T) {
	raw, err := From(doc(), Job{ID: "K-1", Unit: "P-214", Procedure: "x", Revision: "1", Day: "2026-11-30", Program: "p 1"}).Encode()
	if err != nil {
		t.Fatal(err)
	}
	want := `{
  "format": 2,
  "job": "K-1",
  "unit": "P-214",
  "procedure": "x",
  "revision": "1",
  "day": "2026-11-30",
  "fingerprint": "7F3A91C2",
  "program": "p 1",
  "annex": 0,
  "pages": [
    {"page": 1, "of": 1,
      "sheet": "cover",
      "w": 210.00,
      "h": 297.00,
      "marks": [[10.00,10.00],[200.00,10.00],[10.00,287.00],[200.00,287.00]],
      "codes": [{"x":170.00,"y":8.00,"size":22.00,"text":"J1:K-1/1/1/7F3A91C2","level":"Q","version":2}],
      "boxes": [
        {"id":"a","kind":"blank","x":20.00,"y":30.13,"w":22.00,"h":9.00,"printed":[{"text":"mm","x":37.20,"y":35.00,"w":4.10,"h":3.00}]},
        {"id":"b","kind":"tick","x":20.00,"y":50.00,"w":5.00,"h":5.00,"hatched":true}
      ]}
  ]
}
`
	if string(raw) != want {
		t.Errorf("got\n%s\nwant\n%s", raw, want)
	}
	if !json.Valid(raw) {
		t.Error("not JSON")
	}
}

// packet is a document of two pages with everything that a manifest can hold.
func packet() page.Doc {
	d := doc()
	second := d.Pages[0]
	second.Sheet = `"of" <a & b>` + "\n µ"
	second.Marks = [4][2]float64{{10, 10.25}, {200, 10}, {10, 287}, {200.5, 287}}
	second.Codes = []page.Code{{X: 170, Y: 8, Size: 16, Text: "one", Level: "Q", Version: 2}, {X: 10, Y: 280, Size: 10, Text: "two", Level: "M", Version: 1}}
	second.Boxes = []page.Box{
		{ID: "c", Kind: page.Sign, X: 0, Y: 0, W: 210, H: 297}, // as large as the paper
		{ID: "d", Kind: page.Tick, X: 205, Y: 292, W: 5, H: 5, Hatched: true, Printed: []page.Printed{{X: -0.05, Y: -12.34, W: 1, H: 2}, {Text: "of", X: 1, Y: 2, W: 3, H: 4}}},
	}
	d.Pages = append(d.Pages, second)
	return d
}

// Everything that is written is read back as it was.
func TestAllComesBack(t *testing.T) {
	m := From(packet(), Job{ID: "K-1", Unit: "P-214", Procedure: "x", Revision: "1", Day: "2026-11-30", Program: "p <1>"})
	for i := range m.Pages { // as the file has it, to 0.01 mm
		for k := range m.Pages[i].Boxes {
			b := &m.Pages[i].Boxes[k]
			b.X, b.Y = MM(math.Round(float64(b.X)*100)/100), MM(math.Round(float64(b.Y)*100)/100)
		}
	}
	m.Ask(maps.All(map[string]Ask{
		"c": {For: ForReading, Step: "10.4", Of: "pin", Label: `"A" <µ>`, Unit: "mm", Low: new(0.1), High: new(1e-9), Limits: "0.1 to 0.2 mm", Last: "0.15 mm, 2025-03-04", Tool: "feeler gauge", Keep: "as_left pin"},
		"d": {For: ForTick, Low: new(-1e21)},
		"z": {For: ForWords}, // no box of this packet
	}))
	raw, err := m.Encode()
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range m.Pages[1].Boxes { // as encoding/json writes it
		plain, err := json.Marshal(b.Ask)
		if err != nil || b.Ask == nil || !bytes.Contains(raw, append([]byte(`,"ask":`), plain...)) {
			t.Errorf("%s is not written as %s: %v", b.ID, plain, err)
		}
	}
	if bytes.Count(raw, []byte(`"ask"`)) != 2 {
		t.Errorf("asks that nobody made: %s", raw)
	}
	back, err := Decode(raw)
	if err != nil || !reflect.DeepEqual(back, m) {
		t.Errorf("came back as\n%+v\nnot as\n%+v\n%v", back, m, err)
	}
	h, err := ReadHead(bytes.NewReader(raw))
	if want := (Head{m.Job, m.Unit, m.Procedure, m.Day, "7F3A91C2", "p <1>", 2, 0}); err != nil || h != want {
		t.Errorf("the head is %v, %v, want %v", h, err, want)
	}
	for _, length := range []float64{math.NaN(), math.Inf(1), 1e14, -1e14, 1 << 53 / 100.0} {
		d := packet()
		d.Pages[1].Boxes[0].W = length
		if raw, err := From(d, Job{}).Encode(); err == nil {
			t.Errorf("%g mm was written: %s", length, raw)
		}
	}
	m.Pages[1].Boxes[0].Ask.High = new(math.NaN())
	if raw, err := m.Encode(); err == nil {
		t.Errorf("a limit that is no number was written: %s", raw)
	}
	// The first fault is the one reported.
	d := packet()
	d.Pages[0].W, d.Pages[1].W = math.Inf(1), math.Inf(-1)
	if _, err := From(d, Job{}).Encode(); err == nil || !strings.Contains(err.Error(), "+Inf") {
		t.Errorf("%v", err)
	}
}

// What is written comes back, to 0.01 mm, and is then written as the same bytes.
func TestRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := page.Doc{ID: "ABCD"}
		mm := rapid.Float64Range(0, 100)
		for i := range rapid.IntRange(0, 3).Draw(t, "pages") {
			p := page.Page{W: 210, H: 297, Sheet: rapid.String().Draw(t, "sheet")}
			for k := range rapid.IntRange(0, 5).Draw(t, "boxes") {
				p.Boxes = append(p.Boxes, page.Box{ID: string(rune('a'+i)) + string(rune('0'+k)), Kind: page.Sign,
					X: mm.Draw(t, "x"), Y: mm.Draw(t, "y"), W: 1 + mm.Draw(t, "w"), H: 1 + mm.Draw(t, "h")})
			}
			d.Pages = append(d.Pages, p)
		}
		m := From(d, Job{ID: rapid.String().Draw(t, "job")})
		raw, err := m.Encode()
		if err != nil {
			t.Fatal(err)
		}
		back, err := Decode(raw)
		if err != nil {
			t.Fatal(err)
		}
		for i := range m.Pages {
			for k, b := range m.Pages[i].Boxes {
				c := back.Pages[i].Boxes[k]
				if math.Abs(float64(b.X-c.X)) > 0.00501 || math.Abs(float64(b.H-c.H)) > 0.00501 || b.ID != c.ID {
					t.Fatalf("box %v came back as %v", b, c)
				}
			}
		}
		again, err := back.Encode()
		if err != nil || !bytes.Equal(raw, again) {
			t.Fatalf("written again: %v\n%s\n%s", err, raw, again)
		}
	})
}

// What an older program printed is still read: its boxes do not say what they ask for.
func TestTheFirstFormatIsRead(t *testing.T) {
	raw, err := From(doc(), Job{ID: "K-1"}).Encode()
	if err != nil {
		t.Fatal(err)
	}
	old := bytes.Replace(raw, []byte(`"format": 2`), []byte(`"format": 1`), 1)
	m, err := Decode(old)
	if err != nil || m.Format != 1 || m.Pages[0].Boxes[0].Ask != nil {
		t.Errorf("%+v, %v", m, err)
	}
	if _, err := ReadHead(bytes.NewReader(old)); err != nil {
		t.Error(err)
	}
	if _, err := Decode(bytes.Replace(raw, []byte(`"format": 2`), []byte(`"format": 0`), 1)); err == nil {
		t.Error("format 0 was taken")
	}
}

func TestDecodeRefuses(t *testing.T) {
	raw, err := From(doc(), Job{ID: "K-1"}).Encode()
	if err != nil {
		t.Fatal(err)
	}
	good := string(raw)
	if m, err := Decode(raw); err != nil || !reflect.DeepEqual(m.Pages[0].Boxes[1].ID, "b") {
		t.Fatal(m, err)
	}
	for name, c := range map[string][2]string{
		"format":      {`"format": 2`, `"format": 3`},
		"unknown key": {`"unit"`, `"unti"`},
		"kind":        {`"tick"`, `"tock"`},
		"twice":       {`"id":"b"`, `"id":"a"`},
		"page":        {`"page": 1`, `"page": 2`},
		"outside":     {`"x":20.00,"y":50.00`, `"x":207.00,"y":50.00`},
		"no width":    {`"w":5.00`, `"w":0.00`},
		"paper":       {`"w": 210.00`, `"w": -210.00`},
		"cut off":     {"]\n}\n", ""},
		"more":        {"]\n}\n", "]\n}\n{}"},
		"of":          {`"of": 1`, `"of": 2`},
		"no height":   {`"h":5.00`, `"h":0.00`},
		"flat paper":  {`"h": 297.00`, `"h": 0.00`},
		"no paper":    {`"w": 210.00`, `"w": 0.00`},
		"too wide":    {`"w": 210.00`, `"w": 2000.01`},
		"too high":    {`"h": 297.00`, `"h": 2000.01`},
		"left":        {`"x":20.00,"y":50.00`, `"x":-0.01,"y":50.00`},
		"above":       {`"x":20.00,"y":50.00`, `"x":20.00,"y":-0.01`},
		"below":       {`"x":20.00,"y":50.00`, `"x":20.00,"y":292.01`},
	} {
		bad := strings.Replace(good, c[0], c[1], 1)
		if bad == good {
			t.Fatalf("%s: nothing was changed", name)
		}
		if _, err := Decode([]byte(bad)); err == nil {
			t.Errorf("%s: was taken", name)
		}
	}
}

// The largest paper that is taken.
func TestLargePaper(t *testing.T) {
	d := doc()
	d.Pages[0].W, d.Pages[0].H = 2000, 2000
	raw, err := From(d, Job{}).Encode()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Decode(raw); err != nil {
		t.Error(err)
	}
}

func TestEncodeRefusesNaN(t *testing.T) {
	d := doc()
	d.Pages[0].Boxes[0].X = math.NaN()
	if _, err := From(d, Job{}).Encode(); err == nil {
		t.Error("a place that is not a number was written")
	}
}

func FuzzDecode(f *testing.F) {
	raw, err := From(doc(), Job{ID: "K-1"}).Encode()
	if err != nil {
		f.Fatal(err)
	}
	f.Add(raw)
	f.Add([]byte(`{"format":1,"pages":[{"page":1,"of":1}]}`))
	f.Fuzz(func(t *testing.T, raw []byte) {
		m, err := Decode(raw)
		if err != nil {
			return
		}
		if _, err := m.Encode(); err != nil {
			t.Errorf("taken but not written again: %v", err)
		}
	})
}
