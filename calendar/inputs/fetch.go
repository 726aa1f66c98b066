package inputs

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"treewhen/calendar/phrase"
	"treewhen/calendar/regular"
	"treewhen/calendar/staging"
	"treewhen/phenology/problem"
)

// fetcher gets files of temperatures from the web: only those that a plan names, one after the other.
//
// With a folder, it keeps a copy of the last good answer of each address. It asks whether that copy is still good (RFC
// 9110 section 13) instead of fetching again, and falls back on it when the other side is down or sends nonsense.
type fetcher struct {
	client *http.Client
	dir    string                                     // of the copies; "" for none
	limit  int64                                      // bytes of an answer, after decompression
	tries  int                                        // of one address
	total  time.Duration                              // for one address, all tries and waits together
	wait   func(context.Context, time.Duration) error // between tries
	now    func() time.Time
}

// FetchLimit is how many bytes of a file are taken from the web. An agency's file of a century of days is some 5 MB.
const FetchLimit = 64 << 20

// The bounds of fetching.
const (
	fetchTries     = 4
	fetchTry       = 30 * time.Second // one try, with its answer
	fetchTotal     = 2 * time.Minute
	fetchWait      = time.Second // before the second try; doubled before each that follows
	fetchLongest   = 30 * time.Second
	fetchRedirects = 5
	copyHeader     = 16 << 10 // bytes before a copy's answer
)

// newFetcher returns a fetcher for a plan that names some addresses.
func newFetcher(dir string, named []string) *fetcher {
	return &fetcher{
		client: &http.Client{Timeout: fetchTry, CheckRedirect: checkRedirect, Transport: newTransport(named)},
		dir:    dir, limit: FetchLimit, tries: fetchTries, total: fetchTotal, now: time.Now,
		wait: func(ctx context.Context, d time.Duration) error {
			select {
			case <-ctx.Done():
				return ctx.Err()
			case <-time.After(d):
				return nil
			}
		},
	}
}

var (
	errRedirects = errors.New("it redirects in circles, or too often")
	errDowngrade = errors.New("it redirects from https to an address that is not")
	errScheme    = errors.New("it redirects to an address that is neither https nor http")
)

func checkRedirect(r *http.Request, via []*http.Request) error {
	switch {
	case len(via) > fetchRedirects:
		return errRedirects
	case r.URL.Scheme != "http" && r.URL.Scheme != "https":
		return errScheme
	case via[len(via)-1].URL.Scheme == "https" && r.URL.Scheme != "https":
		return errDowngrade
	}
	return nil
}

// copyMeta is the first line of a copy; the answer's bytes follow it. One file, so that no copy is ever half of one
// answer and half of another.
type copyMeta struct {
	Address      string    `json:"address"`
	ETag         string    `json:"etag,omitempty"`
	LastModified string    `json:"last_modified,omitempty"`
	Confirmed    time.Time `json:"confirmed"` // when the other side last said that this is what it has
	SHA256       string    `json:"sha256"`    // of the answer
}

// fetchCopy is a copy kept.
type fetchCopy struct {
	copyMeta
	body []byte
}

// get fetches an address and hands what it holds to accept, which says whether it is good. When there is nothing good
// to be had, accept gets the last good copy, stale says why, and since is how old that is. Without either, there is an
// error.
func (f *fetcher) get(
	ctx context.Context, address string, accept func(io.Reader) error,
) (stale string, since time.Time, err error) {
	kept := f.read(address)
	fresh, err := f.fetch(ctx, address, kept)
	if err == nil {
		if err = accept(bytes.NewReader(fresh.body)); err == nil {
			return "", since, f.keep(fresh)
		}
	}
	if kept == nil || ctx.Err() != nil {
		return "", since, err
	}
	if acceptErr := accept(bytes.NewReader(kept.body)); acceptErr != nil {
		return "", since, err // the copy is of no use: what is wrong now is what must be mended
	}
	first, _, _ := strings.Cut(err.Error(), "\n")
	return fmt.Sprintf(
		"%s; using the copy of %s, %s old", first, kept.Confirmed.UTC().Format(copyTime), age(f.now().Sub(kept.Confirmed)),
	), kept.Confirmed, nil
}

// copyTime is how the time of a copy is written, in UTC.
const copyTime = "2 January 2006 15:04 UTC"

// age writes a duration as people do.
func age(d time.Duration) string {
	n, unit := int(d/(24*time.Hour)), "day"
	switch {
	case d < 2*time.Hour:
		n, unit = int(d/time.Minute), "minute"
	case d < 48*time.Hour:
		n, unit = int(d/time.Hour), "hour"
	}
	return phrase.Count(n, unit)
}

// passing marks an error that may be gone at the next try.
type passing struct {
	error
	after time.Duration // how long the other side asks to wait; 0 if it does not
}

