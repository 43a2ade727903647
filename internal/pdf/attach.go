package pdf

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"

	"jobsheaf/internal/page"
)

// relationships are what ISO 19005-3, 6.8 lets an attachment be to the document.
var relationships = []string{"Source", "Data", "Alternative", "Supplement", "Unspecified"}

func checkAttachments(files []page.Attachment) error {
	names := map[string]bool{}
	for _, a := range files {
		switch {
		case a.Name == "":
			return errors.New("pdf: an attachment has no name")
		case names[a.Name]:
			return fmt.Errorf("pdf: two attachments are named %q", a.Name)
		case !slices.Contains(relationships, a.Relationship):
			return fmt.Errorf("pdf: attachment %q has relationship %q; it must be one of %s", a.Name, a.Relationship, strings.Join(relationships, ", "))
		case !strings.Contains(a.MIME, "/"):
			return fmt.Errorf("pdf: attachment %q has type %q; it must be one such as text/csv", a.Name, a.MIME)
		}
		if err := checkWords(a.Name + a.Description); err != nil {
			return err
		}
		names[a.Name] = true
	}
	return nil
}

// Deflate packs what two documents carry once for both.
func Deflate(data []byte) []byte {
	s := newScratch()
	defer s.putBack()
	return bytes.Clone(s.deflate(data))
}

// attach writes the attachments and gives what the catalog says of them; "" where
// there are none.
func (p *Writer) attach() string {
	if len(p.doc.Attachments) == 0 {
		return ""
	}
	files := slices.Clone(p.doc.Attachments)
	// A name tree is sorted by the bytes of its keys (clause 7.9.6): those in
	// UTF-16 begin with FE.
	key := func(a page.Attachment) string {
		if t := text(a.Name); t[0] != '(' {
			return "\xFE" + t
		}
		return a.Name
	}
	slices.SortFunc(files, func(a, b page.Attachment) int { return strings.Compare(key(a), key(b)) })
	date := text(pdfDate(p.created))
	var names, all strings.Builder
	for _, a := range files {
		data, spec := p.number(), p.number()
		filter, packed := "", a.Data
		if !a.Packed {
			filter, packed = "/Filter/FlateDecode", a.Deflated
			if packed == nil {
				packed = p.deflate(a.Data)
			}
		}
		// No checksum: it may be left out (clause 7.11.4), an MD5 is no protection, and what
		// is damaged fails the checksum of zlib.
		p.stream(data, fmt.Sprintf("/Type/EmbeddedFile/Subtype%s/Params<</Size %d/CreationDate%s/ModDate%s>>%s",
			name(a.MIME), len(a.Data), date, date, filter), packed)
		description := ""
		if a.Description != "" {
			description = "/Desc" + text(a.Description)
		}
		p.dict(spec, "/Type/Filespec/F%s/UF%s%s/AFRelationship/%s/EF<</F %d 0 R/UF %d 0 R>>",
			text(a.Name), text(a.Name), description, a.Relationship, data, data)
		fmt.Fprintf(&names, "%s %d 0 R ", text(a.Name), spec)
		fmt.Fprintf(&all, "%d 0 R ", spec)
	}
	return fmt.Sprintf("/Names<</EmbeddedFiles<</Names[%s]>>>>/AF[%s]", names.String(), all.String())
}

// name writes a name object. Source: clause 7.3.5.
func name(s string) string {
	b := []byte{'/'}
	for i := range len(s) {
		c := s[i]
		if c >= '0' && c <= '9' || c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z' || c == '-' || c == '.' || c == '+' {
			b = append(b, c)
		} else {
			b = fmt.Appendf(b, "#%02X", c)
		}
	}
	return string(b)
}
