package formula

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"jobsheaf/internal/calc/material"
	"jobsheaf/internal/calc/published"
	"jobsheaf/internal/quantity"
)

// further are inputs of functions of which no table has a row that is accepted.
var further = map[string][]any{
	"bushing_stress":         {quantity.Pressure(2e7), quantity.Length(0.05), quantity.Length(0.04)},
	"bushing_use":            {quantity.Pressure(2e7), quantity.Length(0.05), quantity.Length(0.04), quantity.Pressure(1.25e8)},
	"bore_closing":           {quantity.Length(4e-5), quantity.Length(0.05), quantity.Length(0.08), quantity.Length(0.04), "cast iron", "bronze"},
	"bore_after":             {quantity.Length(4e-5), quantity.Length(0.05), quantity.Length(0.08), quantity.Length(0.04), "cast iron", "bronze"},
	"heat_temperature":       {quantity.Length(4e-5), quantity.Length(4e-5), quantity.Length(0.08), "steel", quantity.Temperature(295)},
	"heat_temperature_below": {quantity.Length(4e-5), quantity.Length(4e-5), quantity.Length(0.08), "steel", quantity.Temperature(295), quantity.Temperature(400)},
	"cool_temperature":       {quantity.Length(2e-5), quantity.Length(2e-5), quantity.Length(0.08), "steel", quantity.Temperature(295)},
	"hot_interference":       {quantity.Length(4e-5), quantity.Length(0.05), "cast iron", "bronze", quantity.Temperature(295), quantity.Temperature(360)},
	"closing":                {quantity.Length(0.2), quantity.Expansion(1.6e-5), quantity.Length(0.2), quantity.Expansion(1.2e-5), quantity.Temperature(295), quantity.Temperature(360)},
	"cold_clearance":         {quantity.Length(1e-4), quantity.Length(3e-5)},
	"hot_clearance":          {quantity.Length(1e-4), quantity.Length(3e-5)},
	"material_source":        {"steel"},
	"absolute":               {quantity.GaugePressure(2e5), quantity.AbsolutePressure(1e5)},
	"preload_yield":          {"M12", "8.8", quantity.Number(0.6), quantity.Number(0.12)},
	"face_pressure":          {quantity.Pressure(6e5), quantity.Number(0.8), quantity.Number(0.5), quantity.Pressure(1.5e5)},
	"slot_angle":             {quantity.Number(4)},
	"tang_angle":             {quantity.Number(4), quantity.Number(13)},
	"slot_travel":            {quantity.Number(4), quantity.Length(0.0015)},
	"fit_pressure":           {quantity.Length(4e-5), quantity.Length(0.05), quantity.Length(0.08), quantity.Length(0.04), "cast iron", "bronze"},
	"eccentric_flow": {quantity.Length(0.04), quantity.Length(3.5e-5), quantity.Length(0.058), quantity.Number(0.5), quantity.Pressure(6e5),
		quantity.DynamicViscosity(0.011), quantity.Density(1500)},
	"pump_slip": {quantity.Length(7e-5), quantity.Length(1.2e-4), quantity.Length(1.5e-4), quantity.Length(3.5e-5), quantity.Length(0.17), quantity.Length(0.032),
		quantity.Length(0.076), quantity.Length(0.0128), quantity.Length(0.048), quantity.Length(0.019), quantity.Length(0.04), quantity.Length(0.058),
		quantity.Pressure(6e5), quantity.DynamicViscosity(0.011), quantity.Density(1500)},
	"end_gap_for_flow": {quantity.Length(1.2e-4), quantity.Length(1.5e-4), quantity.Length(3.5e-5), quantity.Length(0.17), quantity.Length(0.032),
		quantity.Length(0.076), quantity.Length(0.0128), quantity.Length(0.048), quantity.Length(0.019), quantity.Length(0.04), quantity.Length(0.058),
		quantity.Volume(0.55e-3), quantity.Speed(29.3), quantity.Flow(2.2e-3), quantity.Pressure(6e5), quantity.DynamicViscosity(0.011), quantity.Density(1500)},
}

