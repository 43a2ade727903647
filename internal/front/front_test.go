package front

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/words"
)

// english are the words of packets that the front matter says again.
var english = words.Catalogue{}.Replace(
	"compose.not_on_record", "NOT ON RECORD", "compose.kits.ask", "ask", "compose.supplies.by_steps", "as the steps say", "compose.decimal_sign", ".",
	"compose.energy.electrical", "electrical", "compose.isolation.prove", "prove", "compose.isolation.last", "Last.", "compose.isolation.find", "Find it.",
	"compose.or", "or", "compose.instruments.counts", "counted to",
)

// The front matter sums up what packets ask for; the numbers are worked by hand.
func TestSums(t *testing.T) {
	oil := func(text string) packet.Supply { return packet.Supply{Item: "Oil", Amount: written(t, text)} }
	seal := packet.Kit{Kit: "Seal kit", Number: "S-1", Items: []string{"rings"}}
	hammer, starter := packet.Item{Item: "Hammer"}, packet.Lock{Point: "E1", Energy: "electrical", Device: "starter", Put: "open", Prove: "try it"}
	lye := func(at string) *packet.Hazard { return &packet.Hazard{Liquid: "Lye", Condition: packet.Say(at)} }
	grease := packet.Supply{Item: "Grease"}
	needs := []packet.Needs{
		{Kits: []packet.Kit{seal}, Supplies: []packet.Supply{oil("50 mL"), grease, oil("0.5 L")}, Tools: []packet.Item{hammer}, Locks: []packet.Lock{starter}, Liquid: lye("60 °C")},
		{Kits: []packet.Kit{seal, {Kit: "Wear kit", Ask: true}}, Supplies: []packet.Supply{oil("12.5 mL"), grease}, Tools: []packet.Item{hammer, {Item: "Arbor"}}, Locks: []packet.Lock{starter}, Liquid: lye("45 °C")},
	}
	jobs := []Job{
		{Job: "A", Unit: "P-1", Day: "2026-11-30", Crew: "day", People: 2, Hours: 9, Needs: &needs[0], Pages: 10},
		{Job: "B", Unit: "P-1", Day: "2026-11-30", Crew: "day", People: 1, Hours: 3.5, Needs: &needs[0], Pages: 11},
		{Job: "C", Unit: "P-2", Day: "2026-12-01", Crew: "day", People: 1, Hours: 2, Needs: &needs[1], Pages: 12},
		{Job: "D", Unit: "P-2", Day: "2026-12-08", Crew: "day", People: 1, Hours: 2, Needs: &needs[1], Pages: 13},
	}
	fronts := slices.Collect(Weeks(&Run{Crews: []Crew{{"day", 36}}, Words: english}, jobs, nil, nil))
	if len(fronts) != 2 || fronts[0].Week != "2026-W49" || fronts[1].Week != "2026-W50" {
		t.Fatalf("%+v", fronts)
	}
	f := fronts[0]
	if want := []CrewDay{{"2026-11-30", "day", 2, 21.5, 36, 21}, {"2026-12-01", "day", 1, 2, 36, 12}}; !slices.Equal(f.Days, want) {
		t.Errorf("days %+v", f.Days)
	}
	pull := func(list []Pull) string {
		var s []string
		for _, p := range list {
			s = append(s, fmt.Sprintf("%s %s %s: %s", p.Amount, p.What, p.Number, strings.Join(p.Jobs, " ")))
		}
		return strings.Join(s, "; ")
	}
	if got, want := pull(f.Kits), "3 Seal kit S-1: A B C; 1 Wear kit NOT ON RECORD ask: C"; got != want {
		t.Errorf("kits %q, not %q", got, want)
	}
	if got, want := pull(f.Supplies), "as the steps say Grease : A B C; 1113 mL Oil : A B C"; got != want {
		t.Errorf("supplies %q, not %q", got, want)
	}
	if len(f.Locks) != 2 || !slices.Equal(f.Locks[0].Jobs, []string{"A", "B"}) {
		t.Errorf("locks %+v", f.Locks)
	}
	if k := f.Locks[0]; k.Device != "starter" || k.Put != "open; prove: try it" {
		t.Errorf("lock %+v", k)
	}
	if len(f.Tools) != 2 || f.Tools[0].What != "Arbor" || len(f.Tools[1].Jobs) != 3 {
		t.Errorf("tools %+v", f.Tools)
	}
	if len(f.Liquids) != 1 || len(f.Liquids[0].Units) != 2 || f.Liquids[0].Units[1].Condition != "45 °C" {
		t.Errorf("liquids %+v", f.Liquids)
	}
}

// No cell of the tables is taken for a formula.
func TestGuard(t *testing.T) {
	for cell, want := range map[string]string{
		"": "", "P-214": "P-214", "=1+1": "'=1+1", "+1": "'+1", "-1": "'-1", "@SUM(A1)": "'@SUM(A1)", " =1": "' =1", "\t=1": "'\t'=1", "|x": "'|x", "＝1": "'＝1", "3 mm": "3 mm", "–": "–",
		";=1+1": ";'=1+1", "a;=1": "a;'=1", "a; +1": "a;' +1", "a,-1": "a,'-1", "a|@x": "a|'@x", "a\t=1": "a\t'=1", "a\n=1": "a\n'=1", "a;;=1": "a;;'=1",
		"\r=1": "'\r'=1", "a;\t=1": "a;'\t'=1", "a=1; b-2": "a=1; b-2", "In service: −0.2 bar, 3": "In service: −0.2 bar, 3", "=1;=2": "'=1;'=2",
	} {
		if got := guard(cell); got != want {
			t.Errorf("%q becomes %q, not %q", cell, got, want)
		}
	}
	bad := `=HYPERLINK("http://x","y")`
	files := map[string]*bytes.Buffer{}
	tables, err := NewTables(func(name string) (io.Writer, error) {
		files[name] = &bytes.Buffer{}
		return files[name], nil
	})
	if err != nil {
		t.Fatal(err)
	}
	tables.Add(&Front{Week: "2026-W49", Jobs: []Line{{Job: bad, Unit: "a,b\"c\nd"}}, Locks: []LockUse{{Point: bad, Device: bad}}, Tools: []Use{{What: bad}},
		Kits: []Pull{{What: bad}}, Liquids: []LiquidUse{{Name: bad, Statements: []packet.Statement{{Text: bad}}, Units: []UnitState{{Unit: bad}}}},
		Refused: []Refused{{Job: bad, Reasons: []string{bad}}}, Days: []CrewDay{{Crew: bad}}})
	if err := tables.Close(); err != nil {
		t.Fatal(err)
	}
	guarded := 0
	for name, data := range files {
		if !strings.HasSuffix(name, ".csv") {
			if !json.Valid(data.Bytes()) {
				t.Errorf("%s is no JSON", name)
			}
			continue
		}
		rows, err := csv.NewReader(bytes.NewReader(data.Bytes())).ReadAll()
		if err != nil || len(rows) != 2 {
			t.Fatalf("%s: %v %v", name, rows, err)
		}
		for _, cell := range rows[1] {
			if strings.HasPrefix(cell, "=") {
				t.Errorf("%s has the formula %s", name, cell)
			}
			if strings.HasPrefix(cell, "'=") {
				guarded++
			}
		}
	}
	if guarded < 9 {
		t.Errorf("only %d cells were guarded", guarded)
	}
}
