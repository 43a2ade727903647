package check

// crew: a job asks for no more people and hours than its crew has.
var crew = rule{
	name: "crew",
	what: "a job of a list asks for no more people than its crew has, and its crew has a day long enough",
	run: func(r *run) {
		if r.Site == nil {
			return
		}
		for _, name := range inOrder(r.Lists) {
			for _, j := range r.Lists[name].Jobs {
				c := r.Site.Crews[j.Crew.S]
				if c == nil {
					continue
				}
				if j.People.Known() && c.People.Known() && j.People.Value.SI() > c.People.Value.SI() {
					r.warnf(j.People.At, places(c.People.At), "", "the job %s asks for %s people, the crew %s has %s", j.ID, j.People, c.Name, c.People)
				}
				if j.Hours.Known() && c.Hours.Known() && j.Hours.Value.SI() > c.Hours.Value.SI() {
					r.warnf(j.Hours.At, places(c.Hours.At), "", "the job %s takes %s, the crew %s is there for %s a day", j.ID, j.Hours, c.Name, c.Hours)
				}
			}
		}
	},
}
