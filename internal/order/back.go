package order

// What gives the machine back.

// giveBack runs one of the actions that end a job.
func (r *run) giveBack(a Action) {
	switch a.verb {
	case "inspect":
		if r.open || r.guardsOff {
			r.fail(lookUnlock, "it is shown to a second person "+r.unfinished(), "finish it first")
		}
		r.inspected, r.cleared = true, false // who looks stands at the machine
	case "clear":
		r.cleared = true
	case "heat":
		r.heat()
	case "prime":
		if r.open || len(r.out(Drain, Liquid)) > 0 {
			r.fail(openThrough, "it is filled with "+r.openings(), "close it first")
		}
		r.fillByHand()
		r.filled = true
	case "unlock":
		r.unlock(a)
	case "bump":
		r.power("bumped")
	case "start":
		r.power("started")
		r.running, r.started, r.looked = true, true, false
	case "run":
		switch {
		case r.running && !r.hung && !r.told:
			r.fail(tellFirst, "nobody was told as it is worked on while it runs", "tell them first (does: tell)")
		case !r.running:
			r.fail(readyStart, "it is read as it runs, and does not run", "start it first (does: start)")
		}
		r.looked = true
	}
}

// fillByHand holds what must be so before a machine is filled whose inlet is shut: from
// a can, through its vent, with somebody over it.
func (r *run) fillByHand() {
	inlets := r.where(func(p *point) bool { return p.Inlet })
	if len(inlets) == 0 || len(r.where(func(p *point) bool { return p.Inlet && !p.shut })) > 0 {
		return
	}
	if loose := r.where(func(p *point) bool { return p.Is == Block && p.Of == Liquid && !p.held() }); len(loose) > 0 {
		r.fail(heldFill, say(loose)+" is not shut and locked as it is filled with "+say(inlets)+" shut", "fill it before the locks come off")
	} else if why, held := r.driveHeld(); !held {
		r.fail(heldFill, why+" as it is filled with "+say(inlets)+" shut", "fill it before the drive's lock comes off")
	}
}

// unfinished says what an open machine lacks.
func (r *run) unfinished() string {
	switch {
	case r.open && r.guardsOff:
		return "open and without its guards"
	case r.open:
		return "open"
	}
	return "without its guards"
}

// openings says what is open of a machine.
func (r *run) openings() string {
	if r.open {
		return "a joint open"
	}
	return say(r.out(Drain, Liquid)) + " open"
}

func (r *run) heat() {
	switch {
	case r.open || len(r.out(Drain, Liquid)) > 0:
		r.fail(openThrough, "it is warmed with "+r.openings(), "close it first")
	case r.shutIn() && r.has(Vent, Liquid) && len(r.out(Vent, Liquid)) == 0:
		r.fail(heatShutIn, "all valves of the liquid are shut, and no vent is open", "open the vent first")
	}
	r.heated, r.turned, r.coolMetal = true, false, false
}

// openPoint opens a valve.
func (r *run) openPoint(a Action) {
	points, _ := r.meant(a)
	for _, p := range points {
		if p.Is == Vent || p.Is == Drain {
			r.openWayOut(p)
			continue
		}
		if p.locked {
			r.fail(lockedOpen, p.named()+" is locked", "take the lock off first (does: unlock)")
		}
		p.shut, r.proved = false, false
		switch p.Of {
		case Heat:
			r.heatOn(p)
		case Liquid:
			r.liquidOn(p)
		}
	}
}

// heatOn lets heat back into the machine.
func (r *run) heatOn(p *point) {
	if r.open {
		r.fail(openThrough, "a joint is open as "+p.named()+" is opened", "close it first (does: make unit)")
	}
	if drains := r.out(Drain, Heat); len(drains) > 0 {
		r.fail(openThrough, say(drains)+" is open as "+p.named()+" is opened", "shut it first")
	}
	if r.shutIn() && r.has(Vent, Liquid) && len(r.out(Vent, Liquid)) == 0 {
		r.fail(heatShutIn, "all valves of the liquid are shut, and no vent is open, as "+p.named()+" is opened", "open the vent first")
	}
}

