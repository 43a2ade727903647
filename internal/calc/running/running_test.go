package running

import (
	"math"
	"slices"
	"testing"

	"jobsheaf/internal/calc/published"
	"jobsheaf/internal/quantity"

	"pgregory.net/rapid"
)

func TestPublished(t *testing.T) {
	published.Run(t, "running", Functions)
}

// From any place, turning on by the angle found meets a tang at least once, and a
// smaller angle does not always do.
func TestTangAngleByTrying(t *testing.T) {
	for slots := 2; slots <= 12; slots++ {
		for tangs := 1; tangs <= 19; tangs++ {
			// The places, in parts of a turn, at which some slot meets some tang.
			var places []float64
			for i := range slots {
				for j := range tangs {
					p := float64(i)/float64(slots) - float64(j)/float64(tangs)
					places = append(places, p-math.Floor(p+1e-12))
				}
			}
			slices.Sort(places)
			widest := 1 + places[0] - places[len(places)-1]
			for i := 1; i < len(places); i++ {
				widest = max(widest, places[i]-places[i-1])
			}
			angle, err := TangAngle(quantity.Number(slots), quantity.Number(tangs))
			if err != nil || math.Abs(float64(angle)/(2*math.Pi)-widest) > 1e-9 {
				t.Errorf("%d slots, %d tangs: %g of a turn, by trying %g (%v)", slots, tangs, float64(angle)/(2*math.Pi), widest, err)
			}
			if tangs > 1 {
				continue
			}
			one, err := SlotAngle(quantity.Number(slots))
			if err != nil || one != angle {
				t.Errorf("%d slots and one tang: %g, want %g (%v)", slots, one, angle, err)
			}
			travel, err := SlotTravel(quantity.Number(slots), 0.002)
			if err != nil || math.Abs(float64(travel)/0.002-widest) > 1e-9 {
				t.Errorf("%d slots: travel %g (%v)", slots, travel, err)
			}
		}
	}
}

func TestRatingAndLifeInvert(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom([]string{"ball", "roller"}).Draw(t, "kind")
		rating := quantity.Force(rapid.Float64Range(5e3, 5e5).Draw(t, "rating"))
		load := rating * quantity.Force(rapid.Float64Range(0.03, 0.49).Draw(t, "load over rating"))
		speed := quantity.Speed(rapid.Float64Range(5, 300).Draw(t, "speed"))
		life, err := BearingLife(rating, load, kind, speed)
		if err != nil {
			t.Fatal(err)
		}
		if heavier, err := BearingLife(rating, load*1.01, kind, speed); err != nil || heavier >= life {
			t.Errorf("more load lives %g s, not less than %g s (%v)", heavier, life, err)
		}
		if life < 3600 || life > 3.6e10 {
			return
		}
		back, err := BearingRating(load, life, kind, speed)
		if err != nil || math.Abs(float64(back/rating-1)) > 1e-9 {
			t.Errorf("the rating comes back as %g, want %g (%v)", back, rating, err)
		}
	})
}

// What a turn adds, turning back by the room of it takes off; a longer or a softer
// stack gives more, so that the turn adds less.
func TestTurnAndRoomInvert(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		num := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		d := quantity.Length(num("diameter", 0.02, 0.2))
		lead := d * quantity.Length(num("lead", 0.01, 0.1))
		k, length := quantity.Number(num("k", 0.1, 0.3)), quantity.Length(num("length", 0.02, 0.5))
		bore := d * quantity.Length(num("bore", 0.8, 1.1))
		outer := max(d, bore) * quantity.Length(num("outer", 1.1, 2))
		es, ep := quantity.Pressure(num("shaft", 1e11, 2.2e11)), quantity.Pressure(num("stack", 1e11, 2.2e11))
		angle := quantity.Angle(num("angle", 0.02, 1))
		torque, err := TurnTorque(angle, k, d, lead, length, outer, bore, es, ep)
		if err != nil {
			t.Fatal(err)
		}
		if back, err := TurnRoom(torque, k, d, lead, length, outer, bore, es, ep); torque < 1e5 && (err != nil || math.Abs(float64(back/angle)-1) > 1e-9) {
			t.Fatalf("%v rad come back as %v, %v", angle, back, err)
		}
		for what, less := range map[string]quantity.Torque{
			"a longer stack":  first(t)(TurnTorque(angle, k, d, lead, length*1.1, outer, bore, es, ep)),
			"a softer stack":  first(t)(TurnTorque(angle, k, d, lead, length, outer, bore, es, ep/1.1)),
			"a softer shaft":  first(t)(TurnTorque(angle, k, d, lead, length, outer, bore, es/1.1, ep)),
			"a thinner stack": first(t)(TurnTorque(angle, k, d, lead, length, outer, bore*1.01, es, ep)),
			"a finer thread":  first(t)(TurnTorque(angle, k, d, lead/1.1, length, outer, bore, es, ep)),
			"less friction":   first(t)(TurnTorque(angle, k/1.1, d, lead, length, outer, bore, es, ep)),
		} {
			if less >= torque {
				t.Fatalf("%s takes %v N·m, not less than %v", what, less, torque)
			}
		}
	})
}

