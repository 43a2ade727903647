package cli

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"jobsheaf/internal/printjob"
)

// conveyor is a site of another kind of machine, with a spring that is let off and tagged,
// few numbers, and a procedure that is all its own but for its start.
func conveyor(t testing.TB) plant { return plantOf(t, "../../testdata/conveyor") }

// A small job of a machine that is no pump says and asks for no more than it has.
func TestConveyor(t *testing.T) {
	for _, made := range madeAll(t, conveyor(t)) {
		text := strings.ReplaceAll(pdfText(t, made.Files[0].Data), "\u2011", "-")
		for _, want := range []string{
			"LOCKS IN ALL: 4 (2 each, 2 people)", // a spring that is let off has a tag
			"gate bleed", "take up",              // in the drawing
			"In turn, a little at a time", "at least, to 0.5 mm", "at most, to 0.5 mm", "target, to 0.5 mm", "− 1 ) × 100",
			"Hazards 1 · Locks, zero energy 2 · Job sheet 3 ·",
		} {
			if !strings.Contains(text, want) {
				t.Errorf("it does not print %q", want)
			}
		}
		for _, not := range []string{"suction", "discharge", "first aid", "lifting", "leak", "crosswise", "Pass 2", "100 %", "Where "} {
			if strings.Contains(text, not) {
				t.Errorf("it prints %q", not)
			}
		}
		if made.Packet.Annex == nil {
			t.Fatal("it has no annex")
		}
		for _, file := range made.Files {
			if annex := ""; strings.HasSuffix(file.Name, "-annex.pdf") {
				if annex = pdfText(t, file.Data); strings.Contains(annex, "Open the inlet") || strings.Contains(annex, "Close each drain") {
					t.Error("the annex names steps that no conveyor has")
				}
			}
		}
		n := 0
		for _, l := range made.Packet.Needs.Locks {
			if !l.Tagged {
				n++
			}
		}
		if n != 2 {
			t.Errorf("the week counts %d locks", n)
		}
	}
}

// A spring that is held and locked has its lock taken off again by the built-in start, and
// what the rules have against a step names the line of the point.
func TestLockedSpring(t *testing.T) {
	const procedure, unit = "procedures/replace-two-links.yaml", "units/c-07.yaml"
	p := conveyor(t)
	p.replace(t, "machines/drag-chain-conveyor.yaml", "tagged: true, ", "")
	p.replace(t, procedure, "does: [relieve take up]", "does: [lock take up, tag take up, tag locks]")
	p.replace(t, procedure, "        does: [load take up]\n", "")
	if text := pdfText(t, madeAll(t, p)[0].Files[0].Data); !strings.Contains(text, "LOCKS IN ALL: 6 (3 each, 2 people)") {
		t.Error("its lock is not counted")
	}
	p.replace(t, procedure, ", tag take up, tag locks]", "]")
	st := readSite(p.files())
	made, err := (&printjob.Maker{Composer: st.composer}).Print(st.jobs()[0])
	if err != nil || made.Packet != nil {
		t.Fatal(err, "a lock without a tag is let pass")
	}
	for _, problem := range made.Problems {
		if problem.Rule == "own-tag" {
			for _, at := range problem.Related {
				if at.File == unit && at.Line == 14 {
					return
				}
			}
		}
	}
	t.Errorf("no breach names the line of the spring: %v", made.Problems)
}

// A form for a kind without a liquid asks nothing of one.
func TestFormOfAKindWithoutLiquid(t *testing.T) {
	dir := t.TempDir()
	said(t, exitDone, "make", "--site", "../../testdata/conveyor", "--out", dir, "--blank", "--day", "2026-11-30", "--no-register", "--procedure", "replace-two-links")
	pdf, err := os.ReadFile(filepath.Join(dir, "FORM.pdf"))
	if err != nil {
		t.Fatal(err)
	}
	text := pdfText(t, pdf)
	for _, not := range []string{"each drain", "Open the inlet", "heating", "leak", "the load"} {
		if strings.Contains(text, not) {
			t.Errorf("the form prints %q", not)
		}
	}
	if !strings.Contains(text, "open the air slowly") {
		t.Error("the form lacks a step for what such a machine may hold")
	}
}
