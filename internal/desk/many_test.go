package desk_test

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"jobsheaf/internal/register"
	"jobsheaf/testdata/scribble"
)

// Twenty people say what papers are and type readings in while weeks are printed and scans
// are read: nothing that was taken is lost, and of two who settle the same one hears of the
// other. Others look at pages meanwhile; the test tells how long they wait.
func TestManyAtOnce(t *testing.T) {
	const people, each = 20, 10
	o := open(t, func(string) {}, "--out", t.TempDir())
	by := register.By{Who: "Front office", At: time.Now()}
	var papers []int64
	for i := range people*each + 1 {
		scan := sha256.Sum256([]byte(fmt.Sprint("pile ", i)))
		p, _, err := o.register.See(t.Context(), by, register.Paper{State: register.Unplaced, Scan: hex.EncodeToString(scan[:]), File: "pile.pdf", At: 1, Why: "no code"})
		must(t, err)
		papers = append(papers, p.Event)
	}
	shared := papers[people*each]
	prints, err := o.register.Prints(t.Context(), "K-24820")
	must(t, err)
	var shots []scribble.Shot
	from := *o
	dir, _ := demo()
	from.out = dir + "/out"
	p := from.packet("K-24820")
	for page := range p.Manifest.Pages {
		shots = append(shots, shot(t, p, page+1, 2))
	}
	pile := pdfOf(t, shots...)
	planner, reader := o.named("Planner"), o.named("Reader")
	tokens := make([]string, people)
	clients := make([]*http.Client, people)
	for i := range people {
		clients[i] = o.named(fmt.Sprint("Person ", i))
		tokens[i] = o.token(clients[i], "/place/"+strconv.FormatInt(shared, 10))
	}
	week := o.printed(planner, "/week/week-49", "/week/week-49/print", url.Values{})
	_, reads, _ := o.sends(reader, "/back", "/back", "scans", nil, scan{"pile.pdf", pile})

	var mu sync.Mutex
	taken, told, typed, meanwhile := 0, 0, 0, 0
	var wait sync.WaitGroup
	for i := range people {
		wait.Go(func() {
			aside := func(paper int64) int {
				res, err := clients[i].PostForm(o.url+fmt.Sprintf("/place/%d/aside", paper), url.Values{"token": {tokens[i]}, "word": {fmt.Sprint("word of ", i)}})
				if err != nil {
					t.Error(err)
					return 0
				}
				defer res.Body.Close()
				io.Copy(io.Discard, res.Body)
				return res.StatusCode
			}
			for k := range each {
				time.Sleep(250 * time.Millisecond) // people pause
				if status := aside(papers[i*each+k]); status != 200 {
					t.Errorf("person %d, paper %d: %d", i, k, status)
				}
				who := register.By{Who: fmt.Sprint("Person ", i), At: time.Now()}
				n, err := o.register.Type(t.Context(), who,
					register.Reading{Print: prints[0].Event, Box: fmt.Sprintf("own.%d.%d", i, k), Text: strconv.Itoa(k)})
				if err != nil || n != 1 {
					t.Errorf("person %d, reading %d: %d, %v", i, k, n, err)
				}
				_, err = o.register.Type(t.Context(), who, register.Reading{Print: prints[0].Event, Box: fmt.Sprint("shared.", k), Text: fmt.Sprint(i, ".", k)})
				mu.Lock()
				if other, ok := errors.AsType[*register.Meanwhile](err); ok && other.Who != "" {
					meanwhile++
				} else if err == nil {
					typed++
				} else {
					t.Error(err)
				}
				mu.Unlock()
			}
			switch status := aside(shared); status {
			case 200:
				mu.Lock()
				taken++
				mu.Unlock()
			case 409:
				mu.Lock()
				told++
				mu.Unlock()
			default:
				t.Errorf("person %d, the shared paper: %d", i, status)
			}
		})
	}
	took := map[string][]time.Duration{}
	stop := make(chan struct{})
	var looking sync.WaitGroup
	for range 2 {
		c := o.named("Looker")
		looking.Go(func() {
			for {
				for _, page := range []string{"/", "/jobs", "/job/K-24820", "/unit/P-214", "/place", week, reads, "/J/K-24817/3/16/7F3A91C2"} {
					select {
					case <-stop:
						return
					default:
					}
					began := time.Now()
					res, err := c.Get(o.url + page)
					if err != nil {
						t.Error(err)
						return
					}
					io.Copy(io.Discard, res.Body)
					res.Body.Close()
					mu.Lock()
					name := page
					if strings.HasPrefix(page, "/print/") || strings.HasPrefix(page, "/back/") {
						name = page[:strings.LastIndexByte(page, '/')]
					}
					took[name] = append(took[name], time.Since(began))
					mu.Unlock()
				}
			}
		})
	}
	wait.Wait()
	if says := short(o.over(planner, week)); !strings.Contains(says, "packets are printed") {
		t.Errorf("the week: %s", says)
	}
	if says := short(o.over(reader, reads)); !strings.Contains(says, fmt.Sprintf("Pages: %d.", len(shots))) || strings.Contains(says, "FAILED") {
		t.Errorf("the scans: %s", says)
	}
	close(stop)
	looking.Wait()

	if taken != 1 || told != people-1 || typed != each || meanwhile != (people-1)*each {
		t.Errorf("of the shared paper %d were taken and %d told; of shared readings %d and %d", taken, told, typed, meanwhile)
	}
	for i, n := range papers {
		was, err := o.register.Paper(t.Context(), n)
		must(t, err)
		now, err := o.register.Paper(t.Context(), was.Instead)
		if err != nil || now.State != register.Aside || now.Why != "word of "+strings.TrimPrefix(now.Who, "Person ") || i < people*each && now.Who != fmt.Sprint("Person ", i/each) {
			t.Errorf("paper %d is %+v, %v", i, now, err)
		}
	}
	readings, err := o.register.Readings(t.Context(), prints[0].Event)
	must(t, err)
	if len(readings) < people*each+each {
		t.Errorf("%d readings", len(readings))
	}
	back, err := o.register.Papers(t.Context(), prints[0].Event)
	if err != nil || len(back) != len(shots) {
		t.Errorf("%d pages are back, %v", len(back), err)
	}
	if faults, err := o.register.Verify(t.Context(), register.Head{}); err != nil || len(faults) > 0 {
		t.Errorf("the register is not sound: %v %v", faults, err)
	}
	for page, all := range took {
		slices.Sort(all)
		t.Logf("%-28s %4d times, half within %v, 99 of 100 within %v", page, len(all), all[len(all)/2].Round(time.Millisecond/10), all[len(all)*99/100].Round(time.Millisecond/10))
	}
}
