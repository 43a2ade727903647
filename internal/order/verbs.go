package order

import (
	"maps"
	"slices"
	"strings"

	"jobsheaf/internal/diag"
)

// verb is what a step does, in a plain word of ours.
type verb string

// use is how a verb is written.
type use struct {
	what    string
	objects []string // the words that it takes; placed: any place, too
	placed  bool
	bare    bool // it stands without an object
}

// every names all points of a sort: those that are to be isolated, what hangs, and so
// on.
var every = map[string]Is{"blocks": Block, "vents": Vent, "drains": Drain, "stored": Stored}

const locks = "locks" // all that still hang

// verbs lists the verbs.
var verbs = map[verb]use{
	"tell":     {what: "tell those who work with the machine", bare: true},
	"stop":     {what: "stop the machine", bare: true},
	"lock":     {what: "hang a lock, and its tag where it says tag too", placed: true, objects: []string{"blocks", "stored"}},
	"tag":      {what: "hang a tag: at locked points, or at an open vent or drain", placed: true, objects: []string{locks, "vents", "drains"}},
	"try":      {what: "try to start it from every station", objects: []string{"drive"}},
	"close":    {what: "shut a valve; a vent or drain is capped and its tag taken off", placed: true, objects: []string{"blocks", "vents", "drains"}},
	"open":     {what: "open a valve", placed: true, objects: []string{"blocks", "vents", "drains"}},
	"relieve":  {what: "let pressure off and see it at zero; a spring or load too", placed: true, bare: true, objects: []string{"stored"}},
	"drain":    {what: "let the liquid run out", bare: true},
	"flush":    {what: "wash the liquid out", bare: true},
	"cool":     {what: "let it cool: liquid, until it may be opened to the air; metal, until it may be worked on", bare: true, objects: []string{"liquid", "metal"}},
	"gas-test": {what: "test for gas", bare: true},
	"bond":     {what: "bond it to earth", bare: true},
	"prove":    {what: "prove zero energy, a second person with you", bare: true},
	"break":    {what: "open the first joint, or put hands inside", objects: []string{"unit"}},
	"make":     {what: "close the last joint", objects: []string{"unit"}},
	"load":     {what: "tension a spring, or hang a load, again", placed: true, objects: []string{"stored"}},
	"guards":   {what: "take guards off, or fit them", objects: []string{"off", "on"}},
	"turn":     {what: "turn the shaft by hand", bare: true},
	"inspect":  {what: "show the finished machine to a second person", bare: true},
	"clear":    {what: "call everyone away from it", bare: true},
	"heat":     {what: "warm it", bare: true},
	"prime":    {what: "fill it with its liquid", bare: true},
	"unlock":   {what: "take locks off with their tags, everyone their own", placed: true, objects: []string{locks, "blocks", "stored"}},
	"bump":     {what: "start it for a moment, to see which way it turns", bare: true},
	"start":    {what: "start it", bare: true},
	"run":      {what: "watch and read it while it runs", bare: true},
}

// Parse reads what a step does: VERB or VERB OBJECT. Where it cannot, fault says why
// and hint what would do; whether there is such a place is not known here.
func Parse(text string, at diag.Pos) (a Action, fault, hint string) {
	word, object, _ := strings.Cut(strings.TrimSpace(text), " ")
	object = strings.TrimSpace(object)
	known := verbs[verb(word)]
	if known.what == "" {
		var names []string
		for _, v := range slices.Sorted(maps.Keys(verbs)) {
			names = append(names, string(v))
		}
		return a, "there is no verb " + word + " for what a step does", diag.OneOf(word, names)
	}
	a = Action{verb: verb(word), object: object, at: at}
	switch {
	case object == "" && known.bare, object != "" && (known.placed || slices.Contains(known.objects, object)):
		return a, "", ""
	case object == "":
		return a, word + " does not say what", "write " + word + " and " + wanted(known)
	}
	return a, word + " does not take " + object, "write " + word + " and " + wanted(known)
}

// wanted says what a verb takes.
func wanted(v use) string {
	var out []string
	if v.placed {
		out = append(out, "the place of an isolation point")
	}
	out = append(out, v.objects...)
	if len(out) == 0 {
		return "nothing else"
	}
	return strings.Join(out, " or ")
}
