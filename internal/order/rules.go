package order

// rule is one thing that the order of work must hold. Clauses are those of 29 CFR
// 1910.147, The control of hazardous energy, from the public text, and from memory.
type rule struct {
	name   string // as problems name it
	what   string // what is wrong where it is broken
	why    string
	source string
}

const practice = "common practice, no source"

// Getting the machine safe.
var (
	tellFirst   = &rule{name: "tell-first", what: "the machine is stopped, started, or worked on as it runs, before those who work with it are told", why: "someone else counts on it", source: "29 CFR 1910.147(c)(9), (e)(2)(ii)"}
	testFirst   = &rule{name: "test-first", what: "work goes on in a place that was not tested for gas", why: "a switch, a tool or the hot machine ignites what nobody smells", source: practice}
	stopFirst   = &rule{name: "stop-first", what: "a running machine is locked or shut in", why: "it is shut down in its own orderly way, then isolated", source: "29 CFR 1910.147(d)(2), (d)(3)"}
	drivenShut  = &rule{name: "driven-shut", what: "the machine is shut in while its drive can start", why: "it builds pressure against the closed valve until something gives", source: practice}
	heatShutIn  = &rule{name: "heat-shut-in", what: "liquid is shut in, and heated, with no way out", why: "liquid that warms between closed valves bursts what holds it", source: practice}
	fedShutIn   = &rule{name: "fed-shut-in", what: "a line still feeds a machine whose inlet and outlet are shut", why: "its pressure stands in the casing, which has no way out", source: practice}
	shutLock    = &rule{name: "shut-then-lock", what: "a lock is hung on what is not shut", why: "the lock holds it open", source: "29 CFR 1910.147(d)(4)(ii)"}
	lockTry     = &rule{name: "lock-then-try", what: "the drive is not tried once it is locked", why: "the wrong starter may be locked, and a start from another station kills", source: "29 CFR 1910.147(d)(6)"}
	ownTag      = &rule{name: "own-tag", what: "a lock hangs without the tag of who hung it, or not everyone hung their own, or a tag hangs where nothing is held", why: "nobody knows whose lock it is, and it is cut off; who has none is forgotten as the others take theirs off", source: "29 CFR 1910.147(c)(5)(ii)(D), (f)(3)(ii)(D)"}
	lockRelieve = &rule{name: "lock-then-relieve", what: "stored energy is let off before every point is locked and tagged", why: "what is let off comes back through a valve that somebody opens", source: "29 CFR 1910.147(d)(5)(i)"}
	coolVent    = &rule{name: "cool-then-vent", what: "the machine is opened to the air while its liquid is too hot", why: "it boils over, or its vapour ignites", source: "29 CFR 1910.106(a)(19) for the margin to its flash point; " + practice}
	bondVent    = &rule{name: "bond-then-vent", what: "a flammable liquid runs out of a machine that is not bonded", why: "what flows builds up static, and a spark ignites its vapour", source: "NFPA 77, from memory"}
	ventDrain   = &rule{name: "vent-then-drain", what: "the machine is drained, or flushed, with no way in for air, or none out for the liquid", why: "liquid hangs behind a vacuum, and falls out when a joint is opened; flushed shut in, it takes the flush's pressure", source: practice}
	provePoints = &rule{name: "prove-all-points", what: "zero energy is proved while a point still holds energy back, or nothing does", why: "a proof that leaves out one energy is none", source: "29 CFR 1910.147(d)(4)(i), (d)(5), (d)(6)"}
	proveBreak  = &rule{name: "prove-then-open", what: "hands go where a machine could move or spray that is not proved to be without energy", why: "this is the proof that the work rests on", source: "29 CFR 1910.147(d)(6)"}
	emptyBreak  = &rule{name: "empty-then-open", what: "a joint is opened on liquid or heat", why: "what is left runs, sprays or burns", source: "29 CFR 1910.147(d)(5)(i)"}
	stayOpen    = &rule{name: "stay-open", what: "a way out is shut while the machine is open", why: "a valve that leaks by fills it unseen", source: "29 CFR 1910.147(d)(5)(ii)"}
	offTurn     = &rule{name: "locked-then-turn", what: "a shaft is turned by hand that could start, or is behind its guard", why: "fingers are drawn in", source: "29 CFR 1910.147(a)(2)(ii), (d)(6)"}
)

// Giving it back.
var (
	openUnlock   = &rule{name: "close-then-unlock", what: "a lock comes off an open machine, or one without its guards", why: "the machine is whole before energy can come back", source: "29 CFR 1910.147(e)(1)"}
	lookUnlock   = &rule{name: "look-then-unlock", what: "a lock or block comes off before a second person looked and everyone is clear", why: "a tool left inside or a hand at the coupling is seen before, not after", source: "29 CFR 1910.147(e)(1), (e)(2)(i)"}
	driveLast    = &rule{name: "drive-last", what: "the drive is unlocked before its valves, or before the blocks are out", why: "from then on anybody can start it", source: practice}
	lockedOpen   = &rule{name: "unlock-then-open", what: "a valve is opened that is locked", why: "whoever's lock it is still works on the machine", source: "29 CFR 1910.147(e)(3)"}
	makeLoad     = &rule{name: "make-then-load", what: "a spring is tensioned, or a load hung, on an open machine", why: "what it pulls on comes apart, and throws or drops its parts", source: practice}
	openThrough  = &rule{name: "close-then-fill", what: "liquid or heat is let into a machine that has an open joint, drain or vent", why: "it runs or sprays out", source: "29 CFR 1910.147(e)(1)"}
	warmFirst    = &rule{name: "warm-first", what: "a machine is turned, drained or opened to its pipes colder than it may be", why: "what has gone solid lets nothing past and holds pressure, and what is hot binds in what is cold", source: practice}
	heldFill     = &rule{name: "hold-then-fill", what: "somebody fills the machine by hand, at its open vent, with a lock off", why: "a valve that somebody opens, or the drive, throws the liquid into a face", source: practice}
	fillFirst    = &rule{name: "fill-first", what: "the machine is not filled before its outlet is opened or it turns under power", why: "dry, its seal and bushings are ruined within seconds, and the line runs back through it", source: practice}
	readyStart   = &rule{name: "ready-to-start", what: "the machine is started unready", why: "locks off, guards on, ways out shut, valves open, turned by hand: each is seen before the start", source: "29 CFR 1910.147(e)(1), (e)(2)"}
	nothingStays = &rule{name: "nothing-left", what: "the job ends with something left behind", why: "whoever comes next finds a lock that nobody owns, or a guard that is off", source: "29 CFR 1910.147(e)(1), (e)(3)"}
	watchStart   = &rule{name: "watch-after-start", what: "nobody watches the machine after its start", why: "a leak or a wrong turn shows in the first minutes", source: practice}
)

// On paper and on the machine alike.
var (
	onTable     = &rule{name: "on-the-table", what: "a step uses a point that is not on the unit's isolation table", why: "what is not on the table is not on the page that locks are initialled on", source: "29 CFR 1910.147(c)(4)(ii), (d)(3)"}
	knownPlace  = &rule{name: "known-place", what: "a step names a place that no machine has", why: "it is misspelt", source: "templates/README.md"}
	undoneFirst = &rule{name: "done-then-undone", what: "a step undoes what no step has done", why: "a step is missing, or two are swapped", source: practice}
)
