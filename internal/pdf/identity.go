package pdf

import (
	"bytes"

	"jobsheaf/internal/page"
)

// Identity gives the identifier that a document's file carries at its end. It is
// taken of the document's ID, title and date.
func Identity(d page.Doc) string { return fileID(&d) }

// IdentityOf gives the identifier of a file that Write or a Writer wrote to its
// end, from its last bytes (512 are enough); "" for any other.
func IdentityOf(tail []byte) string {
	if !bytes.HasSuffix(tail, []byte("\n%%EOF\n")) {
		return ""
	}
	at := bytes.LastIndex(tail, []byte("/ID[<"))
	if at < 0 {
		return ""
	}
	id, _, ok := bytes.Cut(tail[at+len("/ID[<"):], []byte(">"))
	if !ok {
		return ""
	}
	return string(id)
}