// fetch asks the other side, as often as that makes sense.
func (f *fetcher) fetch(ctx context.Context, address string, kept *fetchCopy) (*fetchCopy, error) {
	ctx, cancel := context.WithTimeout(ctx, f.total)
	defer cancel()
	pause := fetchWait
	for try := 1; ; try++ {
		got, err := f.once(ctx, address, kept)
		var p passing
		if err == nil || !errors.As(err, &p) || try == f.tries {
			return got, err
		}
		if f.wait(ctx, min(max(pause, p.after), fetchLongest)) != nil {
			return nil, err
		}
		pause *= 2
	}
}

// once asks the other side once.
func (f *fetcher) once(ctx context.Context, address string, kept *fetchCopy) (*fetchCopy, error) {
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, address, nil)
	if err != nil {
		return nil, err
	}
	req.Header.Set("User-Agent", "treewhen")
	req.Header.Set("Accept", "text/csv, text/plain, application/gzip, */*;q=0.1")
	if kept != nil {
		if kept.ETag != "" {
			req.Header.Set("If-None-Match", kept.ETag)
		} else if kept.LastModified != "" {
			req.Header.Set("If-Modified-Since", kept.LastModified)
		}
	}
	resp, err := f.client.Do(req)
	if err != nil {
		return nil, f.refused(err)
	}
	defer resp.Body.Close()
	switch code := resp.StatusCode; {
	case code == http.StatusOK:
	case code == http.StatusNotModified && kept != nil:
		same := *kept
		same.Confirmed = f.now()
		return &same, nil
	case code == http.StatusRequestTimeout, code == http.StatusTooManyRequests, code >= 500:
		seconds, _ := strconv.Atoi(resp.Header.Get("Retry-After")) // a date in its place is not worth waiting for
		return nil, passing{
			statusError(code),
			time.Duration(min(max(seconds, 0), 3600)) * time.Second,
		}
	default:
		return nil, statusError(code)
	}
	if resp.ContentLength > f.limit {
		return nil, fmt.Errorf("found an answer of %d MiB, want %d at most", resp.ContentLength>>20, f.limit>>20)
	}
	body, err := io.ReadAll(io.LimitReader(resp.Body, f.limit+1))
	switch {
	case err != nil:
		return nil, f.refused(err)
	case int64(len(body)) > f.limit:
		return nil, fmt.Errorf("found an answer of more than %d MiB", f.limit>>20)
	}
	sum := sha256.Sum256(body)
	return &fetchCopy{copyMeta{
		Address: address, ETag: resp.Header.Get("ETag"), LastModified: resp.Header.Get("Last-Modified"),
		Confirmed: f.now(), SHA256: hex.EncodeToString(sum[:]),
	}, body}, nil
}

// statusError names a status in the words of its standard: those of the answer may be anything.
func statusError(code int) error {
	return fmt.Errorf("found HTTP status %s, want 200 OK", strings.TrimSpace(fmt.Sprint(code, " ", http.StatusText(code))))
}

// refused rewords an error of the connection without the address, which is said already and may hold a secret.
func (f *fetcher) refused(err error) error {
	var outer *url.Error
	if errors.As(err, &outer) {
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
		return passing{errors.New("no answer in time"), 0}
	case errors.Is(err, io.ErrUnexpectedEOF):
		return passing{errors.New("the answer was cut short"), 0}
	}
	return passing{err, 0}
}

// path returns where the copy of an address is kept. The name is a digest: nothing in an address can choose the file.
func (f *fetcher) path(address string) string {
	sum := sha256.Sum256([]byte(address))
	return filepath.Join(f.dir, hex.EncodeToString(sum[:16])+".copy")
}

// read returns the copy of an address, nil if there is none that is whole. A damaged one is as good as none.
func (f *fetcher) read(address string) *fetchCopy {
	if f.dir == "" {
		return nil
	}
	file, err := regular.Open(f.path(address))
	if err != nil {
		return nil
	}
	defer file.Close()
	data, err := io.ReadAll(io.LimitReader(file, f.limit+copyHeader))
	if err != nil {
		return nil
	}
	head, body, ok := bytes.Cut(data, []byte("\n"))
	var c fetchCopy
	if !ok || json.Unmarshal(head, &c.copyMeta) != nil || c.Address != address {
		return nil
	}
	if sum := sha256.Sum256(body); hex.EncodeToString(sum[:]) != c.SHA256 {
		return nil
	}
	c.body = body
	return &c
}

// keep puts a copy in place, whole.
func (f *fetcher) keep(c *fetchCopy) error {
	if f.dir == "" {
		return nil
	}
	head, err := json.Marshal(c.copyMeta)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(f.dir, 0o755); err != nil && !errors.Is(err, fs.ErrExist) {
		return problem.OfFile(err)
	}
	return staging.Replace(f.path(c.Address), append(append(head, '\n'), c.body...))
}

// shown returns an address as messages show it: without its query, in which agencies have people put their keys.
func shown(address string) string {
	before, _, found := strings.Cut(address, "?")
	if found {
		return before + "?…"
	}
	return before
}
