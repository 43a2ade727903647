// Package desk is the pages that a site's desk shows in a browser: what became of a job,
// whether a page is current, what a unit's history tells, what is wrong in the records,
// where a number comes from.
//
// Entry points: New, and Desk.Serve, a server with its limits. It belongs here if somebody
// at the desk reads it or writes it into a form. It is not for deciding anything about a packet (review, typein), nor for what is
// kept (register); and it sees neither files nor the clock: the command line hands it
// functions, file systems and the time.
//
// A page is a file here with what it reads, one in pages with how it looks, and a line of
// routes. What all pages share is in frame.go; forms are made by form.go; who may do
// what is held by guard.go alone.
package desk

import (
	"context"
	"html/template"
	"io/fs"
	"net/http"
	"sync"
	"time"

	"jobsheaf/internal/compose"
	"jobsheaf/internal/diag"
	"jobsheaf/internal/packet"
	"jobsheaf/internal/record"
	"jobsheaf/internal/register"
	"jobsheaf/internal/users"
	"jobsheaf/internal/words"
)

// Site is a site's folder as it was read.
type Site struct {
	Book     *record.Book
	Language string                     // of the site's pages
	Words    map[string]words.Catalogue // by language, that of the site among them
	Problems diag.List                  // what reading it found
	// Check gives all that is wrong or missing, for which every job of the lists is made
	// without printing.
	Check func(context.Context) (diag.List, error)
	Line  func(at diag.Pos) string // the line of a file, "" where there is none to show
	// Translate gives a text of the program in the language of the site.
	Translate func(string) string
	Title     func(procedure string) string // what a procedure is called
	// WorkOut works out what can be from readings of a job of a unit by a procedure: pairs of
	// name and text.
	WorkOut   func(unit, procedure string, readings [][2]string) ([]Summed, error)
	Histories // as the records alone tell
	// Since gives what the records and the register tell of some units. It takes as long as
	// reading the site.
	Since func(ctx context.Context, units []string) (Histories, error)
}

// Histories are what histories of units go into.
type Histories struct {
	// Explain gives the working of a unit's numbers by a procedure, by the first that fits
	// where none is named. The error is for whoever asked.
	Explain func(unit, procedure string) (Explained, error)
	// Worn gives what is known of a unit's wear.
	Worn func(unit string) []compose.Worn
}

// Explained is the working of a unit's numbers.
type Explained struct {
	Procedure  string
	Procedures []string // all that fit the unit
	Values     []packet.Entry
}

// Config is what a desk is given.
type Config struct {
	Register *register.Register
	Read     func() (*Site, error)         // reads the site's folder
	Stamp    func() string                 // another text once a file of it has changed
	Users    func() (users.List, error)    // who may sign in; nobody: whoever sits there does
	Scans    fs.FS                         // where the pictures of pages are kept
	Packets  fs.FS                         // where packets were printed to; nil where nobody said
	Now      func() time.Time              // its zone is the one of the pages
	Log      func(format string, a ...any) // what happens to the desk itself; never a secret
	Hosts    func(host string) bool        // whether a name that a browser calls the desk by, without port, is one of its own
	SignIn   bool                          // only who signs in may read or write, be there users or not
	Secure   bool                          // it is reached by TLS alone
	Proxied  bool                          // a proxy stands before it, and says who asks
	Back     Back                          // what reading scans takes
	Print    *Printing                     // what printing takes; nil where there is no output folder
}

// Desk answers requests.
type Desk struct {
	Config
	sessions *sessions
	tries    *tries
	pages    map[string]*template.Template
	limits   limits
	turns    turns

	mu     sync.Mutex
	site   *reading // the newest
	looked time.Time
	stamp  string
	asks   *recent[int64, printedPages]
	pasts  *recent[knownOf, known]
	*papers

	works   *works
	sending chan struct{} // who sends files just now
	lists   sentLists
	output  outputFolder
}

// New gives a desk. The error is of its own pages.
func New(c Config) (*Desk, error) {
	d := &Desk{Config: c, sessions: newSessions(c.Now), tries: newTries(c.Now), limits: plainLimits, turns: newTurns(),
		asks: newRecent[int64, printedPages](64), pasts: newRecent[knownOf, known](64), papers: newPapers()}
	d.works, d.sending = newWorks(c.Now, c.Log), make(chan struct{}, plainLimits.senders)
	var err error
	d.pages, err = readPages()
	return d, err
}

// handler gives what answers requests.
func (d *Desk) handler() http.Handler {
	mux := http.NewServeMux()
	for _, r := range routes() {
		mux.Handle(r.pattern, d.guarded(r))
	}
	return d.bounded(mux)
}

