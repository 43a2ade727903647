package figure

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

var someText = []string{
	"Head to casing, 8 × M12, 8.8, oiled", "Suction valve HV-2141, pipe rack level 1", "22.0\u00a0mm (7/8\u00a0in)", "x",
	"Großgewindespindelstockhalterung", "Καπάκι", "Подшипник",
}

// paramsOf draws parameters that a figure must accept.
func paramsOf(t *rapid.T, s *spec) Params {
	p := Params{Numbers: map[string]float64{}, Texts: map[string]string{}, Lists: map[string][]string{}, Series: map[string][]float64{}}
	for _, n := range s.needs {
		if n.Optional && rapid.Bool().Draw(t, "leave out "+n.Name) {
			continue
		}
		item := func(label string) string {
			switch {
			case n.OneOf != nil:
				return rapid.SampledFrom(n.OneOf).Draw(t, label)
			}
			return rapid.SampledFrom(someText).Draw(t, label)
		}
		switch {
		case n.Kind == Number && n.whole:
			p.Numbers[n.Name] = float64(rapid.IntRange(int(n.low), int(n.high)).Draw(t, n.Name))
		case n.Kind == Number:
			p.Numbers[n.Name] = rapid.Float64Range(n.low, n.high).Draw(t, n.Name)
		case n.Kind == Text:
			p.Texts[n.Name] = item(n.Name)
		case n.Kind == Series:
			each := rapid.Float64Range(max(n.each[0], 0), min(n.each[1], 40))
			p.Series[n.Name] = rapid.SliceOfN(each, int(n.low), int(n.high)).Draw(t, n.Name)
		case n.Kind == List:
			count := rapid.IntRange(int(n.low), int(n.high)).Draw(t, n.Name)
			for i := range count {
				p.Lists[n.Name] = append(p.Lists[n.Name], item(fmt.Sprintf("%s %d", n.Name, i)))
			}
		}
	}
	if fit := fits[s.name]; fit != nil {
		fit(t, &p)
	}
	return p
}

// fits makes parameters agree with one another.
var fits = map[string]func(*rapid.T, *Params){
	"bolt-circle": func(t *rapid.T, p *Params) {
		order := make([]float64, int(p.Numbers["count"]))
		for i := range order {
			order[i] = float64(i + 1)
		}
		p.Series["order"] = rapid.Permutation(order).Draw(t, "order")
	},
	"housing-marks": func(t *rapid.T, p *Params) {
		d := p.Numbers["diameter"]
		p.Numbers["travel"] = rapid.Float64Range(0.1, math.Pi*d*0.9).Draw(t, "travel")
		p.Texts["travel"] = fmt.Sprintf("%.1f\u00a0mm", p.Numbers["travel"])
		if _, ok := p.Texts["clearance"]; ok {
			p.Texts["clearance"] = "0.10\u00a0mm (0.004\u00a0in)"
		}
	},
	"strip": func(t *rapid.T, p *Params) {
		d, lead := p.Numbers["diameter"], p.Numbers["lead"]
		top := rapid.Float64Range(0.011, 5).Draw(t, "max_clearance")
		p.Numbers["max_clearance"] = top
		p.Numbers["travel"] = rapid.Float64Range(0.1, max(0.1, min(top/lead, 1)*math.Pi*d)).Draw(t, "travel")
		p.Texts["travel"], p.Texts["clearance"] = fmt.Sprintf("%.1f mm", p.Numbers["travel"]), "0.10 mm"
	},
	"isolation": func(t *rapid.T, p *Params) {
		n := len(p.Lists["points"])
		for name, list := range p.Lists {
			for len(list) < n {
				list = append(list, list[0])
			}
			p.Lists[name] = list[:n]
		}
		for i := range n {
			p.Lists["points"][i] = rapid.StringMatching(`[A-Z]{1,3}-?[0-9]{1,4}`).Draw(t, "point")
		}
	},
	"trend": func(t *rapid.T, p *Params) {
		n := len(p.Lists["days"])
		p.Series["readings"] = append(p.Series["readings"], slices.Repeat([]float64{31.9}, n)...)[:n]
		for i := range n {
			p.Lists["days"][i] = fmt.Sprintf("20%02d-%02d-12", 10+i/4, 1+3*(i%4))
		}
		for i, name := range []string{"earliest", "forecast", "latest"} {
			if p.Texts[name] != "" {
				p.Texts[name] = fmt.Sprintf("20%d-06-01", 26+3*i)
			}
		}
	},
	"wear-points": func(t *rapid.T, p *Params) {
		if len(p.Lists["places"]) > 0 && rapid.Bool().Draw(t, "drawable") {
			p.Lists["places"] = rapid.SliceOfNDistinct(rapid.StringMatching(`[ABC][12]?`), 1, 6, rapid.ID).Draw(t, "places")
		}
	},
}

// good gives parameters that every figure accepts.
func good(t testing.TB, s *spec, seed int) Params {
	p := rapid.Custom(func(t *rapid.T) Params {
		rapid.Bool().Draw(t, "any") // for figures that need nothing
		return paramsOf(t, s)
	}).Example(seed)
	p.Words = english(t)
	return p
}
