package order

// What gets the machine safe: each action holds what must be so before it, and then
// changes how the machine stands.

// do runs one action.
func (r *run) do(a Action) {
	switch a.verb {
	case "tell":
		r.told = true
	case "stop":
		r.stop()
	case "lock":
		r.lock(a)
	case "tag":
		r.tag(a)
	case "try":
		if why, _ := r.driveHeld(); why != "" && len(r.where(func(p *point) bool { return p.Is == Drive && !p.locked })) > 0 {
			r.fail(lockTry, why, "lock it first")
		}
		r.tried = true
	case "close":
		r.close(a)
	case "open":
		r.openPoint(a)
	case "relieve":
		r.relieve(a)
	case "drain":
		r.drain()
	case "flush":
		r.wash()
	case "cool":
		r.isolated("cooled")
		r.coolLiquid = r.coolLiquid || a.object != "metal"
		r.coolMetal = r.coolMetal || a.object != "liquid"
	case "gas-test":
		r.tested = true
	case "bond":
		r.bonded = true
	case "prove":
		r.prove()
	case "break":
		r.breakUnit()
	case "make":
		if !r.open {
			r.fail(undoneFirst, "the last joint is closed of a machine that no step has opened", "say which step opens it (does: break unit)")
		}
		r.open, r.turned = false, false
	case "load":
		r.load(a)
	case "guards":
		if a.object == "off" {
			r.safeForHands("the guards come off")
			r.guardsOff, r.turned = true, false
		} else {
			r.guardsOff = false
		}
	case "turn":
		r.turn()
	default:
		r.giveBack(a)
	}
}

func (r *run) stop() {
	if !r.told {
		r.fail(tellFirst, "nobody was told", "tell them first (does: tell)")
	}
	if (r.gas || r.flammable) && !r.tested {
		r.fail(testFirst, "the machine is stopped at its own switch, and no step has tested for gas", "test first (does: gas-test)")
	}
	r.running = false
}

func (r *run) lock(a Action) {
	points, _ := r.meant(a)
	for _, p := range points {
		switch {
		case r.running:
			r.fail(stopFirst, "it runs as "+p.named()+" is locked", "stop it first (does: stop)")
		case p.Is == Vent || p.Is == Drain:
			r.fail(shutLock, p.named()+" is a way out, which is tagged and not locked", "write tag "+p.Place)
		case p.Tagged && a.object != p.Place: // one of all that are stored
			continue
		case p.Tagged:
			r.fail(shutLock, p.named()+" is let off and tagged, and not locked", "write relieve "+p.Place+", or take tagged: true out of its place")
		case p.Is == Block && !p.shut:
			r.fail(shutLock, p.named()+" is open", "shut it first (does: close "+p.Place+")")
		}
		p.locked, r.hung, r.each = true, true, false
		r.filled = r.filled && p.Of != Liquid
		if p.Is == Drive {
			r.tried = false
		}
	}
	r.inspected, r.cleared, r.told = false, false, false
}

func (r *run) tag(a Action) {
	points, _ := r.meant(a)
	for _, p := range points {
		if p.Is != Vent && p.Is != Drain && !p.Tagged && !p.locked { // a way out may have its tag while it is shut: it says who opens it
			r.fail(ownTag, p.named()+" is not locked", "lock it first")
		}
		p.tagged = true
	}
	if a.object == locks && len(points) == 0 {
		r.fail(ownTag, "there is nothing to tag", "lock it first")
	}
	r.each = r.each || a.object == locks
}

func (r *run) close(a Action) {
	points, _ := r.meant(a)
	for _, p := range points {
		if p.Is == Vent || p.Is == Drain {
			r.shutWayOut(p, a)
			continue
		}
		if r.running {
			r.fail(stopFirst, "it runs as "+p.named()+" is shut", "stop it first (does: stop)")
		}
		p.shut = true
		if p.Of != Liquid {
			continue
		}
		if why, held := r.driveHeld(); r.m.Displacement && !held {
			r.fail(drivenShut, why+" as "+p.named()+" is shut", "lock and try the drive first")
		}
		if hot := r.where(func(q *point) bool { return q.Of == Heat && q.Is == Block && !q.shut }); len(hot) > 0 {
			r.fail(heatShutIn, say(hot)+" is open as "+p.named()+" is shut", "shut and lock the heat first")
		}
	}
	ends := r.where(func(p *point) bool { return p.Inlet || p.Outlet })
	feeds := r.where(func(p *point) bool { return p.Is == Block && p.Of == Liquid && !p.shut })
	if len(points) > 0 && points[0].Of == Liquid && len(ends) > 0 && len(feeds) > 0 && !r.inspected {
		for _, p := range ends {
			if !p.shut {
				return
			}
		}
		r.fail(fedShutIn, say(feeds)+" is open", "shut it before the last of the two")
	}
}

