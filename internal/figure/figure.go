// Package figure draws the drawings of the packet from parameters, as vectors
// in millimetres: bolt circles, marks, the pump in section, signs.
//
// Entry points: Draw, Names and Needs. It belongs here if it turns numbers and
// words into lines on paper. It is not for choosing a figure or its parameters
// (templates and compose do that), nor for placing it on a page (layout does).
//
// Every drawing is our own, schematic, and made for a black and white printer
// and one photocopy: three line weights, hatching rather than tints, text of
// 8 pt at least. No word is set here: they come from the catalogue of the
// page's language, through Params.Words, under keys that begin with "figure.".
package figure

import (
	"fmt"
	"slices"
	"strings"

	"jobsheaf/internal/page"
)

// Params is what a figure is drawn from. What each figure wants of them, Needs
// tells.
type Params struct {
	Numbers map[string]float64   // lengths in mm, angles in degrees, counts
	Texts   map[string]string    // words of the job, or one of a few choices
	Lists   map[string][]string  // as Texts, several in order
	Series  map[string][]float64 // as Numbers, several in order
	// Words gives a fixed word by its key in the catalogue, such as
	// "figure.top". The empty string means that the catalogue lacks it.
	Words func(key string) string
}

// Drawing is a finished figure: paths below, texts above them. The origin is
// the top left corner; all is in mm and lies within W and H.
type Drawing struct {
	W, H  float64
	Paths []page.Path
	Texts []page.Text
}

// spec is one figure: what it needs and what draws it.
type spec struct {
	name, what string
	least      float64 // the least width in mm at which all of it can be read
	needs      []Need
	words      []string // keys without "figure."
	draw       func(*pen) error
}

// specs are all figures, in the order in which Names lists them.
var specs = slices.Concat(
	[]spec{
		boltCircle, housingMarks, strip, scaleBar, section, gears, wearPoints, bushingGroove, reliefValve, lipSeals, tang, isolation, trend, alert,
		bearingHousing, halfRings, sealStack, headOff, accessHole, dialIndicator, feature,
	},
	protections, pictograms,
)

// widest is the greatest width that a figure is drawn at, in mm: no paper that
// an office prints on is wider.
const widest = 420

func find(name string) (*spec, error) {
	for i := range specs {
		if specs[i].name == name {
			return &specs[i], nil
		}
	}
	return nil, fmt.Errorf("there is no figure %q; there are %s", name, strings.Join(Names(), ", "))
}

// Names gives the names of all figures.
func Names() []string {
	names := make([]string, len(specs))
	for i := range specs {
		names[i] = specs[i].name
	}
	return names
}

// Signs gives the names of the figures that show something to wear.
func Signs() []string {
	names := make([]string, len(protections))
	for i := range protections {
		names[i] = protections[i].name
	}
	return names
}

// Least gives the least width in mm at which a figure can be drawn.
func Least(name string) (float64, error) {
	s, err := find(name)
	if err != nil {
		return 0, err
	}
	return s.least, nil
}

// Draw draws a figure to a width in mm; its height follows. The error names the
// parameter that is missing or out of its range, or the word that the catalogue
// lacks. Others have the same drawing: it is not to be changed.
func Draw(name string, p Params, width float64) (Drawing, error) {
	s, err := find(name)
	if err != nil {
		return Drawing{}, err
	}
	if !(width >= s.least && width <= widest) {
		return Drawing{}, fmt.Errorf("figure %s: a width of %.4g mm is outside %.4g to %d mm", name, width, s.least, widest)
	}
	if err := s.check(p); err != nil {
		return Drawing{}, fmt.Errorf("figure %s: %w", name, err)
	}
	return once(s.key(p, width), func() (Drawing, error) {
		g := &pen{in: p, d: Drawing{W: width, Paths: make([]page.Path, 0, 8+8*len(s.needs)+8*len(s.words)), Texts: make([]page.Text, 0, 4*len(s.words))}}
		if err := s.draw(g); err != nil {
			return Drawing{}, fmt.Errorf("figure %s: %w", name, err)
		}
		return g.d, nil
	})
}
