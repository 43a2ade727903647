package desk_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"jobsheaf/internal/register"

	"golang.org/x/net/html"
	"gopkg.in/yaml.v3"
)

// mine is a text that would run, were it not taken for a text. It ends what it may stand
// in: an attribute of either quote, an element, a style, a comment.
const mine = `x"'` + "`" + `></title></style><script>alert(1)</script><img src=q onerror=alert(2)>{{.}}<!--`

// little is the same, short enough for a drawing or a heading.
const little = `"'><script>alert(1)</script>`

// Whatever stands in a record, in the register or in an address is shown as the text that
// it is: no page gets an element, an attribute or an address from it.
func TestNothingRuns(t *testing.T) {
	fields := 0
	o := open(t, func(site string) {
		must(t, filepath.WalkDir(site, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".yaml") {
				return err
			}
			raw, err := os.ReadFile(path)
			must(t, err)
			var out bytes.Buffer
			e := yaml.NewEncoder(&out)
			for dec := yaml.NewDecoder(bytes.NewReader(raw)); ; {
				var doc yaml.Node
				if dec.Decode(&doc) != nil {
					break
				}
				fields += poison(&doc, "")
				must(t, e.Encode(&doc))
			}
			return os.WriteFile(path, out.Bytes(), 0o644)
		}))
		// A file's name, a key, a name of a record.
		must(t, os.WriteFile(filepath.Join(site, "units", "<img src=q onerror=alert(1)>.yaml"), []byte("unit: \"<script>alert(1)</script>\"\n\"<b onclick=alert(1)>\": 1\nname: &a [x\n"), 0o644))
		must(t, os.WriteFile(filepath.Join(site, "lists", "odd.yaml"), []byte("list: odd\njobs:\n  - {job: \"<script>alert(1)</script>\", unit: \"<script>alert(1)</script>\", procedure: \"<script>alert(1)</script>\", day: \"<script>alert(1)</script>\"}\n"), 0o644))
		poisonRegister(t, site)
	})
	if fields < 500 {
		t.Fatalf("%d texts were changed", fields)
	}
	waitChecked(t, o)
	e := url.QueryEscape(mine)
	paths := append(slices.Clone(reading), "/unit/P-402", "/unit/M-801", "/unit/P-701", "/week/odd", "/records?file="+url.QueryEscape("units/<img src=q onerror=alert(1)>.yaml"), "/job/X-1", "/worn",
		"/jobs?number="+e+"&unit="+e+"&state="+e+"&from="+e+"&to="+e+"&day="+e+"&after="+e, "/find?q="+e, "/units?q="+e, "/number/P-214?value="+e+"&procedure=reset-end-clearance", "/number/P-214?procedure="+e, "/records?from="+e+"&file="+e, "/worn?before="+e,
		"/unit/"+url.PathEscape(mine), "/job/"+url.PathEscape(mine), "/week/"+url.PathEscape(mine), "/"+url.PathEscape(mine), "/sign-in?to="+e, "/name?to="+e, "/job/X-1?print="+e, "/?lang="+e+"&x="+e, "/J/"+url.PathEscape(mine)+"/1/2/00000000")
	if _, body, _ := o.get(browser(t), "/unit/P-214"); !strings.Contains(body, "<svg") || !strings.Contains(body, "Wear rate") {
		t.Error("the unit's records are refused: its drawings are not looked at")
	}
	marked := 0
	for _, p := range paths {
		_, body, _ := o.get(browser(t), p)
		marked += strings.Count(body, "alert(1)")
		for _, fault := range foreign(body) {
			t.Errorf("%.60s: %s", p, fault)
		}
	}
	if marked < 200 {
		t.Errorf("the texts came to %d places only: the test looks past them", marked)
	}
}

// free are keys whose values are texts that may be anything.
var free = []string{"name", "area", "serial", "device", "where", "put", "prove", "what", "part", "source", "item", "if_worn", "issuer", "revision", "note", "wash", "emergency", "energy_control", "mechanic", "second person", "operations", "planner", "reason", "torque_source", "say", "places", "notes", "first_aid", "spill", "items", "number"}

// poison changes every free text of a record, and gives how many.
func poison(n *yaml.Node, key string) (changed int) {
	if n.Kind == yaml.MappingNode {
		for i := 0; i+1 < len(n.Content); i += 2 {
			changed += poison(n.Content[i+1], n.Content[i].Value)
		}
		return changed
	}
	for _, c := range n.Content {
		changed += poison(c, key)
	}
	if n.Kind == yaml.ScalarNode && slices.Contains(free, key) && n.Value != "" && (n.Value[0] < '0' || n.Value[0] > '9') {
		n.Value, n.Style, n.Tag = little, yaml.DoubleQuotedStyle, "!!str"
		changed++
	}
	return changed
}

