package front

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"jobsheaf/internal/packet"
	"jobsheaf/internal/quantity"
)

// sums gathers what jobs need, each thing once, in the order of its first use.
type sums struct {
	run                *Run
	kits, parts        *tally[Pull]
	supplies           *tally[supplySum]
	locks              *tally[LockUse]
	tools, instruments *tally[Use]
	liquids            *tally[LiquidUse]
	states             *tally[UnitState] // of each liquid
	dangers, due       *tally[Use]
	lacks              []Lacks
}

// supplySum is a supply with the sum of its amounts; nil where it has none.
type supplySum struct {
	Pull
	total *total
}

// tally keeps entries by key.
type tally[T any] struct {
	at   map[string]int
	list []T
}

func newTally[T any]() *tally[T] { return &tally[T]{at: map[string]int{}, list: []T{}} }

// of gives the entry of a key, made new where there is none.
func (t *tally[T]) of(key string, make func() T) *T {
	i, there := t.at[key]
	if !there {
		i = len(t.list)
		t.at[key] = i
		t.list = append(t.list, make())
	}
	return &t.list[i]
}

func newSums(r *Run) *sums {
	return &sums{run: r, kits: newTally[Pull](), parts: newTally[Pull](), supplies: newTally[supplySum](), locks: newTally[LockUse](),
		tools: newTally[Use](), instruments: newTally[Use](), liquids: newTally[LiquidUse](), states: newTally[UnitState](),
		dangers: newTally[Use](), due: newTally[Use]()}
}

func key(parts ...string) string { return strings.Join(parts, "\x00") }

func (s *sums) add(j *Job, n *packet.Needs) {
	count := func(t *tally[Pull], key string, what Pull) {
		p := t.of(key, func() Pull { return what })
		had, _ := strconv.Atoi(p.Amount)
		p.Amount = whole(had + 1)
		note(&p.Jobs, j.Job)
	}
	for _, k := range n.Kits {
		number := cmp.Or(k.Number, s.run.packetWord("not_on_record"))
		if k.Ask {
			number += " " + s.run.packetWord("kits.ask")
		}
		holds := strings.Join(k.Items, "; ")
		count(s.kits, key(number, k.Kit, holds), Pull{What: k.Kit, Number: number, Holds: holds})
	}
	if n.KitsUnknown {
		count(s.kits, "", Pull{What: s.run.packetWord("not_on_record"), Number: s.run.packetWord("kits.ask")})
	}
	for _, u := range n.Supplies {
		s.supply(u, j.Job)
	}
	for _, p := range n.Parts {
		count(s.parts, key(p.Item), Pull{What: p.Item})
	}
	for _, k := range n.Locks {
		use := s.lock(k)
		use.Area, use.Unit = j.Area, j.Unit
		u := s.locks.of(key(j.Unit, use.Point, use.Device, use.Put), func() LockUse { return use })
		note(&u.Jobs, j.Job)
	}
	for _, list := range [][]packet.Item{n.Tools, n.Containers} {
		for _, t := range list {
			if len(t.Asks) > 0 && t.Asks[0].Kind == quantity.KindTorque.String() {
				continue // a torque wrench: an instrument, whose range stands on the job sheet
			}
			note(&s.tools.of(key(t.Item), func() Use { return Use{What: t.Item} }).Jobs, j.Job)
		}
	}
	for _, i := range n.Instruments {
		use := Use{What: i.Name, GoodFor: s.goodFor(i)}
		note(&s.instruments.of(key(use.What, use.GoodFor), func() Use { return use }).Jobs, j.Job)
	}
	for _, d := range n.Dangers {
		note(&s.dangers.of(key(d), func() Use { return Use{What: d} }).Jobs, j.Job)
	}
	for _, d := range n.Due {
		use := Use{What: j.Unit + ", " + d.Part, GoodFor: d.Month}
		note(&s.due.of(key(use.What, use.GoodFor), func() Use { return use }).Jobs, j.Job)
	}
	if n.Lacks > 0 {
		s.lacks = append(s.lacks, Lacks{Unit: j.Unit, Job: j.Job, N: n.Lacks})
	}
	if q := n.Liquid; q != nil {
		source, condition := spoken(q.Source), spoken(q.Condition)
		name := key(q.Liquid, source)
		s.liquids.of(name, func() LiquidUse {
			return LiquidUse{Name: q.Liquid, Signal: q.Signal, Pictograms: q.Pictograms, Statements: q.Statements, Source: source}
		})
		st := s.states.of(key(name, j.Unit, condition), func() UnitState { return UnitState{Unit: j.Unit, Condition: condition} })
		note(&st.Jobs, j.Job)
	}
}

