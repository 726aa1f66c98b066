package deliver

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	netmail "net/mail"
	"net/textproto"
	"strings"
	"time"

	"github.com/wneessen/go-mail"

	"treewhen/calendar/alerts"
	"treewhen/calendar/planfile"
	"treewhen/calendar/words"
)

// mail hands an alert to the plan's SMTP server: RFC 5321. It returns what went wrong.
func (s *Sender) mail(ctx context.Context, to *planfile.Recipient, m alerts.Message) string {
	letter, err := s.letter(to, m)
	if err != nil {
		return "the mail cannot be written"
	}
	client, err := s.client()
	if err != nil {
		return "the mail server's settings do not fit together"
	}
	if err := client.DialWithContext(ctx); err != nil {
		return "the mail server: " + refusal(err)
	}
	err = client.Send(letter)
	goodbye(client)
	if err != nil && !letter.IsDelivered() { // what goes wrong once a mail is taken changes nothing
		return "the mail server: " + refusal(err)
	}
	return ""
}

// goodbye ends a connection. A server that does not answer to that is not waited for.
func goodbye(client *mail.Client) {
	done := make(chan struct{})
	go func() {
		client.Close()
		close(done)
	}()
	select {
	case <-done:
	case <-time.After(goodbyeTime):
	}
}

const goodbyeTime = 5 * time.Second

// letter writes an alert as a mail of plain text: RFC 5322.
func (s *Sender) letter(to *planfile.Recipient, m alerts.Message) (*mail.Msg, error) {
	server := s.plan.Alerts.Mail
	letter := mail.NewMsg(
		mail.WithCharset(mail.CharsetUTF8), mail.WithEncoding(mail.EncodingQP), mail.WithNoDefaultUserAgent(),
	)
	err := errors.Join(letter.From(server.From.Reveal()), letter.To(to.Mail.Reveal()))
	letter.Subject(m.Title)
	letter.SetDate()
	// What is sent again after a doubt is the same mail, and many a mailbox shows it once. The right side must be a
	// name of the sender's: RFC 5322 section 3.6.4.
	letter.SetMessageIDWithValue(m.ID + "@" + domain(server.From.Reveal()))
	letter.SetGenHeader("Auto-Submitted", "auto-generated") // RFC 3834: nobody's holiday notice comes back
	letter.SetBodyString(mail.TypeTextPlain, m.Message+"\n\n"+words.AlertFooter(s.plan.Title, s.plan.Speech)+"\n")
	return letter, err
}

// domain returns what stands behind the sign of an address.
func domain(address string) string {
	a, err := netmail.ParseAddress(address)
	if err != nil {
		return "localhost"
	}
	return a.Address[strings.LastIndexByte(a.Address, '@')+1:]
}

// client returns a client for the plan's mail server. Without TLS it says nothing that is secret, unless the plan
// says that TLS is not wanted.
func (s *Sender) client() (*mail.Client, error) {
	server := s.plan.Alerts.Mail
	host := strings.Trim(server.Host.Reveal(), "[]")
	options := []mail.Option{
		mail.WithPort(server.Port), mail.WithTimeout(s.patience.mail), mail.WithHELO(domain(server.From.Reveal())),
		mail.WithTLSConfig(&tls.Config{ServerName: host, RootCAs: s.trusted, MinVersion: tls.VersionTLS12}),
		mail.WithoutNoop(),
	}
	plain, login := mail.SMTPAuthPlain, mail.SMTPAuthLogin
	switch server.TLS {
	case planfile.FromTLS:
		options = append(options, mail.WithSSL())
	case planfile.NoTLS:
		options = append(options, mail.WithTLSPolicy(mail.NoTLS))
		plain, login = mail.SMTPAuthPlainNoEnc, mail.SMTPAuthLoginNoEnc
	default:
		options = append(options, mail.WithTLSPolicy(mail.TLSMandatory))
	}
	if server.Password != nil {
		options = append(options,
			mail.WithUsername(server.User.Reveal()), mail.WithPassword(s.secrets[server.Password]),
			mail.WithOpportunisticSMTPAuth(
				mail.SMTPAuthSCRAMSHA256, mail.SMTPAuthSCRAMSHA1, plain, login, mail.SMTPAuthCramMD5,
			),
		)
	}
	return mail.NewClient(host, options...)
}

// refusal says what an error of the mail server's is: by its number where it gave one, whose words may hold
// addresses.
func refusal(err error) string {
	var sent *mail.SendError
	var reply *textproto.Error
	switch {
	case errors.As(err, &sent) && sent.ErrorCode() > 0:
		code := fmt.Sprintf("%d %s", sent.ErrorCode(), sent.EnhancedStatusCode())
		return "it does not take the mail: " + strings.TrimSpace(code)
	case errors.As(err, &sent):
		return "it broke off, or does not answer in time"
	case errors.As(err, &reply):
		return fmt.Sprintf("it does not let us in: %d", reply.Code)
	case errors.Is(err, mail.ErrNoSupportedAuthDiscovered):
		return "it knows no way to take a password that is known here"
	case strings.Contains(err.Error(), "STARTTLS"): // the library has no error of its own for it
		return "it offers no TLS, want it to; or tls: none in the plan, if what is sent may be read on its way"
	}
	return failure(err)
}
