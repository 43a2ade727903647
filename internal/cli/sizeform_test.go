package cli

import (
	"maps"
	"math/rand/v2"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"gopkg.in/yaml.v3"
)

// keys gives the paths of the keys of a mapping that have no mapping below them.
func keys(of any, at string, into map[string]bool) {
	m, ok := of.(map[string]any)
	if !ok {
		into[at] = true
		return
	}
	for k, v := range m {
		keys(v, strings.TrimPrefix(at+"."+k, "."), into)
	}
}

// packedSize is the demo with a stuffing box in its size 65, which then has everything
// that a procedure can want of a gear pump.
func packedSize(t *testing.T) plant {
	p := demo(t, "soapworks")
	p.replace(t, "designs/ring-gear-b.yaml", "\n  \"65\":\n", "\n  \"65\":\n    box: {bore: 70 mm, depth: 74 mm, shaft: 50 mm, worn: 49.5 mm, entry: 8..12 mm, nuts: 2, stud: M12, packing: \"PTFE-filled aramid, braided\", most_runout: 0.08 mm, first_drops: 60..120, drops: 40..60}\n")
	return p
}

// TestSizeForm compares the form of a new size with a size that has everything: each of
// its keys is one that a record holds, in the same place, but for limits of which
// one is enough; and each value that the size has of its own, and a procedure
// wants, is asked for.
func TestSizeForm(t *testing.T) {
	p := packedSize(t)
	site := filepath.Join(t.TempDir(), "site")
	p.write(t, site)
	got := jobsheaf("start", "--size", "ring-gear-b", "66", "--site", site)
	if got.code != exitDone || got.err != "" {
		t.Fatalf("exit code %d\n%s", got.code, got.err)
	}
	of := func(text, size string) map[string]bool {
		var design struct {
			Sizes map[string]any `yaml:"sizes"`
		}
		if err := yaml.Unmarshal([]byte(text), &design); err != nil {
			t.Fatal(err)
		}
		out := map[string]bool{}
		keys(design.Sizes[size], "", out)
		return out
	}
	form, full := of(got.out, "66"), of(p["designs/ring-gear-b.yaml"], "65")
	for _, name := range []string{"grade", "condition", "fraction", "method", "seat"} {
		full["joints.relief_valve."+name] = true
	}
	oneOf := regexp.MustCompile(`\.reject_(below|above)$`)
	for key := range form {
		if !full[key] && !oneOf.MatchString(key) {
			t.Errorf("the form asks for %s, which the size 65 does not have", key)
		}
	}
	// What no procedure prints or computes from.
	unasked := regexp.MustCompile(`^source$|^max_|^(ball|taper)\.bore$|\.circle$|\.what$|\.passes$|^features\.end_clearance\.new$`)
	for key := range full {
		if !form[key] && !unasked.MatchString(key) {
			t.Errorf("the form does not ask for %s", key)
		}
	}
	for _, line := range []string{
		"    displacement:  # Volume displaced in one turn: volume, in L or gal; for all_flow, delivered, ",
		"      torque:  # Tightening torque of the lock nut: a band of torque, in N.m or ft.lbf; for nut_room, nut_torque\n",
		"    half_rings:  # Has a pair of half rings on the shaft: true or false; for ",
		"      locks:  # Screws that lock the bearing housing from the face: a whole number; for housing.locks\n",
	} {
		if !strings.Contains(got.out, line) {
			t.Errorf("%q is not in the form:\n%s", line, got.out)
		}
	}
	// As it is, it is not a record: a half-filled form is not accepted.
	p["designs/ring-gear-b.yaml"] += got.out[strings.Index(got.out, "  \"66\":"):]
	p.write(t, site)
	if got := jobsheaf("check", site); got.code != exitRefused || strings.Count(got.out, "found nothing where a value is wanted") < 90 { // no more are listed of a record than 100
		t.Errorf("exit code %d, %d problems", got.code, strings.Count(got.out, "found nothing"))
	}
}

func TestSizeFormRefusals(t *testing.T) {
	site := filepath.Join(t.TempDir(), "site")
	packedSize(t).write(t, site)
	for _, c := range []struct {
		args []string
		code int
		want string
	}{
		{[]string{"ring-gear-b", "65", "--size", "--site", site}, exitDone, "# Size 65 of design ring-gear-b lacks nothing that a procedure needs.\n"},
		{[]string{"ring-gear-c", "65", "--size", "--site", site}, exitWrong, `there is no design "ring-gear-c" on record; did you mean ring-gear-b?`},
		{[]string{"ring-gear-b", "--size", "--site", site}, exitWrong, "name a design and a size of it"},
		{[]string{"works", "--site", site}, exitWrong, "--site goes with --size"},
		{[]string{"ring-gear-b", "65", "--size", "--site", site + "x"}, exitWrong, "the site's folder cannot be read"},
	} {
		got := jobsheaf(append([]string{"start"}, c.args...)...)
		if got.code != c.code || !strings.Contains(got.out+got.err, c.want) {
			t.Errorf("%v: exit code %d, %s%s", c.args, got.code, got.out, got.err)
		}
	}
}

// TestHalfARecord takes every other line with a value out of the demo: what is
// missing is said in at most 40 lines, by check and by make.
func TestHalfARecord(t *testing.T) {
	random := rand.New(rand.NewPCG(8, 5))
	p := demo(t, "soapworks")
	value := regexp.MustCompile(`^(    |)[a-z_]+: [^{\[]|^    [a-z_]+: \{[a-z_]+: [^{]*\}$|^(drive|piping): `)
	needed := regexp.MustCompile(`^ *(unit|name|design|size|liquid|source|sheet|statements|serial|instrument|resolution|uncertainty):`)
	took := 0
	for _, file := range slices.Sorted(maps.Keys(p)) {
		if strings.HasPrefix(file, "lists/") || file == "site.yaml" {
			continue
		}
		shared, own := "", p[file]
		if i := strings.Index(own, "\nsizes:\n"); i >= 0 {
			shared, own = own[:i], own[i:]
		}
		lines := strings.SplitAfter(own, "\n")
		lines = slices.DeleteFunc(lines, func(line string) bool {
			gone := value.MatchString(strings.TrimSuffix(line, "\n")) && !needed.MatchString(line) && random.IntN(2) == 0
			if gone {
				took++
			}
			return gone
		})
		p[file] = shared + strings.Join(lines, "")
	}
	site, out := filepath.Join(t.TempDir(), "site"), filepath.Join(t.TempDir(), "out")
	p.write(t, site)
	if took < 80 {
		t.Fatalf("only %d lines were taken", took)
	}
	check := jobsheaf("check", site)
	if n := strings.Count(check.out+check.err, "\n"); n > 40 || !strings.Contains(check.err, "values not on record") {
		t.Errorf("check says it in %d lines:\n%s%s", n, check.out, check.err)
	}
	if all := jobsheaf("check", site, "--all"); strings.Count(all.out, "\n") < took {
		t.Errorf("check --all names %d of what %d lines said", strings.Count(all.out, "\n"), took)
	}
	made := jobsheaf("make", "--site", site, "--list", "week-49", "--out", out)
	if n := strings.Count(made.err, "\n"); n > 40 || !strings.Contains(made.err, "--all names each") {
		t.Errorf("make says it in %d lines:\n%s", n, made.err)
	}
}