func first(t *rapid.T) func(quantity.Torque, error) quantity.Torque {
	return func(q quantity.Torque, err error) quantity.Torque {
		if err != nil {
			t.Fatal(err)
		}
		return q
	}
}

func TestFacesNeverPart(t *testing.T) {
	p, err := FacePressure(1e6, 0.8, 0.5, 0.15e6)
	if err != nil || math.Abs(float64(p)-0.45e6) > 1e-3 {
		t.Errorf("by hand 0.45 MPa, got %g Pa (%v)", p, err)
	}
	v, err := FaceSpeed(0.05, 1450*2*math.Pi/60)
	if err != nil || math.Abs(float64(v)-3.796) > 5e-4 {
		t.Errorf("by hand 3.796 m/s, got %g (%v)", v, err)
	}
	if p, err := FacePressure(5e6, 0.6, 0.9, 0.1e6); err == nil {
		t.Errorf("faces that part give %g Pa, want it refused", p)
	}
	rapid.Check(t, func(t *rapid.T) {
		n := quantity.Number(rapid.Float64Range(0.2, 29).Draw(t, "bands"))
		h, err := Flatness(n)
		if err != nil {
			t.Fatal(err)
		}
		if back, err := LightBands(h); err != nil || math.Abs(float64(back/n-1)) > 1e-12 {
			t.Errorf("%g bands come back as %g (%v)", n, back, err)
		}
	})
}

func TestWorthlessInputsAreRefused(t *testing.T) {
	nut := []any{quantity.Number(0.15), quantity.Length(0.06), quantity.Length(0.002), quantity.Length(0.08), quantity.Length(0.09), quantity.Length(0.06), quantity.Pressure(2.07e11), quantity.Pressure(2.07e11)}
	good := map[string][]any{
		"slot_angle":        {quantity.Number(4)},
		"tang_angle":        {quantity.Number(4), quantity.Number(13)},
		"slot_travel":       {quantity.Number(4), quantity.Length(0.002)},
		"turn_torque":       append([]any{quantity.Angle(0.1)}, nut...),
		"turn_room":         append([]any{quantity.Torque(30)}, nut...),
		"bearing_life":      {quantity.Force(30e3), quantity.Force(3e3), "ball", quantity.Speed(30)},
		"bearing_rating":    {quantity.Force(3e3), quantity.Time(1e8), "roller", quantity.Speed(30)},
		"grease_charge":     {quantity.Length(0.11), quantity.Length(0.027)},
		"face_speed":        {quantity.Length(0.05), quantity.Speed(30)},
		"face_pressure":     {quantity.Pressure(5e5), quantity.Number(0.8), quantity.Number(0.5), quantity.Pressure(0.15e6)},
		"pressure_velocity": {quantity.Pressure(5e5), quantity.Velocity(3)},
		"flatness":          {quantity.Number(3)},
		"light_bands":       {quantity.Length(0.88e-6)},
		"speed_factor":      {quantity.Length(0.05), quantity.Length(0.11), quantity.Speed(150)},
		"grease_interval":   {quantity.Length(0.05), quantity.Speed(150), "ball"},
		"hot_interval":      {quantity.Time(3.6e7), quantity.Temperature(350)},
		"grease_strokes":    {quantity.Mass(0.015), quantity.Mass(0.001)},
	}
	for _, f := range Functions {
		published.Spoil(t, f, good[f.Name], "difference", "k")
	}
	if _, err := SlotAngle(4.5); err == nil {
		t.Error("half a slot is let through")
	}
}
