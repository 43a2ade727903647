package check_test

import (
	"errors"
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"jobsheaf/internal/check"
	"jobsheaf/internal/diag"
	"jobsheaf/internal/procedure"
	"jobsheaf/internal/record"

	"github.com/rogpeppe/go-internal/txtar"
)

var known = check.Known{
	Link: func(s string) error {
		if !strings.HasPrefix(s, "https://") {
			return errors.New("the link " + s + " has no https://")
		}
		return nil
	},
	Signs:    []string{"gloves"},
	Drawings: []string{"idler-pin"},
	Room: func(_ check.Place, _, text string) (int, bool) {
		return 30, len(text) <= 30 && text != "P-1-of-the-hall"
	},
	Drawn: func(string, string) (int, int) { return 3, 40 },
}

// relations hold a few numbers of the sound site against each other.
const relations = `source: none, for the test
relations:
  - {of: size, is: ball.outside / ball.bore, from: "1.1", must: true, why: a bearing is larger than its bore}
  - {of: size, when: 'max_speed > q("100 rpm")', is: housing.lead / housing.diameter, from: "0.005", to: "0.05", why: a thread is fine}
  - {of: joint, is: joint.circle / housing.diameter, from: "1", to: "2", why: a circle is as large as the housing}
  - {of: unit, when: 'built.seal == "component"', is: max_speed / duty.speed, to: "3.5", why: a pump runs at a good part of its speed}
  - {of: feature, is: feature.reject_below / feature.new, from: "0.9", why: a part wears by a tenth at most}
  - {of: crew, is: crew.people, to: "5", why: a crew is a handful}
  - {of: assembly, is: assembly.mass, to: 'q("40 kg")', why: more takes a hoist}
  - {of: unit, is: (duty.relief_set - duty.inlet) / (duty.outlet - duty.inlet), from: "1.0001", why: a relief valve opens above the pressure in service}
`

// run changes the sound site of package record in places, each a file, the old
// and the new text, and gives what the rules find: rule, place and weight.
func run(t *testing.T, library *procedure.Library, changes ...string) []string {
	t.Helper()
	var out []string
	for _, p := range find(t, library, changes...) {
		out = append(out, p.Rule+" "+p.Pos.String()+" "+p.Severity.String())
	}
	return out
}

// find is run with all that is said.
func find(t *testing.T, library *procedure.Library, changes ...string) diag.List {
	t.Helper()
	a, err := txtar.ParseFile("../record/testdata/base.txtar")
	if err != nil {
		t.Fatal(err)
	}
	site, builtin := fstest.MapFS{}, fstest.MapFS{}
	for _, f := range a.Files {
		if in, ok := strings.CutPrefix(f.Name, "builtin/"); ok {
			builtin[in] = &fstest.MapFile{Data: f.Data}
		} else {
			site[f.Name] = &fstest.MapFile{Data: f.Data}
		}
	}
	// Terms that the rules know and the sound site does not use.
	terms := string(builtin["terms.yaml"].Data) +
		"  duty.relief_set: {what: Relief, kind: gauge pressure, from: 0.2 bar(g), to: 40 bar(g)}\n" +
		"  built.relief_valve: {what: Relief valve, one_of: [on head, none]}\n" +
		"  ball.bore: {what: Bore, kind: length, from: 5 mm, to: 300 mm}\n  ball.outside: {what: Outside, kind: length, from: 10 mm, to: 600 mm}\n"
	builtin["terms.yaml"] = &fstest.MapFile{Data: []byte(terms)}
	machine := string(builtin["machines/gear-pump.yaml"].Data)
	machine = strings.Replace(machine, "source: none", "bars: [{term: duty.relief_set, when: built.relief_valve == \"none\", why: there is nothing to set}]\nsource: none", 1)
	builtin["machines/gear-pump.yaml"] = &fstest.MapFile{Data: []byte(machine)}
	builtin["relations.yaml"] = &fstest.MapFile{Data: []byte(relations)}
	for i := 0; i+2 < len(changes); i += 3 {
		f := site[changes[i]]
		if strings.Count(string(f.Data), changes[i+1]) != 1 {
			t.Fatalf("%s does not hold %q once", changes[i], changes[i+1])
		}
		site[changes[i]] = &fstest.MapFile{Data: []byte(strings.Replace(string(f.Data), changes[i+1], changes[i+2], 1))}
	}
	book, problems := record.Load(site, builtin, record.Options{})
	for _, p := range problems {
		t.Errorf("record: %s", p)
	}
	return check.Run(book, library, known)
}

