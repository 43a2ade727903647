package desk_test

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"jobsheaf/internal/register"
)

const settling = "/job/" + back + "/settle"

// fieldOf gives of a page the key of a box in its form, and the name of the choice about it.
func fieldOf(t testing.TB, body, box string) (key, field string) {
	t.Helper()
	m := regexp.MustCompile(`name="box" value="([^"]* ` + regexp.QuoteMeta(box) + `)"`).FindStringSubmatch(body)
	if m == nil {
		t.Fatalf("the page does not ask about %s", box)
	}
	parts := strings.Split(m[1], " ")
	return m[1], "is " + parts[1] + " " + box
}

// choose sends choices about boxes, pairs of box and mark, as the page that was looked at
// has them.
func (o *opened) choose(c *http.Client, page, seen string, choices ...string) (int, string) {
	o.t.Helper()
	fields := url.Values{}
	for i := 0; i < len(choices); i += 2 {
		key, field := fieldOf(o.t, seen, choices[i])
		fields.Add("box", key)
		fields.Set(field, choices[i+1])
	}
	status, body, _ := o.post(c, "/name", page, fields)
	return status, body
}

// Boxes that the scan leaves open are settled many at a time; what nobody chose stays.
func TestSettling(t *testing.T) {
	o := open(t, cameBack(t))
	c := o.named("Planner 1")
	_, week, _ := o.get(c, "/settle?week=2026-W49")
	_, body, _ := o.get(c, settling)
	for _, page := range []string{week, body} {
		says(t, page, "/crop/"+back+"/", "Marked", "The page leaves it open.")
		for _, box := range unsure {
			fieldOf(t, page, box)
		}
	}
	says(t, week, back+", page")
	if _, other, _ := o.get(c, "/settle?week=2026-W10"); !strings.Contains(other, "No box is left") {
		t.Error("another week has its boxes")
	}
	if _, other, _ := o.get(c, "/settle?week=2026-W60"); !strings.Contains(other, "That is no week") {
		t.Error("a week that there is none of is not told")
	}
	_, after := o.choose(c, "/settle?week=2026-W49", week, unsure[0], "marked", unsure[1], "blank")
	says(t, after, "Kept: 2.")
	saysNot(t, after, " "+unsure[0]+`"`, " "+unsure[1]+`"`)
	fieldOf(t, after, unsure[2])
	settled, err := o.register.Settled(t.Context(), printOf(t, o))
	must(t, err)
	if len(settled) != 2 || settled[unsure[0]].Is != register.Marked || settled[unsure[1]].Is != register.Blank || settled[unsure[0]].Who != "Planner 1" || settled[unsure[0]].Paper == 0 || settled[unsure[0]].Page != 4 {
		t.Errorf("%+v", settled)
	}
	// On the page of the job what was settled can be settled otherwise.
	_, body, _ = o.get(c, settling)
	says(t, body, "Planner 1 said that it is marked", "2 settled")
	_, after = o.choose(c, settling, body, unsure[0], "blank")
	says(t, after, "Kept: 1.", "Planner 1 said that it is blank")
	// Any box of a page, and one by its name.
	_, body, _ = o.get(c, settling+"?page=4")
	fieldOf(t, body, "s2.1.done")
	says(t, body, "The page was read as marked.")
	_, body, _ = o.get(c, settling+"?box="+empty)
	if fieldOf(t, body, empty); strings.Count(body, "<fieldset>") != 1 {
		t.Error("more than the one box is shown")
	}
	// What is no choice, no box and no job of the page is refused.
	key, field := fieldOf(t, body, empty)
	for _, f := range []url.Values{{"box": {key}, field: {"perhaps"}}, {"box": {"x"}}, {"box": {key + "x"}, field + "x": {"blank"}}, {"box": {strings.Replace(key, back, "K-24817", 1)}, field: {"blank"}}} {
		if status, _, _ := o.post(c, "/name", settling, f); status != http.StatusBadRequest && status != http.StatusNotFound {
			t.Errorf("%v: %d", f, status)
		}
	}
}

// Two people settle the same box.
func TestSettledMeanwhile(t *testing.T) {
	o := open(t, cameBack(t))
	a, b := o.named("Planner 1"), o.named("Planner 2")
	_, seen, _ := o.get(b, settling)
	o.choose(a, settling, seen, unsure[0], "marked", unsure[1], "marked")
	status, body := o.choose(b, settling, seen, unsure[0], "blank", unsure[1], "marked", unsure[2], "marked")
	if status != http.StatusConflict {
		t.Errorf("status %d", status)
	}
	says(t, body, "Meanwhile Planner 1 said that it is marked", "Kept: 2.", `value="blank" checked`)
	if status, body = o.choose(b, settling, body, unsure[0], "blank"); status != http.StatusOK || !strings.Contains(body, "Planner 2 said that it is blank") {
		t.Errorf("once more: %d", status)
	}
	// Of a packet that is closed nothing is kept, and that is said.
	prints, err := o.register.Prints(t.Context(), back)
	must(t, err)
	_, seen, _ = o.get(b, settling)
	must(t, o.register.Decide(t.Context(), register.By{Who: "Shift lead", At: day("2026-12-02T07:00:00Z")}, register.Decision{Kind: register.MakeVoid, Print: prints[0].Event, Why: "not done"}))
	status, body = o.choose(b, settling, seen, unsure[0], "marked")
	if status != http.StatusConflict || !strings.Contains(body, "nothing of it was kept") {
		t.Errorf("a packet that is void: %d", status)
	}
}