// liquidOn lets liquid back into the machine.
func (r *run) liquidOn(p *point) {
	as := " as " + p.named() + " is opened"
	if r.open || len(r.out(Drain, Liquid)) > 0 {
		r.fail(openThrough, r.openings()+as, "close it first")
	}
	if vents := r.out(Vent, Liquid); p.Outlet && len(vents) > 0 {
		r.fail(openThrough, say(vents)+" is open"+as, "shut it first")
	}
	if (r.solid || r.coldStart) && !r.heated {
		r.fail(warmFirst, "it was not warmed"+as, "warm it first (does: heat)")
	}
	if p.Outlet && r.m.Displacement && !r.filled {
		r.fail(fillFirst, "it was not filled"+as, "fill it first (does: prime)")
	}
}

func (r *run) unlock(a Action) {
	points, some := r.meant(a)
	for _, p := range points {
		if p.Is == Stored && p.safe && !p.locked {
			r.unblock(p)
			continue
		}
		if !p.locked {
			if !some {
				r.fail(undoneFirst, p.named()+" is not locked", "say which step locks it (does: lock "+p.Place+")")
			}
			continue
		}
		as := " as the lock of " + p.named() + " comes off"
		if r.open {
			r.fail(openUnlock, "it is open"+as, "close it first (does: make unit)")
		}
		if p.Of != Heat { // which warms the machine while hands still turn it
			if r.guardsOff {
				r.fail(openUnlock, "the guards are off"+as, "fit them first (does: guards on)")
			}
			if !r.inspected {
				r.fail(lookUnlock, "no second person looked"+as, "show it first (does: inspect)")
			} else if !r.cleared {
				r.fail(lookUnlock, "nobody was called away"+as, "call everyone away first (does: clear)")
			}
		}
		p.locked, p.tagged, r.proved = false, false, false
	}
	drives := false
	for _, p := range points {
		drives = drives || p.Is == Drive
	}
	if !drives {
		return
	}
	r.tried = false
	if left := r.hanging(); len(left) > 0 {
		r.fail(driveLast, say(left)+" is still locked", "take the drive's lock off last")
	}
	if shut := r.where(func(p *point) bool { return p.Outlet && p.shut }); r.m.Displacement && len(shut) > 0 {
		r.fail(driveLast, say(shut)+" is still shut", "open it first")
	}
}

// unblock takes out what holds a load or a spring that was blocked, and not locked.
func (r *run) unblock(p *point) {
	as := " as what blocks " + p.named() + " comes out"
	if !r.cleared {
		r.fail(lookUnlock, "nobody was called away"+as, "call everyone away first (does: clear)")
	}
	if why, held := r.driveHeld(); !held {
		r.fail(driveLast, why+as, "take the block out while the drive is locked")
	}
}

// power holds what must be so before the machine turns under power.
func (r *run) power(what string) {
	as := " as it is " + what
	if left := r.hanging(); len(left) > 0 {
		r.fail(readyStart, say(left)+" is locked"+as, "take the lock off first (does: unlock)")
	}
	if r.open || r.guardsOff {
		r.fail(readyStart, "it is "+r.unfinished()+as, "finish it first")
	}
	if out := r.where(func(p *point) bool { return (p.Is == Vent || p.Is == Drain) && !p.shut }); len(out) > 0 {
		r.fail(readyStart, say(out)+" is open"+as, "shut it first")
	}
	if shut := r.where(func(p *point) bool {
		return p.Is == Block && p.shut && p.Of == Liquid && (!p.Outlet || r.m.Displacement)
	}); len(shut) > 0 {
		r.fail(readyStart, say(shut)+" is shut"+as, "open it first")
	}
	if r.m.Liquid && !r.filled {
		r.fail(fillFirst, "it was not filled"+as, "fill it first (does: prime)")
	}
	if !r.turned {
		r.fail(readyStart, "its shaft was not turned by hand"+as, "turn it first, the drive locked (does: turn)")
	}
	if r.flammable && !r.tested {
		r.fail(testFirst, "no test for gas since it was opened"+as, "test first (does: gas-test)")
	}
	if r.hung && !r.told {
		r.fail(tellFirst, "nobody was told"+as, "tell them first (does: tell)")
	}
}
