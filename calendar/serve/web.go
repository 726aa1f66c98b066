package serve

import (
	"context"
	"io"
	"log"
	"net"
	"net/http"
	"sync"
)

// newWebServer puts bounds on what a client can cost.
func newWebServer(handler http.Handler, say io.Writer) *http.Server {
	return &http.Server{
		Handler: handler, ReadHeaderTimeout: readHeaderTime, ReadTimeout: readTime, WriteTimeout: writeTime,
		IdleTimeout: idleTime, MaxHeaderBytes: maxHeader, ErrorLog: log.New(say, "", 0),
	}
}

// serveUntil serves until ctx is done, and lets what is under way end; keep runs beside it.
func serveUntil(ctx context.Context, web *http.Server, listener net.Listener, keep func(context.Context)) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	var wait sync.WaitGroup
	defer wait.Wait()
	wait.Go(func() { keep(ctx) })
	failed := make(chan error, 1)
	wait.Go(func() { failed <- web.Serve(listener) })
	select {
	case err := <-failed:
		cancel()
		return err
	case <-ctx.Done():
	}
	grace, stop := context.WithTimeout(context.Background(), stopTime)
	defer stop()
	if err := web.Shutdown(grace); err != nil {
		web.Close() // whoever is still reading after ten seconds is cut off
	}
	return nil
}

// limitedListener accepts so many connections at a time; more wait in the system's queue.
type limitedListener struct {
	net.Listener
	slots  chan struct{}
	closed chan struct{}
	once   sync.Once
}

func newLimitedListener(l net.Listener, most int) *limitedListener {
	return &limitedListener{Listener: l, slots: make(chan struct{}, most), closed: make(chan struct{})}
}

// Accept waits for a free slot, then for a connection.
func (l *limitedListener) Accept() (net.Conn, error) {
	select {
	case l.slots <- struct{}{}:
	case <-l.closed:
		return nil, net.ErrClosed
	}
	c, err := l.Listener.Accept()
	if err != nil {
		<-l.slots
		return nil, err
	}
	return &limitedConn{Conn: c, free: sync.OnceFunc(func() { <-l.slots })}, nil
}

// Close stops accepting.
func (l *limitedListener) Close() error {
	l.once.Do(func() { close(l.closed) })
	return l.Listener.Close()
}

type limitedConn struct {
	net.Conn
	free func()
}

// Close frees the connection's slot.
func (c *limitedConn) Close() error {
	defer c.free()
	return c.Conn.Close()
}
