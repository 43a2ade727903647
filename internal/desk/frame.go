package desk

import (
	"bytes"
	"embed"
	"errors"
	"fmt"
	"html/template"
	"io/fs"
	"net/http"
	"net/url"
	"path"
	"slices"
	"strings"
	"time"

	"jobsheaf/internal/diag"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/register"
	"jobsheaf/internal/words"
)

// pageFiles are the pages as they look: frame.html around each of the others.
//
//go:embed pages/*.html
var pageFiles embed.FS

// readPages reads them, by name without ".html".
func readPages() (map[string]*template.Template, error) {
	files, err := fs.Glob(pageFiles, "pages/*.html")
	if err != nil {
		return nil, err
	}
	out := map[string]*template.Template{}
	for _, f := range files {
		name := strings.TrimSuffix(path.Base(f), ".html")
		if name == "frame" {
			continue
		}
		if out[name], err = template.New("frame.html").ParseFS(pageFiles, "pages/frame.html", f); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// frame is what every page has, with what is its own.
type frame struct {
	*visit
	words *words.Room
	Is    any // of the page itself
}

// show writes a page.
func (v *visit) show(name string, is any) error { return v.showAs(http.StatusOK, name, is) }

func (v *visit) showAs(status int, name string, is any) error {
	site, err := v.read()
	if err != nil {
		return err
	}
	var faults diag.List
	f := &frame{visit: v, words: site.Words[v.Language()].For("desk", &faults), Is: is}
	var page bytes.Buffer
	if err := v.pages[name].Execute(&page, f); err != nil {
		return fmt.Errorf("page %s: %w", name, err)
	}
	if len(faults) > 0 {
		return fmt.Errorf("page %s: %s", name, faults[0])
	}
	v.w.Header().Set("Content-Type", "text/html; charset=utf-8")
	v.w.WriteHeader(status)
	_, err = page.WriteTo(v.w)
	return v.gone(err)
}

// gone takes an error of writing for what it is: whoever asked has left.
func (v *visit) gone(err error) error {
	if err != nil {
		v.Log("an answer was cut off: %v", err)
	}
	return nil
}

// fail answers what is not to be had.
func (v *visit) fail(err error) {
	if errors.Is(err, errSignIn) {
		v.to("/sign-in?to=" + url.QueryEscape(v.r.URL.RequestURI()))
		return
	}
	if errors.Is(err, errNameless) {
		v.to("/name?to=" + url.QueryEscape(v.r.URL.RequestURI()))
		return
	}
	f, told := errors.AsType[*fault](err)
	if errors.Is(err, register.ErrUnknown) {
		f, told = &fault{status: http.StatusNotFound, key: "fault.unknown"}, true
	}
	if !told {
		v.Log("%s %s: %v", v.r.Method, v.r.URL.Path, err)
		f = &fault{status: http.StatusInternalServerError, key: "fault.failed"}
	}
	if err := v.showAs(f.status, "fault", f); err != nil {
		v.Log("%s %s: %v", v.r.Method, v.r.URL.Path, err)
		http.Error(v.w, "the desk failed; its own messages say why", http.StatusInternalServerError)
	}
}

// to sends a browser to another page of ours.
func (v *visit) to(path string) error {
	v.w.Header().Set("Location", path)
	v.w.WriteHeader(http.StatusSeeOther)
	return nil
}

// languageCookie keeps which language somebody chose.
const languageCookie = "language"

// chosen gives the language that somebody asks for, now or by an earlier choice; "" is
// that of the site.
func (v *visit) chosen() string {
	lang := v.r.URL.Query().Get("lang")
	if lang != "" {
		if len(lang) <= 12 {
			http.SetCookie(v.w, &http.Cookie{Name: languageCookie, Value: url.QueryEscape(lang), Path: "/", MaxAge: 365 * 24 * 3600, HttpOnly: true, Secure: v.Secure, SameSite: http.SameSiteStrictMode})
		}
		return lang
	}
	if c, err := v.r.Cookie(languageCookie); err == nil {
		return c.Value
	}
	return ""
}

// What follows is for the pages.

// Language is the language of the page's own words.
func (v *visit) Language() string {
	if _, ok := v.site.Words[v.lang]; ok {
		return v.lang
	}
	return v.site.Language
}

// SiteLanguage is the language of what records and procedures say.
func (v *visit) SiteLanguage() string { return v.site.Language }

// Languages are those that can be chosen.
func (v *visit) Languages() []string {
	var out []string
	for lang := range v.site.Words {
		out = append(out, lang)
	}
	slices.Sort(out)
	return out
}

// In gives the page that is shown, in a language. Of a form that came back it is the page
// of the form.
func (v *visit) In(lang string) string {
	q := v.r.URL.Query()
	q.Set("lang", lang)
	return v.r.URL.EscapedPath() + "?" + q.Encode()
}

// Site is the site's name.
func (v *visit) Site() string {
	if s := v.site.Book.Site; s != nil {
		return s.Name.S
	}
	return ""
}

// Who is the name of whoever asks, "" where nobody gave one.
func (v *visit) Who() string {
	if v.who == nil {
		return ""
	}
	return v.who.name
}

// SignedIn reports whether that name came with a password.
func (v *visit) SignedIn() bool { return v.who != nil && v.who.signedIn }

// Reads reports whether whoever asks may read the pages.
func (v *visit) Reads() bool { return v.role >= reader }

// At reports whether the page is below a path.
func (v *visit) At(path string) bool {
	return v.r.URL.Path == path || strings.HasPrefix(v.r.URL.Path, path+"/")
}

// Look gives the path of a file of the look.
func (v *visit) Look(name string) string { return lookPath(name) }

// Say gives a word of the pages; pairs fill its placeholders.
func (f *frame) Say(key string, pairs ...any) string {
	texts := make([]string, len(pairs))
	for i, p := range pairs {
		texts[i] = fmt.Sprint(p)
	}
	return f.words.Say(key, texts...)
}

// SayOf gives the words of a fault.
func (f *frame) SayOf(is *fault) string { return f.Say(is.key, is.fill...) }

// When gives a moment of the register as people at the desk read it.
func (f *frame) When(at string) template.HTML {
	t, err := time.Parse(time.RFC3339, at)
	if err != nil {
		return template.HTML(template.HTMLEscapeString(at))
	}
	t = t.In(f.Now().Location())
	return template.HTML(`<time datetime="` + t.Format(time.RFC3339) + `">` + t.Format("2006-01-02 15:04") + `</time>`)
}

// Phrase gives running text of a packet.
func (f *frame) Phrase(p packet.Phrase) template.HTML {
	var b strings.Builder
	for _, s := range p {
		text := template.HTMLEscapeString(s.Text)
		switch s.Style {
		case packet.Strong:
			text = "<strong>" + text + "</strong>"
		case packet.Missing:
			text = `<span class="missing">` + text + "</span>"
		}
		b.WriteString(text)
	}
	return template.HTML(b.String())
}

// Path puts texts into a path of ours, each as one part of it.
func (f *frame) Path(parts ...string) string {
	var b strings.Builder
	for _, p := range parts {
		b.WriteString("/" + url.PathEscape(p))
	}
	return b.String()
}
