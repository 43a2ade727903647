package desk_test

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
)

// ready gives the box that a page of typing in has ready, and what stood in it.
func ready(body string) (box, before string) {
	if m := regexp.MustCompile(`name="box" value="([^"]*)"><input type="hidden" name="before" value="(\d+)"`).FindStringSubmatch(body); m != nil {
		return m[1], m[2]
	}
	return "", ""
}

// typed sends a text for the box that is ready, and gives the page that comes back.
func (o *opened) typed(c *http.Client, page, text string, more ...string) (int, string) {
	o.t.Helper()
	_, body, _ := o.get(c, page)
	box, before := ready(body)
	fields := url.Values{"box": {box}, "before": {before}, "text": {text}}
	for i := 0; i+1 < len(more); i += 2 {
		fields.Set(more[i], more[i+1])
	}
	path, _, _ := strings.Cut(page, "?")
	status, body, _ := o.post(c, page, path, fields)
	return status, body
}

func says(t testing.TB, body string, texts ...string) {
	t.Helper()
	for _, s := range texts {
		if !strings.Contains(body, s) {
			t.Errorf("the page does not say %q", s)
		}
	}
}

func saysNot(t testing.TB, body string, texts ...string) {
	t.Helper()
	for _, s := range texts {
		if strings.Contains(body, s) {
			t.Errorf("the page says %q", s)
		}
	}
}

const typing = "/job/" + back + "/type"

// Readings are typed one after the other; each is judged at once, and what cannot be kept
// stays in its field.
func TestTypingIn(t *testing.T) {
	o := open(t, cameBack(t))
	c := o.named("Planner 1")
	_, body, _ := o.get(c, typing)
	if box, _ := ready(body); box != "s2.1.gap-as-found" {
		t.Fatalf("the first box is %q", box)
	}
	says(t, body, `<img src="/crop/`+back+`/`, "Gap as found", "vernier caliper", "autofocus", "blank on the paper")
	picture := regexp.MustCompile(`/crop/[^"]+`).FindString(body)
	status, raw, header := o.get(c, picture)
	if status != http.StatusOK || header.Get("Content-Type") != "image/jpeg" || len(raw) < 1000 {
		t.Errorf("the picture of the box: %d, %s, %d bytes", status, header.Get("Content-Type"), len(raw))
	}
	for _, p := range []string{strings.Replace(picture, back, "K-24817", 1), picture + "x", strings.Replace(picture, "/crop/"+back+"/", "/crop/"+back+"/9", 1), regexp.MustCompile(`[0-9a-f]{64}`).ReplaceAllString(picture, strings.Repeat("0", 64)), regexp.MustCompile(`[0-9a-f]{64}`).ReplaceAllString(picture, "..%2f..%2fregister.db")} {
		if status, _, _ := o.get(c, p); status != http.StatusNotFound {
			t.Errorf("%s: %d", p, status)
		}
	}

	status, body = o.typed(c, typing, "3.1")
	says(t, body, "Kept:", "3.1 mm", `value="s2.3.motor-s-hub"`)
	if status != http.StatusOK {
		t.Errorf("status %d", status)
	}
	// Out of its limits it takes a reason, in the same form.
	_, body = o.typed(c, typing, "0.08")
	says(t, body, "Not kept yet.", "OUTSIDE its limits", "0.03 mm above 0.05 mm", `name="why"`, `value="0.08"`)
	_, body = o.typed(c, typing, "0.08", "why", "12")
	says(t, body, "is no reason", `value="0.08"`)
	_, body = o.typed(c, typing, "0.08", "why", "hub is changed next stop")
	says(t, body, "Kept:", "0.08 mm", "OUTSIDE", `value="s2.3.driven-hub"`)
	// What is no number is not kept.
	status, body = o.typed(c, typing, "about half")
	says(t, body, "Not kept:", "does not begin with a number", `value="about half"`)
	if status != http.StatusUnprocessableEntity {
		t.Errorf("status %d", status)
	}
	_, body = o.typed(c, typing+"?lang=es", "half")
	says(t, body, "No guardado:", "no empieza por un número")
	o.get(c, "/?lang=en")
	// What may be a slip is asked about.
	_, body = o.typed(c, typing, "0.002 in")
	says(t, body, "Not kept yet.", "OUTSIDE")
	_, body = o.typed(c, typing, "0.04")
	says(t, body, "Kept:", "within its limits")
	// Enter alone skips, and back leads to the box before.
	_, body = o.typed(c, typing, "")
	says(t, body, `value="s3.2.front-right"`, "at=s3.2.front-left")
	saysNot(t, body, "Kept:")
	// A correction shows what was typed before.
	at := typing + "?at=s2.3.motor-s-hub"
	_, body, _ = o.get(c, at)
	says(t, body, `value="0.08"`, "What was typed before", "hub is changed next stop")
	_, body = o.typed(c, at, "0,03")
	says(t, body, "0.03 mm", "within its limits")
	_, body, _ = o.get(c, at)
	says(t, body, `value="0,03"`, "0.08 mm", "Planner 1")
	// Nothing measured takes a reason too.
	_, body = o.typed(c, typing, "-")
	says(t, body, "not measured", `name="why"`)

	readings, err := o.register.Readings(t.Context(), printOf(t, o))
	must(t, err)
	r := readings["s2.3.motor-s-hub"]
	if len(readings) != 3 || r.Value != "0.03" || r.Who != "Planner 1" || r.High == nil || r.Paper == 0 || r.Page != 4 {
		t.Errorf("%+v", readings)
	}
	if status, _, _ := o.get(c, typing+"?print=7"); status != http.StatusNotFound {
		t.Errorf("a print that is not there: %d", status)
	}
	_, body, _ = o.get(c, typing+"?all=1&at=end")
	says(t, body, "Show readings and the words that matter alone")
}

