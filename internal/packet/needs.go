package packet

// Needs is what a job needs before it starts. It is made from the records beside
// the sheets that ask for the same, so that amounts can be added as quantities.
type Needs struct {
	Kits        []Kit        `json:"kits,omitempty"`
	KitsUnknown bool         `json:"kits_unknown,omitempty"` // kits are wanted, and none is on record
	Supplies    []Supply     `json:"supplies,omitempty"`
	Parts       []Item       `json:"parts,omitempty"`
	Tools       []Item       `json:"tools,omitempty"`
	Containers  []Item       `json:"containers,omitempty"` // tools that must hold a volume
	Instruments []Instrument `json:"instruments,omitempty"`
	Locks       []Lock       `json:"locks,omitempty"`
	Liquid      *Hazard      `json:"liquid,omitempty"`  // as on the cover
	Dangers     []string     `json:"dangers,omitempty"` // what the packet's DANGER panels say, a line each
	Due         []Due        `json:"due,omitempty"`
	Lacks       int          `json:"lacks,omitempty"` // values that are not on record
}

// Due is a feature whose limit is reached by the day of the job, as its history
// forecasts.
type Due struct {
	Part  string `json:"part"`            // the part and what of it is measured
	Month string `json:"month,omitempty"` // the forecast, as the trend prints it; "" where the last reading is beyond the limit
}

// Amount is a quantity as a record or a sheet has it.
type Amount struct {
	SI      float64  `json:"si"`             // in SI units; a temperature in kelvin
	Kind    string   `json:"kind"`           // as quantity.Kind names it
	Unit    string   `json:"unit,omitempty"` // the symbol of the unit shown
	Written string   `json:"written"`        // number and unit, with a decimal point
	Low     *float64 `json:"low,omitempty"`  // of a range, SI
	High    *float64 `json:"high,omitempty"`
}

// Kit is a kit to pull.
type Kit struct {
	Kit    string   `json:"kit"`
	Number string   `json:"number,omitempty"` // "": not on record
	Items  []string `json:"items,omitempty"`
	Ask    bool     `json:"ask,omitempty"` // the records do not say whether it is the right one
}

// Supply is a lubricant or consumable.
type Supply struct {
	Item   string  `json:"item"`
	Amount *Amount `json:"amount,omitempty"` // nil: as much as the steps say
}

// Item is a part, a tool or a container in the packet's words, with the amounts and
// ranges that the words ask for.
type Item struct {
	Item string   `json:"item"`
	Asks []Amount `json:"asks,omitempty"`
}

// Instrument is what readings are taken with.
type Instrument struct {
	Name        string   `json:"name"`
	Counts      bool     `json:"counts,omitempty"` // it counts: its resolution has no unit
	Resolution  []Amount `json:"resolution"`       // one, or one in each unit system
	Uncertainty *Amount  `json:"uncertainty,omitempty"`
}

// Lock is a point to lock and tag. Where Missing is set the records name no point
// for the energy.
type Lock struct {
	Point   string `json:"point,omitempty"`
	Energy  string `json:"energy"` // a key, such as electrical
	Device  string `json:"device,omitempty"`
	Where   string `json:"where,omitempty"`
	Put     string `json:"put,omitempty"`
	Prove   string `json:"prove,omitempty"`  // "": not on record
	Tagged  bool   `json:"tagged,omitempty"` // it is tagged and not locked
	Last    bool   `json:"last,omitempty"`   // this lock comes off last
	Missing bool   `json:"missing,omitempty"`
}
