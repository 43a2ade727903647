package desk_test

import (
	"html"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"jobsheaf/internal/register"
	"jobsheaf/internal/review"
)

const reviewing = "/job/" + back + "/review"

// keysOf gives the keys of the findings that a review has forms for, by form.
func keysOf(body string) (forms [][]string) {
	for _, form := range strings.Split(body, `name="do" value="accept"`)[1:] {
		form, _, _ = strings.Cut(form, "</form>")
		var keys []string
		for _, m := range regexp.MustCompile(`name="key" value="([^"]*)"`).FindAllStringSubmatch(form, -1) {
			keys = append(keys, html.UnescapeString(m[1]))
		}
		forms = append(forms, keys)
	}
	return forms
}

func (o *opened) decides(c *http.Client, do, why string, keys ...string) (int, string) {
	o.t.Helper()
	status, body, _ := o.post(c, "/name", reviewing, url.Values{"do": {do}, "why": {why}, "key": keys})
	return status, body
}

// What an auditor would find is let through, each with who and why; then the packet is
// closed, opened again, and made void.
func TestReviewing(t *testing.T) {
	o := open(t, cameBack(t))
	_, body, _ := o.get(browser(t), reviewing)
	says(t, body, "Say who you are", "Left to do at the desk", "not typed in")
	if len(keysOf(body)) > 0 {
		t.Error("whoever gave no name has forms")
	}
	c := o.named("Planner 1")
	_, body, _ = o.get(c, reviewing)
	says(t, body, "/crop/"+back+"/", "What settles it:", settling+"?box=", typing+"?at=", "It can be closed once nothing stands")
	saysNot(t, body, "Close the packet as complete")
	if first := strings.Index(body, "The work may not be right"); first > strings.Index(body, "Left to do at the desk") {
		t.Error("the gravest does not come first")
	}
	status, body := o.decides(c, "close", "")
	if status != http.StatusConflict {
		t.Errorf("closed while findings stand: %d", status)
	}
	says(t, body, "The packet is not closed")
	forms := keysOf(body)
	status, body = o.decides(c, "accept", " ", forms[0]...)
	if status != http.StatusUnprocessableEntity || !strings.Contains(body, "nothing is typed") || !strings.Contains(body, "<details open>") {
		t.Errorf("without a reason: %d", status)
	}
	for i, keys := range forms {
		status, body = o.decides(c, "accept", "seen by the shift lead", keys...)
		if status != http.StatusOK || !strings.Contains(body, "It was let through.") {
			t.Fatalf("%d of %d, %v: %d", i+1, len(forms), keys, status)
		}
	}
	says(t, body, "let through by Planner 1", "seen by the shift lead", "Close the packet as complete")
	status, body = o.decides(c, "accept", "again", forms[0]...)
	if status != http.StatusConflict || !strings.Contains(body, "Meanwhile Planner 1 let it through") {
		t.Errorf("let through twice: %d", status)
	}
	_, body = o.decides(c, "close", "")
	says(t, body, "The packet is closed.", "Open the packet again")
	saysNot(t, body, "Make it void")
	if status, body = o.decides(c, "void", "not done"); status != http.StatusConflict || !strings.Contains(body, "closed or made void meanwhile") || !strings.Contains(body, "You wrote:") {
		t.Errorf("a closed packet is made void: %d", status)
	}
	_, body = o.decides(c, "reopen", "page 3 was another job's")
	says(t, body, "The packet is open again.", "Make it void")
	if status, _ = o.decides(c, "reopen", "once more"); status != http.StatusConflict {
		t.Errorf("opened twice: %d", status)
	}
	_, body = o.decides(c, "void", "done on another")
	says(t, body, "The packet is void.", "done on another")
	if status, _ = o.decides(c, "burn", "for good"); status != http.StatusBadRequest {
		t.Errorf("burned: %d", status)
	}
	all, err := o.register.Decisions(t.Context(), back)
	must(t, err)
	for _, d := range all {
		if d.Who != "Planner 1" {
			t.Errorf("%+v", d)
		}
	}
	if last := all[len(all)-1]; last.Kind != register.MakeVoid || last.Why != "done on another" {
		t.Errorf("%+v", last)
	}
}

