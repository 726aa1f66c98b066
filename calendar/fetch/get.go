package fetch

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"strings"
	"time"

	"treewhen/calendar/phrase"
)

// Get fetches an address and hands what it holds to accept, which says whether it is good; that is then kept. When
// there is nothing good to be had, accept gets the last good copy, stale says why, and since is how old that is.
// Without either, there is an error.
func (c *Client) Get(
	ctx context.Context, address string, accept func(io.Reader) error,
) (stale string, since time.Time, err error) {
	var kept *Copy
	if c.Kept.dir != "" {
		kept = c.Kept.Read(address)
	}
	r := Request{Address: address}
	if kept != nil {
		r.ETag, r.LastModified = kept.ETag, kept.LastModified
	}
	fresh, err := c.Ask(ctx, r)
	if err == nil {
		now := &Copy{
			Meta{Key: address, ETag: fresh.ETag, LastModified: fresh.LastModified, Confirmed: c.Now()}, fresh.Body,
		}
		if fresh.Same {
			now.Body = kept.Body
		}
		if err = accept(bytes.NewReader(now.Body)); err == nil {
			return "", since, c.Kept.Keep(now)
		}
	}
	if kept == nil || ctx.Err() != nil {
		return "", since, err
	}
	if acceptErr := accept(bytes.NewReader(kept.Body)); acceptErr != nil {
		return "", since, err // the copy is of no use: what is wrong now is what must be mended
	}
	first, _, _ := strings.Cut(err.Error(), "\n")
	return fmt.Sprintf(
		"%s; using the copy of %s, %s old", first, kept.Confirmed.UTC().Format(CopyTime),
		age(c.Now().Sub(kept.Confirmed)),
	), kept.Confirmed, nil
}

// CopyTime is how the time of a copy is written, in UTC.
const CopyTime = "2 January 2006 15:04 UTC"

// age writes how old something is as people do.
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

// Shown returns an address as messages show it: without its query, in which agencies have people put their keys.
func Shown(address string) string {
	if before, _, found := strings.Cut(address, "?"); found {
		return before + "?…"
	}
	return address
}
