package quantity

import "reflect"

// Function describes one computation that templates may call by name. Each calc
// package lists its own in a table named Functions; the formula room compiles
// calls against it and the annex prints from it.
type Function struct {
	Name    string   // snake_case, as templates call it
	Args    []string // names of the arguments, in order
	What    string   // one line
	Formula string   // as printed in the annex, such as "s = π D c / lead"
	Range   string   // the valid range, in words
	Source  string   // standard and clause; or "common practice, no source"; or "from memory: ..."
	// Unchecked says that no figure from outside was found to hold the function to, but
	// only our own: whoever reads the working is told.
	Unchecked bool
	// Symbol is set for a figure that the program keeps in a table: what it is called in
	// formulas, such as K. The annex prints what the table gives, in Unit.
	Symbol string
	Unit   string // symbol; "" for a number
	// Tables are the functions with a Symbol whose figures it takes, with its own arguments,
	// such as "proof_strength(grade, thread)".
	Tables []string
	Call   any // a Go function over named types, string, bool and Number, returning (T, error)
	// Any, where it is set, takes the place of Call where the first argument is of another kind
	// than Call wants: a function of as many Numbers, which are SI amounts of that kind,
	// the last of them a difference of two such, as is an uncertainty. So is the result
	// of that kind.
	Any any
}

var kindOfGo = map[reflect.Type]Kind{
	reflect.TypeFor[Number]():                KindNumber,
	reflect.TypeFor[Length]():                KindLength,
	reflect.TypeFor[Area]():                  KindArea,
	reflect.TypeFor[Volume]():                KindVolume,
	reflect.TypeFor[Mass]():                  KindMass,
	reflect.TypeFor[Time]():                  KindTime,
	reflect.TypeFor[Angle]():                 KindAngle,
	reflect.TypeFor[Temperature]():           KindTemperature,
	reflect.TypeFor[TemperatureDifference](): KindTemperatureDifference,
	reflect.TypeFor[Force]():                 KindForce,
	reflect.TypeFor[Torque]():                KindTorque,
	reflect.TypeFor[Pressure]():              KindPressure,
	reflect.TypeFor[GaugePressure]():         KindGaugePressure,
	reflect.TypeFor[AbsolutePressure]():      KindAbsolutePressure,
	reflect.TypeFor[Flow]():                  KindFlow,
	reflect.TypeFor[Speed]():                 KindSpeed,
	reflect.TypeFor[Velocity]():              KindVelocity,
	reflect.TypeFor[Power]():                 KindPower,
	reflect.TypeFor[DynamicViscosity]():      KindDynamicViscosity,
	reflect.TypeFor[KinematicViscosity]():    KindKinematicViscosity,
	reflect.TypeFor[Density]():               KindDensity,
	reflect.TypeFor[LinearDensity]():         KindLinearDensity,
	reflect.TypeFor[Stiffness]():             KindStiffness,
	reflect.TypeFor[Expansion]():             KindExpansion,
	reflect.TypeFor[SpecificHeat]():          KindSpecificHeat,
	reflect.TypeFor[Conductivity]():          KindConductivity,
	reflect.TypeFor[FilmCoefficient]():       KindFilmCoefficient,
	reflect.TypeFor[Compressibility]():       KindCompressibility,
	reflect.TypeFor[PressureVelocity]():      KindPressureVelocity,
	reflect.TypeFor[Frequency]():             KindFrequency,
	reflect.TypeFor[Resistance]():            KindResistance,
	reflect.TypeFor[Voltage]():               KindVoltage,
	reflect.TypeFor[Current]():               KindCurrent,
}

// KindOfGo gives the kind that a named Go type holds: Length gives KindLength.
// ok is false for every type that is not one of this package's named types.
func KindOfGo(t reflect.Type) (k Kind, ok bool) {
	k, ok = kindOfGo[t]
	return k, ok
}
