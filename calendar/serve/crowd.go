package serve

import (
	"net"
	"net/http"
	"sync"
	"time"
)

// crowd is a listener with so many connections at a time. When one more comes, the one goes that has been idle longest,
// between two requests or before its first; where none is idle, the one that has been busy longest, if that is longer
// than anybody needs who reads what is ready to be sent. So those who hold connections for nothing shut nobody out.
type crowd struct {
	net.Listener
	most  int
	spare time.Duration // how long a connection may be busy while others wait
	piece time.Duration // in which pieceSize bytes of an answer must be taken

	mu     sync.Mutex
	inside map[*guest]bool
	change chan struct{} // closed when a connection has gone or become idle
	closed chan struct{}
	once   sync.Once
}

func newCrowd(l net.Listener, most int) *crowd {
	return &crowd{
		Listener: l, most: most, spare: spareTime, piece: pieceTime, inside: map[*guest]bool{},
		change: make(chan struct{}),
		closed: make(chan struct{}),
	}
}

// guest is a connection of a crowd.
type guest struct {
	net.Conn
	crowd *crowd

	// Of the crowd's lock:
	busy  bool      // a request is being read or answered
	since time.Time // that it has been busy, or idle

	mu       sync.Mutex
	deadline time.Time // of the whole answer
}

// Accept waits for a connection, and then for room for it.
func (c *crowd) Accept() (net.Conn, error) {
	conn, err := c.Listener.Accept()
	if err != nil {
		return nil, err
	}
	if tcp, ok := conn.(*net.TCPConn); ok {
		tcp.SetWriteBuffer(sendBuffer)
	}
	g := &guest{Conn: conn, crowd: c, since: time.Now()}
	for {
		again, wait, gone := c.admit(g)
		if again == nil {
			return g, nil
		}
		if gone != nil {
			gone.Close()
			continue
		}
		timer := time.NewTimer(wait)
		select {
		case <-again:
		case <-timer.C:
		case <-c.closed:
			timer.Stop()
			conn.Close()
			return nil, net.ErrClosed
		}
		timer.Stop()
	}
}

// admit lets a connection in. If there is no room, it returns the connection that must go for it, or, where none need
// go yet, for how long to wait, and what says that something has changed sooner.
func (c *crowd) admit(g *guest) (again chan struct{}, wait time.Duration, gone *guest) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if len(c.inside) < c.most {
		c.inside[g] = true
		return nil, 0, nil
	}
	for other := range c.inside {
		if gone == nil || gone.busy && !other.busy || gone.busy == other.busy && other.since.Before(gone.since) {
			gone = other
		}
	}
	if wait = c.spare - time.Since(gone.since); gone.busy && wait > 0 {
		return c.change, wait, nil
	}
	return c.change, 0, gone
}

// Close stops accepting.
func (c *crowd) Close() error {
	c.once.Do(func() { close(c.closed) })
	return c.Listener.Close()
}

// changed wakes who waits for room. The lock is held.
func (c *crowd) changed() {
	close(c.change)
	c.change = make(chan struct{})
}

// noteState is told by the web server what becomes of a connection.
func noteState(conn net.Conn, state http.ConnState) {
	g, ok := conn.(*guest)
	if !ok {
		return
	}
	g.crowd.mu.Lock()
	defer g.crowd.mu.Unlock()
	if busy := state == http.StateActive; busy != g.busy {
		g.busy, g.since = busy, time.Now()
		if !busy {
			g.crowd.changed()
		}
	}
}

// Close makes room.
func (g *guest) Close() error {
	g.crowd.mu.Lock()
	if g.crowd.inside[g] {
		delete(g.crowd.inside, g)
		g.crowd.changed()
	}
	g.crowd.mu.Unlock()
	return g.Conn.Close()
}

// SetDeadline and SetWriteDeadline note until when the web server allows for the whole answer.
func (g *guest) SetDeadline(t time.Time) error {
	g.note(t)
	return g.Conn.SetDeadline(t)
}

// SetWriteDeadline is like [guest.SetDeadline].
func (g *guest) SetWriteDeadline(t time.Time) error {
	g.note(t)
	return g.Conn.SetWriteDeadline(t)
}

func (g *guest) note(t time.Time) {
	g.mu.Lock()
	defer g.mu.Unlock()
	g.deadline = t
}

// Write demands that every piece of an answer is taken within its time.
func (g *guest) Write(b []byte) (n int, err error) {
	for {
		piece := b[n:min(len(b), n+pieceSize)]
		g.mu.Lock()
		until := g.deadline
		g.mu.Unlock()
		if own := time.Now().Add(g.crowd.piece); until.IsZero() || own.Before(until) {
			until = own
		}
		if err := g.Conn.SetWriteDeadline(until); err != nil {
			return n, err
		}
		m, err := g.Conn.Write(piece)
		n += m
		if err != nil || n == len(b) {
			return n, err
		}
	}
}
