package desk

import "time"

// wornPage is which parts reach their limit when, over all units.
type wornPage struct {
	Whole  bool   // all units were looked through
	Before string // only limits that may come before this day
	Wrong  bool   // what was asked for is no day
	Rows   []worn
	More   bool
}

// wornAPage is how many parts are listed.
const wornAPage = 60

func (v *visit) wornParts() error {
	site, err := v.read()
	if err != nil {
		return err
	}
	is := wornPage{Before: v.asked("before", 10)}
	if _, err := time.Parse(time.DateOnly, is.Before); is.Before != "" && err != nil {
		is.Before, is.Wrong = "", true
	}
	all, whole := site.wear.all()
	is.Whole = whole
	for _, w := range all {
		if !w.Passed && w.Due == "" || is.Before != "" && !w.Passed && w.First >= is.Before {
			continue
		}
		if is.More = len(is.Rows) == wornAPage; is.More {
			break
		}
		is.Rows = append(is.Rows, w)
	}
	return v.show("worn", is)
}