// supply adds what a job uses up: amounts of one kind as quantities, the others
// apart.
func (s *sums) supply(u packet.Supply, job string) {
	at := key(u.Item)
	var sum total
	added := false
	if u.Amount != nil {
		if sum, added = totalOf(*u.Amount); added {
			at = key(u.Item, "", u.Amount.Kind)
		} else {
			at = key(u.Item, u.Amount.Written)
		}
	}
	p := s.supplies.of(at, func() supplySum {
		switch {
		case u.Amount == nil:
			return supplySum{Pull: Pull{What: u.Item, Amount: s.run.packetWord("supplies.by_steps")}}
		case !added:
			return supplySum{Pull: Pull{What: u.Item, Amount: u.Amount.Written}}
		}
		return supplySum{Pull: Pull{What: u.Item}, total: &sum}
	})
	if p.total != nil {
		p.total.add(*u.Amount)
	}
	note(&p.Jobs, job)
}

// lock says a point in the words of the cover.
func (s *sums) lock(k packet.Lock) LockUse {
	energy := s.run.packetWord("energy." + k.Energy)
	if k.Missing {
		return LockUse{Point: energy, Missing: true, Device: s.run.packetWord("not_on_record") + " " + s.run.packetWord("isolation.find")}
	}
	u := LockUse{Point: k.Point, Tagged: k.Tagged, Device: k.Device, Put: k.Put + "; " + s.run.packetWord("isolation.prove") + ": " + cmp.Or(k.Prove, s.run.packetWord("not_on_record"))}
	if k.Where != "" {
		u.Device += ", " + k.Where
	}
	if k.Last {
		u.Put += ". " + s.run.packetWord("isolation.last")
	}
	return u
}

// goodFor says to what an instrument reads, and how far it may be wrong.
func (s *sums) goodFor(i packet.Instrument) string {
	var parts []string
	for _, a := range i.Resolution {
		parts = append(parts, s.pointed(a))
	}
	text := strings.Join(parts, " "+s.run.packetWord("or")+" ")
	if i.Counts {
		text = s.run.packetWord("instruments.counts") + " " + text
	}
	if i.Uncertainty != nil {
		text += "; ± " + s.pointed(*i.Uncertainty)
	}
	return text
}

// pointed writes an amount with the language's decimal sign.
func (s *sums) pointed(a packet.Amount) string {
	return s.run.decimal(a.Written)
}

// spoken gives a phrase's words on one line.
func spoken(p packet.Phrase) string { return spaced(p.String()) }

// note adds a job to those that need something, once.
func note(jobs *[]string, job string) {
	if !slices.Contains((*jobs)[max(0, len(*jobs)-1):], job) { // a job's needs come together
		*jobs = append(*jobs, job)
	}
}

// into hands the sums over in their order: kits by number, tools by name, locks in
// the order of the walk.
func (s *sums) into(f *Front) {
	byWhat := func(a, b Pull) int {
		return cmp.Or(strings.Compare(a.What, b.What), strings.Compare(a.Number, b.Number), strings.Compare(a.Amount, b.Amount))
	}
	byUse := func(a, b Use) int {
		return cmp.Or(strings.Compare(a.What, b.What), strings.Compare(a.GoodFor, b.GoodFor))
	}
	f.Kits, f.Supplies, f.Parts = s.kits.list, nil, s.parts.list
	system := quantity.Metric
	if s.run.Look.System == quantity.US.String() {
		system = quantity.US
	}
	apart := newTally[Apart]()
	for _, u := range s.supplies.list {
		if u.total != nil {
			u.Amount = u.total.text(system)
			a := apart.of(u.What, func() Apart { return Apart{What: u.What} })
			a.Kinds = append(a.Kinds, u.total.kind.String())
		}
		f.Supplies = append(f.Supplies, u.Pull)
	}
	for _, a := range apart.list {
		if len(a.Kinds) > 1 {
			f.Apart = append(f.Apart, a)
		}
	}
	f.Dangers, f.Due, f.Lacks = s.dangers.list, s.due.list, s.lacks
	f.Locks, f.Tools, f.Instruments, f.Liquids = s.locks.list, s.tools.list, s.instruments.list, s.liquids.list
	slices.SortStableFunc(f.Kits, byWhat)
	slices.SortStableFunc(f.Supplies, byWhat)
	slices.SortStableFunc(f.Parts, byWhat)
	slices.SortStableFunc(f.Tools, byUse)
	slices.SortStableFunc(f.Instruments, byUse)
	for key, i := range s.states.at {
		st := s.states.list[i]
		name := key[:len(key)-len(st.Unit)-len(st.Condition)-2]
		q := &f.Liquids[s.liquids.at[name]]
		q.Units = append(q.Units, st)
	}
	for i := range f.Liquids {
		slices.SortFunc(f.Liquids[i].Units, func(a, b UnitState) int {
			return cmp.Or(strings.Compare(a.Unit, b.Unit), strings.Compare(a.Condition, b.Condition))
		})
	}
	slices.SortStableFunc(f.Liquids, func(a, b LiquidUse) int {
		return cmp.Or(strings.Compare(a.Name, b.Name), strings.Compare(a.Source, b.Source))
	})
}
