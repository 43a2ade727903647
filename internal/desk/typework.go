package desk

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"jobsheaf/internal/typein"
)

// This file is about sums that are worked out by hand on the paper. Once the readings that
// go into one are typed in, its result is worked out here too, and shown beside its box.
//
// A manifest does not say which reading a box is. A sum's boxes do: each that repeats a
// reading has the reading's name at the end of its ID, and in its label the step at which
// it was read.

// Summed is a value that was worked out from readings.
type Summed struct {
	Name    string
	Printed string // with its unit, as the page would have it
}

// summed is what comes of a sum, and how the box stands to it.
type summed struct {
	Summed
	Differs bool // another number was typed
}

// workings are the sums of a packet.
type workings struct {
	of      *typePage
	results map[*typeBox]string   // the boxes of results, with the value's name
	copies  map[*typeBox]*typeBox // the boxes that repeat a reading, with it
	work    func([][2]string) []Summed
	pairs   [][2]string // the readings that are typed
	done    bool
	sums    map[string]Summed
}

// copyForm reads the label of a box that repeats a reading: R: Bottom, step 4.4.
var copyForm = regexp.MustCompile(`^(?:.{1,3}: )?(.+), \S+ (\d+\.\d+)$`)

// onceForm is how an ID ends that another box had already.
var onceForm = regexp.MustCompile(`-\d+$`)

// workingsOf finds the sums of a packet.
func (v *visit) workingsOf(is *typePage) *workings {
	w := &workings{of: is, results: map[*typeBox]string{}, copies: map[*typeBox]*typeBox{}}
	read := map[[2]string]*typeBox{} // by step and label
	named := map[string]bool{}
	for i := range is.Groups {
		for _, b := range is.Groups[i].Boxes {
			rest, ok := strings.CutPrefix(b.ID, "s"+b.Ask.Step+".")
			if b.Ask.Step == "" || !ok {
				continue
			}
			value, name, isPart := strings.Cut(rest, ".")
			m := copyForm.FindStringSubmatch(b.Ask.Label)
			switch {
			case b.Ask.Of != "" && (!isPart || name == "target"):
				w.results[b] = onceForm.ReplaceAllString(value, "")
			case isPart && m != nil:
				from := read[[2]string{m[2], m[1]}]
				if from == nil {
					continue
				}
				w.copies[b] = from
				if name = onceForm.ReplaceAllString(name, ""); !named[name] && from.Was.Value != "" {
					named[name] = true
					w.pairs = append(w.pairs, [2]string{name, strings.TrimSpace(from.Was.Value + " " + from.Was.Unit)})
				}
			case !isPart:
				read[[2]string{b.Ask.Step, b.Ask.Label}] = b
			}
		}
	}
	w.work = func(pairs [][2]string) []Summed { return v.summed(is.Job.Unit, is.Job.Procedure, pairs) }
	return w
}

// fill says of boxes what is known of their sums.
func (w *workings) fill(boxes []*typeBox) {
	for _, b := range boxes {
		b.Copy = w.copies[b]
		value, isResult := w.results[b]
		if !isResult || len(w.pairs) == 0 {
			continue
		}
		if !w.done {
			w.done, w.sums = true, map[string]Summed{}
			for _, s := range w.work(w.pairs) {
				w.sums[s.Name] = s
			}
		}
		if s, ok := w.sums[value]; ok {
			b.Sum = &summed{Summed: s, Differs: differs(b, s.Printed, w.of.Sign)}
		}
	}
}

// differs reports whether what was typed is another number than what was worked out, by
// more than the last digit that is printed.
func differs(b *typeBox, printed string, sign typein.Sign) bool {
	t, err := typein.Read(printed, &b.Ask, sign)
	if err != nil || t.Value == "" || b.Was.Value == "" {
		return false
	}
	is, err1 := strconv.ParseFloat(b.Was.Value, 64)
	was, err2 := strconv.ParseFloat(t.Value, 64)
	_, fraction, _ := strings.Cut(t.Value, ".")
	return err1 == nil && err2 == nil && math.Abs(is-was) > 1.01*math.Pow10(-len(fraction))
}

// CopyDiffers reports whether another number was typed than was read.
func (b *typeBox) CopyDiffers() bool {
	if b.Copy == nil || b.Was.Value == "" || b.Copy.Was.Value == "" {
		return false
	}
	is, err1 := strconv.ParseFloat(b.Was.Value, 64)
	was, err2 := strconv.ParseFloat(b.Copy.Was.Value, 64)
	return err1 == nil && err2 == nil && math.Abs(is-was) > 1e-9
}

// sumsOf names what was worked out from which readings, by which reading of the records.
type sumsOf struct {
	site *reading
	from string
}

// summed works values out from readings, by the records and the procedure as they are now.
// Where that cannot be done nothing is said: a box can be typed without it.
func (v *visit) summed(unit, procedure string, pairs [][2]string) []Summed {
	site, err := v.read()
	if err != nil || site.WorkOut == nil {
		return nil
	}
	from := unit + "\x00" + procedure
	for _, p := range pairs {
		from += "\x00" + p[0] + "=" + p[1]
	}
	out, err := v.sums.get(sumsOf{site, from}, func() ([]Summed, error) { return site.WorkOut(unit, procedure, pairs) })
	if err != nil {
		return nil
	}
	return out
}
