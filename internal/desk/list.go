package desk

import (
	"crypto/rand"
	"encoding/hex"
	"errors"
	"net/http"
	"slices"
	"sync"
	"time"

	"jobsheaf/internal/diag"
)

// This file takes a list that somebody sends from another program, shows what is wrong
// with its rows, and has it printed.

// How many lists that were sent are held ready to be printed, how long, and how large one
// may be: one of 5,000 rows has some 500 kB.
const (
	mostSent     = 4
	mostSentTime = 2 * time.Hour
	mostSentList = 4 << 20
)

// sentList is a list that was sent, as it was looked through then.
type sentList struct {
	id   string
	is   Asked
	page weekPage
	at   time.Time
}

// sentLists are those that are held ready, the oldest first.
type sentLists struct {
	mu   sync.Mutex
	look sync.Mutex // one is looked through at a time: that takes much memory
	all  []sentList
}

func (s *sentLists) put(l sentList) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.all = append(s.all, l); len(s.all) > mostSent {
		s.all = slices.Delete(s.all, 0, 1)
	}
}

func (s *sentLists) get(id string, now time.Time) (sentList, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.all = slices.DeleteFunc(s.all, func(l sentList) bool { return now.Sub(l.at) > mostSentTime })
	i := slices.IndexFunc(s.all, func(l sentList) bool { return l.id == id })
	if i < 0 {
		return sentList{}, false
	}
	return s.all[i], true
}

// sendList takes a list in and looks it through.
func (v *visit) sendList() error {
	again := func(f *fault) error { return v.showWeeks(f.status, f) }
	if v.Print == nil {
		v.drain()
		return again(&fault{status: http.StatusConflict, key: "print.no_folder"})
	}
	var kept inMemory
	files, err := v.receive("list", room{one: mostSentList, all: mostSentList, files: 8}, func() (Held, error) { return &kept, nil })
	if told, ok := errors.AsType[*fault](err); ok {
		return again(told)
	}
	switch {
	case err != nil:
		return err
	case len(files) != 1 || files[0].size == 0:
		return again(&fault{status: http.StatusUnprocessableEntity, key: "list.no_file"})
	case files[0].large:
		return again(&fault{status: http.StatusRequestEntityTooLarge, key: "list.large", fill: []any{"mb", mostSentList >> 20}})
	}
	l := sentList{at: v.Now(), is: Asked{List: files[0].name, Data: kept.Bytes(), Sheet: v.field("sheet", 60)}}
	var id [8]byte
	rand.Read(id[:])
	l.id = hex.EncodeToString(id[:])
	v.lists.look.Lock()
	defer v.lists.look.Unlock()
	book, list, problems, err := v.Print.Look(v.r.Context(), l.is)
	if err != nil {
		return err
	}
	if list == nil {
		l.page = weekPage{Unread: true, Name: l.is.List}
		for _, p := range problems {
			l.page.Problems = append(l.page.Problems, problem{Problem: p})
		}
		return v.showAs(http.StatusUnprocessableEntity, "week", l.page)
	}
	if l.page, err = v.weekPage(book, list, func(diag.Pos) string { return "" }); err != nil {
		return err
	}
	l.page.Name, l.page.Sent = l.is.List, l.id
	v.lists.put(l)
	return v.to("/list/" + l.id)
}

func (v *visit) listSent() (sentList, error) {
	l, ok := v.lists.get(v.r.PathValue("list"), v.Now())
	if !ok {
		return l, refuse(http.StatusNotFound, "fault.sent_list")
	}
	return l, nil
}

func (v *visit) sentList() error {
	l, err := v.listSent()
	if err != nil {
		return err
	}
	return v.show("week", l.page)
}

func (v *visit) printSent() error {
	l, err := v.listSent()
	if err != nil {
		return err
	}
	return v.begin(l.is)
}
