package deliver

import (
	"bytes"
	"context"
	"crypto/tls"
	"fmt"
	"io"
	"net/http"
	"time"

	"treewhen/calendar/alerts"
	"treewhen/calendar/planfile"
)

// post sends an alert as JSON to an address. It returns what went wrong.
//
// The address is the owner's choice, whatever network it is in. Whoever answers there chooses no other: a redirect is
// not followed, since the alert and the token would go with it.
func (s *Sender) post(ctx context.Context, to *planfile.Recipient, m alerts.Message) string {
	body, err := m.JSON(to.Fields)
	if err != nil {
		return "the message cannot be written"
	}
	ctx, cancel := context.WithTimeout(ctx, s.patience.post)
	defer cancel()
	req, err := http.NewRequestWithContext(ctx, http.MethodPost, to.Post.Reveal(), bytes.NewReader(body))
	if err != nil {
		return "the request cannot be written"
	}
	req.Header.Set("Content-Type", "application/json")
	req.Header.Set("User-Agent", "treewhen")
	req.Header.Set("Idempotency-Key", `"`+m.ID+`"`) // of what is sent again after a doubt, the same
	if to.Token != nil {
		req.Header.Set("Authorization", "Bearer "+s.secrets[to.Token])
	}
	client := &http.Client{
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
		Transport: &http.Transport{
			Proxy: http.ProxyFromEnvironment, TLSHandshakeTimeout: 10 * time.Second, DisableKeepAlives: true,
			ForceAttemptHTTP2: true, MaxResponseHeaderBytes: 64 << 10,
			TLSClientConfig: &tls.Config{RootCAs: s.trusted, MinVersion: tls.VersionTLS12},
		},
	}
	resp, err := client.Do(req)
	if err != nil {
		return failure(err)
	}
	defer resp.Body.Close()
	io.Copy(io.Discard, io.LimitReader(resp.Body, 64<<10)) // the number has been read; the rest is of no use
	switch code := resp.StatusCode; {
	case code >= 200 && code < 300:
		return ""
	case code >= 300 && code < 400:
		return fmt.Sprintf("it answers %d and redirects, want the address in the plan at which alerts are taken", code)
	default:
		return fmt.Sprintf("it answers %d", code)
	}
}
