package fetch

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"
)

// Request is what is asked for.
type Request struct {
	Address            string
	Agent              string        // who asks; "" is the program's name alone
	Accept             string        // the media types wanted; "" for those of files of temperatures
	ETag, LastModified string        // of the copy at hand, "" for none
	Tries              int           // at most; 0 for the usual
	Pace               time.Duration // between the last answer of this host and this request, at least
}

// Answer is what came back.
type Answer struct {
	Body               []byte // nil where Same
	Same               bool   // the copy at hand is still good
	ETag, LastModified string
	Expires            time.Time // until when the answer stays good, as the other side says; zero where it does not
}

// failure is an error of an answer, with what there is to know of it.
type failure struct {
	error
	status int           // of HTTP; 0 where it is of the connection
	passes bool          // it may be gone at the next try
	after  time.Duration // how long the other side asks to wait; 0 if it does not
}

// Unwrap returns what the failure is about.
func (f failure) Unwrap() error { return f.error }

// failureOf returns what there is to know of an error; nothing of one that is no failure.
func failureOf(err error) failure {
	f, _ := errors.AsType[failure](err)
	return f
}

// Status returns the HTTP status that an error of [Client.Ask] is about, 0 for none.
func Status(err error) int { return failureOf(err).status }

// MayPass reports whether an error of [Client.Ask] may be gone after a while.
func MayPass(err error) bool { return failureOf(err).passes }

// Pause returns how long the other side asks to wait, 0 if it does not.
func Pause(err error) time.Duration { return failureOf(err).after }

// Private reports whether an error is that of a redirect into a private network.
func Private(err error) bool {
	_, is := errors.AsType[*privateError](err)
	return is
}

const agent = "treewhen"

// once asks the other side once.
func (c *Client) once(ctx context.Context, r Request) (*Answer, error) {
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, r.Address, nil)
	if err != nil {
		return nil, errors.New("the address cannot be read")
	}
	req.Header.Set("User-Agent", cmp.Or(r.Agent, agent))
	req.Header.Set("Accept", cmp.Or(r.Accept, "text/csv, text/plain, application/gzip, */*;q=0.1"))
	switch {
	case r.ETag != "":
		req.Header.Set("If-None-Match", r.ETag)
	case r.LastModified != "":
		req.Header.Set("If-Modified-Since", r.LastModified)
	}
	resp, err := c.web.Do(req)
	if err != nil {
		return nil, refused(err)
	}
	defer resp.Body.Close()
	got := &Answer{
		ETag: resp.Header.Get("ETag"), LastModified: resp.Header.Get("Last-Modified"),
		Expires: expires(resp.Header, c.Now()),
	}
	switch code := resp.StatusCode; {
	case code == http.StatusOK:
	case code == http.StatusNotModified && r.ETag+r.LastModified != "":
		got.Same, got.ETag, got.LastModified = true, r.ETag, r.LastModified
		return got, nil
	default:
		seconds, _ := strconv.Atoi(resp.Header.Get("Retry-After")) // a date in its place is not worth waiting for
		return nil, failure{
			statusError(code), code,
			code == http.StatusRequestTimeout || code == http.StatusTooManyRequests || code >= 500,
			time.Duration(min(max(seconds, 0), 86400)) * time.Second,
		}
	}
	if resp.ContentLength > c.limit {
		return nil, fmt.Errorf("found an answer of %d MiB, want %d at most", resp.ContentLength>>20, c.limit>>20)
	}
	got.Body, err = io.ReadAll(io.LimitReader(resp.Body, c.limit+1))
	switch {
	case err != nil:
		return nil, refused(err)
	case int64(len(got.Body)) > c.limit:
		return nil, fmt.Errorf("found an answer of more than %d MiB", c.limit>>20)
	}
	return got, nil
}

// longestExpiry bounds for how long an answer is believed to stay good.
const longestExpiry = 7 * 24 * time.Hour

// expires returns until when an answer stays good: RFC 9111 section 5.2.2.1 (max-age), else 5.3 (Expires), which is
// read against the other side's own clock. The zero time stands for an answer that does not say, or says at once.
func expires(h http.Header, now time.Time) time.Time {
	lasts := time.Duration(0)
	for directive := range strings.SplitSeq(h.Get("Cache-Control"), ",") {
		name, value, _ := strings.Cut(strings.ToLower(strings.TrimSpace(directive)), "=")
		switch seconds, err := strconv.Atoi(strings.Trim(value, `"`)); {
		case name == "no-store" || name == "no-cache":
			return time.Time{}
		case name == "max-age" && err == nil && seconds >= 0:
			lasts = time.Duration(min(seconds, int(longestExpiry/time.Second))) * time.Second
		}
	}
	if lasts == 0 {
		until, err := http.ParseTime(h.Get("Expires"))
		if err != nil {
			return time.Time{}
		}
		from := now
		if date, err := http.ParseTime(h.Get("Date")); err == nil {
			from = date
		}
		lasts = until.Sub(from)
	}
	if lasts <= 0 {
		return time.Time{}
	}
	return now.Add(min(lasts, longestExpiry))
}

// statusError names a status in the words of its standard: those of the answer may be anything.
func statusError(code int) error {
	text := strings.TrimSpace(fmt.Sprint(code, " ", http.StatusText(code)))
	return fmt.Errorf("found HTTP status %s, want 200 OK", text)
}

// refused rewords an error of the connection without the address, which is said already and may hold a secret.
func refused(err error) error {
	if outer, is := errors.AsType[*url.Error](err); is {
		err = outer.Err
	}
	var timeout interface{ Timeout() bool }
	var private *privateError
	switch {
	case errors.Is(err, errRedirects), errors.Is(err, errDowngrade), errors.Is(err, errScheme):
		return err
	case errors.As(err, &private):
		return private
	case errors.Is(err, context.Canceled):
		return errors.New("stopped before it answered")
	case errors.As(err, &timeout) && timeout.Timeout(), errors.Is(err, context.DeadlineExceeded):
		return failure{errors.New("no answer in time"), 0, true, 0}
	case errors.Is(err, io.ErrUnexpectedEOF):
		return failure{errors.New("the answer was cut short"), 0, true, 0}
	}
	return failure{err, 0, true, 0}
}