// shutWayOut closes a vent or drain.
func (r *run) shutWayOut(p *point, a Action) {
	switch {
	case p.shut && a.object == p.Place:
		r.fail(undoneFirst, p.named()+" is shut, and no step has opened it", "say which step opens it (does: open "+p.Place+")")
	case r.open:
		r.fail(stayOpen, p.named()+" is shut with the machine open", "close the last joint first (does: make unit)")
	}
	p.shut, p.tagged = true, false
}

// isolated reports points that are not yet locked and tagged; what says what is done.
func (r *run) isolated(what string) {
	if loose := r.where(func(p *point) bool { return !p.held() && p.Is != Stored && !p.Apart }); len(loose) > 0 {
		r.fail(lockRelieve, say(loose)+" is not shut and locked as the machine is "+what, "lock it first")
	} else if bare := r.where(func(p *point) bool { return p.locked && !p.tagged }); len(bare) > 0 {
		r.fail(ownTag, say(bare)+" has no tag as the machine is "+what, "hang the tag first (does: tag "+locks+")")
	} else {
		r.everyonesOwn("the machine is " + what)
	}
}

// everyonesOwn holds that who works on the machine hung a lock and tag of their own, and
// does not rest on that of who shut it off; what says what is done.
func (r *run) everyonesOwn(what string) {
	if hung := r.hanging(); len(hung) > 0 && !r.each {
		r.fail(ownTag, say(hung)+" has no lock of everyone's own as "+what, "hang them first (does: tag "+locks+")")
	}
}

// openWayOut opens a vent or drain on the way to safety.
func (r *run) openWayOut(p *point) {
	defer func() { p.shut = false }()
	if r.inspected || r.running {
		return // it is bled as it is filled, or as it runs
	}
	if p.Of == Heat {
		if on := r.where(func(q *point) bool { return q.Of == Heat && !q.Apart && !q.held() }); len(on) > 0 {
			r.fail(lockRelieve, say(on)+" is not shut and locked as "+p.named()+" is opened", "lock it first")
		}
		return
	}
	r.isolated("opened at " + p.named())
	if r.hotLiquid && !r.coolLiquid {
		r.fail(coolVent, "its liquid was not let cool as "+p.named()+" is opened", "let it cool first (does: cool liquid)")
	}
	if r.flammable && !r.bonded {
		r.fail(bondVent, "it is not bonded as "+p.named()+" is opened", "bond it first (does: bond)")
	}
	if p.Is == Drain && r.has(Vent, Liquid) && len(r.out(Vent, Liquid)) == 0 {
		r.fail(ventDrain, "no vent is open as "+p.named()+" is", "open the vent first")
	}
}

func (r *run) relieve(a Action) {
	if a.object != "" {
		if points, _ := r.meant(a); len(points) > 0 {
			r.isolated("relieved")
			for _, p := range points {
				p.safe = true
			}
			if points[0].Is == Stored {
				return
			}
		}
	}
	r.isolated("relieved")
	if r.has(Vent, Liquid) && len(r.out(Vent, Liquid)) == 0 {
		r.fail(ventDrain, "no vent is open as pressure is let off", "open the vent first")
	}
	r.relieved = true
}

// load tensions a spring again, or hangs a load: from then on it moves what it is tied to.
func (r *run) load(a Action) {
	points, some := r.meant(a)
	for _, p := range points {
		switch {
		case p.Is != Stored:
			r.fail(undoneFirst, p.named()+" stores nothing", "name a place that is: stored")
		case !p.safe && !some:
			r.fail(undoneFirst, p.named()+" was not let off", "say which step lets it off (does: relieve "+p.Place+")")
		case p.safe && p.locked:
			r.fail(lockedOpen, p.named()+" is locked", "take the lock off first (does: unlock)")
		case p.safe && r.open:
			r.fail(makeLoad, "a joint is open as "+p.named()+" is loaded", "close it first (does: make unit)")
		}
		if p.safe {
			p.safe, p.tagged, r.proved = false, false, false
		}
	}
}

