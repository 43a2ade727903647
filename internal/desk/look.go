package desk

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"io"
	"net/http"
	"strings"
	"sync"

	"jobsheaf/fonts"
)

// lookFiles are what the pages look like.
//
//go:embed look
var lookFiles embed.FS

// looks gives the files of the look by name.
var looks = sync.OnceValue(func() map[string]string {
	css, err := lookFiles.ReadFile("look/desk.css")
	if err != nil {
		panic(err) // it is embedded
	}
	return map[string]string{"desk.css": string(css), "sans.ttf": fonts.Files[fonts.Sans].TTF, "sans-bold.ttf": fonts.Files[fonts.SansBold].TTF}
})

// lookPath gives the path of a file of the look; another file has another path, so that a
// browser may keep it.
func lookPath(name string) string {
	sum := sha256.Sum256([]byte(looks()[name]))
	return "/look/" + hex.EncodeToString(sum[:6]) + "-" + name
}

// lookTypes are what the files are, by how their names end.
var lookTypes = map[string]string{"css": "text/css; charset=utf-8", "ttf": "font/ttf"}

func (v *visit) look() error {
	name := v.r.PathValue("file")
	if _, rest, ok := strings.Cut(name, "-"); ok && looks()[name] == "" {
		name = rest
	}
	is, ok := looks()[name]
	if !ok {
		v.w.Header().Set("Cache-Control", "no-store")
		return refuse(http.StatusNotFound, "fault.no_page")
	}
	v.w.Header().Set("Content-Type", lookTypes[name[strings.LastIndexByte(name, '.')+1:]])
	_, err := io.WriteString(v.w, is)
	return v.gone(err)
}