// poisonRegister enters a job all of whose texts would run.
func poisonRegister(t testing.TB, site string) {
	r, err := register.Open(t.Context(), filepath.Join(site, register.FileName))
	must(t, err)
	defer r.Close()
	by := register.By{Who: "A " + mine[:50], At: time.Date(2026, 12, 1, 8, 0, 0, 0, time.UTC)}
	prints := []register.Print{
		{Job: "X-1", Unit: mine, Procedure: mine, Day: mine, Fingerprint: mine, Pages: 2, Manifest: []byte(mine)},
		{Job: "X-1", Unit: mine, Procedure: mine, Day: mine, Fingerprint: mine, Pages: 2, Manifest: []byte(fmt.Sprintf(`{"format":1,"job":%[1]q,"unit":"","procedure":"","revision":"","day":"","fingerprint":"","program":"","annex":0,"pages":[{"page":1,"of":1,"sheet":%[1]q,"w":210,"h":297,"marks":[[0,0],[0,0],[0,0],[0,0]],"codes":[],"boxes":[{"id":"b","kind":"blank","x":1,"y":1,"w":5,"h":5,"ask":{"for":"reading","step":%[1]q,"of":%[1]q,"label":%[1]q,"unit":%[1]q,"limits":%[1]q}}]}]}`, mine))},
	}
	_, err = r.Enter(t.Context(), by, func(yield func(register.Print, error) bool) {
		for _, p := range prints {
			if !yield(p, nil) {
				return
			}
		}
	})
	must(t, err)
	of, err := r.Prints(t.Context(), "X-1")
	must(t, err)
	print := of[len(of)-1].Event
	sum := sha256.Sum256([]byte(mine))
	scan := hex.EncodeToString(sum[:])
	_, _, err = r.See(t.Context(), by, register.Paper{State: register.Placed, Scan: scan, File: mine, At: 1, Print: print, Page: 1, Picture: scan, Quality: mine, Why: mine})
	must(t, err)
	_, err = r.Type(t.Context(), by, register.Reading{Print: print, Box: "b", Text: mine, Value: mine, Unit: mine, Why: mine, Page: 1}, register.Reading{Print: print, Box: mine, Text: mine})
	must(t, err)
	must(t, r.Settle(t.Context(), by, register.Settled{Print: print, Box: mine, Is: register.Marked}))
	must(t, r.Decide(t.Context(), by, register.Decision{Kind: register.Accept, Print: print, Finding: mine, Why: mine}))
}

// ours are the elements and attributes that pages have.
var (
	elements   = regexp.MustCompile(`^(html|head|meta|title|link|body|a|header|div|p|nav|ul|li|main|footer|form|input|button|h1|h2|h3|table|thead|tbody|tr|th|td|dl|dt|dd|strong|code|span|section|svg|path|text|img|select|option|label|pre|mark|details|summary|br|time|ol|fieldset|legend)$`)
	attributes = regexp.MustCompile(`^(lang|charset|name|content|rel|href|class|id|tabindex|aria-[a-z]+|hreflang|method|action|type|value|role|for|maxlength|autocomplete|required|scope|data-of|src|loading|width|height|alt|selected|checked|open|datetime|viewbox|d|fill|stroke|stroke-[a-z]+|x|y|font-size|transform|autofocus|autocapitalize|spellcheck|enterkeyhint|inputmode|placeholder)$`)
	addresses  = regexp.MustCompile(`^(/[^/\\]?|#|data:,$)`)
)

// foreign says what a page has that is not ours.
func foreign(page string) (faults []string) {
	z := html.NewTokenizer(strings.NewReader(page))
	for {
		switch z.Next() {
		case html.ErrorToken:
			return faults
		case html.CommentToken:
			faults = append(faults, "a comment: "+z.Token().Data)
		case html.StartTagToken, html.SelfClosingTagToken:
			tag := z.Token()
			if !elements.MatchString(tag.Data) {
				faults = append(faults, "an element "+tag.Data)
			}
			for _, a := range tag.Attr {
				if !attributes.MatchString(a.Key) {
					faults = append(faults, fmt.Sprintf("an attribute %q of %s", a.Key, tag.Data))
				}
				if (a.Key == "href" || a.Key == "src" || a.Key == "action") && !addresses.MatchString(a.Val) {
					faults = append(faults, fmt.Sprintf("an address %q", a.Val))
				}
			}
		}
	}
}

// What is written into a filter is never a part of a statement.
func TestFiltersAreTexts(t *testing.T) {
	o := open(t, func(string) {})
	before, err := o.register.Head(t.Context())
	must(t, err)
	for _, text := range []string{"' OR '1'='1", "K' OR 1=1 --", `" OR ""="`, "'; DROP TABLE job; --", "' UNION SELECT data FROM event --", "%", "_", "K-2481_", "\\", "1)) OR 1=1 --", "x' AND randomblob(100000000) --", "?", "?1", ":a", "\x00", "K-24817\x00' OR 1=1"} {
		e := url.QueryEscape(text)
		for _, p := range []string{"/jobs?number=" + e, "/jobs?unit=" + e, "/jobs?number=K-&unit=" + e, "/jobs?day=" + e + "&after=zzz&from=2027-01-01", "/jobs?from=2027-01-01&day=2027-01-02&after=" + e, "/find?q=" + e, "/unit/" + url.PathEscape(text), "/job/" + url.PathEscape(text), "/job/" + url.PathEscape(text) + "/packet"} {
			status, body, _ := o.get(browser(t), p)
			if status >= 500 || strings.Contains(body, "K-24818") {
				t.Errorf("%s: %d, jobs are shown", p, status)
			}
		}
		for _, p := range []string{"/jobs?state=" + e, "/jobs?from=" + e, "/jobs?to=" + e, "/job/K-24817?print=" + e, "/picture/" + url.PathEscape(text), "/units?q=" + e, "/records?file=" + e + "&from=" + e} {
			if status, _, _ := o.get(browser(t), p); status >= 500 {
				t.Errorf("%s: %d", p, status)
			}
		}
	}
	after, err := o.register.Head(t.Context())
	if err != nil || after != before {
		t.Errorf("%v, %v", after, err)
	}
	if faults, err := o.register.Verify(t.Context(), before); len(faults) > 0 || err != nil {
		t.Error(faults, err)
	}
}
