// Package made makes a site and a list of any length out of the demo site: the same
// bytes for the same seed. Everything in it is invented.
//
// Entry point: Site. It belongs here if tests of many jobs or measurements need it.
// It is not part of the program.
package made

import (
	"fmt"
	"io/fs"
	"math/rand/v2"
	"path"
	"strings"
	"time"

	"jobsheaf/samples"
)

// Procedure is the name of the site's own short procedure, which comes to packets
// of four pages.
const Procedure = "look-over"

const short = `procedure: look-over
title: Look over and read
revision: "1"
language: en
people: 1
hours: 1 h
scope:
  - Made for measuring the program; no such procedure exists.
  - Lock out, look over from outside, read, give back.
values:
  speed: {what: Speed on record, is: duty.speed}
  gap: {what: End clearance as it is set, is: end_clearance.set}
numbers:
  table: [speed, gap]
job:
  tools: [Torch, Mirror, Steel rule]
stages:
  - stage: Lock out
    steps:
      - do: Put every isolation point of the cover sheet into its state and lock it.
        blanks: [{label: Locked, kind: initial}]
      - do: Try to start at the local station.
        alerts:
          - {warning: "A pump that starts here is not isolated: stop."}
        blanks: [{label: Dead, kind: tick}, {label: Starts, kind: tick}]
  - stage: Look over
    steps:
      - do: Look for drips at the seal, the gaskets and the plugs.
        blanks: [{label: Dry, kind: tick}, {label: Drips, kind: tick}, {label: Where, kind: words}]
      - do: Look at the bolts of the head and of the feet for rust and for marks that no longer meet.
        blanks: [{label: Good, kind: tick}, {label: Not good, kind: tick}]
      - do: Read the nameplate.
        blanks: [{label: Size, kind: words}, {label: Serial, kind: words}]
      - do: Turn the shaft by hand through one full turn.
        alerts:
          - {warning: "Fingers are drawn in at the coupling."}
        blanks: [{label: Free, kind: tick}, {label: Rubs, kind: tick}]
  - stage: Give back
    sheet: service
    steps:
      - do: Take the locks off in the order in which they were put on.
        blanks: [{label: Off, kind: initial}]
      - do: Tell operations that the pump may run.
        hold: operations
`

// Site gives the files of a site with so many units, and a list of jobs on them in
// CSV. With long set the jobs are by the procedures of the demo site (6 to 16
// pages each), else by the short one.
func Site(seed uint64, units, jobs int, long bool) (files map[string][]byte, csv []byte, err error) {
	rnd := rand.New(rand.NewPCG(seed, 1))
	files = map[string][]byte{"procedures/look-over.yaml": []byte(short)}
	var models []string
	err = fs.WalkDir(samples.FS, "soapworks", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(samples.FS, name)
		if err != nil {
			return err
		}
		switch rel := strings.TrimPrefix(name, "soapworks/"); path.Dir(rel) {
		case "units":
			for _, doc := range strings.Split(string(data), "\n---\n") {
				if at := strings.Index(doc, "unit: "); at >= 0 && strings.Contains(doc, "seal: component") && strings.Contains(doc, "design: ring-gear-b") { // gear pumps, which the procedures are for
					models = append(models, doc[at:])
				}
			}
		case "lists", "procedures":
		case ".":
			text := string(data)
			if at := strings.Index(text, "crews:"); at >= 0 { // enough people for any list
				text = text[:at] + "crews:\n  day: {people: 200, hours: 12 h}\n  late: {people: 200, hours: 12 h}\n"
			}
			files[rel] = []byte(text)
		default:
			files[rel] = data
		}
		return nil
	})
	if err != nil || len(models) == 0 {
		return nil, nil, fmt.Errorf("the demo site has no units to copy: %w", err)
	}
	tag := func(i int) string { return fmt.Sprintf("T-%04d", i) }
	for i := range units {
		m := models[i%len(models)]
		_, rest, _ := strings.Cut(m, "\n")
		name := fmt.Sprintf("units/area-%02d.yaml", i/20)
		if len(files[name]) > 0 {
			files[name] = append(files[name], "---\n"...)
		}
		files[name] = append(files[name], "unit: "+tag(i)+"\n"+strings.TrimRight(rest, "\n")+"\n"...)
	}
	var b strings.Builder
	b.WriteString("job,unit,procedure,day,crew,people,hours\n")
	first := time.Date(2027, 1, 4, 0, 0, 0, 0, time.UTC)
	for i := range jobs {
		// Every unit once a round of the works, twenty jobs a crew and day.
		slot := i / 20
		day := first.AddDate(0, 0, slot/2/5*7+slot/2%5)
		proc := Procedure
		if long {
			proc = []string{"reset-end-clearance", "rebuild-component-seal"}[rnd.IntN(2)]
		}
		fmt.Fprintf(&b, "M-%05d,%s,%s,%s,%s,%d,%d\n", 10_000+i, tag(i%units), proc, day.Format(time.DateOnly), []string{"day", "late"}[slot%2], 1+rnd.IntN(3), 2+rnd.IntN(8))
	}
	return files, []byte(b.String()), nil
}
