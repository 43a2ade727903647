package pdf

import (
	"encoding/binary"
	"math"
	"sync"
)

// sRGB gives the colour profile that says what the pages' numbers for colours
// mean, compressed. It is made here from the standard's figures, as a matrix and
// curve profile of version 2, which every version of PDF/A takes.
//
// Source: IEC 61966-2-1:1999 for the curve; its primaries and white point adapted
// to D50 by the Bradford transform as in ICC.1:2001-04, annex E.
var sRGB = sync.OnceValue(func() []byte { return newDeflater().deflated(sRGBProfile()) })

func sRGBProfile() []byte {
	xyz := func(x, y, z float64) []byte {
		b := []byte("XYZ \x00\x00\x00\x00")
		for _, v := range []float64{x, y, z} {
			b = binary.BigEndian.AppendUint32(b, uint32(math.Round(v*65536)))
		}
		return b
	}
	description := append([]byte("desc\x00\x00\x00\x00\x00\x00\x00\x05sRGB\x00"), make([]byte, 4+4+2+1+67)...)
	copyright := []byte("text\x00\x00\x00\x00No copyright\x00")
	const points = 1024
	curve := binary.BigEndian.AppendUint32([]byte("curv\x00\x00\x00\x00"), points)
	for i := range points {
		curve = binary.BigEndian.AppendUint16(curve, uint16(math.Round(65535*linear(float64(i)/(points-1)))))
	}
	tags := []struct {
		name string
		data []byte
	}{
		{"desc", description},
		{"cprt", copyright},
		{"wtpt", xyz(0.95045, 1, 1.08905)}, // D65, not adapted
		{"rXYZ", xyz(0.43607, 0.22249, 0.01392)},
		{"gXYZ", xyz(0.38515, 0.71687, 0.09708)},
		{"bXYZ", xyz(0.14307, 0.06061, 0.71410)},
		{"rTRC", curve}, {"gTRC", curve}, {"bTRC", curve},
	}

	b := make([]byte, 128, 4096)
	binary.BigEndian.PutUint32(b[8:], 0x02100000) // version 2.1
	copy(b[12:], "mntrRGB XYZ ")
	for i, v := range []uint16{1999, 1, 1, 0, 0, 0} { // a fixed date
		binary.BigEndian.PutUint16(b[24+2*i:], v)
	}
	copy(b[36:], "acsp")
	copy(b[68:], xyz(0.9642, 1, 0.8249)[8:]) // D50, the illuminant of all profiles

	b = binary.BigEndian.AppendUint32(b, uint32(len(tags)))
	at, curveAt := 128+4+12*len(tags), 0
	var data []byte
	for _, t := range tags {
		place := at + len(data)
		if t.name[1:] == "TRC" && curveAt != 0 {
			place = curveAt // the three colours share a curve
		} else {
			data = append(data, t.data...)
			for len(data)%4 != 0 {
				data = append(data, 0)
			}
			if t.name[1:] == "TRC" {
				curveAt = place
			}
		}
		b = append(b, t.name...)
		b = binary.BigEndian.AppendUint32(b, uint32(place))
		b = binary.BigEndian.AppendUint32(b, uint32(len(t.data)))
	}
	b = append(b, data...)
	binary.BigEndian.PutUint32(b, uint32(len(b)))
	return b
}

// linear gives the light for a value of a colour, both 0 to 1.
// Source: IEC 61966-2-1:1999, 5.2.
func linear(v float64) float64 {
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}
