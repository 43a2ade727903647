package layout

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/compose"
	"jobsheaf/internal/diag"
	"jobsheaf/internal/figure"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/quantity"
	"jobsheaf/internal/record"
	"jobsheaf/internal/words"
	"jobsheaf/templates"
)

// on is a text that is on record.
func on(s string) record.Text {
	return record.Text{S: s, At: diag.Pos{File: "units/awkward.yaml", Line: 1, Col: 1}}
}

func amount(v float64, k quantity.Kind) record.Amount {
	a := record.Amount{Text: on(fmt.Sprint(v)), Value: quantity.Of(v, k)}
	return a
}

// freely puts a text in the place of every one that a plant writes freely about a
// unit, its liquid and its kits. What a figure prints has its limit there: 160
// characters.
func freely(u *record.Unit, l *record.Liquid, text func() string) {
	for i := range u.Isolate {
		p := &u.Isolate[i]
		p.Device, p.Where, p.Put, p.Prove = on(clip(text(), 160)), on(text()), on(clip(text(), 160)), on(text())
	}
	u.Notes = []record.Text{on(text()), on(text())}
	l.FirstAid, l.Spill, l.Say = []record.Text{on(text())}, []record.Text{on(text())}, []record.Text{on(text()), on(text())}
	l.Issuer = on(text())
	for i := range l.Wear {
		l.Wear[i].Say = on(text())
	}
	for i := range u.Size.Kits {
		u.Size.Kits[i].Items = []record.Text{on(text()), on(text())}
	}
	for _, f := range u.Size.Features {
		f.What, f.IfWorn, f.Part = on(clip(text(), 79)), on(text()), on(clip(text(), 79))
	}
	for _, a := range u.Size.Assemblies {
		a.What = on(text())
	}
	for i := range u.Size.Supplies {
		u.Size.Supplies[i].Item, u.Size.Supplies[i].Where = on(text()), on(text())
	}
}

// plants are ways in which records can be awkward for the page.
var plants = []struct {
	name string
	do   func(*record.Book, *record.Unit)
}{
	{"as they are", func(*record.Book, *record.Unit) {}},
	{"one character", func(b *record.Book, u *record.Unit) {
		freely(u, u.Liquid, func() string { return "x" })
		u.Name, u.Area, u.Serial, u.Liquid.Name, b.Site.Name = on("x"), on("x"), on("x"), on("x"), on("x")
	}},
	{"long texts", func(b *record.Book, u *record.Unit) {
		n := 0
		freely(u, u.Liquid, func() string { n++; return long(60 + n*37%340) })
		u.Notes = append(u.Notes, on(long(2000)))
		u.Liquid.Say = append(u.Liquid.Say, on(long(1200)))
		u.Name, u.Serial, b.Site.EnergyControl, b.Site.Emergency = on(long(30)), on(long(60)), on(long(200)), on(long(200))
	}},
	{"one word", func(_ *record.Book, u *record.Unit) {
		freely(u, u.Liquid, func() string { return strings.Repeat("Verdrängerpumpengehäuse", 5) })
	}},
	{"greek", func(_ *record.Book, u *record.Unit) {
		freely(u, u.Liquid, func() string {
			return "Ρυθμίστε το ακραίο διάκενο ώστε ο άξονας να γυρίζει ελεύθερα"
		})
		u.Name, u.Liquid.Name = on("Αντλία λιπαντικών"), on("Καυστικό νάτριο")
	}},
	{"cyrillic", func(_ *record.Book, u *record.Unit) {
		freely(u, u.Liquid, func() string {
			return "Установите торцевой зазор так, чтобы вал проворачивался; щит їґЁ"
		})
		u.Name, u.Liquid.Name = on("Насос щёлока"), on("Натр едкий")
	}},
	{"16 isolation points", func(_ *record.Book, u *record.Unit) {
		energies := []string{"electrical", "mechanical", "liquid", "pressure", "heat", "gravity", "air", "chemical"}
		var out []record.IsolationPoint
		for i := range 16 {
			p := u.Isolate[i%len(u.Isolate)]
			p.Point, p.Energy = on(fmt.Sprintf("E%d", i+1)), on(energies[i%len(energies)])
			out = append(out, p)
		}
		u.Isolate = out
	}},
	{"no isolation points", func(_ *record.Book, u *record.Unit) { u.Isolate = nil }},
	{"40 bolts", func(_ *record.Book, u *record.Unit) {
		for _, j := range u.Size.Joints {
			j.Count = amount(40, quantity.KindNumber)
		}
	}},
	{"everything missing", func(b *record.Book, u *record.Unit) {
		u.Name, u.Area, u.Serial, u.LiquidName, u.History, u.Notes, u.Liquid, u.Isolate = record.Text{}, record.Text{}, record.Text{}, record.Text{}, nil, nil, nil, nil
		keep := map[string]record.Scalar{}
		for _, n := range []string{"built.seal"} { // without it no procedure can be chosen
			keep[n] = u.Scalars[n]
		}
		u.Scalars = keep
		s := *u.Size
		s.Scalars, s.Joints, s.Features, s.Assemblies = nil, nil, nil, nil
		s.JointOrder, s.FeatureOrder, s.AssemblyOrder, s.Kits, s.Supplies = nil, nil, nil, nil, nil
		u.Design.Sizes[u.Size.Name], u.Size = &s, &s
		b.Site.Scalars, b.Site.EnergyControl, b.Site.Emergency = nil, record.Text{}, record.Text{}
	}},
	{"20 entries of history", func(_ *record.Book, u *record.Unit) {
		u.History = nil
		for i := range 20 {
			h := record.HistoryEntry{Job: on(fmt.Sprintf("K-%d", i)), Day: on(fmt.Sprintf("%d-03-04", 2005+i)), AsLeft: map[string]record.Amount{}}
			for name, f := range u.Size.Features {
				h.AsLeft[name] = amount(f.New.Value.SI()*(1+1e-4*float64(i)), quantity.KindLength)
			}
			u.History = append(u.History, h)
		}
	}},
	{"much to pull", func(_ *record.Book, u *record.Unit) {
		kits, supplies := u.Size.Kits, u.Size.Supplies
		for i := range 25 {
			k, s := kits[i%len(kits)], supplies[i%len(supplies)]
			k.Kit, k.When, s.Item = on(fmt.Sprintf("%s %d", k.Kit, i)), record.Text{}, on(fmt.Sprintf("%s %d", s.Item, i))
			u.Size.Kits, u.Size.Supplies = append(u.Size.Kits, k), append(u.Size.Supplies, s)
		}
		for _, name := range slices.Clone(u.Size.FeatureOrder) {
			f := *u.Size.Features[name]
			f.Places = nil
			for i := range 12 {
				f.Places = append(f.Places, on(fmt.Sprintf("%c%d", 'A'+i/4, i%4+1)))
			}
			u.Size.Features[name] = &f
		}
	}},
}

