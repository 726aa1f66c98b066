package serve

import (
	"context"
	"io"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"
)

// crowded starts a server for eight connections at a time that answers with a text, and returns its address.
func crowded(t *testing.T, text string) string {
	t.Helper()
	web := newWebServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { io.WriteString(w, text) }), io.Discard)
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	guests := newCrowd(listener, 8)
	guests.spare, guests.piece = 200*time.Millisecond, 300*time.Millisecond
	go func() { ended <- serveUntil(ctx, web, guests, func(context.Context) {}) }()
	t.Cleanup(func() {
		cancel()
		if err := <-ended; err != nil {
			t.Errorf("found %v at the end", err)
		}
	})
	return listener.Addr().String()
}

// dial opens a connection that says something and reads nothing.
func dial(t *testing.T, address, text string) net.Conn {
	t.Helper()
	c, err := net.Dial("tcp", address)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { c.Close() })
	io.WriteString(c, text)
	return c
}

// served asks on a connection of its own and reports whether the whole answer came, long before those who hold the
// others up would have been hung up on.
func served(t *testing.T, address, want string) {
	t.Helper()
	client := &http.Client{Timeout: min(readHeaderTime, idleTime, writeTime) - time.Second, Transport: &http.Transport{DisableKeepAlives: true}}
	resp, err := client.Get("http://" + address + "/")
	if err != nil {
		t.Errorf("shut out: %v", err)
		return
	}
	defer resp.Body.Close()
	if body, err := io.ReadAll(resp.Body); err != nil || string(body) != want {
		t.Errorf("found %d bytes, %v", len(body), err)
	}
}

const ask = "GET / HTTP/1.1\r\nHost: x\r\n\r\n"

// Those who open connections and say nothing, keep them after an answer, begin a request and do not end it, or ask for
// much and do not read: none of them shuts anybody out.
func TestCrowd(t *testing.T) {
	big := strings.Repeat("0123456789abcdef", 1<<19) // more than the buffers of both sides hold
	for _, row := range []struct{ name, text, says string }{
		{"say nothing", "small", ""},
		{"keep what they have", "small", ask},
		{"half a request", "small", "GET / HTTP/1.1\r\nHost"},
		{"do not read", big, ask},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			address := crowded(t, row.text)
			for range 3 * 8 {
				dial(t, address, row.says)
			}
			for range 3 {
				served(t, address, row.text)
			}
		})
	}
}

// Who does not take the next piece of an answer in time is cut off, long before the answer as a whole is late; who takes it
// slowly but steadily gets the whole.
func TestSlowReaders(t *testing.T) {
	big := strings.Repeat("0123456789abcdef", 1<<19) // 8 MiB, more than the buffers of both sides hold
	closing := strings.Replace(ask, "\r\n\r\n", "\r\nConnection: close\r\n\r\n", 1)
	for _, row := range []struct {
		name  string
		first time.Duration // before the first read
		whole bool
	}{{"steady", 0, true}, {"stalled", time.Second, false}} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			conn, err := net.Dial("tcp", crowded(t, big))
			if err != nil {
				t.Fatal(err)
			}
			defer conn.Close()
			io.WriteString(conn, closing)
			time.Sleep(row.first)
			total, piece := 0, make([]byte, 256<<10)
			for {
				n, err := conn.Read(piece)
				total += n
				if err != nil {
					break
				}
				time.Sleep(5 * time.Millisecond)
			}
			if whole := total >= len(big); whole != row.whole {
				t.Errorf("found %d bytes of %d", total, len(big))
			}
		})
	}
}
