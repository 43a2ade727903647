package desk

import (
	"context"
	"crypto/tls"
	"errors"
	"io"
	"log"
	"net"
	"net/http"
	"sync"
	"time"
)

// limits is what a connection may take.
type limits struct {
	header, read, write, idle time.Duration
	close                     time.Duration // to finish what was begun when the desk stops
	headerBytes               int
	connections               int

	// Of files that are sent: the most bytes of one and of all of a form, how many, how long
	// they may take and stand still, and how many people may send at a time.
	scan, sent     int64
	files          int
	sending, pause time.Duration
	senders        int
}

var plainLimits = limits{
	header: 5 * time.Second, read: 30 * time.Second, write: 60 * time.Second, idle: 60 * time.Second,
	close: 5 * time.Second, headerBytes: 16 << 10, connections: 256,
	// A pile of 300 sheets in grey at 300 dpi has some 150 MB.
	scan: 300 << 20, sent: 600 << 20, files: 300, sending: 15 * time.Minute, pause: 30 * time.Second, senders: 4,
}

// Serve answers what comes to a listener until the context ends, and then finishes what it
// began. Without a configuration of TLS it is spoken to in the clear.
func (d *Desk) Serve(ctx context.Context, on net.Listener, secret *tls.Config) error {
	on = &counted{Listener: on, room: make(chan struct{}, d.limits.connections)}
	if secret != nil {
		on = tls.NewListener(on, secret)
	}
	server := &http.Server{
		Handler: d.handler(), ReadHeaderTimeout: d.limits.header, ReadTimeout: d.limits.read, WriteTimeout: d.limits.write, IdleTimeout: d.limits.idle,
		MaxHeaderBytes: d.limits.headerBytes, BaseContext: func(net.Listener) context.Context { return context.WithoutCancel(ctx) },
		ErrorLog: log.New(io.Discard, "", 0), // of connections that break off
	}
	done := make(chan error, 1)
	go func() { done <- server.Serve(on) }()
	select {
	case err := <-done:
		return err
	case <-ctx.Done():
	}
	defer d.works.close()
	wait, cancel := context.WithTimeout(context.WithoutCancel(ctx), d.limits.close)
	defer cancel()
	err := server.Shutdown(wait)
	if errors.Is(err, context.DeadlineExceeded) {
		err = server.Close()
	}
	return err
}

// counted accepts so many connections at a time; whoever comes later waits.
type counted struct {
	net.Listener
	room chan struct{}
}

func (c *counted) Accept() (net.Conn, error) {
	c.room <- struct{}{}
	conn, err := c.Listener.Accept()
	if err != nil {
		<-c.room
		return nil, err
	}
	return &countedConn{Conn: conn, leave: sync.OnceFunc(func() { <-c.room })}, nil
}

type countedConn struct {
	net.Conn
	leave func()
}

func (c *countedConn) Close() error {
	defer c.leave()
	return c.Conn.Close()
}
