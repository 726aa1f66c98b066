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
		IdleTimeout: idleTime, MaxHeaderBytes: maxHeader, ErrorLog: log.New(say, "", 0), ConnState: noteState,
	}
}

// serveUntil serves until ctx is done, and lets what is under way end; others run beside it.
func serveUntil(ctx context.Context, web *http.Server, listener net.Listener, beside ...func(context.Context)) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	var wait sync.WaitGroup
	defer wait.Wait()
	for _, other := range beside {
		wait.Go(func() { other(ctx) })
	}
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