// What a reader is told beside the place: what is wrong in figures, what would do,
// and where else to look.
func TestWhatIsSaid(t *testing.T) {
	const unit, design, lye, list = "units/a.yaml", "designs/a.yaml", "liquids/lye.yaml", "lists/week.yaml"
	for _, c := range []struct {
		changes       []string
		message, hint string
		related       int
	}{
		{[]string{list, "crew: day", "crew: dya"}, "the crew dya is not on record", "did you mean day? Else add it to the crews of site.yaml", 1},
		{[]string{list, "crew: day", "crew: zzzzzz"}, "the crew zzzzzz is not on record", "add it to the crews of site.yaml", 1},
		{[]string{unit, `size: "10"`, `size: "100"`}, "the size 100 is not on record", "did you mean 10? Else add it to the sizes of design gear-a", 1},
		{[]string{lye, "sign: gloves", "sign: glove"}, `there is no sign "glove"`, "did you mean gloves?", 0},
		{[]string{lye, "sign: gloves", "sign: hat"}, `there is no sign "hat"`, "known are gloves", 0},
		{[]string{unit, "31.95 mm}}", "31.95 mm, end_claerance: 1 mm}}"}, "the size 10 has nothing named end_claerance to measure", "did you mean end_clearance?", 1},
		{[]string{unit, "31.95 mm}}", "31.95 mm, lock_nut: 1 mm}}"}, "the size 10 has nothing named lock_nut to measure", "it is one of the features of the size, or a term of it", 1},
		{[]string{unit, "280 rpm", "601 rpm"}, "duty.speed of unit P-1 is 601 rpm: no unit runs faster than its size may (duty.speed / max_speed is 1, expected at most 1)", "look at both", 1},
		{[]string{unit, "outlet: 6 bar", "outlet: 12.3 bar"}, "duty.outlet of unit P-1 is 12.3 bar: the pressure rises by no more than the size may ((duty.outlet - duty.inlet) / max_pressure is 1.01, expected at most 1)", "look at both", 2},
		{[]string{unit, "point: V2, energy: liquid", "point: V2, energy: air"}, "unit P-1 has one isolation point for liquid", "suction and discharge are both shut off as a rule", 1},
		{[]string{lye, "flash_point: none", "flash_point: 40 degC", lye, "H314]", "H314, H225]"}, "liquid lye has the statement H225, and by its flash point of 40 degC and its boiling point of 140 degC it is H226", "look at the data sheet (GHS 2.6, table 2.6.1)", 2},
		{[]string{lye, "[H290, H314]", "[H290]"}, "liquid lye has a pH of 14 and none of the statements H314, H315, H318, H319", "look at the data sheet (GHS 3.2: 2 and less, 11.5 and more)", 0},
		{[]string{design, "reject_below: 31.90 mm", "reject_above: 31.99 mm"}, "features.pin_diameter_worn is 32.00 mm when new, and rejected above 31.99 mm", "an outside wears small, a bore wears large", 1},
		{[]string{unit, "serial: A10-0005", "serial: B10-0005", design, "from_serial: A10-0001", "to_serial: A10-0900"}, "the serial B10-0005 cannot be compared with A10-0900, from which the kit Seal kit depends", "serials are compared", 1},
		{[]string{unit, "31.95 mm", "31.85 mm"}, "pin_diameter_worn was left at 31.85 mm, below the reject limit of 31.90 mm", "look at the signed sheet of that job", 1},
	} {
		var said []string
		found := false
		for _, p := range find(t, nil, c.changes...) {
			said = append(said, fmt.Sprintf("%s | %s | %d", p.Message, p.Hint, len(p.Related)))
			found = found || p.Message == c.message && strings.HasPrefix(p.Hint, c.hint) && len(p.Related) == c.related
		}
		if !found {
			t.Errorf("%q: said is %q", c.changes, said)
		}
	}
}

