// Package deliver answers: how does an alert get to somebody? It hands mail to an SMTP server and JSON to an address
// that takes a POST, both the owner's.
//
// What it returns as errors names neither address nor host nor who somebody is to a server, and repeats nothing that
// the other side sent, which could hold any of these: only the line of the plan, what was done, and a number that the
// standards give it.
package deliver

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"fmt"
	"io"
	"net"
	"os"
	"strings"
	"syscall"
	"time"

	"treewhen/calendar/alerts"
	"treewhen/calendar/planfile"
	"treewhen/calendar/regular"
	"treewhen/phenology/problem"
)

// Sender sends the alerts of a plan. It may be used by several goroutines.
type Sender struct {
	plan    *planfile.Plan
	secrets map[*planfile.Secret]string
	trusted *x509.CertPool // nil: the machine's
	patience
}

// patience is how long to wait for the other side: so long that what is taken but answered late is not sent a second
// time.
type patience struct{ mail, post time.Duration }

// RFC 5321 section 4.5.3.2 wants minutes for each step of handing over a mail, and ten for its end. A minute is what
// an HTTP server has by habit; we give it two.
var usual = patience{mail: 10 * time.Minute, post: 2 * time.Minute}

// New returns a sender for a plan with alerts. It reads the passwords, from variables that getenv knows and from
// files; its error is a [problem.List].
func New(plan *planfile.Plan, getenv func(string) string) (*Sender, error) {
	s := &Sender{plan: plan, secrets: map[*planfile.Secret]string{}, patience: usual}
	var wrong problem.List
	for _, secret := range plan.Alerts.Secrets() {
		text, err := readSecret(secret, getenv)
		if err != nil {
			wrong.Add(plan.File, secret.Line, "alerts", "%v", err)
		}
		s.secrets[secret] = text
	}
	return s, wrong.Err()
}

// readSecret reads a password. Errors do not repeat it.
func readSecret(s *planfile.Secret, getenv func(string) string) (string, error) {
	if s.Env != "" {
		if text := getenv(s.Env); text != "" {
			return text, nil
		}
		return "", fmt.Errorf("found no variable %s in the environment, want the password in it", s.Env)
	}
	f, err := regular.Open(s.File)
	if err != nil {
		return "", problem.OfFile(err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, mostSecret))
	if err != nil {
		return "", problem.OfFile(err)
	}
	text, _, _ := strings.Cut(string(data), "\n")
	if text = strings.TrimSpace(text); text == "" {
		return "", fmt.Errorf("%s: found nothing in its first line, want the password", s.File)
	}
	return text, nil
}

// mostSecret is how much of a file is looked at for a password, in bytes.
const mostSecret = 4 << 10

// Error is why an alert could not be sent.
type Error struct {
	Line int    // of the plan, that names the recipient
	What string // without any address
}

// Error says which recipient it is, by the line of the plan, and what went wrong.
func (e *Error) Error() string {
	return fmt.Sprintf("the recipient on line %d of the plan: %s", e.Line, e.What)
}

// Send sends an alert to a recipient. Nil is returned only once the other side has taken it.
func (s *Sender) Send(ctx context.Context, to *planfile.Recipient, m alerts.Message) error {
	what := ""
	if to.ByMail() {
		what = s.mail(ctx, to, m)
	} else {
		what = s.post(ctx, to, m)
	}
	if what != "" {
		return &Error{to.Line, what}
	}
	return nil
}

// failure says what an error of a connection is, and nothing that it holds.
func failure(err error) string {
	var dns *net.DNSError
	var invalid *tls.CertificateVerificationError
	var record tls.RecordHeaderError
	var operation *net.OpError
	var timeout net.Error
	switch {
	case errors.Is(err, context.Canceled):
		return "interrupted"
	case errors.As(err, &dns):
		return "its name cannot be found"
	case errors.As(err, &invalid):
		return "its certificate is not to be trusted: it is out of date, for another name or signed by nobody known " +
			"here"
	case errors.As(err, &record):
		return "it does not speak TLS there"
	case errors.As(err, &operation) && operation.Op == "remote error": // an alert of TLS: RFC 8446 section 6
		return "it breaks off the handshake of TLS, of which version 1.2 or later is spoken here"
	case errors.Is(err, syscall.ECONNREFUSED):
		return "it refuses connections"
	case errors.Is(err, context.DeadlineExceeded), errors.Is(err, os.ErrDeadlineExceeded),
		errors.As(err, &timeout) && timeout.Timeout():
		return "it does not answer in time"
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, syscall.ECONNRESET),
		errors.Is(err, syscall.EPIPE):
		return "it broke off the connection"
	}
	return "it cannot be reached"
}