// rises says which way a result goes when one input grows and the others stay, as
// physics has it: + up, − down. What is not listed has no such rule: look-ups by name,
// classes, and inputs whose effect turns.
var rises = map[string]string{
	"absolute":            "+gauge +air",
	"annulus_flow":        "+diameter +gap −length +difference −viscosity",
	"arc_travel":          "+clearance +diameter −lead",
	"band_high":           "+high −uncertainty",
	"band_low":            "+low +uncertainty",
	"bearing_life":        "+rating −load −speed",
	"bearing_rating":      "+load +life +speed",
	"boiling_at":          "+pressure",
	"bore_after":          "−interference +bore",
	"bore_before":         "+after +interference",
	"bore_closing":        "+interference +hub_outer",
	"bushing_stress":      "+pressure +bore",
	"bushing_use":         "+pressure +bore −strength",
	"clearance_of_arc":    "+arc −diameter +lead",
	"closing":             "+rotor_length +rotor_expansion −casing_length −casing_expansion",
	"closing_apart":       "+rotor_at −casing_at",
	"cold_clearance":      "+hot +closing",
	"container_for":       "+volume",
	"cool_temperature":    "−interference −clearance +diameter +from",
	"cooling_time":        "+mass +specific_heat −area −film +from −to +surroundings",
	"cylinder_volume":     "+bore +length",
	"delivered_flow":      "+theoretical −slip",
	"displacement_torque": "+displacement +difference",
	"drag_share":          "+speed −difference +viscosity",
	"dynamic":             "+kinematic +density",
	"eccentric_flow":      "+diameter +gap −length +eccentricity +difference −viscosity",
	"efficiency":          "+hydraulic −shaft",
	"end_gap_for_flow":    "−tip_gap −crescent_gap −bushing_gap +displacement +speed −least_flow −difference +viscosity",
	"face_pressure":       "+balance −k +spring",
	"face_speed":          "+diameter +speed",
	"fit_pressure":        "+interference +hub_outer −shaft_bore",
	"flatness":            "+bands",
	"friction_of":         "+k",
	"gap_for_slip":        "+slip −width +length −difference +viscosity",
	"grease_charge":       "+outside +width",
	"growth":              "+difference",
	"guard_high":          "+limit −uncertainty",
	"guard_low":           "+limit +uncertainty",
	"heat_rise":           "+interference +clearance −diameter −expansion",
	"heat_temperature":    "+interference +clearance −diameter +from",
	"hot_clearance":       "+cold_set −closing",
	"hot_interference":    "+interference",
	"hub_stress":          "+pressure +diameter −hub_outer",
	"hub_use":             "+pressure +diameter −hub_outer −strength",
	"hydraulic_power":     "+flow +difference",
	"inlet_margin":        "+inlet −vapour",
	"interface_pressure":  "+interference +hub_outer −shaft_bore +hub_modulus +shaft_modulus −hub_poisson +shaft_poisson",
	"interference_high":   "−hole_low +shaft_high",
	"interference_low":    "−hole_high +shaft_low",
	"kinematic":           "+dynamic −density",
	"lagged_film":         "+film −thickness +conductivity",
	"lead_metric":         "+pitch",
	"lead_inch":           "−threads_per_inch",
	"lifting_index":       "+mass −limit",
	"light_bands":         "+flatness",
	"misread_clearance":   "+misread −diameter +lead",
	"pass_torque":         "+torque +fraction",
	"pipe_velocity":       "+flow −bore",
	"preload":             "+fraction",
	"preload_high":        "+preload +scatter",
	"preload_low":         "+preload −scatter",
	"preload_yield":       "+fraction −mu_thread",
	"press_force":         "+pressure +diameter +length +friction",
	"pressure_velocity":   "+pressure +velocity",
	"pump_slip": "+end_gap +tip_gap +crescent_gap +bushing_gap +rotor_diameter −pin_diameter +rotor_width −end_land −tip_land " +
		"−crescent_land +shaft_diameter −bushing_length +difference −viscosity",
	"reject_high":           "+limit +uncertainty",
	"reject_low":            "+limit −uncertainty",
	"running_slip":          "+difference −viscosity",
	"saybolt":               "+sus −temperature",
	"saybolt_of":            "+viscosity +temperature",
	"settable":              "+wanted",
	"shaft_power":           "+hydraulic −efficiency",
	"shaft_torque":          "+power −speed",
	"sleeve_pressure":       "+elastic +strength −bore",
	"slip_bound":            "+end_gap +tip_gap +crescent_gap +bushing_gap +speed +difference −viscosity",
	"slot_flow":             "+width +gap −length +difference −viscosity",
	"slot_travel":           "+lead",
	"temperature_after":     "+mass +specific_heat −area −film +from +surroundings −after",
	"theoretical_flow":      "+displacement +speed",
	"tip_speed":             "+diameter +speed",
	"torque":                "+k +preload",
	"torque_friction":       "+preload +mu_thread +mu_seat",
	"torque_power":          "+torque +speed",
	"touch_limit":           "−contact",
	"trapped_rise":          "+liquid_expansion −metal_expansion −compressibility +difference −diameter +wall +modulus",
	"turn_angle":            "+clearance −lead",
	"turn_count":            "+clearance −lead",
	"turn_room":             "+torque −k −lead +length −stack_outer +stack_bore −shaft_modulus −stack_modulus",
	"turn_torque":           "+angle +k +lead −length +stack_outer −stack_bore +shaft_modulus +stack_modulus",
	"viscosity_at":          "−temperature",
	"viscosity_between":     "−temperature +v1 +v2",
	"volumetric_efficiency": "+delivered −theoretical",
	"warm_up":               "−set +least +running",
	"wear_rate":             "−before +after",
	"weight_limit":          "−horizontal −distance −angle −per_minute −hours",
	"affinity_flow":         "+flow −from +to",
	"affinity_head":         "+head −from +to",
	"affinity_power":        "+power −from +to",
	"backlash_angle":        "+backlash −pitch_radius",
	"backlash_at_pitch":     "+reading −dial_radius +pitch_radius",
	"belt_deflection":       "+span",
	"belt_length":           "+centres +large +small",
	"blocked_share":         "−clean +dirty",
	"blowdown":              "+set −reseat",
	"centrifugal_tension":   "+mass +velocity",
	"chamber_runout":        "+bore",
	"change_of_turn":        "+rate −seat +pitch",
	"deflection_force":      "+tension +stiffness +span −length",
	"dirty_drop":            "+clean +share",
	"drip_flow":             "+per_minute −per_ml",
	"drip_rate":             "+flow +per_ml",
	"drop_at_flow":          "+drop −flow +other",
	"drop_by_kv":            "+flow −kv +density",
	"face_heat":             "+pressure +outside −inside +speed +friction",
	"flush_flow":            "+heat −density −specific_heat −rise",
	"flush_rise":            "+heat −density −specific_heat −flow",
	"foot_move":             "−offset −slope −rise",
	"front_turns":           "+clearance −pitch",
	"full_open":             "+set",
	"gasket_area":           "+outside −inside",
	"gasket_preload":        "+stress +area −bolts",
	"gasket_preload_low":    "+stress −bolts −left +area +inside +pressure",
	"gasket_stress":         "+preload +bolts +left −area −inside −pressure",
	"gear_viscosity":        "−pitch_speed",
	"gland_travel":          "+flats +pitch",
	"grease_interval":       "−bore −speed",
	"grease_strokes":        "+amount −stroke",
	"head_of":               "+pressure −density",
	"hot_interval":          "+interval −bearing",
	"insulation_at_40":      "+reading +winding",
	"joint_scatter":         "+scatter −bolts",
	"kv_of":                 "+flow −drop +density",
	"least_backlash":        "+module +centres",
	"lid_force":             "+pressure +diameter",
	"lying_volume":          "+bore +length +level",
	"offset_at":             "+offset",
	"offset_limit":          "−speed",
	"operating_load":        "+diameter +width +m +pressure",
	"packing_length":        "+rings +shaft +section",
	"packing_rings":         "+depth −taken",
	"packing_section":       "+box −shaft",
	"play_shim":             "+play −low −high",
	"polarization_index":    "+ten_minutes −one_minute",
	"pressure_of":           "+head +density",
	"reseat":                "+set −blowdown",
	"reverse_move":          "+on_movable −sag_on_movable −rise",
	"rim_face_move":         "+face −rise",
	"ring_clearance":        "+diameter",
	"ring_length":           "+shaft +section",
	"sag_corrected":         "+reading −sag",
	"seat_bubbles":          "+set −orifice",
	"seat_water":            "+inlet",
	"seating_diameter":      "+outside",
	"seating_load":          "+diameter +width +seating",
	"seating_width":         "+basic",
	"sheave_angle":          "+gap −length",
	"sheave_gap":            "+angle +length",
	"slope_between":         "−near_fixed +near_movable",
	"slope_limit":           "−speed",
	"soft_foot":             "+front_left −front_right −rear_left +rear_right",
	"span_frequency":        "+tension −mass −span",
	"span_length":           "+centres −large +small",
	"speed_factor":          "+bore +outside +speed",
	"static_tension":        "+power −belts −wrap +mass",
	"sump_volume":           "+length +width +level +free",
	"tension_of_force":      "+force −stiffness −span +length",
	"tension_of_frequency":  "+frequency +mass +span",
	"test_pressure":         "+set −back +factor",
	"tightness_pressure":    "+set",
	"turns_to_set":          "+wanted −found",
	"wrap_angle":            "+centres −large +small",
	"yield_use":             "+preload",
	"yield_use_torsion":     "+preload +mu_thread",
}

