package deliver

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"mime"
	"mime/quotedprintable"
	netmail "net/mail"
	"net/textproto"
	"regexp"
	"strings"
	"time"

	"treewhen/calendar/alerts"
	"treewhen/calendar/planfile"
	"treewhen/calendar/words"
)

// mail hands an alert to the plan's SMTP server: RFC 5321. It returns what went wrong.
func (s *Sender) mail(ctx context.Context, to *planfile.Recipient, m alerts.Message) string {
	sender, err := netmail.ParseAddress(s.plan.Alerts.Mail.From.Reveal())
	if err != nil {
		return "the mail cannot be written"
	}
	recipient, err := netmail.ParseAddress(to.Mail.Reveal())
	if err != nil {
		return "the mail cannot be written"
	}
	letter := s.letter(sender, recipient, m, time.Now())
	if err := s.hand(ctx, path(sender), path(recipient), letter); err != nil {
		if ctx.Err() != nil {
			err = ctx.Err()
		}
		return "the mail server: " + refusal(err)
	}
	return ""
}

// letter writes an alert as a mail of plain text: RFC 5322.
func (s *Sender) letter(from, to *netmail.Address, m alerts.Message, now time.Time) []byte {
	var b bytes.Buffer
	for _, field := range []string{
		"Date: " + now.Format(time.RFC1123Z),
		"From: " + from.String(),
		"To: " + to.String(),
		"Subject: " + mime.QEncoding.Encode("utf-8", m.Title),
		// What is sent again after a doubt is the same mail, and many a mailbox shows it once. The right side must be a
		// name of the sender's: RFC 5322 section 3.6.4.
		"Message-ID: <" + m.ID + "@" + domain(from.Address) + ">",
		"Auto-Submitted: auto-generated", // RFC 3834: nobody's holiday notice comes back
		"MIME-Version: 1.0",
		"Content-Type: text/plain; charset=utf-8",
		"Content-Transfer-Encoding: quoted-printable",
	} {
		b.WriteString(folded(field) + "\r\n")
	}
	b.WriteString("\r\n")
	body := quotedprintable.NewWriter(&b) // writes to memory, which takes all of it
	io.WriteString(body, m.Message+"\n\n"+words.AlertFooter(s.plan.Title, s.plan.Speech)+"\n")
	body.Close()
	return b.Bytes()
}

// mostLetters is how many letters a line of a mail should have at most: RFC 5322 section 2.1.1.
const mostLetters = 78

// folded breaks a header field at its spaces into lines, where it has some: RFC 5322 section 2.2.3.
func folded(field string) string {
	var b strings.Builder
	for len(field) > mostLetters {
		at := strings.LastIndexByte(field[1:mostLetters+1], ' ') + 1 // a line that goes on begins with one
		if at == 0 {
			if at = strings.IndexByte(field[1:], ' ') + 1; at == 0 {
				break
			}
		}
		b.WriteString(field[:at] + "\r\n")
		field = field[at:]
	}
	return b.String() + field
}

// path returns an address as a server is told it, in quotes where it must be: RFC 5321 section 4.1.2.
func path(a *netmail.Address) string {
	return strings.Trim((&netmail.Address{Address: a.Address}).String(), "<>")
}

// domain returns what stands behind the sign of an address.
func domain(address string) string { return address[strings.LastIndexByte(address, '@')+1:] }

// untaken is an error from the moment on at which the server was told of a mail, and before it said that it has it.
type untaken struct{ error }

func (u untaken) Unwrap() error { return u.error }

// What keeps a mail from being handed over before a server has refused anything.
var (
	errNoTLS   = errors.New("no TLS")
	errNoLogin = errors.New("no way to log in")
	errNoUTF8  = errors.New("no SMTPUTF8")
)

// enhanced is the status of RFC 3463 before the words of an answer.
var enhanced = regexp.MustCompile(`^[245]\.\d{1,3}\.\d{1,3}\b`)

// refusal says what an error of the mail server's is: by its number where it gave one, whose words may hold
// addresses.
func refusal(err error) string {
	var reply *textproto.Error
	said, late := errors.As(err, &reply), errors.As(err, new(untaken))
	switch {
	case errors.Is(err, context.Canceled):
		return failure(err)
	case said && late:
		code := fmt.Sprintf("%d %s", reply.Code, enhanced.FindString(reply.Msg))
		return "it does not take the mail: " + strings.TrimSpace(code)
	case late:
		return "it broke off, or does not answer in time"
	case said:
		return fmt.Sprintf("it does not let us in: %d", reply.Code)
	case errors.Is(err, errNoLogin):
		return "it knows no way to take a password that is known here"
	case errors.Is(err, errNoUTF8):
		return "it takes no address with letters outside ASCII"
	case errors.Is(err, errNoTLS):
		return "it offers no TLS, want it to; or tls: none in the plan, if what is sent may be read on its way"
	}
	return failure(err)
}