func (r *run) drain() {
	r.isolated("drained")
	if r.has(Drain, Liquid) && len(r.out(Drain, Liquid)) == 0 || r.has(Vent, Liquid) && len(r.out(Vent, Liquid)) == 0 {
		r.fail(ventDrain, "vent and drain are not both open", "open the vent, then the drain")
	}
	if r.solid && r.coolMetal {
		r.fail(warmFirst, "it was let cool before it is drained", "drain it while it is warm")
	}
	r.drained, r.tested, r.proved = true, false, false
}

func (r *run) wash() {
	r.isolated("flushed")
	if !r.drained {
		r.fail(ventDrain, "it was not drained as it is flushed", "drain it first (does: drain)")
	} else if (r.has(Vent, Liquid) || r.has(Drain, Liquid)) && len(r.out(Vent, Liquid))+len(r.out(Drain, Liquid)) == 0 {
		r.fail(ventDrain, "vent and drain are shut as it is flushed", "open one")
	}
	r.flushed, r.tested, r.proved, r.coolMetal = true, false, false, false // the flush has its own pressure and heat
}

func (r *run) prove() {
	if why, held := r.driveHeld(); !held {
		r.fail(lockTry, why+" as zero energy is proved", "lock and try it first")
	}
	if loose := r.loose(); len(loose) > 0 {
		r.fail(provePoints, say(loose)+" is not made safe", "shut and lock it, or let it off, first")
	} else if bare := r.untagged(); len(bare) > 0 {
		r.fail(ownTag, say(bare)+" has no tag as zero energy is proved", "hang the tag first (does: tag)")
	} else {
		r.everyonesOwn("zero energy is proved")
	}
	if r.hotMetal && r.drained && !r.coolMetal {
		r.fail(provePoints, "it was drained, and not let cool, as zero energy is proved", "let it cool first (does: cool metal)")
	}
	if r.m.Liquid && !r.relieved {
		r.fail(provePoints, "its pressure was not let off", "let it off first (does: relieve)")
	}
	if (r.flammable || r.gas) && r.drained && !r.tested {
		r.fail(testFirst, "no test for gas since it was drained or flushed", "test first (does: gas-test)")
	}
	r.proved = true
}

// safeForHands reports what keeps hands away.
func (r *run) safeForHands(what string) {
	if !r.proved {
		r.fail(proveBreak, "zero energy is not proved as "+what, "prove it first (does: prove)")
	}
	if why, held := r.driveHeld(); !held {
		r.fail(lockTry, why+" as "+what, "lock and try it first")
	}
	if r.hotMetal && !r.coolMetal {
		r.fail(emptyBreak, "its metal was not let cool as "+what, "let it cool first (does: cool metal)")
	}
}

func (r *run) breakUnit() {
	const what = "the first joint is opened"
	r.safeForHands(what)
	if r.m.Liquid && !r.drained {
		r.fail(emptyBreak, "it was not drained as "+what, "drain it first (does: drain)")
	}
	if r.flush && !r.flushed {
		r.fail(emptyBreak, "it was not flushed as "+what, "flush it first (does: flush)")
	}
	if (r.flammable || r.gas) && !r.tested {
		r.fail(testFirst, "no test for gas since it was drained or flushed, as "+what, "test first (does: gas-test)")
	}
	if r.has(Vent, Liquid) && len(r.out(Vent, Liquid)) == 0 {
		r.fail(stayOpen, "no vent is open as "+what, "open it first")
	}
	r.open, r.wasOpen, r.tested, r.filled = true, true, false, false
	r.heated = false
}

func (r *run) turn() {
	if why, held := r.driveHeld(); !held {
		r.fail(offTurn, why, "lock and try it first")
	} else if !r.guardsOff {
		r.fail(offTurn, "the guard is on", "say which step takes it off (does: guards off)")
	}
	if r.solid && r.wasOpen && !r.open && !r.heated {
		r.fail(warmFirst, "it was not warmed as its shaft is turned", "warm it first (does: heat)")
	}
	r.turned = true
}