// counts are the arguments that are whole numbers.
var counts = []string{"starts", "slots", "tangs", "grade"}

// starts gives inputs that each function accepts.
func starts(t *testing.T) map[string][][]any {
	t.Helper()
	seeds, err := published.Inputs("../../testdata/published", Functions())
	if err != nil {
		t.Fatal(err)
	}
	for name, args := range further {
		seeds[name] = append(seeds[name], args)
	}
	return seeds
}

// varied gives an argument near another, or, one time in eight, anything at all.
func varied(rng *rand.Rand, name string, arg any) any {
	v := reflect.ValueOf(arg)
	wild := rng.IntN(8) == 0
	switch {
	case v.Kind() == reflect.String:
		if !wild {
			return arg
		}
		return []string{"", "M12", "M12x1.25", "1/2-13", "8.8", "A2-70", "steel", "H7", "s6", "ball", "oiled", "torque wrench", "hex", "\x00", "M1e9"}[rng.IntN(15)]
	case !v.CanFloat() || !wild && slices.Contains(counts, name):
		return arg
	}
	x := v.Float()
	switch {
	case !wild: // a step of a few parts in a hundred, or up to threefold either way
		x *= math.Exp((rng.Float64() - 0.5) * []float64{0.1, 2.2}[rng.IntN(2)])
	case rng.IntN(2) == 0:
		x = math.Pow(10, -12+24*rng.Float64())
		if rng.IntN(3) == 0 {
			x = -x
		}
	default:
		x = []float64{0, math.Copysign(0, -1), 1, -1, math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, -math.MaxFloat64, math.SmallestNonzeroFloat64, 1e-300, 1e300}[rng.IntN(12)]
	}
	return reflect.ValueOf(x).Convert(v.Type()).Interface()
}