func TestRules(t *testing.T) {
	const unit, design, lye, list = "units/a.yaml", "designs/a.yaml", "liquids/lye.yaml", "lists/week.yaml"
	for name, c := range map[string]struct {
		changes []string
		want    []string
	}{
		"sound": {nil, nil},

		"crew unknown":  {[]string{list, "crew: day", "crew: night"}, []string{"unknown-name lists/week.yaml:3:66 error"}},
		"thread":        {[]string{design, "thread: M12", "thread: X12"}, []string{"unknown-word designs/a.yaml:18:32 error"}},
		"grade":         {[]string{design, `grade: "8.8"`, `grade: "8.9"`}, []string{"unknown-word designs/a.yaml:6:41 error"}},
		"condition":     {[]string{design, "condition: oiled", "condition: oily"}, []string{"unknown-word designs/a.yaml:6:70 error"}},
		"method":        {[]string{design, "method: torque wrench", "method: hammer"}, []string{"unknown-word designs/a.yaml:6:85 error"}},
		"link":          {[]string{"site.yaml", "language: en", "language: en\nlink: ftp://x"}, []string{"unknown-word site.yaml:6:7 error"}},
		"sign":          {[]string{lye, "sign: gloves", "sign: glove"}, []string{"unknown-word liquids/lye.yaml:12:15 error"}},
		"drawing":       {[]string{design, "replaces: pin", "points: pin, replaces: pin"}, []string{"unknown-word designs/a.yaml:20:157 error"}},
		"drawing known": {[]string{design, "replaces: pin", "points: idler-pin, replaces: pin"}, nil},

		"long name":     {[]string{unit, "name: First pump", "name: First pump of the long row by the wall"}, []string{"room units/a.yaml:2:7 warning"}},
		"long tag":      {[]string{unit, "unit: P-1", "unit: P-1-of-the-hall", list, "unit: P-1", "unit: P-2"}, []string{"room units/a.yaml:1:1 error", "twice lists/week.yaml:4:22 warning"}},
		"long site":     {[]string{"site.yaml", "name: Test Mill (invented)", "name: Test Mill by the long and winding river"}, []string{"room site.yaml:2:7 warning"}},
		"long joint":    {[]string{design, "what: Head to casing", "what: Head to casing with all of its bolts and the gaskets"}, []string{"room designs/a.yaml:6:18 error"}},
		"long feature":  {[]string{design, "what: Diameter,", "what: Diameter where the bushing of the idler runs,"}, []string{"room designs/a.yaml:20:50 error"}},
		"long device":   {[]string{unit, "device: starter 1", "device: starter 1 behind the third door of the second row"}, []string{"room units/a.yaml:13:45 error"}},
		"four places":   {[]string{design, "[A1, A2]", "[A1, A2, B1, B1, B2, C1]"}, []string{"room designs/a.yaml:20:156 error"}},
		"four isolated": {[]string{unit, "history:", "  - {point: D1, energy: liquid, device: drain, put: open}\nhistory:"}, []string{"room units/a.yaml:16:13 error"}},

		"two points":   {[]string{unit, "point: V2", "point: v1"}, []string{"twice units/a.yaml:15:13 error"}},
		"same day":     {[]string{list, "unit: P-2", "unit: P-1"}, []string{"twice lists/week.yaml:4:22 warning"}},
		"two jobs":     {[]string{list, "job: K-2", "job: k-1"}, []string{"twice lists/week.yaml:4:11 error"}},
		"two units":    {[]string{"units/b.yaml", "unit: P-2", "unit: p-1", list, "unit: P-2", "unit: p-1"}, []string{"twice units/b.yaml:1:1 error"}},
		"same code":    {[]string{lye, "[H290, H314]", "[H314, H314]"}, []string{"twice liquids/lye.yaml:5:20 error"}},
		"one valve":    {[]string{unit, "point: V2, energy: liquid", "point: V2, energy: air"}, []string{"isolation units/a.yaml:13:5 warning"}},
		"no valve":     {[]string{unit, "point: V1, energy: liquid", "point: V1, energy: heat", unit, "point: V2, energy: liquid", "point: V2, energy: air"}, []string{"isolation units/a.yaml:13:5 warning"}},
		"jacket":       {[]string{unit, "jacket: false", "jacket: true"}, []string{"isolation units/a.yaml:13:5 warning"}},
		"jacket alone": {[]string{unit, "jacket: false", "jacket: true", unit, "point: V2, energy: liquid", "point: V2, energy: heat"}, []string{"isolation units/a.yaml:13:5 warning"}},

		"set below low":        {[]string{design, "set: 0.10 mm", "set: 0.07 mm"}, []string{"limits designs/a.yaml:13:40 error"}},
		"set at low":           {[]string{design, "set: 0.10 mm", "set: 0.08 mm"}, nil},
		"bore above outside":   {[]string{design, "half_rings: true", "ball: {bore: 70 mm, outside: 65 mm}"}, []string{"doubt designs/a.yaml:15:34 error"}},
		"nothing passes":       {[]string{design, "reject_below: 31.90 mm", "reject_below: 31.90 mm, reject_above: 31.80 mm"}, []string{"limits designs/a.yaml:20:89 error", "history units/a.yaml:17:103 warning", "history units/a.yaml:18:86 warning"}},
		"new above its limit":  {[]string{design, "reject_below: 31.90 mm", "reject_above: 31.99 mm"}, []string{"limits designs/a.yaml:20:65 error", "history units/a.yaml:17:103 warning"}},
		"new at its limit":     {[]string{design, "new: 32.00 mm, reject_below: 31.90 mm", "new: 31.95 mm, reject_below: 31.95 mm"}, nil},
		"new at its upper":     {[]string{design, "reject_below: 31.90 mm", "reject_above: 32.00 mm"}, nil},
		"both limits alike":    {[]string{design, "reject_below: 31.90 mm", "reject_below: 31.90 mm, reject_above: 31.90 mm"}, []string{"limits designs/a.yaml:20:89 error", "history units/a.yaml:17:103 warning", "history units/a.yaml:18:86 warning"}},
		"set at high":          {[]string{design, "set: 0.10 mm", "set: 0.12 mm"}, nil},
		"set above high":       {[]string{design, "set: 0.10 mm", "set: 0.13 mm"}, []string{"limits designs/a.yaml:13:26 error"}},
		"alike when hot":       {[]string{lye, "hot: 7 mm2/s", "hot: 52 mm2/s"}, []string{"limits liquids/lye.yaml:11:69 error"}},
		"as hot as it may be":  {[]string{unit, "temperature: 60 degC", "temperature: 140 degC"}, nil},
		"just above freezing":  {[]string{unit, "temperature: 60 degC", "temperature: 12.1 degC"}, nil},
		"inlet as outlet":      {[]string{unit, "inlet: 0.2 bar", "inlet: 6 bar"}, nil},
		"blows at once":        {[]string{unit, "outlet: 6 bar", "outlet: 6 bar, relief_set: 6 bar"}, []string{"doubt units/a.yaml:9:86 warning"}},
		"blows a little over":  {[]string{unit, "outlet: 6 bar", "outlet: 6 bar, relief_set: 6.1 bar"}, nil},
		"hardly acid":          {[]string{lye, "[H290, H314]", "[H290]", lye, "ph: 14", "ph: 2.1"}, nil},
		"just caustic":         {[]string{lye, "[H290, H314]", "[H290]", lye, "ph: 14", "ph: 11.5"}, []string{"hazard liquids/lye.yaml:9:5 error"}},
		"burns, never flashes": {[]string{lye, "H314]", "H314, H225]"}, []string{"hazard liquids/lye.yaml:6:14 error"}},
		"thicker when hot":     {[]string{lye, "hot: 7 mm2/s", "hot: 70 mm2/s"}, []string{"limits liquids/lye.yaml:11:69 error"}},
		"hot below cool":       {[]string{lye, "hot_at: 60 degC", "hot_at: 10 degC"}, []string{"limits liquids/lye.yaml:11:22 error"}},
		"boils frozen":         {[]string{lye, "boiling_point: 140 degC", "boiling_point: 10 degC"}, []string{"limits liquids/lye.yaml:8:17 error"}},

		"too fast":          {[]string{unit, "280 rpm", "601 rpm"}, []string{"doubt units/a.yaml:9:81 error"}},
		"at full speed":     {[]string{unit, "280 rpm", "600 rpm"}, nil},
		"too much":          {[]string{unit, "outlet: 6 bar", "outlet: 12.3 bar"}, []string{"doubt units/a.yaml:9:67 error"}},
		"as much as may":    {[]string{unit, "outlet: 6 bar", "outlet: 12.2 bar"}, nil},
		"suction above":     {[]string{unit, "inlet: 0.2 bar", "inlet: 7 bar"}, []string{"doubt units/a.yaml:9:65 error"}},
		"set solid":         {[]string{unit, "temperature: 60 degC", "temperature: 12 degC"}, []string{"doubt units/a.yaml:9:34 error"}},
		"blows":             {[]string{unit, "outlet: 6 bar", "outlet: 6 bar, relief_set: 5 bar"}, []string{"doubt units/a.yaml:9:86 warning"}},
		"relief of what":    {[]string{unit, "outlet: 6 bar", "outlet: 6 bar, relief_set: 8 bar", unit, "jacket: false", "relief_valve: none"}, []string{"wants units/a.yaml:9:86 error"}},
		"no sheet":          {[]string{lye, `sheet: {issuer: Invented Supply, day: 2025-11-03, revision: "4"}` + "\n", ""}, []string{"hazard liquids/lye.yaml:1:1 warning"}},
		"flashes":           {[]string{lye, "flash_point: none", "flash_point: 60 degC"}, []string{"hazard liquids/lye.yaml:6:14 warning"}},
		"flashes later":     {[]string{lye, "flash_point: none", "flash_point: 61 degC"}, nil},
		"too grave":         {[]string{lye, "flash_point: none", "flash_point: 40 degC", lye, "H314]", "H314, H225]"}, []string{"hazard liquids/lye.yaml:5:26 warning"}},
		"as grave as it is": {[]string{lye, "flash_point: none", "flash_point: 22 degC", lye, "H314]", "H314, H225]"}, nil},
		"flash not known":   {[]string{lye, "flash_point: none\n", "", lye, "H314]", "H314, H225]"}, []string{"hazard liquids/lye.yaml:5:26 warning"}},
		"harmless lye":      {[]string{lye, "[H290, H314]", "[H290]"}, []string{"hazard liquids/lye.yaml:9:5 error"}},
		"harmless acid":     {[]string{lye, "[H290, H314]", "[H290]", lye, "ph: 14", "ph: 2"}, []string{"hazard liquids/lye.yaml:9:5 error"}},
		"hardly flashes":    {[]string{lye, "flash_point: none", "flash_point: 94 degC", lye, "H314]", "H314, H227]"}, []string{"hazard liquids/lye.yaml:6:14 warning", "unknown-name liquids/lye.yaml:5:26 error"}},
		"mild":              {[]string{lye, "[H290, H314]", "[H290]", lye, "ph: 14", "ph: 11.4"}, nil},

		"lead by itself":      {[]string{design, "lead: 2 mm", "lead: 10 mm"}, []string{"doubt designs/a.yaml:14:39 warning"}},
		"the one of most":     {[]string{design, "diameter: 140 mm", "diameter: 25 mm"}, []string{"doubt designs/a.yaml:14:25 warning"}},
		"slow":                {[]string{unit, "280 rpm", "28 rpm"}, []string{"doubt units/a.yaml:9:81 warning"}},
		"slow otherwise":      {[]string{unit, "280 rpm", "28 rpm", unit, "seal: component", "seal: packing"}, nil},
		"gone":                {[]string{design, "reject_below: 31.90 mm", "reject_below: 3.190 mm"}, []string{"doubt designs/a.yaml:20:89 warning"}},
		"crowd":               {[]string{"site.yaml", "people: 2", "people: 20"}, []string{"doubt site.yaml:10:17 warning"}},
		"heavy":               {[]string{design, "mass: 18 kg", "mass: 180 kg"}, []string{"doubt designs/a.yaml:22:41 warning"}},
		"confirmed":           {[]string{unit, "280 rpm}", "28 rpm}\nconfirmed: {duty.speed: read on the frequency converter}"}, nil},
		"confirmed of size":   {[]string{design, "lead: 2 mm}", "lead: 10 mm}\n    confirmed: {housing.lead: measured}"}, nil},
		"confirmed of crew":   {[]string{"site.yaml", "people: 2, hours: 10 h}", "people: 20, hours: 10 h}\nconfirmed: {crews.day.people: a shutdown}"}, nil},
		"confirmed must":      {[]string{design, "half_rings: true", "ball: {bore: 70 mm, outside: 65 mm}\n    confirmed: {ball.outside: measured}"}, []string{"doubt designs/a.yaml:15:34 error", "doubt designs/a.yaml:16:17 warning"}},
		"confirmed in vain":   {[]string{unit, "notes:", "confirmed: {duty.speed: measured}\nnotes:"}, []string{"doubt units/a.yaml:19:13 warning"}},
		"confirmed nothing":   {[]string{lye, "wear:", "confirmed: {liquid.dencity: measured}\nwear:"}, []string{"doubt liquids/lye.yaml:12:13 warning"}},
		"confirmed reading":   {[]string{unit, "31.95 mm}}", "31.85 mm}}\nconfirmed: {history.H-2.as_left.pin_diameter_worn: on the signed sheet}"}, nil},
		"found far":           {[]string{unit, "{job: H-2, day: 2025-03-04, as_left", "{job: H-2, day: 2025-03-04, as_found: {pin_diameter_worn: 319.5 mm}, as_left"}, []string{"history units/a.yaml:18:63 warning"}},
		"found far worn":      {[]string{unit, "{job: H-2, day: 2025-03-04, as_left", "{job: H-2, day: 2025-03-04, as_found: {pin_diameter_worn: 30.3 mm}, as_left"}, []string{"history units/a.yaml:18:63 warning"}},
		"wore back":           {[]string{unit, "{job: H-1, day: 2024-03-04, replaced: [pin], as_left: {end_clearance: 0.10 mm, pin_diameter_worn: 32.00 mm}}", "{job: H-1, day: 2024-03-04, as_left: {end_clearance: 0.10 mm, pin_diameter_worn: 31.90 mm}}", unit, "31.95 mm", "31.96 mm"}, []string{"history units/a.yaml:18:86 warning"}},
		"replaced in between": {[]string{unit, "{job: H-1, day: 2024-03-04, replaced: [pin], as_left: {end_clearance: 0.10 mm, pin_diameter_worn: 32.00 mm}}", "{job: H-1, day: 2024-03-04, as_left: {end_clearance: 0.10 mm, pin_diameter_worn: 31.90 mm}}", unit, "{job: H-2, day: 2025-03-04,", "{job: H-2, day: 2025-03-04, replaced: [pin],"}, nil},

		"same day twice":    {[]string{unit, "day: 2024-03-04", "day: 2025-03-04"}, []string{"history units/a.yaml:18:21 error"}},
		"after the job":     {[]string{unit, "day: 2025-03-04", "day: 2026-11-30"}, []string{"history lists/week.yaml:3:48 warning"}},
		"left worn":         {[]string{unit, "31.95 mm", "31.85 mm"}, []string{"history units/a.yaml:18:86 warning"}},
		"left too wide":     {[]string{unit, "end_clearance: 0.10 mm, pin_diameter_worn: 31.95 mm", "end_clearance: 0.13 mm"}, []string{"history units/a.yaml:18:58 warning"}},
		"left at the low":   {[]string{unit, "end_clearance: 0.10 mm, pin_diameter_worn: 31.95 mm", "end_clearance: 0.08 mm"}, nil},
		"left at the high":  {[]string{unit, "end_clearance: 0.10 mm, pin_diameter_worn: 31.95 mm", "end_clearance: 0.12 mm"}, nil},
		"left a plain term": {[]string{unit, "31.95 mm}}", "31.95 mm, housing.lead: 2 mm}}"}, nil},
		"left at its limit": {[]string{unit, "31.95 mm", "31.90 mm"}, nil},
		"left too close":    {[]string{unit, "end_clearance: 0.10 mm, pin_diameter_worn: 31.95 mm", "end_clearance: 0.07 mm"}, []string{"history units/a.yaml:18:58 warning"}},
		"found worn":        {[]string{unit, "as_left: {end_clearance: 0.10 mm, pin_diameter_worn: 31.95 mm", "as_found: {pin_diameter_worn: 31 mm"}, nil},
		"unknown part":      {[]string{unit, "replaced: [pin]", "replaced: [pim]"}, []string{"history units/a.yaml:17:44 warning"}},
		"no length":         {[]string{unit, "pin_diameter_worn: 31.95 mm", "half_rings: 31.95 mm"}, []string{"history units/a.yaml:18:79 error"}},
		"no serial":         {[]string{unit, "serial: A10-0005\n", ""}, []string{"serial units/a.yaml:1:1 warning"}},
		"other serial":      {[]string{unit, "serial: A10-0005", "serial: B10-0005"}, []string{"serial units/a.yaml:6:9 warning"}},
		"too many people":   {[]string{list, "people: 2", "people: 3"}, []string{"crew lists/week.yaml:3:79 warning"}},
		"too long a day":    {[]string{list, "hours: 9 h", "hours: 11 h"}, []string{"crew lists/week.yaml:3:89 warning"}},
		"hours of the crew": {[]string{list, "hours: 9 h", "hours: 10 h"}, nil},
	} {
		t.Run(name, func(t *testing.T) {
			got := run(t, nil, c.changes...)
			slices.Sort(got)
			slices.Sort(c.want)
			if !slices.Equal(got, c.want) {
				t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(c.want, "\n"))
			}
		})
	}
}

