package desk

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"net"
	"net/http/httptest"
	"net/netip"
	"strings"
	"testing"
	"time"

	"jobsheaf/internal/users"
)

// clock is a time that a test moves.
type clock struct{ at time.Time }

func (c *clock) now() time.Time { return c.at }

func TestSessionsEnd(t *testing.T) {
	c := &clock{time.Unix(1_800_000_000, 0)}
	s := newSessions(c.now)
	id := s.begin(session{name: "A"})
	if s.get(id) == nil || s.get("") != nil || s.get(newID()) != nil {
		t.Fatal("a session is not told from none")
	}
	for range 5 { // at work, it lasts
		c.at = c.at.Add(mostIdle - time.Minute)
		if s.get(id) == nil {
			t.Fatal("it ended while it was used")
		}
	}
	c.at = c.at.Add(mostIdle - time.Minute) // twelve hours are over
	c.at = c.at.Add(10 * time.Minute)
	if s.get(id) != nil {
		t.Error("it does not end after 12 hours")
	}
	id = s.begin(session{name: "A"})
	c.at = c.at.Add(mostIdle + time.Second)
	if s.get(id) != nil {
		t.Error("it does not end after two idle hours")
	}
	if len(s.by) != 0 {
		t.Error("what ended is kept")
	}
	// However many come, no more are kept, and whoever is at work stays.
	first := s.begin(session{name: "first"})
	for range 3 * mostPeople {
		s.begin(session{name: "x"})
		c.at = c.at.Add(time.Millisecond)
		if s.get(first) == nil {
			t.Fatal("somebody at work was put out")
		}
	}
	if len(s.by) > mostPeople {
		t.Errorf("%d sessions are kept", len(s.by))
	}
	if s.token(first) == s.token(id) || strings.Contains(s.token(first), first) {
		t.Error("a token is not of its session alone")
	}
}

func TestTries(t *testing.T) {
	c := &clock{time.Unix(1_800_000_000, 0)}
	tries := newTries(c.now)
	from := func(i int) netip.Addr { return netip.AddrFrom4([4]byte{10, byte(i >> 16), byte(i >> 8), byte(i)}) }
	n := 0
	for i := range 100 { // a name, from everywhere
		if tries.take("Planner 1", from(i)) {
			n++
		}
	}
	if n != triesByName {
		t.Errorf("%d tries of one name", n)
	}
	n = 0
	for i := range 100_000 { // all names, from one network
		if tries.take(fmt.Sprint("n", i), netip.MustParseAddr(fmt.Sprintf("2001:db8::%x", 1+i%60_000))) {
			n++
		}
	}
	if n != triesByAddress || len(tries.by) > mostTried {
		t.Errorf("%d tries of one network, %d kept", n, len(tries.by))
	}
	for i := range 3 * mostTried {
		tries.take("x", from(1000+i))
	}
	if len(tries.by) > mostTried {
		t.Errorf("%d are kept", len(tries.by))
	}
	c.at = c.at.Add(triesIn)
	if !tries.take("Planner 1", from(1)) {
		t.Error("after a quarter of an hour it cannot be tried again")
	}
}

// Somebody who sends a byte now and then, or never reads, is cut off, and the others are
// answered meanwhile.
func TestSlowClients(t *testing.T) {
	d, err := New(Config{Now: time.Now, Log: t.Logf, Hosts: func(string) bool { return true }, Users: func() (users.List, error) { return nil, nil }})
	if err != nil {
		t.Fatal(err)
	}
	d.limits = limits{header: 300 * time.Millisecond, read: 600 * time.Millisecond, write: 600 * time.Millisecond, idle: 300 * time.Millisecond, close: time.Second, headerBytes: 4 << 10, connections: 8}
	on, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(t.Context())
	done := make(chan error, 1)
	go func() { done <- d.Serve(ctx, on, nil) }()
	var slow []net.Conn
	for i := range 7 {
		c, err := net.Dial("tcp", on.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		slow = append(slow, c)
		switch i % 3 {
		case 0:
			io.WriteString(c, "GET / HTTP/1.1\r\nHost: x\r\nX-")
		case 1:
			io.WriteString(c, "POST /sign-in HTTP/1.1\r\nHost: x\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: 1000\r\n\r\nname=")
		case 2: // nothing at all
		}
	}
	c, err := net.Dial("tcp", on.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	began := time.Now()
	fmt.Fprintf(c, "GET %s HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n", lookPath("desk.css"))
	if line, err := bufio.NewReader(c).ReadString('\n'); err != nil || !strings.Contains(line, "200") {
		t.Errorf("%q %v", line, err)
	}
	if took := time.Since(began); took > 5*time.Second {
		t.Errorf("the others waited %v", took)
	}
	for i, c := range slow {
		c.SetReadDeadline(time.Now().Add(10 * time.Second))
		if _, err := io.Copy(io.Discard, c); err != nil && strings.Contains(err.Error(), "timeout") {
			t.Errorf("slow client %d is not cut off", i)
		}
	}
	stop()
	if err := <-done; err != nil {
		t.Error(err)
	}
}

// Each page that writes is kept from whoever may only read, whatever is added later.
func TestRoutesThatWrite(t *testing.T) {
	for _, r := range routes() {
		method, _, _ := strings.Cut(r.pattern, " ")
		switch {
		case method == "GET":
		case method != "POST":
			t.Errorf("%s: the method is neither GET nor POST", r.pattern)
		case r.pattern == "POST /sign-in" && r.who == anyone, r.pattern == "POST /sign-out" && r.who == reader:
		case r.who < mechanic:
			t.Errorf("%s: whoever may only read may write", r.pattern)
		}
	}
	if levels[users.Auditor] >= mechanic {
		t.Error("an auditor may write")
	}
}

// Whoever reads a page slowly, or leaves, keeps no turn.
func TestTurnsEnd(t *testing.T) {
	turns := make(turns, 1)
	r := httptest.NewRequest("GET", "/", nil)
	for range 3 {
		w, done, ok := turns.take(httptest.NewRecorder(), r)
		if !ok {
			t.Fatal("no turn")
		}
		io.WriteString(w, "x") // not done yet
		defer done()
	}
	_, done, _ := turns.take(httptest.NewRecorder(), r)
	ctx, leave := context.WithCancel(t.Context())
	leave()
	if _, _, ok := turns.take(httptest.NewRecorder(), r.WithContext(ctx)); ok {
		t.Error("a turn for somebody who has left")
	}
	done()
	done()
	if len(turns) != 0 {
		t.Errorf("%d turns are never over", len(turns))
	}
}
