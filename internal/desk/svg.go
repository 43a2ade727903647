package desk

import (
	"fmt"
	"html/template"
	"strconv"
	"strings"

	"jobsheaf/internal/page"
)

// svg gives a drawing as a browser shows it: the same shapes as on paper, in mm. The names
// of its classes are those of the look; title is what is read aloud in place of it.
func svg(w, h float64, paths []page.Path, texts []page.Text, title string) template.HTML {
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="drawing" viewBox="0 0 %s %s" role="img" aria-label="%s">`, number(w), number(h), template.HTMLEscapeString(title))
	for _, p := range paths {
		b.WriteString(`<path d="`)
		for _, s := range p.Segs {
			op, n := "M", 2
			switch s.Op {
			case page.Line:
				op = "L"
			case page.Curve:
				op, n = "C", 6
			case page.Close:
				op, n = "Z", 0
			}
			b.WriteString(op)
			for i, v := range s.P[:n] {
				if i > 0 {
					b.WriteByte(' ')
				}
				b.WriteString(number(v))
			}
		}
		b.WriteString(`" fill="` + ink(p.Fill) + `" stroke="` + ink(p.Stroke) + `"`)
		if p.Stroke != nil {
			b.WriteString(` stroke-width="` + number(p.Width) + `"`)
			if len(p.Dash) > 0 {
				dash := make([]string, len(p.Dash))
				for i, d := range p.Dash {
					dash[i] = number(d)
				}
				b.WriteString(` stroke-dasharray="` + strings.Join(dash, " ") + `"`)
			}
			if p.Round {
				b.WriteString(` stroke-linecap="round" stroke-linejoin="round"`)
			}
		}
		if p.Even {
			b.WriteString(` fill-rule="evenodd"`)
		}
		b.WriteString("/>")
	}
	for _, t := range texts {
		class := "plain"
		if t.Face == page.Bold || t.Face == page.BoldCondensed {
			class = "bold"
		}
		fmt.Fprintf(&b, `<text class="%s" x="%s" y="%s" font-size="%s" fill="%s"`, class, number(t.X), number(t.Y), number(t.Size*ptMM), ink(&t.Ink))
		if t.Turn != 0 {
			fmt.Fprintf(&b, ` transform="rotate(%s %s %s)"`, number(-t.Turn), number(t.X), number(t.Y))
		}
		b.WriteString(">" + template.HTMLEscapeString(t.S) + "</text>")
	}
	b.WriteString("</svg>")
	return template.HTML(b.String())
}

// ptMM is a point in mm. Source: ISO 32000-1:2008, 8.3.2.3: 72 to the inch.
const ptMM = 25.4 / 72

// number writes a length in mm to a hundredth.
func number(v float64) string {
	s := strconv.FormatFloat(v, 'f', 2, 64)
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
}

func ink(i *page.Ink) string {
	if i == nil {
		return "none"
	}
	return fmt.Sprintf("#%02x%02x%02x", i.R, i.G, i.B)
}