// The list of reviews is of a week, of days, of a unit, and of one topic.
func TestReviews(t *testing.T) {
	o := open(t, cameBack(t))
	c := browser(t)
	for _, r := range []struct {
		path      string
		says, not []string
	}{
		{"/review?week=2026-W49", []string{back, "K-24817", "partly back", "stand"}, nil},
		{"/review?week=2026-W49&lang=es", []string{back, "pendientes"}, nil},
		{"/review?week=2026-W48&lang=en", []string{"No packet is of those days"}, []string{back}},
		{"/review?week=1999", []string{"was left out"}, nil},
		{"/review?from=2026-11-30&to=2026-11-30", []string{back}, []string{"K-24833"}},
		{"/review?unit=D-902", []string{back}, []string{"K-24817"}},
		{"/review?week=2026-W49&only=unsure", []string{back, "marked or blank, a person has to say"}, []string{"K-24818"}},
		{"/review?week=2026-W49&only=nothing&late=x", []string{"was left out"}, nil},
		{"/review?week=2026-W49&open=1", []string{back}, []string{"K-24818"}},
	} {
		status, body, _ := o.get(c, r.path)
		if status != http.StatusOK {
			t.Errorf("%s: %d", r.path, status)
		}
		if _, body, _ = strings.Cut(body, "</form>"); body == "" {
			t.Fatal(r.path)
		}
		for _, s := range r.says {
			if !strings.Contains(body, s) {
				t.Errorf("%s does not say %q", r.path, s)
			}
		}
		for _, s := range r.not {
			if strings.Contains(body, s) {
				t.Errorf("%s says %q", r.path, s)
			}
		}
	}
	_, body, _ := o.get(c, "/review?lang=en")
	for _, topic := range review.Topics {
		says(t, body, `<option value="`+topic[0]+`"`)
	}
	if strings.Contains(o.log.String(), "missing-word") {
		t.Error(o.log)
	}
}

// What people type, and why, is shown as the text that it is.
func TestNothingTypedRuns(t *testing.T) {
	o := open(t, func(site string) {
		cameBack(t)(site)
		r, err := register.Open(t.Context(), site+"/"+register.FileName)
		must(t, err)
		defer r.Close()
		prints, err := r.Prints(t.Context(), back)
		must(t, err)
		by := register.By{Who: "M" + little, At: day("2026-12-01T08:00:00Z")}
		_, err = r.Type(t.Context(), by, register.Reading{Print: prints[0].Event, Box: "s2.1.gap-as-found", Text: mine, Why: mine, Page: 4})
		must(t, err)
		must(t, r.Settle(t.Context(), by, register.Settled{Print: prints[0].Event, Box: unsure[0], Is: register.Marked}))
	})
	c := o.named("Planner 1")
	send := func(path string, fields url.Values) string {
		_, body, _ := o.post(c, "/name", path, fields)
		return body
	}
	var bodies []string
	_, body, _ := o.get(c, typing)
	box, _ := ready(body)
	for _, text := range []string{mine, little} {
		bodies = append(bodies,
			send(typing, url.Values{"box": {box}, "before": {"0"}, "text": {text}}),
			send(typing, url.Values{"box": {box}, "before": {"0"}, "text": {"9"}, "why": {text}}),
			send(typing+"?all=1", url.Values{"box": {"papers.permit"}, "before": {"0"}, "text": {text}}),
			send(typing, url.Values{"box": {"s2.1.gap-as-found"}, "before": {"0"}, "text": {text}}),
			send(reviewing, url.Values{"do": {"accept"}, "key": {text}, "why": {text}}),
			send(reviewing, url.Values{"do": {"reopen"}, "why": {text}}),
			send(settling, url.Values{"box": {text}}))
	}
	for _, keys := range keysOf(send(reviewing, url.Values{"do": {"close"}}))[:1] {
		bodies = append(bodies, send(reviewing, url.Values{"do": {"accept"}, "key": keys, "why": {mine}}))
	}
	bodies = append(bodies, send(reviewing, url.Values{"do": {"void"}, "why": {mine}}))
	for _, p := range []string{typing, typing + "?at=s2.1.gap-as-found&kept=s2.1.gap-as-found", typing + "?all=1", settling, settling + "?page=4", settling + "?box=" + unsure[0], "/settle?week=2026-W49", "/settle?week=" + url.QueryEscape(mine), reviewing, "/review?week=2026-W49&only=limit", "/review?unit=" + url.QueryEscape(mine), "/job/" + back} {
		_, body, _ := o.get(c, p)
		bodies = append(bodies, body)
	}
	marked := 0
	for i, body := range bodies {
		marked += strings.Count(body, "alert(1)")
		for _, fault := range foreign(body) {
			t.Errorf("page %d: %s", i, fault)
		}
	}
	if marked < 20 {
		t.Errorf("the texts came to %d places only", marked)
	}
}