// A role in which nobody signs, and a part that no feature names, are told of the site
// and of a procedure of its own; what differs in case alone is no other role.
func TestRolesAndRenewed(t *testing.T) {
	procedures := "procedure: rebuild\ntitle: Rebuild\nrevision: \"1\"\nlanguage: en\nwear: {features: all, renews: [pim, pin]}\nstages: [{stage: S, steps: [{do: Look, hold: second person}]}]\n"
	library, problems := procedure.Load(fstest.MapFS{"procedures/rebuild.yaml": {Data: []byte(procedures)}}, fstest.MapFS{}, procedure.Options{})
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	known.Roles = []string{"Mechanic", "Planner"}
	defer func() { known.Roles = nil }()
	var got []string
	for _, p := range find(t, library, "site.yaml", "name: ", "signs: {mechanic: fitter, Second person: second fitter, planer: who plans}\nname: ") {
		if p.Rule == "role" || p.Rule == "renews" {
			got = append(got, p.Pos.String()+" "+p.Message+": "+p.Hint)
		}
	}
	want := []string{
		"procedures/rebuild.yaml:5:32 no feature is renewed by the part pim: did you mean pin?",
		"site.yaml:2:65 nobody signs in the role planer, and who may is printed nowhere: did you mean planner?",
	}
	if !slices.Equal(got, want) {
		t.Errorf("got\n%s", strings.Join(got, "\n"))
	}
}

