package desk

import (
	"html/template"
	"path"
	"strings"
)

// tokenField is the field of a form that carries its token.
const tokenField = "token"

// Form begins a form that writes: it is sent to a path of ours and carries its token. The
// page ends it with </form>. Pages that only look for something have a form of their own,
// with the method get.
func (f *frame) Form(action string) template.HTML {
	return template.HTML(`<form method="post" action="` + template.HTMLEscapeString(action) + `"><input type="hidden" name="` + tokenField + `" value="` + f.token() + `">`)
}

// formOf leads from the path that a form was sent to, to the page that has the form: whoever
// asks for what came back in another language comes here.
func (v *visit) formOf() error { return v.to(path.Dir(v.r.URL.EscapedPath())) }

// field gives what was written into a field of a form that was sent, without spaces
// around it; of more characters than that, as many.
func (v *visit) field(name string, most int) string {
	text := []rune(strings.TrimSpace(v.r.PostForm.Get(name)))
	return string(text[:min(len(text), most)])
}

// asked gives a value of the page's address, without spaces around it; of more characters
// than that, as many.
func (v *visit) asked(name string, most int) string {
	text := []rune(strings.TrimSpace(v.r.URL.Query().Get(name)))
	return string(text[:min(len(text), most)])
}