// Whatever a function is given, it answers with an error that says what is wanted, or
// with a finite number; none panics, and none hands a number on without a look at its
// inputs.
func TestAnyInputIsAnErrorOrANumber(t *testing.T) {
	seeds := starts(t)
	for _, f := range Functions() {
		rng := rand.New(rand.NewPCG(1, 2))
		if len(seeds[f.Name]) == 0 {
			t.Errorf("no inputs of %s are known that it accepts", f.Name)
			continue
		}
		accepted := 0
		for range 1500 {
			args := slices.Clone(seeds[f.Name][rng.IntN(len(seeds[f.Name]))])
			for i := range args {
				args[i] = varied(rng, f.Args[i], args[i])
			}
			got, err := called(t, f, args)
			switch {
			case err == nil:
				accepted++
				for i, a := range args {
					if v := reflect.ValueOf(a); v.CanFloat() && (math.IsNaN(v.Float()) || math.IsInf(v.Float(), 0)) {
						t.Fatalf("%s%v gives %v for %s = %v", f.Name, args, got, f.Args[i], a)
					}
				}
			case strings.Contains(err.Error(), "not a finite number"):
				t.Fatalf("%s%v did not look at its inputs: %v", f.Name, args, err)
			case !slices.ContainsFunc([]string{"want", "out of range", "does not exist", "is missed", "is met", "no time left"}, func(s string) bool { return strings.Contains(err.Error(), s) }):
				t.Fatalf("%s%v does not say what is wanted: %v", f.Name, args, err)
			}
		}
		if accepted < 10 {
			t.Errorf("%s accepts only %d of 1500 inputs", f.Name, accepted)
		}
	}
}