// routes are all pages. A pattern without a method would answer to any: each has one.
func routes() []route {
	return []route{
		{pattern: "GET /look/{file}", who: anyone, do: (*visit).look, lasting: true},
		{pattern: "GET /sign-in", who: anyone, do: (*visit).signInPage},
		{pattern: "POST /sign-in", who: anyone, do: (*visit).signIn},
		{pattern: "POST /sign-out", who: reader, do: (*visit).signOut},
		{pattern: "GET /name", who: reader, do: (*visit).namePage},
		{pattern: "POST /name", who: mechanic, do: (*visit).giveName},
		{pattern: "GET /{$}", who: reader, do: (*visit).home},
		{pattern: "GET /find", who: reader, do: (*visit).find},
		{pattern: "GET /jobs", who: reader, do: (*visit).jobs},
		{pattern: "GET /job/{job}", who: reader, do: (*visit).job},
		{pattern: "GET /job/{job}/packet", who: reader, do: (*visit).packet},
		{pattern: "GET /picture/{paper}", who: reader, do: (*visit).picture},
		{pattern: "GET /job/{job}/type", who: reader, do: (*visit).typePage},
		{pattern: "POST /job/{job}/type", who: mechanic, named: true, do: (*visit).typeIn},
		{pattern: "GET /job/{job}/settle", who: reader, do: (*visit).settlePage},
		{pattern: "POST /job/{job}/settle", who: mechanic, named: true, do: (*visit).settle},
		{pattern: "GET /settle", who: reader, do: (*visit).settlePage},
		{pattern: "POST /settle", who: mechanic, named: true, do: (*visit).settle},
		{pattern: "GET /job/{job}/review", who: reader, do: (*visit).reviewPage},
		{pattern: "POST /job/{job}/review", who: planner, named: true, do: (*visit).decide},
		{pattern: "GET /review", who: reader, do: (*visit).reviews},
		{pattern: "GET /crop/{job}/{print}/{sum}/{box}", who: reader, do: (*visit).cropPage},
		{pattern: "GET /units", who: reader, do: (*visit).units},
		{pattern: "GET /unit/{unit}", who: reader, do: (*visit).unit},
		{pattern: "GET /worn", who: reader, do: (*visit).wornParts},
		{pattern: "GET /number/{unit}", who: reader, do: (*visit).number},
		{pattern: "GET /records", who: reader, do: (*visit).records},
		{pattern: "GET /week", who: reader, do: (*visit).weeks},
		{pattern: "GET /week/{list}", who: reader, do: (*visit).week},
		{pattern: "POST /week/{list}/print", who: planner, do: (*visit).printWeek, named: true},
		{pattern: "POST /list", who: planner, do: (*visit).sendList, named: true, files: true, most: mostSentList},
		{pattern: "GET /list", who: reader, do: (*visit).weeks},
		{pattern: "GET /list/{list}", who: reader, do: (*visit).sentList},
		{pattern: "POST /list/{list}/print", who: planner, do: (*visit).printSent, named: true},
		{pattern: "GET /print/{work}", who: reader, do: (*visit).printRun},
		{pattern: "POST /print/{work}/stop", who: planner, do: (*visit).stopPrint, named: true},
		{pattern: "GET /printed", who: reader, do: (*visit).printout},
		{pattern: "GET /printed/{file...}", who: reader, do: (*visit).printedFile},
		{pattern: "GET /week/{list}/print", who: reader, do: (*visit).formOf},
		{pattern: "GET /list/{list}/print", who: reader, do: (*visit).formOf},
		{pattern: "GET /print/{work}/stop", who: reader, do: (*visit).formOf},
		{pattern: "GET /back/{work}/stop", who: reader, do: (*visit).formOf},
		{pattern: "GET /place/{paper}/aside", who: reader, do: (*visit).formOf},
		{pattern: "GET /back", who: reader, do: (*visit).back},
		{pattern: "POST /back", who: mechanic, do: (*visit).bring, named: true, files: true},
		{pattern: "GET /back/{work}", who: reader, do: (*visit).backRun},
		{pattern: "POST /back/{work}/stop", who: mechanic, do: (*visit).stopBack, named: true},
		{pattern: "GET /place", who: reader, do: (*visit).toPlace},
		{pattern: "GET /place/{paper}", who: reader, do: (*visit).placing},
		{pattern: "POST /place/{paper}", who: mechanic, do: (*visit).place, named: true},
		{pattern: "POST /place/{paper}/aside", who: mechanic, do: (*visit).aside, named: true},
		{pattern: "GET /twice/{paper}", who: reader, do: (*visit).twice},
		{pattern: "POST /twice/{paper}", who: mechanic, do: (*visit).choose, named: true},
		{pattern: "GET /", who: anyone, do: (*visit).code},
	}
}