// A reading that is kept under a name which no history may have.
func TestKept(t *testing.T) {
	blanks := "[{label: A, unit: mm, keep: as_left pin_diameter_worn}, {label: B, unit: mm, keep: as_found end_clearance}, {label: C, unit: mm, keep: as_left pin_diameter_wron}, {label: D, unit: mm, keep: as_left end_clearance.words}]"
	procedures := "procedure: rebuild\ntitle: Rebuild\nrevision: \"1\"\nlanguage: en\nstages: [{stage: S, steps: [{do: Look, blanks: " + blanks + "}]}]\n"
	library, problems := procedure.Load(fstest.MapFS{"procedures/rebuild.yaml": {Data: []byte(procedures)}}, fstest.MapFS{}, procedure.Options{})
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	var got []string
	for _, p := range find(t, library) {
		if p.Rule == "keep" {
			got = append(got, p.Pos.String()+" "+p.Message+": "+p.Hint)
		}
	}
	want := []string{
		"procedures/rebuild.yaml:5:191 no feature and no term is named pin_diameter_wron: did you mean pin_diameter_worn?",
		"procedures/rebuild.yaml:5:246 no feature and no term is named end_clearance.words: name a feature of a design, or a term of its sizes",
	}
	if !slices.Equal(got, want) {
		t.Errorf("got\n%s", strings.Join(got, "\n"))
	}
}