// Packets of awkward records hold the rules of paper as well: of the largest unit
// of the demo site, on both papers, in both languages and unit systems, and of the
// smallest.
func TestAwkwardPlants(t *testing.T) {
	for _, plant := range plants {
		for _, language := range []string{"en", "es"} {
			for _, units := range []string{"metric", "us"} {
				t.Run(plant.name+"/"+language+"/"+units, func(t *testing.T) {
					t.Parallel()
					book, composer := composerOf(t, units, language, func(b *record.Book) {
						for _, name := range []string{"P-118", "P-401"} {
							plant.do(b, b.Units[name])
						}
					})
					if book.Units["P-118"].SizeName.S != "25" || book.Units["P-401"].SizeName.S != "100" {
						t.Fatal("these are no longer the demo's smallest and largest unit")
					}
					p := packetFor(t, composer, "P-401", "rebuild-component-seal")
					holdTo(t, p, "A4", "largest")
					holdTo(t, p, "Letter", "largest")
					holdTo(t, packetFor(t, composer, "P-401", "reset-end-clearance"), map[string]string{"metric": "A4", "us": "Letter"}[units], "short")
					if language == "en" && units == "metric" {
						holdTo(t, packetFor(t, composer, "P-118", "rebuild-component-seal"), "A4", "smallest")
						holdTo(t, packetFor(t, composer, "P-118", "reset-end-clearance"), "Letter", "smallest")
					}
				})
			}
		}
	}
}

// composerOf reads the demo site in a unit system and a language, lets its records
// be changed, and compiles its procedures.
func composerOf(t *testing.T, units, language string, change func(*record.Book)) (*record.Book, *compose.Composer) {
	t.Helper()
	fsys := demo(t, soapworks(t), units, "en")
	book, _ := record.Load(fsys, templates.FS, record.Options{})
	book.Site.Language = language
	change(book)
	library, problems := procedure.Load(fsys, templates.FS, procedure.Options{Figures: figure.Names(), Signs: figure.Names(), Language: language})
	catalogue, more := words.Load(nil, templates.FS, language, nil)
	composer, last := compose.New(book, library, catalogue, "jobsheaf 0.1")
	if all := slices.Concat(problems, more, last); all.HasErrors() {
		t.Fatal(all)
	}
	return book, composer
}

func packetFor(t *testing.T, c *compose.Composer, unit, proc string) packet.Packet {
	t.Helper()
	p, problems := c.Make(&record.Job{ID: on("K-24817"), Unit: on(unit), Procedure: on(proc), Day: on("2026-11-30"), At: diag.Pos{File: "test", Line: 1}})
	if p == nil {
		t.Fatal(problems)
	}
	return *p
}

// Empty forms hold them too: for any unit, and for one on record.
func TestForms(t *testing.T) {
	for _, units := range []string{"metric", "us"} {
		_, composer := composerOf(t, units, "en", func(*record.Book) {})
		composer = composer.Forms()
		for unit, proc := range map[string]string{compose.AnyUnit: "rebuild-component-seal", "P-118": "reset-end-clearance", "P-401": "rebuild-component-seal"} {
			p := packetFor(t, composer, unit, proc)
			holdTo(t, p, "A4", units+" "+unit)
			holdTo(t, p, "Letter", units+" "+unit)
		}
	}
}

// holdTo lays a packet out and holds it against the rules of paper.
func holdTo(t *testing.T, p packet.Packet, paper, what string) {
	p.Paper = paper
	t.Run(what+"/"+paper, func(t *testing.T) {
		doc, problems := Layout(p)
		for _, d := range problems {
			if d.Severity == diag.Error {
				t.Errorf("%v", d)
			}
		}
		inspect(t, doc)
		complete(t, p, doc)
		holdAnnex(t, p)
	})
}