func printOf(t testing.TB, o *opened) int64 {
	t.Helper()
	prints, err := o.register.Prints(t.Context(), back)
	must(t, err)
	return prints[0].Event
}

// The shims of an alignment appear as the dials are typed.
func TestSumsAppear(t *testing.T) {
	o := open(t, cameBack(t))
	c := o.named("Planner 1")
	for _, p := range [][2]string{{"s4.2.sag", "-0.10"}, {"s4.4.left", "0.05"}, {"s4.4.bottom", "0.14"}, {"s4.4.right", "0.1"}} {
		_, body := o.typed(c, typing+"?at="+p[0], p[1])
		says(t, body, "Kept:")
	}
	_, body, _ := o.get(c, typing+"?at=s5.1.shim_front")
	saysNot(t, body, "0.11\u00a0mm")
	says(t, body, "Step 4.4 has 0.14 mm", "Worked out from what is typed:") // by how much the sweep misses
	_, body = o.typed(c, typing+"?at=s4.6.face", "0.02")
	says(t, body, "Kept:")
	_, body, _ = o.get(c, typing+"?at=s5.1.shim_front")
	says(t, body, "Worked out from what is typed:", "0.11\u00a0mm", "0.15\u00a0mm")
	_, body = o.typed(c, typing+"?at=s5.1.shim_front", "0.21")
	says(t, body, "On the paper is another number.")
	_, body = o.typed(c, typing+"?at=s5.1.shim_back.rim_bottom", "0.41")
	says(t, body, "Here is another number.")
}

// Two people type the same box: the second is told, sees what stands, and has their own
// text still in the field.
func TestTypedMeanwhile(t *testing.T) {
	o := open(t, cameBack(t))
	a, b := o.named("Planner 1"), o.named("Planner 2")
	_, seen, _ := o.get(b, typing)
	box, before := ready(seen)
	o.typed(a, typing, "3.1")
	send := func(before string) (int, string) {
		status, body, _ := o.post(b, typing, typing, url.Values{"box": {box}, "before": {before}, "text": {"3.4"}})
		return status, body
	}
	status, body := send(before)
	if status != http.StatusConflict {
		t.Errorf("status %d", status)
	}
	says(t, body, "Meanwhile Planner 1 typed 3.1 mm", `name="text" type="text" value="3.4"`, `value="`+box+`"`)
	_, before = ready(body)
	if status, body = send(before); status != http.StatusOK || !strings.Contains(body, "3.4 mm") {
		t.Errorf("once more: %d", status)
	}
	_, body, _ = o.get(b, typing+"?at="+box)
	says(t, body, "Planner 1", "Planner 2", `value="3.4"`)
}

// An auditor sees what was typed, and cannot type; nor can anybody in a packet that is
// closed.
func TestWhoTypes(t *testing.T) {
	o := open(t, func(site string) { cameBack(t)(site); withUsers(t)(site) })
	aud, marco := o.enters("Aud"), o.enters("Marco")
	_, body, _ := o.get(aud, typing)
	says(t, body, "types nothing in", "Gap as found")
	saysNot(t, body, `name="text"`)
	for _, path := range []string{typing, "/job/" + back + "/settle", "/settle", "/job/" + back + "/review"} {
		if status, _, _ := o.post(aud, "/jobs", path, url.Values{"box": {"s2.1.gap-as-found"}, "before": {"0"}, "text": {"3"}, "do": {"void"}, "why": {"x y"}}); status != http.StatusForbidden {
			t.Errorf("an auditor posts to %s: %d", path, status)
		}
	}
	if status, _, _ := o.post(marco, typing, "/job/"+back+"/review", url.Values{"do": {"void"}, "why": {"because"}}); status != http.StatusForbidden {
		t.Errorf("a mechanic makes a packet void: %d", status)
	}
	if status, body := o.typed(marco, typing, "3.1"); status != http.StatusOK || !strings.Contains(body, "Kept:") {
		t.Errorf("a mechanic types: %d", status)
	}
	paula := o.enters("Paula")
	_, seen, _ := o.get(marco, typing)
	box, _ := ready(seen)
	status, body, _ := o.post(paula, "/job/"+back+"/review", "/job/"+back+"/review", url.Values{"do": {"void"}, "why": {"done on another job"}})
	if status != http.StatusOK {
		t.Fatalf("void: %d", status)
	}
	says(t, body, "The packet is void.", "done on another job", "Open the packet again")
	status, body, _ = o.post(marco, "/jobs", typing, url.Values{"box": {box}, "before": {"0"}, "text": {"0.01"}})
	if status != http.StatusConflict {
		t.Errorf("typed into a packet that is void: %d", status)
	}
	says(t, body, "closed or void")
}