// An empty library knows no procedure: the job's is then an error.
func TestUnknownProcedure(t *testing.T) {
	library, _ := procedure.Load(fstest.MapFS{}, fstest.MapFS{}, procedure.Options{})
	got := run(t, library)
	want := []string{"unknown-name lists/week.yaml:3:38 error", "unknown-name lists/week.yaml:4:38 error"}
	if !slices.Equal(got, want) {
		t.Error(got)
	}
}

// The page of rules says of every rule of this package what it holds, and lists
// every one that source and record report.
func TestReadmeListsTheRules(t *testing.T) {
	text, err := os.ReadFile("../diag/README.md")
	if err != nil {
		t.Fatal(err)
	}
	names := map[string]bool{"refused": true}
	rules, what := check.Rules()
	for i, r := range rules {
		names[r] = true
		if !strings.Contains(string(text), what[i]) {
			t.Errorf("README.md does not say of %s: %s", r, what[i])
		}
	}
	cases, err := os.ReadDir("../record/testdata/hostile")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range cases {
		data, err := os.ReadFile("../record/testdata/hostile/" + c.Name())
		if err != nil {
			t.Fatal(err)
		}
		for _, line := range strings.Split(string(data), "\n") {
			if i := strings.LastIndex(line, " ["); i >= 0 && strings.HasSuffix(line, "]") && (strings.Contains(line, ": error: ") || strings.Contains(line, ": warning: ")) {
				names[line[i+2:len(line)-1]] = true
			}
		}
	}
	if len(names) < 25 {
		t.Errorf("only %d rules were seen", len(names))
	}
	for _, n := range slices.Sorted(maps.Keys(names)) {
		if !strings.Contains(string(text), "| `"+n+"` |") {
			t.Errorf("README.md does not list %s", n)
		}
	}
}