// called calls a function; a panic fails the test.
func called(t *testing.T, f quantity.Function, args []any) (any, error) {
	t.Helper()
	defer func() {
		if r := recover(); r != nil {
			t.Fatalf("%s%v panics: %v", f.Name, args, r)
		}
	}()
	return published.Apply(f, args...)
}

// Every result goes the way that physics has it when one input grows.
func TestResultsGoThePhysicalWay(t *testing.T) {
	seeds := starts(t)
	for name, rules := range rises {
		f, ok := find(name)
		if !ok {
			t.Errorf("there is no function %s", name)
			continue
		}
		for _, rule := range strings.Fields(rules) {
			arg, up := strings.TrimLeft(rule, "+−"), strings.HasPrefix(rule, "+")
			i := slices.Index(f.Args, arg)
			if i < 0 {
				t.Errorf("%s has no argument %s", name, arg)
				continue
			}
			rng := rand.New(rand.NewPCG(3, 4))
			compared, moved := 0, 0
			for range 400 {
				if len(seeds[name]) == 0 {
					break
				}
				near := []float64{0.0002, 0.02, 0.2}[rng.IntN(3)]
				args := slices.Clone(seeds[name][rng.IntN(len(seeds[name]))])
				for j, a := range args {
					if v := reflect.ValueOf(a); v.CanFloat() {
						args[j] = reflect.ValueOf(v.Float() * math.Exp((rng.Float64()-0.5)*near)).Convert(v.Type()).Interface()
					}
				}
				for j, a := range f.Args {
					if slices.Contains(counts, a) {
						args[j] = seeds[name][0][j]
					}
				}
				v := reflect.ValueOf(args[i])
				more := slices.Clone(args)
				more[i] = reflect.ValueOf(v.Float() + math.Abs(v.Float())*near*(0.1+5*rng.Float64())).Convert(v.Type()).Interface()
				if v.Type() == reflect.TypeFor[quantity.Temperature]() {
					more[i] = quantity.Temperature(v.Float() + 1 + 20*rng.Float64())
				}
				a, err := called(t, f, args)
				b, err2 := called(t, f, more)
				if err != nil || err2 != nil || v.Float() == 0 {
					continue
				}
				compared++
				before, after := reflect.ValueOf(a).Float(), reflect.ValueOf(b).Float()
				const tolerance = 1e-12
				if up && after < before-tolerance*math.Abs(before) || !up && after > before+tolerance*math.Abs(before) {
					t.Fatalf("%s: as %s grows from %v to %v of %v, the result goes from %v to %v", name, arg, args[i], more[i], args, a, b)
				}
				if before != after {
					moved++
				}
			}
			if compared < 10 || moved == 0 {
				t.Errorf("%s: %s was compared %d times and moved the result %d times", name, arg, compared, moved)
			}
		}
	}
}

// A material that the message about an unknown one lists is one that every function of
// materials accepts.
func TestEveryMaterialServes(t *testing.T) {
	_, err := material.Named("none of them")
	_, list, _ := strings.Cut(fmt.Sprint(err), "want one of ")
	names := strings.Split(list, ", ")
	if len(names) < 10 {
		t.Fatalf("materials are not listed in %q", err)
	}
	for _, name := range names {
		for _, fn := range []string{"modulus", "poisson", "expansion", "tension", "crushing"} {
			f, ok := find(fn)
			if !ok {
				t.Fatalf("there is no function %s", fn)
			}
			if got, err := published.Apply(f, name); err != nil || !(reflect.ValueOf(got).Float() > 0) {
				t.Errorf("%s of %s is %v, %v", fn, name, got, err)
			}
		}
	}
}
